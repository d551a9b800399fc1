"""Corrosion work and metal pairs."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.limits.metal_pair import ALLOWED, INDEX
from tests.kb.limits.asking import ask, required, verdict


@pytest.mark.parametrize(
    ("depth", "expected", "word"),
    [(0.0005, "within", "light"), (0.001, "within", "light"), (0.0011, "within", "moderate"), (0.010, "at", "moderate"),
     (0.0101, "beyond", "severe")],
)  # fmt: skip
def test_depth_classes_of_the_army_manual(depth: float, expected: str, word: str) -> None:
    """TM 1-1520-238-23 1.49.14 a to c."""
    result = ask("corrosion-depth-class", depth=depth)
    assert result.verdict == expected
    assert any(note.startswith(word) for note in result.notes)


def test_the_class_says_how_much_of_the_gauge_is_gone() -> None:
    """0.010 in of 0.020 in is half, whatever the class."""
    assert any(
        note.startswith("50 % of the gauge") for note in ask("corrosion-depth-class", depth=0.01, thickness=0.02).notes
    )


@given(st.floats(0.0005, 0.5), st.floats(0, 60))
def test_a_blend_is_judged_only_where_both_readings_agree(depth: float, length: float) -> None:
    """6-115c says 20 to 1; whether of the whole dish or each side was not seen: between, nothing is judged."""
    result = ask("corrosion-blend", depth=repr(depth), length=repr(length))
    if length < 20 * depth * (1 - 1e-6):
        assert result.verdict == "beyond"
    elif length > 40 * depth * (1 + 1e-6):
        assert result.verdict == "within"
    elif 20 * depth * (1 + 1e-6) < length < 40 * depth * (1 - 1e-6):
        assert result.verdict == "not-covered"


@pytest.mark.parametrize(
    ("metal", "abrasive", "grit"),
    [
        ("ferrous", "aluminium-oxide", 150), ("ferrous", "silicon-carbide", 180), ("aluminium", "aluminium-oxide", 150),
        ("clad-aluminium", "aluminium-oxide", 240), ("magnesium", "aluminium-oxide", 240),
        ("titanium", "aluminium-oxide", 150), ("titanium", "silicon-carbide", 180),
    ],
)  # fmt: skip
def test_table_6_1_row_by_row(metal: str, abrasive: str, grit: float) -> None:
    """The coarsest paper for removal."""
    assert required("abrasive-grit", metal=metal, abrasive=abrasive, grit=400) == grit
    assert verdict("abrasive-grit", metal=metal, abrasive=abrasive, grit=grit - 1) == "beyond"


def test_silicon_carbide_never_goes_on_aluminium() -> None:
    """However fine; on magnesium the table has no such paper."""
    for metal in ("aluminium", "clad-aluminium"):
        assert verdict("abrasive-grit", metal=metal, abrasive="silicon-carbide", grit=1000) == "beyond"
    assert verdict("abrasive-grit", metal="magnesium", abrasive="silicon-carbide", grit=1000) == "not-covered"


@pytest.mark.parametrize(
    ("cladding", "thickness", "pressure", "expected"),
    [("clad", 0.0625, 30, "at"), ("clad", 0.0625, 41, "beyond"), ("not-clad", 0.1, 39, "beyond"),
     ("not-clad", 0.1, 45, "at"),
     ("clad", 0.0624, 35, "not-covered")],
)  # fmt: skip
def test_blasting_pressure(cladding: str, thickness: float, pressure: float, expected: str) -> None:
    """Page 6-28 (2); thinner than 0.0625 in needs engineering approval."""
    assert verdict("bead-blasting", cladding=cladding, thickness=thickness, pressure=pressure) == expected


def test_primer_within_the_hour_and_soda_by_the_pound() -> None:
    """6-167 note; TM 10-6140-200-14 4-6f."""
    assert verdict("steel-primer-clock", elapsed="1 h") == "at"
    assert verdict("steel-primer-clock", elapsed="61 min") == "beyond"
    assert required("battery-acid-soda", battery="lead-acid", water="3 gal") == 3
    assert verdict("battery-acid-soda", battery="nickel-cadmium", water=1, soda=1) == "not-covered"


PRINTED_INDEX = {
    "gold": 0.0, "rhodium-on-silvered-copper": 0.05, "silver": 0.15, "nickel-copper-alloy": 0.15, "nickel": 0.30,
    "titanium": 0.30, "copper": 0.35, "silver-solder": 0.35, "nickel-chromium": 0.35, "brass-or-bronze": 0.40,
    "high-brass-or-bronze": 0.45, "18-chromium-stainless": 0.50, "12-chromium-stainless": 0.60, "chromium-plate": 0.60,
    "tin-lead-solder": 0.65, "lead": 0.70, "aluminium-2000-series": 0.75,
}  # fmt: skip


def test_the_index_rows_that_may_judge_are_those_that_were_read() -> None:
    """Steel and everything below it stay remembered; cadmium stands at 0.95 in one table and 0.80 in another."""
    assert {metal: index for metal, (index, is_read) in INDEX.items() if is_read} == PRINTED_INDEX
    assert ALLOWED == {"harsh": 0.15, "normal": 0.25, "controlled": 0.50}


@pytest.mark.parametrize(
    ("first", "second", "surroundings", "expected"),
    [
        ("gold", "silver", "harsh", "at"), ("brass-or-bronze", "aluminium-2000-series", "normal", "beyond"),
        ("18-chromium-stainless", "aluminium-2000-series", "normal", "at"),
        ("18-chromium-stainless", "aluminium-2000-series", "harsh", "beyond"), ("copper", "copper", "harsh", "within"),
    ],
)  # fmt: skip
def test_pairs_at_their_borders(first: str, second: str, surroundings: str, expected: str) -> None:
    """Gold and silver is the check printed with the table; the rest is computed."""
    assert verdict("metal-pair", first=first, second=second, surroundings=surroundings) == expected


@given(st.sampled_from(list(INDEX)), st.sampled_from(list(INDEX)), st.sampled_from(list(ALLOWED)))
def test_a_pair_is_the_same_either_way_round_and_memory_never_judges(
    first: str, second: str, surroundings: str
) -> None:
    """Order does not matter; one remembered metal is enough to refuse."""
    one = ask("metal-pair", first=first, second=second, surroundings=surroundings)
    other = ask("metal-pair", first=second, second=first, surroundings=surroundings)
    assert (one.verdict, one.required, one.measured) == (other.verdict, other.required, other.measured)
    assert (one.verdict == "not-covered") == (not (INDEX[first][1] and INDEX[second][1]))
    assert (one.remembered is not None) == (one.verdict == "not-covered")
