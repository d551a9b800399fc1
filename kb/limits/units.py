"""Units of the trade: their names, how they are written and said, and conversion through pint (loaded only then).

Pounds are read as the shop reads them: one unit for weight, load and mass; a pound-force and a pound are the same.
"""

from __future__ import annotations

from functools import cache
from typing import Any, NamedTuple


class Unit(NamedTuple):
    """How one unit is written for pint, how it is shown, and what else people type for it."""

    pint: str
    shown: str
    also: tuple[str, ...] = ()


UNITS: dict[str, Unit] = {
    "": Unit("count", "", ("count", "each", "times", "off")),
    "in": Unit("inch", "in", ("inch", "inches", '"', "”", "″", "in.")),
    "ft": Unit("foot", "ft", ("foot", "feet", "'", "′", "ft.")),
    "mm": Unit("mm", "mm"),
    "lb": Unit("lb", "lb", ("lbs", "pound", "pounds", "lb.", "lbf")),
    "lb/in": Unit("lb/inch", "lb/in", ("pli", "lbs/in", "lb/inch", "lb per in")),
    "lb/ft2": Unit("lb/foot**2", "lb/ft²", ("psf", "lb/ft^2", "lb/ft²", "lb/sqft", "lb/sq ft")),
    "psi": Unit("psi", "psi", ("lb/in2", "lb/in^2", "lb/in²", "lb/sq in")),
    "inHg": Unit("inHg", "inHg", ("in hg", "inches of mercury")),
    "inH2O": Unit("inH2O", "inH₂O", ("in h2o", "in water", "inches of water")),
    "in-lb": Unit(
        "inch*lb", "in-lb", ("inlb", "in-lbs", "in lb", "in·lb", "in*lb", "lb-in", "lb in", "lbf-in", "lb*in")
    ),
    "ft-lb": Unit("foot*lb", "ft-lb", ("ftlb", "ft-lbs", "ft lb", "ft·lb", "ft*lb", "lb-ft", "lb ft", "lb*ft")),
    "mph": Unit("mph", "mph", ("mi/h", "mile/h", "miles per hour")),
    "kt": Unit("kt", "kt", ("kts", "knot", "knots")),
    "rpm": Unit("rpm", "rpm", ("rev/min", "r/min")),
    "deg": Unit("deg", "°", ("degree", "degrees", "°")),
    "turn": Unit("turn", "turn", ("turns", "rev")),
    "degF": Unit("degF", "°F", ("°f", "f", "deg f", "fahrenheit")),
    "degC": Unit("degC", "°C", ("°c", "c", "deg c", "celsius")),
    "in2": Unit("inch**2", "in²", ("sq in", "in^2", "in²", "sqin", "square inches")),
    "gal": Unit("gal", "gal", ("gallon", "gallons", "us gal", "usg")),
    "qt": Unit("qt", "qt", ("quart", "quarts")),
    "floz": Unit("floz", "fl oz", ("fl oz", "fl. oz", "fluid ounce", "fluid ounces")),
    "mm2/s": Unit("mm**2/sec", "mm²/s", ("cSt", "centistoke", "centistokes", "mm^2/s", "mm²/s")),
    "gal/h": Unit("gal/h", "gal/h", ("gph", "gal/hr", "gallons per hour", "us gal/h")),
    "lb/h": Unit("lb/h", "lb/h", ("pph", "lb/hr", "lbs/hr")),
    "lb/gal": Unit("lb/gal", "lb/gal"),
    "hp": Unit("hp", "hp", ("bhp", "horsepower")),
    "A": Unit("ampere", "A", ("amp", "amps", "ampere", "amperes")),
    "V": Unit("volt", "V", ("volt", "volts")),
    "ohm": Unit("ohm", "ohm", ("ohms", "Ω", "Ω")),
    "mohm": Unit("mohm", "milliohm", ("milliohm", "milliohms", "mΩ", "mΩ")),
    "ohm/ft": Unit("ohm/foot", "ohm/ft", ("ohms/ft",)),
    "lb-in": Unit("inch*lb", "lb-in"),
    "%": Unit("percent", "%", ("percent", "pct", "per cent")),
    "min": Unit("min", "min", ("minute", "minutes")),
    "h": Unit("h", "h", ("hr", "hrs", "hour", "hours")),
    "day": Unit("day", "days", ("days",)),
    "month": Unit("month", "months", ("months",)),
    "year": Unit("year", "years", ("years", "yr", "yrs")),
}
"""The units an input may name. A calendar month is a month: it is never turned into days."""

