"""Reading what a person types, and the shop's units against pint's own table."""

from __future__ import annotations

import math
import re
from functools import cache
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.limits.model import Input, LimitInputProblem
from kb.limits.plain_units import FACTORS, plain_convert
from kb.limits.reading import range_of, read_number, read_pairs
from kb.limits.units import UNITS, convert, say, unit_names, unit_registry

LENGTH = Input("gap", "A length", "in", 0, 1000)
SPEED = Input("speed", "A speed", "mph", 0, 1000)
ITEMS = Input("items", "Loads", "lb", -1000, 5000, paired_unit="in")


@cache
def _pints_own() -> Any:
    import pint

    return pint.UnitRegistry()


@pytest.mark.parametrize(
    ("typed", "inches"),
    [
        ("0.9in", 0.9), ("0.9 in", 0.9), ("23mm", 23 / 25.4), ("3/8 in", 0.375), ("1-3/16 in", 1.1875),
        ("1 3/16", 1.1875), ("-0", 0.0), (".5", 0.5), ("5.", 5.0), ("1e-2 in", 0.01), ("2'", 24.0),
        ('5/16"', 0.3125), ("1 ft", 12.0), ("10 mil", 0.01), ("  3 Inches ", 3.0), ("0.5 in.", 0.5), ("2 cm", 2 / 2.54),
    ],
)  # fmt: skip
def test_a_length_is_read_as_it_is_typed(typed: str, inches: float) -> None:
    """Decimals, fractions, mixed numbers, inch and foot marks, metric."""
    assert read_number(LENGTH, typed)[0] == pytest.approx(inches, rel=1e-12)


@pytest.mark.parametrize(("unit", "typed"), [("in", "5 MM"), ("mohm", "5 MOHM"), ("mohm", "5 MΩ"), ("lb", "5 KN")])
def test_a_prefix_in_the_wrong_case_is_not_guessed(unit: str, typed: str) -> None:
    """Milli and mega differ by a thousand million."""
    with pytest.raises(LimitInputProblem, match="does not fit"):
        read_number(Input("value", "A value", unit, 0, 1e12), typed)


@pytest.mark.parametrize(
    ("unit", "typed", "value"),
    [
        ("in-lb", "150 in-lb", 150), ("in-lb", "17 N*m", 17 / 0.1129848290276167), ("in-lb", "12.5 ft-lb", 150),
        ("in-lb", "150 inlb", 150), ("degF", "85 degF", 85), ("degF", "20 degC", 68), ("degF", "20 °C", 68),
        ("psi", "80 psi", 80), ("psi", "5.5 bar", 79.770756), ("lb/ft2", "8.1 psf", 8.1),
        ("lb/ft2", "8.1 lb/ft²", 8.1),
        ("kt", "150 kts", 150), ("mph", "100 kt", 115.0779448), ("ohm", "3 mohm", 0.003), ("mohm", "0.003 ohm", 3),
        ("%", "12 %", 12), ("gal/h", "10 gph", 10), ("turn", "0.9 turns", 0.9), ("turn", "360 deg", 1),
        ("lb", "1,250 lb", 1250), ("lb", "10 kg", 22.0462262), ("hp", "100 kW", 134.1022), ("year", "24 months", 2),
        ("lb", "100 N", 22.4808943), ("gal", "4 qt", 1), ("inHg", "1 inHg", 1), ("lb/in", "10 N/mm", 57.1014716),
    ],
)  # fmt: skip
def test_the_units_of_the_trade_are_read(unit: str, typed: str, value: float) -> None:
    """Each is converted into the input's own unit."""
    item = Input("value", "A value", unit, -1e6, 1e6)
    assert read_number(item, typed)[0] == pytest.approx(value, rel=1e-6)


def test_a_bare_number_takes_the_stated_unit_and_says_so() -> None:
    """The note names the unit supposed; a typed unit needs no note."""
    assert read_number(SPEED, "120") == (120.0, "no unit was given; read as mph")
    assert read_number(SPEED, "120 mph") == (120.0, "")


@pytest.mark.parametrize(
    "typed",
    ["", "  ", "nan", "inf", "-inf", "1e400", "-1", "1001", "5 kg", "5 banana", "1/0", "five", "5 in in in", "0,9",
     "1..2", "5 **", "in", "5 in**99999", "__import__('os')", "5 __class__", "9" * 100, "\x1b[31m5", "5 \u202e",
     "١"],
)  # fmt: skip
def test_what_cannot_be_used_is_refused_with_name_and_range(typed: str) -> None:
    """One printable sentence: the input's name, what was typed, what would be right."""
    with pytest.raises(LimitInputProblem) as caught:
        read_number(LENGTH, typed)
    sentence = str(caught.value)
    assert sentence.startswith("gap: ")
    assert sentence.endswith("give a value from 0 to 1000 in")
    assert sentence.isprintable()


def test_a_whole_number_is_asked_for() -> None:
    """Half a strand is no strand."""
    item = Input("strands", "Strands", "", 0, 10, whole=True)
    assert read_number(item, "3") == (3.0, "")
    with pytest.raises(LimitInputProblem, match=r"whole number from 0 to 10"):
        read_number(item, "2.5")


def test_pairs_are_read_with_their_two_units() -> None:
    """Weight at arm, in any unit of each."""
    pairs, note = read_pairs(ITEMS, "1169@10.6, -17 lb @ -49 in; 10 kg @ 1 ft")
    assert pairs[:2] == ((1169.0, 10.6), (-17.0, -49.0))
    assert pairs[2] == pytest.approx((22.0462262, 12.0))
    assert note == "no unit was given; read as in; no unit was given; read as lb"


