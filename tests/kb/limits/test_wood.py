"""Wood and plywood against AC 43.13-1B chapter 1."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.limits.plywood import BEND, TABLE_1_2
from tests.kb.limits.asking import ask, required, verdict

PRINTED_1_2 = """
.035 3 2.0 1.1 0.5 0.1
.070 3 5.2 3.2 1.5 0.4
.100 3 8.6 5.2 2.6 0.8
.125 3 12 7.1 3.8 1.2
.155 3 16 10 5.3 1.8
.185 3 20 13 7.1 2.6
.160 5 17 11 6 2
.190 5 21 14 7 3
.225 5 27 17 10 4
.250 5 31 20 12 5
.315 5 43 28 16 7
.375 5 54 36 21 10
"""
"""AC 43.13-1B page 1-25: thickness, plies, then the four columns of the table."""


@pytest.mark.parametrize("row", PRINTED_1_2.split("\n")[1:-1])
def test_table_1_2_row_by_row(row: str) -> None:
    """All twelve rows, all four columns, through the limit itself."""
    thickness, plies, *radii = row.split()
    for bend, radius in zip(BEND, radii, strict=True):
        assert required("plywood-bend-radius", thickness=thickness, plies=plies, bend=bend) == float(radius)


def test_the_table_has_no_row_more() -> None:
    """Six of three plies, six of five."""
    assert [len(rows) for rows in TABLE_1_2.values()] == [6, 6]


@pytest.mark.parametrize("plies", ["3", "5"])
def test_bend_radius_grows_with_thickness_and_falls_with_water(plies: str) -> None:
    """Thicker never bends tighter; across the grain never tighter than along; soaked never wider than dry."""
    rows = [TABLE_1_2[plies][size] for size in sorted(TABLE_1_2[plies])]
    assert all(a < b for first, second in pairwise(rows) for a, b in zip(first, second, strict=True))
    assert all(dry90 > dry0 and wet90 > wet0 and dry90 > wet90 for dry90, dry0, wet90, wet0 in rows)


@given(st.floats(0.01, 1))
def test_a_thickness_between_the_rows_is_not_judged(thickness: float) -> None:
    """Only the printed sizes, within a thousandth."""
    result = ask("plywood-bend-radius", thickness=repr(thickness), plies="3", bend="dry-90", radius=100)
    near = any(abs(thickness - size) <= 0.001 + 1e-9 for size in TABLE_1_2["3"])
    assert (result.verdict != "not-covered") == near


@pytest.mark.parametrize(
    ("reading", "expected"),
    [
        (7.9, "beyond"),
        (8, "at"),
        (10, "within"),
        (12, "within"),
        (16, "at"),
        (16.1, "beyond"),
        (20, "beyond"),
        (20.1, "beyond"),
    ],
)
def test_moisture_at_its_borders(reading: float, expected: str) -> None:
    """1-29g: 8 to 16 % acceptable."""
    assert verdict("wood-moisture", reading=reading) == expected


def test_fungus_is_named_over_twenty_per_cent_only() -> None:
    """Between 16 and 20 the source has no word, and the note says so."""
    assert any("no word of its own" in note for note in ask("wood-moisture", reading=18).notes)
    assert not any("fungus is probable" in note for note in ask("wood-moisture", reading=20).notes)
    assert any("fungus is probable" in note for note in ask("wood-moisture", reading=20.1).notes)


@pytest.mark.parametrize(("run", "zone", "expected"), [
    (15, "outer-eighth", "at"), (14.9, "outer-eighth", "beyond"), (14.9, "elsewhere", "beyond"),
    (14.9, "inner-flange", "not-covered"), (20, "inner-flange", "within"),
])  # fmt: skip
def test_grain_slope_one_in_fifteen(run: float, zone: str, expected: str) -> None:
    """Figure 1-4: local excess only in the inner part of a flange, and how much is not printed."""
    assert verdict("wood-grain-slope", run=run, zone=zone) == expected


@given(st.floats(0.5, 240), st.floats(0.5, 240))
def test_splices_stand_three_lengths_of_the_longer_apart(first: float, second: float) -> None:
    """1-40, in either order."""
    typed = {"first": repr(first), "second": repr(second)}
    assert required("spar-splice-gap", **typed) == pytest.approx(3 * max(first, second))


def test_the_splayed_patch_example_of_the_handbook() -> None:
    """FAA-H-8083-31 chapter 6 (repost): t 0.10 in gives a hole of 1.5 in; thicker skin has no splayed patch."""
    assert required("plywood-splayed-patch", thickness="0.10") == pytest.approx(1.5)
    assert verdict("plywood-splayed-patch", thickness="0.10", hole=1.51) == "beyond"
    assert verdict("plywood-splayed-patch", thickness="0.101", hole=0.5) == "beyond"


def test_the_surface_patch_has_four_borders_and_a_place() -> None:
    """1-51b."""
    good = {"thickness": 0.1, "place": "wraps-leading-edge", "perimeter": 40, "corner": 0.6, "bevel": 0.5, "lap": 2.5}
    assert verdict("plywood-surface-patch", **good) == "within"
    for name, poor in (("perimeter", 50.1), ("corner", 0.49), ("bevel", 0.39), ("lap", 1.9), ("place", "other")):
        assert verdict("plywood-surface-patch", **(good | {name: poor})) == "beyond"


def test_a_scarf_patch_needs_more_than_a_hundred_thicknesses() -> None:
    """1-51c says over 100 t: 100 t itself is not enough; the slope 1 in 12 is the steepest."""
    assert verdict("plywood-scarf-patch", thickness=0.1, curvature=10, slope=13) == "beyond"
    assert verdict("plywood-scarf-patch", thickness=0.1, curvature=10.1, slope=13) == "within"
    assert verdict("plywood-scarf-patch", thickness=0.1, curvature=10.1, slope=11.9) == "beyond"


def test_a_fabric_patch_on_plywood_keeps_to_its_place() -> None:
    """FAA-H-8083-31 chapter 6 (repost)."""
    good = {"hole": 0.9, "lap": 1.1, "place": "elsewhere", "from_frame": 2}
    assert verdict("plywood-cloth-patch", **good) == "within"
    for name, poor in (("hole", 1.1), ("lap", 0.9), ("from_frame", 0.9), ("place", "wing-leading-edge")):
        assert verdict("plywood-cloth-patch", **(good | {name: poor})) == "beyond"


def test_clamping_ten_square_inches_of_softwood() -> None:
    """1-10b: 125 to 150 psi, so 10 in² takes 1,250 to 1,500 lb (computed)."""
    for force, expected in ((1249, "beyond"), (1250, "at"), (1400, "within"), (1500, "at"), (1501, "beyond")):
        joint = {"force": force, "area": 10, "wood": "softwood"}
        assert verdict("glue-clamp-pressure", adhesive="resorcinol", **joint) == expected
        assert verdict("glue-clamp-pressure", adhesive="epoxy", **joint) == "not-covered"


def test_what_is_only_remembered_is_not_judged() -> None:
    """Knots (3/8 against 3/4 in) and the slope of a spar scarf."""
    knot = ask("wood-knot", diameter="3/8 in")
    assert knot.verdict == "not-covered"
    assert "3/8 in" in str(knot.remembered)
    assert "3/4 in" in str(knot.remembered)
    assert verdict("spar-scarf-slope", run=20, plates="yes") == "not-covered"


def test_a_fabric_lap_that_was_not_measured_is_told() -> None:
    """AC 43.13-1B 1-51b: the other three figures alone do not settle a surface patch."""
    result = ask("plywood-surface-patch", thickness=0.1, place="aft-of-10-percent", perimeter=40, corner=0.6, bevel=0.5)
    assert result.verdict == "within"
    assert any(note.startswith("not measured: ") and "2 in of lap" in note for note in result.notes)
