"""Rivets and bends against the printed tables of AC 43.13-1B chapter 4."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.limits.sheet_metal import setback_factor
from kb.limits.sheet_metal_rivets import FACTORS, SHEETS, count
from kb.limits.sheet_metal_tables import (
    BEND_SHEETS,
    FASTENERS,
    MISPRINT_4_9,
    TABLE_4_6,
    TABLE_4_9,
    TABLE_4_10,
    TABLE_4_11,
)
from tests.kb.limits.asking import ask, required, verdict

PRINTED = {
    "2014-T6": """
.016 6.5 4.9 - - - -
.020 6.9 4.9 3.9 - - -
.025 8.6 4.9 3.9 - - -
.032 11.1 6.2 3.9 3.3 - -
.036 12.5 7.0 4.5 3.3 2.4 -
.040 13.8 7.7 5.0 3.5 2.4 3.3
.051 - 9.8 6.4 4.5 2.5 3.3
.064 - 12.3 8.1 5.6 3.1 3.3
.081 - - 10.2 7.1 3.9 3.3
.091 - - 11.4 7.9 4.4 3.3
.102 - - 12.8 8.9 4.9 3.4
.128 - - - 11.2 6.2 3.2
""",
    "2017": """
.016 6.5 4.9 - - - -
.020 6.5 4.9 3.9 - - -
.025 6.9 4.9 3.9 - - -
.032 8.9 4.9 3.9 3.3 - -
.036 10.0 5.6 3.9 3.3 2.4 -
.040 11.1 6.2 4.0 3.3 2.4 -
.051 - 7.9 5.1 3.6 2.4 3.3
.064 - 9.9 6.5 4.5 2.5 3.3
.081 - 12.5 8.1 5.7 3.1 3.3
.091 - - 9.1 6.3 3.5 3.3
.102 - - 10.3 7.1 3.9 3.3
.128 - - 12.9 8.9 4.9 3.3
""",
    "5052": """
