"""Reads a figure with its unit as a mechanic writes it: `9/16 in`, `14.3mm`, `37 deg`, `20 tpi`, `1-1/16"`."""

from __future__ import annotations

import math
import re
from collections.abc import Callable

from kb.identify.errors import EvidenceProblem
from kb.identify.model import Measurement, Unit

_NUMBER = re.compile(r"\s*([+-]?(?:\d+[ -]\d+/\d+|\d+/\d+|\d+(?:[.,]\d+)?|[.,]\d+))\s*(.*?)\s*")
_MM_PER_INCH = 25.4
"""Source: the inch is 25.4 mm exactly, international yard and pound agreement of 1959."""

_SELF = ("",)
_READ: dict[Unit, dict[tuple[str, ...], Callable[[float], float]]] = {
    "in": {
        ("", "in", "inch", "inches", '"', "''"): lambda value: value,
        ("mm", "millimetre", "millimetres", "millimeter", "millimeters"): lambda value: value / _MM_PER_INCH,
        ("cm",): lambda value: value * 10 / _MM_PER_INCH,
        ("mil", "mils", "thou"): lambda value: value / 1000,
    },
    "deg": {("", "deg", "degree", "degrees", "\N{DEGREE SIGN}"): lambda value: value},
    "per in": {
        ("", "per in", "per inch", "/in", "tpi", "threads per inch", "threads", "a in"): lambda value: value,
        ("mm", "mm pitch"): lambda value: _MM_PER_INCH / value,
        ("per cm", "/cm"): lambda value: value * _MM_PER_INCH / 10,
    },
    "count": {_SELF: lambda value: value},
    "year": {_SELF: lambda value: value},
}
_SAYS: dict[Unit, str] = {
    "in": "a length (in or mm)",
    "deg": "an angle in degrees",
    "per in": "a number per inch (or a pitch in mm)",
    "count": "a plain number",
    "year": "a year",
}


def read_figure(measurement: Measurement, typed: str | float) -> float:
    """Return `typed` in the unit of the measurement; a bare number is taken to be in that unit.

    Raises:
        EvidenceProblem: no number, not a number, infinite, of another kind of unit, or beyond `low` to `high`.
    """
    value = _value(measurement, typed)
    if math.isnan(value):
        raise _problem(measurement, "is not a number")
    if not measurement.low <= value <= measurement.high:
        raise _problem(measurement, f"cannot be {spell(value, measurement.unit)}")
    return value


def spell(value: float, unit: Unit | None) -> str:
    """Return a figure with its unit, as shown to a reader; at most four places, no needless zeros.

    >>> spell(0.5625, "in"), spell(18.0, "per in"), spell(1943, "year")
    ('0.5625 in', '18 per in', '1943')
    """
    text = f"{value:.4f}".rstrip("0").rstrip(".") if math.isfinite(value) else str(value)
    return text if unit in ("count", "year", None) else f"{text} {unit}"


def _value(measurement: Measurement, typed: str | float) -> float:
    if isinstance(typed, bool):
        raise _problem(measurement, "is not a yes or no")
    if not isinstance(typed, str):
        return float(typed)
    match = _NUMBER.fullmatch(typed)
    if match is None:
        lowered = typed.strip().lower()
        if lowered in ("nan", "inf", "-inf", "infinity"):
            return float(lowered)
        raise _problem(measurement, f"cannot be read in '{typed[:40]}'")
    number, word = _number(measurement, match.group(1)), match.group(2).lower().rstrip(".")
    assert measurement.unit is not None
    for words, convert in _READ[measurement.unit].items():
        if word in words:
            return convert(number) if number or not word.startswith("mm") else 0.0  # a pitch of nothing
    raise _problem(measurement, f"is {_SAYS[measurement.unit]}, and '{match.group(2)[:20]}' is not a unit of that")


def _number(measurement: Measurement, text: str) -> float:
    text = text.replace(",", ".")
    if "/" not in text:
        return float(text)
    sign = -1.0 if text.startswith("-") else 1.0
    whole, _, fraction = text.lstrip("+-").replace(" ", "-").rpartition("-")
    top, bottom = fraction.split("/")
    if int(bottom) == 0:
        raise _problem(measurement, f"cannot be read in '{text}'")
    return sign * (int(whole or 0) + int(top) / int(bottom))


def _problem(measurement: Measurement, what: str) -> EvidenceProblem:
    unit = measurement.unit
    span = f"from {spell(measurement.low, unit)} to {spell(measurement.high, unit)}"
    return EvidenceProblem(measurement.id, f"{measurement.id} ({measurement.title}) {what}; give a figure {span}")