@pytest.mark.parametrize("typed", ["", ",", "5", "5@", "@5", "5@5@5", "5@6 kg", "1@1," * 41, "9999@1", "1@nan"])
def test_bad_pairs_are_refused(typed: str) -> None:
    """The sentence names the input."""
    with pytest.raises(LimitInputProblem, match=r"^items: "):
        read_pairs(ITEMS, typed)


@given(st.floats(1e-6, 1e6), st.sampled_from(["in", "mm", "ft", "cm", "m", "mil"]))
def test_length_is_the_same_in_every_unit(inches: float, unit: str) -> None:
    """There and back changes nothing that matters."""
    item = Input("length", "A length", "in", 0, 1e7)
    typed = unit_registry().Quantity(inches, "inch").to(unit).magnitude
    assert read_number(item, f"{typed!r} {unit}")[0] == pytest.approx(inches, rel=1e-12)


@pytest.mark.parametrize(
    "ratio",
    ["inch/mm", "foot/m", "mile/km", "nmi/m", "gal/litre", "qt/litre", "psi/Pa", "inHg/Pa", "inH2O/Pa", "bar/psi",
     "mmHg/Pa", "mph/kt", "rpm*min/turn", "hp/kW", "inch*lb/(N*m)", "kg/lb", "oz/lb", "N/lb", "turn/deg", "rad/deg",
     "kPa/psi", "floz/mL"],
)  # fmt: skip
def test_our_definitions_agree_with_pints_own(ratio: str) -> None:
    """Each unit of the shop's short table against the general one (a pound there is a force where a force is meant)."""
    ours = unit_registry().Quantity(1, ratio).to_base_units().magnitude
    theirs = ratio.replace("nmi", "nautical_mile").replace("kt", "knot")
    if ratio in ("inch*lb/(N*m)", "N/lb"):
        theirs = theirs.replace("lb", "lbf")
    if ratio == "hp/kW":
        theirs = "hp/kilowatt"
    assert ours == pytest.approx(_pints_own().Quantity(1, theirs).to_base_units().magnitude, rel=1e-6)


@pytest.mark.parametrize("kind", list(FACTORS))
def test_plain_arithmetic_agrees_with_pint(kind: str) -> None:
    """The everyday conversions never need pint, and are the same to the last figures."""
    for unit in FACTORS[kind]:
        for wanted in FACTORS[kind]:
            ours = plain_convert(7.0, unit, wanted)
            theirs = unit_registry().Quantity(7.0, _for_pint(unit)).to(_for_pint(wanted)).magnitude
            assert ours == pytest.approx(theirs, rel=1e-12), (unit, wanted)


@pytest.mark.parametrize("unit", sorted({unit for factors in FACTORS.values() for unit in factors}))
def test_a_value_typed_in_an_everyday_unit_is_read_without_pint(unit: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Each of them, in an input of its own kind: so a cold answer stays quick."""
    monkeypatch.setattr("kb.limits.reading.unit_registry", _no_pint)
    factors = next(factors for factors in FACTORS.values() if unit in factors)
    asked = next(name for name in UNITS if name in factors)
    value, _ = read_number(Input("value", "A value", asked, 0, 1e12), f"7 {unit}")
    assert value == pytest.approx(7 * factors[unit] / factors[asked])


def _no_pint() -> Any:
    raise AssertionError("pint was asked")


def _for_pint(unit: str) -> str:
    return UNITS[unit].pint if unit in UNITS else re.sub(r"(?<=[a-z])2$", "**2", unit)


@pytest.mark.parametrize(("fahrenheit", "celsius"), [(32, 0), (212, 100), (-40, -40), (85, 29.4444444)])
def test_temperatures_have_their_offset(fahrenheit: float, celsius: float) -> None:
    """Freezing and boiling stand where they should."""
    assert convert(fahrenheit, "degF", "degC") == pytest.approx(celsius, abs=1e-6)
    assert plain_convert(fahrenheit, "degF", "degC") == pytest.approx(celsius, abs=1e-6)
    assert plain_convert(celsius, "degC", "degF") == pytest.approx(fahrenheit, abs=1e-6)


def test_every_unit_is_known_to_the_registry_and_no_name_means_two() -> None:
    """The table of names cannot drift from the definitions."""
    for name, unit in UNITS.items():
        assert unit_registry().Quantity(1, unit.pint).magnitude == 1
        assert all(UNITS[unit_names()[word]].pint == unit.pint for word in unit.also), name


def test_values_are_said_with_their_unit() -> None:
    """Rounded to what a shop can read."""
    assert say(0.375, "in") == "0.375 in"
    assert say(1.0, "turn") == "1 turn"
    assert say(0.9, "turn") == "0.9 turns"
    assert say(10.0, "deg") == "10°"
    assert say(12_500, "lb") == "12,500 lb"
    assert say(1 / 3, "") == "0.333333"
    assert "e" in say(1e20, "lb")


def test_the_range_of_an_input_is_said() -> None:
    """Choices are listed, numbers get their span."""
    assert range_of(Input("device", "A device", choices=("breaker", "fuse"))) == "give one of: breaker, fuse"
    assert range_of(LENGTH) == "give a value from 0 to 1000 in"
    assert math.isfinite(read_number(LENGTH, "1000")[0])
