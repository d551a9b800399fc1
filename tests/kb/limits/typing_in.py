"""How the tests type values: the same quantity in another unit, and random inputs that can be believed."""

from __future__ import annotations

from hypothesis import strategies as st

from kb.limits.model import Input, Limit
from kb.limits.units import unit_registry

OTHER_UNIT = {
    "in": "mm", "ft": "m", "mm": "inch", "lb": "kg", "lb/in": "N/cm", "lb/ft2": "Pa", "psi": "kPa", "inHg": "hPa",
    "inH2O": "Pa", "in-lb": "N*m", "ft-lb": "N*m",
    "mph": "km/h", "kt": "mph", "rpm": "deg/sec", "deg": "rad", "turn": "deg",
    "in2": "cm**2", "gal": "litre", "qt": "litre", "gal/h": "litre/min", "lb/h": "kg/h", "lb/gal": "kg/litre",
    "hp": "kW", "A": "mA", "V": "mV", "ohm": "mohm", "mohm": "ohm", "ohm/ft": "mohm/m", "min": "sec", "h": "min",
    "day": "h", "year": "month", "degF": "degC", "degC": "degF",
}  # fmt: skip
"""Another way to write a quantity of each unit, as pint reads it; units that have none are typed bare."""


def in_other_unit(item: Input, value: float) -> str:
    """Return the value as typed in another unit, or bare when there is none."""
    other = OTHER_UNIT.get(item.unit)
    if other is None or item.whole:
        return repr(value)
    from kb.limits.units import UNITS

    magnitude = unit_registry().Quantity(value, UNITS[item.unit].pint).to(other).magnitude
    return f"{magnitude!r} {other}"


def typed_value(item: Input) -> st.SearchStrategy[str]:
    """Return text for one input, within its range."""
    if item.choices:
        return st.sampled_from(item.choices)
    low, high = item.lowest, item.highest
    assert low is not None
    assert high is not None
    if item.whole:
        return st.integers(int(low), int(high)).map(str)
    number = st.floats(low, high).map(repr)
    if item.paired_unit is None:
        return number
    pair = st.tuples(number, st.floats(-1000, 1000).map(repr)).map("@".join)
    return st.lists(pair, min_size=1, max_size=5).map(", ".join)


def typed_inputs(limit: Limit) -> st.SearchStrategy[dict[str, str]]:
    """Return text for the inputs of a limit, each within its range; those that may be left out sometimes are."""
    needed = {item.name: typed_value(item) for item in limit.inputs if item.is_needed}
    spare = {item.name: typed_value(item) for item in limit.inputs if not item.is_needed}
    return st.fixed_dictionaries(needed, optional=spare)