.016 6.3 4.7 - - - -
.020 6.3 4.7 3.8 - - -
.025 6.3 4.7 3.8 - - -
.032 6.3 4.7 3.8 3.2 - -
.036 7.1 4.7 3.8 3.2 2.4 -
.040 7.9 4.7 3.8 3.2 2.4 -
.051 10.1 5.6 3.8 3.2 2.4 -
.064 12.7 7.0 4.6 3.2 2.4 -
.081 - 8.9 5.8 4.0 2.4 3.2
.091 - 10.0 6.5 4.5 2.5 3.2
.102 - 11.2 7.3 5.1 2.8 3.2
.128 - - 9.2 6.4 3.5 3.2
""",
}
"""AC 43.13-1B pages 4-37 to 4-39, tables 4-9, 4-10, 4-11, as printed (the 3.2 of 4-9 at .128 too)."""

PRINTED_4_6 = """
2024-0 0 0-1 0-1 0-1 0-1 0-1
2024-T3 1.5-3 2-4 3-5 4-6 4-6 5-7
2024-T6 2-4 3-5 3-5 4-6 5-7 6-10
5052-0 0 0 0-1 0-1 0-1 0-1
5052-H32 0 0 0.5-1 0.5-1.5 0.5-1.5 0.5-1.5
5052-H34 0 0 0.5-1.5 1.5-2.5 1.5-2.5 2-3
5052-H36 0-1 0.5-1.5 1-2 1.5-3 2-4 2-4
5052-H38 0.5-1.5 1-2 1.5-3 2-4 3-5 4-6
6061-0 0 0-1 0-1 0-1 0-1 0-1
6061-T4 0-1 0-1 0.5-1.5 1-2 1.5-3 2.5-4
6061-T6 0-1 0.5-1.5 1-2 1.5-3 2-4 3-4
7075-0 0 0-1 0-1 0.5-1.5 1-2 1.5-3
7075-T6 2-4 3-5 4-6 5-7 5-7 6-10
"""
"""AC 43.13-1B page 4-14, table 4-6: times the thickness, by .016 .032 .064 .128 .182 .258 in."""

HOLES = (0.096, 0.1285, 0.159, 0.191, 0.257)


@pytest.mark.parametrize(
    ("sheet", "row"), [(sheet, row) for sheet in PRINTED for row in PRINTED[sheet].split("\n")[1:-1]]
)
def test_rivet_tables_row_by_row(sheet: str, row: str) -> None:
    """Every printed cell through the limit itself, ten inches wide; a dash is not covered."""
    thickness, *cells = row.split()
    for fastener, cell in zip(FASTENERS, cells, strict=True):
        typed = {"sheet": sheet, "thickness": thickness, "fastener": fastener, "width": 10}
        if cell == "-":
            assert verdict("rivet-count", **typed) == "not-covered"
        elif (sheet, thickness, fastener) != ("2014-T6", ".128", "an3-bolt"):
            assert required("rivet-count", **typed) == round(10 * float(cell))


def test_the_tables_have_no_row_more() -> None:
    """Twelve sheets each, six columns."""
    for table in (TABLE_4_9, TABLE_4_10, TABLE_4_11):
        assert len(table) == 12
        assert {len(row) for row in table.values()} == {6}


def test_the_bolt_misprint_of_table_4_9() -> None:
    """Printed 3.2 at .128; its own note gives 70,000 x 0.128 / 2,126 = 4.2. The higher is used, and both are told."""
    size, column, printed, used = MISPRINT_4_9
    assert TABLE_4_9[size][FASTENERS.index(column)] == printed == 3.2
    assert used == round(70_000 * 0.128 / 2_126, 1) == 4.2
    result = ask("rivet-count", sheet="2014-T6", thickness=0.128, fastener="an3-bolt", width=10)
    assert result.required == 42
    assert any("3.2" in note and "4.2" in note for note in result.notes)


def test_the_heading_of_table_4_10_is_read_as_2017() -> None:
    """The copy read prints 1017 alclad; both 2017 and 2017 alclad take table 4-10."""
    assert SHEETS["2017"][0] is SHEETS["2017-alclad"][0] is TABLE_4_10
    assert "1017-alclad" not in SHEETS


@pytest.mark.parametrize(("table", "share"), [(TABLE_4_9, 0.4), (TABLE_4_10, 0.5)])
def test_the_tables_follow_their_own_note(table: dict[float, tuple[float | None, ...]], share: float) -> None:
    """n = max(t / (A f), 1 / (1.6 d)) on nominal holes, within 0.13 in every rivet cell (AC notes to 4-9 and 4-10)."""
    for thickness, row in table.items():
        for hole, printed in zip(HOLES, row, strict=False):
            if printed is not None:
                by_note = max(thickness / (math.pi * hole**2 / 4 * share), 1 / (1.6 * hole))
                assert printed == pytest.approx(by_note, abs=0.13)


def test_the_bearing_figures_of_table_4_11_do_not_follow_theirs() -> None:
    """Printed 6.3, 4.7, 3.8, 3.2; 160 % would give 6.5, 4.9, 3.9, 3.3. The printed ones are used, and told."""
    by_note = [round(1 / (1.6 * hole), 1) for hole in HOLES[:4]]
    assert by_note == [6.5, 4.9, 3.9, 3.3]
    assert TABLE_4_11[0.032][:4] == (6.3, 4.7, 3.8, 3.2)
    result = ask("rivet-count", sheet="5052", thickness=0.032, fastener="1/8", width=10)
    assert result.required == 47
    assert any("160 %" in note for note in result.notes)


def test_the_printed_examples_of_the_circular() -> None:
    """4-58g: 37 rivets in 10 in of clad 2024, 0.032, single lap. Figure 4-20: 3 for the flange, 8 for the web."""
    assert (
        required("rivet-count", sheet="2024-T3-alclad", thickness=0.032, fastener="1/8", width=10, place="single-lap")
        == 37
    )
    for width, rivets in ((0.6, 3), (2.0, 8)):
        frame = {"sheet": "2017", "thickness": 0.04, "fastener": "1/8", "place": "intermediate-frame"}
        assert required("rivet-count", **frame, width=width) == rivets


def test_each_place_rounds_as_its_example_does() -> None:
    """Single lap before the width (3.675 is 3.7), frame and stringer after it; the other order would miss."""
    assert count(4.9, 10, "single-lap") == 37
    assert count(6.2, 0.6, "intermediate-frame") == 3
    assert count(6.2, 2.0, "intermediate-frame") == 8
    assert count(6.2, 2.0, "stringer") == 11
    assert math.ceil(0.6 * 6.2 * 2.6) == 10 < count(6.2, 2.6, "intermediate-frame") == 11


@given(st.floats(2.4, 13.8), st.floats(0.05, 200), st.floats(1, 3), st.sampled_from(list(FACTORS)))
def test_a_wider_joint_never_needs_fewer(per_inch: float, width: float, times: float, place: str) -> None:
    """Monotone in width; no place ever asks for more than the table, save for rounding up."""
    assert count(per_inch, width, place) <= count(per_inch, width * times, place)
    assert count(per_inch, width, place) >= FACTORS[place] * per_inch * width - 1e-6


def test_the_count_in_millimetres_is_the_same() -> None:
    """254 mm are 10 in: no rivet more by rounding."""
    typed = {"sheet": "2024-T3-alclad", "fastener": "1/8", "place": "single-lap", "fitted": 37}
    assert verdict("rivet-count", **typed, thickness="0.032 in", width="10 in") == "at"
    assert verdict("rivet-count", **typed, thickness="0.8128 mm", width="254 mm") == "at"
    assert verdict("rivet-count", **(typed | {"fitted": 36}), thickness="0.8128 mm", width="254 mm") == "beyond"


@given(st.floats(0.01, 0.25))
def test_a_sheet_between_the_rows_has_no_count(thickness: float) -> None:
    """Only the printed gauges, within a thousandth."""
    result = ask("rivet-count", sheet="5052", thickness=repr(thickness), fastener="3/16", width=10, fitted=5000)
    near = [size for size in TABLE_4_11 if abs(size - thickness) <= 0.001 + 1e-9]
    covered = any(TABLE_4_11[size][3] is not None for size in near)
    assert (result.verdict != "not-covered") == covered


@given(st.floats(0.03, 0.5))
def test_edge_and_pitch_by_diameter(diameter: float) -> None:
    """4-57c(1): 2 and 3 diameters, single row."""
    assert required("rivet-edge-distance", diameter=repr(diameter)) == pytest.approx(2 * diameter)
    assert required("rivet-pitch", diameter=repr(diameter)) == pytest.approx(3 * diameter)


def test_several_rows_are_not_judged_within() -> None:
    """Figure 4-5 was not read; under 3 diameters is beyond all the same."""
    assert verdict("rivet-pitch", diameter=0.125, rows="several", pitch=1) == "not-covered"
    assert verdict("rivet-pitch", diameter=0.125, rows="several", pitch=0.3) == "beyond"


@pytest.mark.parametrize(("thickest", "size"), [(0.032, 0.125), (0.03125, 0.09375), (0.040, 0.125), (0.064, 0.25)])
def test_the_rivet_is_three_thicknesses_and_the_next_size(thickest: float, size: float) -> None:
    """4-58g: 0.032 gives 0.096, use 1/8 (printed); the rest computed."""
    assert required("rivet-size", thickest=thickest) == size


def test_a_rivet_thinner_than_its_sheet_or_under_three_thirty_seconds() -> None:
    """NAVEDTRA 14018; the Navy ceiling that the printed example of the circular passes is only told."""
    assert verdict("rivet-size", thickest=0.1, diameter=0.09375) == "beyond"
    assert verdict("rivet-size", thickest=0.02, diameter=0.0625) == "beyond"
    result = ask("rivet-size", thickest=0.032, diameter=0.125)
    assert result.verdict == "within"
    assert any("Navy text has 3 t as the most" in note for note in result.notes)
    assert verdict("rivet-size", thickest=0.1) == "not-covered"


@given(st.floats(0.01, 3), st.floats(0.03, 0.5))
def test_length_is_grip_and_a_diameter_and_a_half(grip: float, diameter: float) -> None:
    """NAVEDTRA 14018 chapter 13."""
    asked = required("rivet-length", grip=repr(grip), diameter=repr(diameter))
    assert asked == pytest.approx(grip + 1.5 * diameter)


@pytest.mark.parametrize(
    ("alloy", "diameter", "fitted", "expected"),
    [
        ("2017", "3/16", "7/32", "at"), ("2017", "3/16", "3/16", "beyond"), ("2017", "7/32", "1/4", "not-covered"),
        ("2024", "5/32", "3/16", "at"), ("2024", "3/16", "7/32", "not-covered"), ("2024", "1/8", "1/4", "not-covered"),
    ],
)  # fmt: skip
def test_substitution_is_one_size_and_has_an_end(alloy: str, diameter: str, fitted: str, expected: str) -> None:
    """4-57b: 2017 to 3/16, 2024 to 5/32, 1/32 in larger."""
    assert verdict("rivet-substitution", alloy=alloy, diameter=diameter, fitted=fitted) == expected


@pytest.mark.parametrize(
    ("rivet", "structure", "expected"),
    [
        ("5056", "magnesium", "within"), ("2117", "magnesium", "beyond"), ("1100", "aluminium-structure", "beyond"),
        ("1100", "non-structural-soft-alloy", "within"), ("galvanised-steel", "steel", "beyond"),
        ("common-pull-type", "aluminium-structure", "beyond"), ("monel", "steel", "not-covered"),
        ("2117", "aluminium-structure", "within"), ("5056", "aluminium-structure", "not-covered"),
    ],
)  # fmt: skip
def test_rivet_material(rivet: str, structure: str, expected: str) -> None:
    """7-2c-e; what has no sentence is not judged."""
    assert verdict("rivet-material", rivet=rivet, structure=structure) == expected


def test_a_rivet_through_a_tube_is_an_eighth_of_it() -> None:
    """4-58a."""
    assert verdict("rivet-through-tube", tube=1, diameter=0.124) == "beyond"
    assert verdict("rivet-through-tube", tube=1, diameter=0.125) == "at"


def test_the_formed_head_is_told_and_not_judged() -> None:
    """Figure 4-6 (secondary): 1.5 D wide, 0.5 D high."""
    result = ask("rivet-formed-head", diameter=0.125)
    assert result.verdict == "required"
    assert "0.1875 in wide and 0.0625 in high" in result.sentence


@pytest.mark.parametrize("row", PRINTED_4_6.split("\n")[1:-1])
def test_table_4_6_row_by_row(row: str) -> None:
    """All thirteen rows, six columns; the row that could not be aligned judges nothing."""
    alloy, *cells = row.split()
    for sheet, cell, kept in zip(BEND_SHEETS, cells, TABLE_4_6[alloy], strict=True):
        low, high = (float(part) for part in (cell.split("-") if "-" in cell else (cell, cell)))
        assert kept == (low, high)
        result = ask("bend-radius", alloy=alloy, thickness=sheet)
        if alloy == "7075-0":
            assert result.verdict == "not-covered"
            assert result.remembered
        else:
            assert result.required == pytest.approx(low * sheet)
            assert any(f"{low:g} to {high:g} times" in note for note in result.notes)


def test_table_4_6_has_no_row_more() -> None:
    """Thirteen alloys."""
    assert len(TABLE_4_6) == 13


@pytest.mark.parametrize(("radius", "expected"), [(0.0639, "beyond"), (0.064, "at"), (0.0641, "within")])
def test_a_bend_flips_at_the_least_radius(radius: float, expected: str) -> None:
    """2024-T3, 0.032: 2 t."""
    assert verdict("bend-radius", alloy="2024-T3", thickness=0.032, radius=radius) == expected
    assert verdict("bend-radius", alloy="2024-T3", thickness=0.040, radius=radius) == "not-covered"


@pytest.mark.parametrize(("angle", "factor", "setback"), [(45, 0.41421, 0.130), (135, 2.4142, 0.758)])
def test_the_printed_setbacks(angle: float, factor: float, setback: float) -> None:
    """4-56b: 0.064 sheet, radius 0.25."""
    assert setback_factor(angle) == pytest.approx(factor, rel=2e-5)
    assert required("bend-setback", thickness=0.064, radius=0.25, angle=angle) == pytest.approx(setback, abs=5e-4)


def test_the_misprint_of_table_4_7() -> None:
    """At 176 degrees it prints 26.63; tan 88 is 28.64, which is used, and both are told."""
    assert setback_factor(176) == pytest.approx(28.64, abs=0.005)
    result = ask("bend-setback", thickness=0.064, radius=0.25, angle=176)
    assert result.required == pytest.approx(28.636 * 0.314, rel=1e-4)
    assert any("26.63" in note and "28.64" in note for note in result.notes)


@given(st.floats(1, 179), st.floats(1, 179), st.floats(0, 6), st.floats(0, 6))
def test_more_bend_or_radius_never_shortens_the_setback(one: float, two: float, tight: float, wide: float) -> None:
    """Monotone in angle and radius."""
    (small, large), (tight, wide) = sorted((one, two)), sorted((tight, wide))
    first = required("bend-setback", thickness=0.064, radius=repr(tight), angle=repr(small))
    assert first <= required("bend-setback", thickness=0.064, radius=repr(wide), angle=repr(large)) * (1 + 1e-12)


def test_a_sheet_that_stands_in_one_table_only_is_judged_by_that_one() -> None:
    """AC 43.13-1B table 4-9 has no 5/32 rivet for 0.128 in; table 4-10 has, and both headings name alclad 2024-T3."""
    result = ask("rivet-count", sheet="2024-T3-alclad", thickness=0.128, fastener="5/32", width=1)
    assert result.verdict == "required"
    assert any("4-9 (no figure)" in note for note in result.notes)
