"""The everyday conversions by plain arithmetic, so that a cold answer need not wait for pint."""

from __future__ import annotations

FACTORS: dict[str, dict[str, float]] = {
    "length": {"in": 1, "ft": 12, "mil": 0.001, "mm": 1 / 25.4, "cm": 1 / 2.54, "m": 100 / 2.54},
    "weight": {"lb": 1, "oz": 1 / 16, "kg": 1 / 0.45359237, "g": 0.001 / 0.45359237, "N": 1 / (0.45359237 * 9.80665)},
    "pressure": {
        "psi": 1, "Pa": 0.00064516 / (0.45359237 * 9.80665), "kPa": 0.64516 / (0.45359237 * 9.80665),
        "hPa": 0.064516 / (0.45359237 * 9.80665), "bar": 64.516 / (0.45359237 * 9.80665),
    },
    "torque": {
        "in-lb": 1, "ft-lb": 12,
        "N*m": 1 / (0.0254 * 0.45359237 * 9.80665), "Nm": 1 / (0.0254 * 0.45359237 * 9.80665),
    },
    "speed": {"mph": 1, "kt": 1.852 / 1.609344, "km/h": 1 / 1.609344},
    "volume": {"gal": 1, "qt": 0.25, "pt": 0.125, "L": 1 / 3.785411784, "litre": 1 / 3.785411784},
    "time": {"min": 1, "h": 60, "day": 1440},
    "angle": {"deg": 1, "turn": 360},
    "resistance": {"ohm": 1, "mohm": 0.001},
    "current": {"A": 1, "mA": 0.001},
    "voltage": {"V": 1, "mV": 0.001},
    "calendar": {"month": 1, "year": 12},
}  # fmt: skip
"""Units of one kind, each in the first of its kind; all exact by definition. The tests hold each against pint."""


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
