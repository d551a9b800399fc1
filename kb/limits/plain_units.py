"""The everyday conversions by plain arithmetic, so that a cold answer need not wait for pint."""

from __future__ import annotations

_M = 100 / 2.54  # inches
_KG = 1 / 0.45359237  # pounds
_N = _KG / 9.80665  # pounds, as the shop reads force
_PA = _N / _M**2  # psi

FACTORS: dict[str, dict[str, float]] = {
    "length": {
        "in": 1, "ft": 12, "mil": 0.001, "thou": 0.001, "mm": 1 / 25.4, "um": 0.001 / 25.4, "micron": 0.001 / 25.4,
        "cm": 1 / 2.54, "m": _M, "metre": _M, "meter": _M, "km": 1000 * _M, "mile": 63360, "mi": 63360,
    },
    "weight": {
        "lb": 1, "oz": 1 / 16, "kg": _KG, "kgf": _KG, "g": _KG / 1000, "N": _N, "daN": 10 * _N, "kN": 1000 * _N,
    },
    "weight per length": {"lb/in": 1, "lb/ft": 1 / 12, "kg/cm": _KG * 2.54, "N/cm": _N * 2.54, "N/mm": _N * 25.4},
    "pressure": {
        "psi": 1, "Pa": _PA, "hPa": 100 * _PA, "mbar": 100 * _PA, "kPa": 1000 * _PA, "bar": 1e5 * _PA,
        "MPa": 1e6 * _PA, "N/mm2": 1e6 * _PA, "kg/cm2": _KG * 2.54**2, "inHg": 3386.389 * _PA,
        "mmHg": 133.322387415 * _PA, "inH2O": 249.08891 * _PA, "lb/ft2": 1 / 144, "kg/m2": _KG / _M**2,
    },
    "torque": {
        "in-lb": 1, "ft-lb": 12, "N*m": _N * _M, "Nm": _N * _M, "N*cm": _N / 2.54, "daN*m": 10 * _N * _M,
        "kg*cm": _KG / 2.54, "kg*m": _KG * _M, "kgf*cm": _KG / 2.54, "kgf*m": _KG * _M,
    },
    "speed": {"mph": 1, "kt": 1.852 / 1.609344, "km/h": 1 / 1.609344, "kmh": 1 / 1.609344, "m/s": 3.6 / 1.609344},
    "area": {"in2": 1, "ft2": 144, "mm2": 1 / 25.4**2, "cm2": 1 / 2.54**2, "m2": _M**2},
    "volume": {
        "gal": 1, "qt": 0.25, "pt": 0.125, "floz": 1 / 128, "L": 1 / 3.785411784, "l": 1 / 3.785411784,
        "litre": 1 / 3.785411784, "liter": 1 / 3.785411784, "mL": 0.001 / 3.785411784, "ml": 0.001 / 3.785411784,
        "cc": 0.001 / 3.785411784,
    },
    "flow": {"gal/h": 1, "gal/min": 60, "qt/h": 0.25, "L/h": 1 / 3.785411784, "l/h": 1 / 3.785411784,
             "L/min": 60 / 3.785411784, "l/min": 60 / 3.785411784},
    "weight per time": {"lb/h": 1, "lb/min": 60, "kg/h": _KG},
    "power": {"hp": 1, "kW": 1000 * _N * _M / (550 * 12)},
    "time": {"min": 1, "s": 1 / 60, "sec": 1 / 60, "second": 1 / 60, "h": 60, "day": 1440},
    "angle": {"deg": 1, "turn": 360, "rad": 57.29577951308232},
    "resistance": {"ohm": 1, "mohm": 0.001, "kohm": 1000},
    "current": {"A": 1, "mA": 0.001},
    "voltage": {"V": 1, "mV": 0.001, "kV": 1000},
    "calendar": {"month": 1, "year": 12},
}  # fmt: skip
"""Units of one kind, each in the first of its kind, by the definitions of `units`. The tests hold each against pint."""


def plain_convert(value: float, unit: str, wanted: str) -> float | None:
    """Return `value` of `unit` in `wanted`, or None when the pair is not among the everyday ones.

    >>> plain_convert(24, "in", "ft"), plain_convert(100, "degC", "degF"), plain_convert(1, "kg", "in")
    (2.0, 212.0, None)
    """
    if (unit, wanted) == ("degC", "degF"):
        return value * 1.8 + 32
    if (unit, wanted) == ("degF", "degC"):
        return (value - 32) / 1.8
    for factors in FACTORS.values():
        if unit in factors and wanted in factors:
            return value * factors[unit] / factors[wanted]
    return None
