"""Fabric covering against AC 43.13-1B chapter 2."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.limits.fabric import TABLE_2_1, required_cloth
from tests.kb.limits.asking import ask, required, verdict


def test_table_2_1_is_as_printed() -> None:
    """New, deteriorated, tear, thread counts of the three cotton cloths."""
    assert TABLE_2_1 == {
        "grade-a": (80, 56, 5, (80, 84)),
        "intermediate": (65, 46, 4, (80, 94)),
        "light": (50, 35, 3, (None, 110)),
    }


def test_the_printed_46_is_used_and_not_seventy_per_cent() -> None:
    """0.70 x 65 is 45.5; the table and 2-33a print 46."""
    assert 0.70 * TABLE_2_1["intermediate"][0] == pytest.approx(45.5)
    assert TABLE_2_1["intermediate"][1] == 46
    assert 0.70 * TABLE_2_1["grade-a"][0] == pytest.approx(56)
    assert verdict("fabric-strength", wing_loading=6, never_exceed=100, measured=45.7, method="strip") == "beyond"


@pytest.mark.parametrize(
    ("wing_loading", "never_exceed", "measured", "expected", "floor"),
    [
        (8.9, 159, 46.0, "at", 46), (8.9, 159, 45.9, "beyond", 46), (9.0, 100, 55.9, "beyond", 56),
        (6, 160, 50, "beyond", 56), (6, 159.999, 50, "within", 46), (9, 160, 56, "at", 56),
    ],
)  # fmt: skip
def test_strength_at_its_borders(
    wing_loading: float, never_exceed: float, measured: float, expected: str, floor: float
) -> None:
    """9 lb/ft² and 160 mph already ask for the stronger cloth (2-33b)."""
    result = ask(
        "fabric-strength", wing_loading=wing_loading, never_exceed=never_exceed, measured=measured, method="strip"
    )
    assert (result.verdict, result.required) == (expected, floor)


def test_a_glider_needs_both_conditions_for_light_cloth() -> None:
    """The circular joins them with "provided"; the handbook's "or" is not followed."""
    assert required_cloth(8, 135, "glider") == "light"
    assert required_cloth(8, 136, "glider") == "intermediate"
    assert required_cloth(8.1, 135, "glider") == "intermediate"
    assert required_cloth(8, 135, "powered") == "intermediate"


def test_a_punch_is_an_indication_only() -> None:
    """Whatever it reads."""
    for measured in (10, 46, 90):
        result = ask("fabric-strength", wing_loading=6, never_exceed=100, measured=measured, method="punch")
        assert result.verdict == "not-covered"


@given(st.floats(1, 60), st.floats(1, 60), st.floats(40, 500), st.floats(40, 500))
def test_more_loading_or_speed_never_asks_for_less(low: float, high: float, slow: float, fast: float) -> None:
    """The floor is monotone in both."""
    loadings, speeds = sorted((low, high)), sorted((slow, fast))
    for aircraft in ("powered", "glider"):
        first = TABLE_2_1[required_cloth(loadings[0], speeds[0], aircraft)][1]
        second = TABLE_2_1[required_cloth(loadings[1], speeds[1], aircraft)][1]
        assert first <= second


@pytest.mark.parametrize(
    ("opening", "surface", "never_exceed", "width"),
    [
        (8.01, "elsewhere", 150, 4), (15.99, "elsewhere", 150, 4), (16, "elsewhere", 100, 6),
        (16.1, "elsewhere", 100, 6), (10, "elsewhere", 150.1, 6), (2, "wing-top", 60, 6),
    ],
)  # fmt: skip
def test_tape_width_by_opening_place_and_speed(opening: float, surface: str, never_exceed: float, width: float) -> None:
    """2-43b and c; exactly 16 in stands in neither and takes the wider."""
    assert required("tear-tape-width", opening=opening, surface=surface, never_exceed=never_exceed) == width


def test_exactly_eight_inches_is_in_no_sentence() -> None:
    """2-43b begins over 8 in; the base width is only remembered."""
    assert verdict("tear-tape-width", opening=8, surface="elsewhere", never_exceed=100) == "not-covered"


def test_new_cloth_is_judged_by_all_its_figures() -> None:
    """One poor figure is enough."""
    good = {"cloth": "grade-a", "strength": 80, "tear": 5, "threads": 84}
    assert verdict("fabric-new-cloth", **good) == "at"
    for name, poor in (("strength", 79.9), ("tear", 4.9), ("threads", 85), ("threads", 79)):
        assert verdict("fabric-new-cloth", **(good | {name: poor})) == "beyond"


def test_a_doped_seam_stops_above_150_mph_and_at_the_leading_edge() -> None:
    """2-7b(5): up to and including 150."""
    seam = {"never_exceed": 150, "place": "perimeter", "overlap": 1.2, "tape": 3.5}
    assert verdict("doped-seam", **seam) == "at"
    assert verdict("doped-seam", **(seam | {"never_exceed": 150.1})) == "beyond"
    assert verdict("doped-seam", **(seam | {"place": "leading-edge"})) == "beyond"
    assert verdict("doped-seam", **(seam | {"overlap": 0.9})) == "beyond"


def test_notches_are_a_third_of_a_narrow_tape() -> None:
    """2-7 (5): 1 in deep, one third of the width on tape under 3 in; only over 200 mph."""
    assert verdict("trailing-edge-notches", never_exceed=200, spacing=6, depth=1) == "not-covered"
    assert verdict("trailing-edge-notches", never_exceed=201, spacing=5, depth=0.9) == "beyond"
    assert verdict("trailing-edge-notches", never_exceed=201, spacing=5, depth=0.9, tape=2.5) == "within"


def test_a_part_not_measured_keeps_the_whole_from_being_within() -> None:
    """The depth of the notches is still required."""
    assert verdict("trailing-edge-notches", never_exceed=220, spacing=5) == "required"


@given(st.floats(0.25, 6))
def test_tail_spacing_is_twice_the_slipstream_value(spacing: float) -> None:
    """2-11b."""
    assert required("tail-lacing-spacing", slipstream_spacing=repr(spacing)) == pytest.approx(2 * spacing)


@given(st.floats(40, 500))
def test_the_wing_spacing_is_never_judged(never_exceed: float) -> None:
    """Figure 2-12 is a curve; the rule of thumb is only named."""
    result = ask("wing-lacing-spacing", never_exceed=repr(never_exceed))
    assert result.verdict == "not-covered"
    assert result.remembered


@pytest.mark.parametrize(
    ("speed", "carried", "expected"),
    [(275, "no", "within"), (275.1, "no", "beyond"), (276, "yes", "within"), (100, "yes", "within")],
)
def test_lacing_reaches_the_leading_edge_over_275(speed: float, carried: str, expected: str) -> None:
    """AC 43.13-1B figure 2-12, note 2, as reprinted."""
    assert verdict("lacing-to-leading-edge", never_exceed=speed, carried=carried) == expected