_DEFINITIONS = """
inch = [length] = in
foot = 12 * inch = ft
mil = inch / 1000
thou = inch / 1000
mm = inch / 25.4
micron = mm / 1000 = um
cm = 10 * mm
m = 1000 * mm = metre = meter
km = 1000 * m
mile = 5280 * foot = mi
nmi = 1852 * m
sec = [time] = s = second
min = 60 * sec
h = 60 * min = hr = hour
day = 24 * h
lb = [weight] = lbf
oz = lb / 16
kg = lb / 0.45359237 = kgf
g = kg / 1000
N = kg / 9.80665
kN = 1000 * N
daN = 10 * N
Nm = N * m
psi = lb / inch ** 2
Pa = N / m ** 2
hPa = 100 * Pa = mbar
kPa = 1000 * Pa
MPa = 1000 * kPa
bar = 100 * kPa
inHg = 3386.389 * Pa
mmHg = 133.322387415 * Pa
inH2O = 249.08891 * Pa
mph = mile / h
kt = nmi / h
kmh = km / h
deg = [angle]
turn = 360 * deg
rad = 57.29577951308232 * deg
rpm = turn / min
gal = 231 * inch ** 3
qt = gal / 4
pt = gal / 8
floz = gal / 128
L = 1000 * cm ** 3 = litre = liter = l
mL = L / 1000 = ml = cc
hp = 550 * foot * lb / sec
kW = 1000 * N * m / sec
ampere = [current] = A
mA = ampere / 1000
volt = [voltage] = V
mV = volt / 1000
kV = 1000 * volt
ohm = volt / ampere
mohm = ohm / 1000
kohm = 1000 * ohm
count = [count]
percent = [percent]
month = [month]
year = 12 * month
kelvin = [temperature] = K
degC = kelvin; offset: 273.15
degF = 5 / 9 * kelvin; offset: 255.37222222222223
"""
"""Only what the shop uses, so that the registry stands in milliseconds. The inch is 25.4 mm, the pound 0.45359237 kg,
the US gallon 231 cubic inches, exact by definition; the tests hold each against pint's own table."""


def say(value: float, unit: str, *, is_difference: bool = False) -> str:
    """Return a value with its unit, rounded to what a shop can read: six figures at most.

    >>> say(0.375, "in"), say(8.0, "lb/ft2"), say(12500, "lb")
    ('0.375 in', '8 lb/ft²', '12,500 lb')
    """
    if abs(value) >= 1e9:
        number = f"{value:.4g}"
    elif abs(value) >= 1e4:
        number = f"{value:,.1f}".removesuffix(".0")
    else:
        number = f"{value:.4g}" if is_difference else f"{value:.6g}"
    shown = UNITS[unit].shown if unit else ""
    if shown == "turn" and value != 1:
        shown = "turns"
    elif shown in ("days", "months", "years") and number == "1":
        shown = shown[:-1]
    return f"{number}{'' if shown == '°' or not shown else ' '}{shown}"


def convert(value: float, unit: str, wanted: str) -> float:
    """Return `value` of one unit of `UNITS` in another; pint's error when they measure different things."""
    registry = unit_registry()
    magnitude: float = registry.Quantity(value, UNITS[unit].pint).to(UNITS[wanted].pint).magnitude
    return magnitude


_PREFIXED = {"mm", "mohm"}
"""Units whose capital letter would mean another size (milli, mega): their short names are never folded."""


@cache
def unit_names() -> dict[str, str]:
    """Return each way to write a unit, exactly as it is written, with its name in `UNITS`."""
    return {word: name for name, unit in UNITS.items() for word in (name, *unit.also) if word}


@cache
def folded_unit_names() -> dict[str, str]:
    """Return the same for words with their case and hyphens folded by `fold_unit`."""
    return {fold_unit(word): name for word, name in unit_names().items() if not (name in _PREFIXED and len(word) <= 4)}


def fold_unit(word: str) -> str:
    """Return a unit's word in small letters with single blanks for hyphens."""
    return " ".join(word.lower().replace("-", " ").split())


@cache
def unit_registry() -> Any:
    """Return pint's registry of the shop's units; the first call loads pint."""
    import pint

    registry: Any = pint.UnitRegistry(None)
    registry.load_definitions(_DEFINITIONS.strip().splitlines())
    return registry
