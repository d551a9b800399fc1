"""Bolts, nuts and safety wire against AC 43.13-1B chapter 7 and the manuals that print worked examples."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.limits.hardware_nuts import BREAKAWAY, HEAT, TABLE_7_2
from kb.limits.hardware_safety import TWISTS
from kb.limits.hardware_torque import NUTS, OTHER_COPY, TABLE_7_1, setting_share
from tests.kb.limits.asking import ask, required, verdict

PRINTED_7_1 = """
    8-36 12-15 7-9 20 12
    10-32 20-25 12-15 40 25
    1/4-28 50-70 30-40 100 60
    5/16-24 100-140 60-85 225 140
    3/8-24 160-190 95-110 390 240
    7/16-20 450-500 270-300 840 500
    1/2-20 480-690 290-410 1100 660
    9/16-18 800-1000 480-600 1600 960
    5/8-18 1100-1300 600-780 2400 1400
    3/4-16 2300-2500 1300-1500 5000 3000
    7/8-14 2500-3000 1500-1800 7000 4200
    1-14 3700-5500 2200-3300 10000 6000
    1-1/8-12 5000-7000 3000-4200 15000 9000
    1-1/4-12 9000-11000 5400-6600 25000 15000
    8-32 12-15 7-9 20 12
    10-24 20-25 12-15 35 21
    1/4-20 40-50 25-30 75 45
    5/16-18 80-90 48-55 160 100
    3/8-16 160-185 95-100 275 170
    7/16-14 235-255 140-155 475 280
    1/2-13 400-480 240-290 880 520
    9/16-12 500-700 300-420 1100 650
    5/8-11 700-900 420-540 1500 900
    3/4-10 1150-1600 700-950 2500 1500
    7/8-9 2200-3000 1300-1800 4600 2700
"""
"""AC 43.13-1B table 7-1: thread, A tension, B shear, C tension most, D shear most."""

PRINTED_7_2 = """
    7/16-20 8
    1/2-20 10
    9/16-18 13
    5/8-18 18
    3/4-16 27
    7/8-14 40
    1-14 55
    1-1/8-12 73
    1-1/4-12 94
    7/16-14 8
    1/2-13 10
    9/16-12 14
    5/8-11 20
    3/4-10 27
    7/8-9 40
    1-8 51
    1-1/8-8 68
    1-1/4-8 88
"""
"""AC 43.13-1B table 7-2: thread, least prevailing torque."""

PRINTED_F_1 = """
    10-32 2.0
    1/4-28 3.5
    5/16-24 6.5
    3/8-24 9.5
    7/16-20 14.0
    1/2-20 18.0
    9/16-18 24.0
    5/8-18 32.0
    3/4-16 50.0
    7/8-14 70.0
    1-12 90.0
    1-1/8-12 117.0
"""
"""Army TM 1-4220-250-12&P table F-1 without its last row."""

DOUBTED = set(OTHER_COPY)


def _span(text: str) -> tuple[float, float]:
    low, high = text.split("-")
    return float(low), float(high)


def test_table_7_1_is_as_printed() -> None:
    """All 25 rows, in the order of the page."""
    printed = {}
    for line in PRINTED_7_1.split("\n")[1:-1]:
        thread, tension, shear, most_tension, most_shear = line.split()
        printed[thread] = (_span(tension), _span(shear), float(most_tension), float(most_shear))
    assert printed == TABLE_7_1
    assert list(printed) == list(TABLE_7_1)
    assert len(printed) == 25


@pytest.mark.parametrize("thread", sorted(set(TABLE_7_1) - DOUBTED))
def test_shear_is_about_six_tenths_of_tension(thread: str) -> None:
    """A relation of the printed rows (computed, not printed); 3/4-16, 1,300 of 2,300, lies furthest off at 0.565."""
    tension, shear, most_tension, most_shear = TABLE_7_1[thread]
    for part, whole in ((shear[0], tension[0]), (shear[1], tension[1]), (most_shear, most_tension)):
        assert part / whole == pytest.approx(0.6, abs=0.036)
    assert tension[1] < most_tension
    assert shear[1] < most_shear


def test_the_two_rows_in_doubt_break_that_relation() -> None:
    """5/8-18 prints 600 where another copy has 660; 3/8-16 prints 100 where another has 110."""
    assert TABLE_7_1["5/8-18"][1] == (600, 780)
    assert OTHER_COPY["5/8-18"] == (660, 780)
    assert TABLE_7_1["3/8-16"][1] == (95, 100)
    assert OTHER_COPY["3/8-16"] == (95, 110)
    low, high = TABLE_7_1["5/8-18"][1][0] / 1100, TABLE_7_1["3/8-16"][1][1] / 185
    assert (round(low, 3), round(high, 3)) == (0.545, 0.541)


def test_the_army_reprint_slips_are_not_followed() -> None:
    """TM 9-6150-228-13&P table H-1 has 10-24 D 12 and 3/8-16 A 150-185; the circular has 21 and 160-185."""
    assert TABLE_7_1["10-24"][3] == 21
    assert TABLE_7_1["3/8-16"][0] == (160, 185)


@pytest.mark.parametrize(
    ("torque", "expected"),
    [
        (599, "beyond"),
        (600, "not-covered"),
        (659, "not-covered"),
        (660, "at"),
        (700, "within"),
        (780, "at"),
        (781, "beyond"),
    ],
)
def test_between_two_copies_nothing_is_judged(torque: float, expected: str) -> None:
    """5/8-18 shear, drag 0: printed 600-780, another copy 660-780."""
    assert verdict("bolt-torque", thread="5/8-18", nut="shear-self-locking", drag=0, torque=torque) == expected


@pytest.mark.parametrize(
    ("nut", "torque", "expected"),
    [
        ("shear-self-locking", 100, "at"), ("shear-self-locking", 105, "not-covered"),
        ("shear-self-locking", 111, "beyond"), ("shear-castle", 105, "within"), ("shear-castle", 170, "at"),
        ("shear-castle", 171, "beyond"),
    ],
)  # fmt: skip
def test_3_8_16_stays_inside_the_lower_range(nut: str, torque: float, expected: str) -> None:
    """Printed 95-100, another copy 95-110; a castle nut may pass the range up to 170 to line up the hole."""
    assert verdict("bolt-torque", thread="3/8-16", nut=nut, drag=0, torque=torque) == expected


def test_drag_is_added_to_every_figure() -> None:
    """AC 43.13-1B 7-40d: 1/4-28 tension with drag 8 is 58-78, at most 108."""
    for torque, expected in ((57.9, "beyond"), (58, "at"), (68, "within"), (78, "at"), (78.1, "beyond")):
        result = ask("bolt-torque", thread="1/4-28", nut="tension-self-locking", drag=8, torque=torque)
        assert result.verdict == expected
        assert "the range is 58 in-lb to 78 in-lb" in result.notes
        assert "greatest with drag 108 in-lb" in result.notes


def test_a_castle_nut_may_go_on_to_the_greatest_torque() -> None:
    """AC 43.13-1B 7-40f: from the least torque on, never past the greatest, both with drag."""
    for torque, expected in ((57, "beyond"), (79, "within"), (108, "at"), (108.1, "beyond")):
        assert verdict("bolt-torque", thread="1/4-28", nut="tension-castle", drag=8, torque=torque) == expected


def test_past_range_and_past_greatest_are_told_apart() -> None:
    """Both are beyond; only one is past the greatest torque."""
    for torque, told in ((90, "past the range, not past"), (101, "past the greatest torque as well")):
        notes = ask("bolt-torque", thread="1/4-28", nut="tension-self-locking", drag=0, torque=torque).notes
        assert any(note.startswith(told) for note in notes)


def test_the_adapter_is_in_the_verdict() -> None:
    """Wrench 12 in with a 2 in adapter shows 60 for 70 at the nut (Army TM 9-254 fig. 45)."""
    bolt = {"thread": "1/4-28", "nut": "tension-self-locking", "drag": 0}
    assert ask("bolt-torque", **bolt, torque=60, lever=12, adapter=2).measured == pytest.approx(70)
    assert verdict("bolt-torque", **bolt, torque=60, lever=12, adapter=2) == "at"
    assert verdict("bolt-torque", **bolt, torque=61, lever=12, adapter=2) == "beyond"
    assert verdict("bolt-torque", **bolt, torque=70, lever=12, adapter=2, way="right-angle") == "at"
    assert verdict("bolt-torque", **bolt, torque=60, lever=12) == "not-covered"
    assert verdict("bolt-torque", **bolt, torque=60, lever=2, adapter=2, way="shortens") == "not-covered"


def test_other_threads_and_maker_data_end_the_table() -> None:
    """Table 7-1 is for oil-free cadmium plate, and only where the maker is silent (7-40i)."""
    bolt = {"thread": "1/4-28", "nut": "tension-self-locking", "drag": 0, "torque": 60}
    assert verdict("bolt-torque", **bolt) == "within"
    assert verdict("bolt-torque", **bolt, surface="other") == "not-covered"
    assert verdict("bolt-torque", **bolt, maker_data="yes") == "not-covered"


@given(st.sampled_from(sorted(TABLE_7_1)), st.sampled_from(NUTS), st.floats(0, 500), st.floats(0, 30000))
def test_the_range_moves_with_the_drag_alone(thread: str, nut: str, drag: float, torque: float) -> None:
    """The verdict on torque above drag does not depend on the drag, except at the rounding of a border."""
    row = TABLE_7_1[thread]
    borders = {*row[0], *row[1], row[2], row[3], *OTHER_COPY.get(thread, ())}
    if any(abs(torque - border) < 1e-3 for border in borders):
        return
    bolt = {"thread": thread, "nut": nut}
    first = ask("bolt-torque", **bolt, drag=0, torque=repr(torque))
    assert verdict("bolt-torque", **bolt, drag=repr(drag), torque=repr(torque + drag)) == first.verdict


@given(st.floats(1, 120), st.floats(0.1, 60))
def test_setting_and_adapter_agree_with_the_lever(lever: float, adapter: float) -> None:
    """Lengthening lowers the setting, shortening raises it, and the moment at the nut comes out again."""
    longer, shorter = setting_share(lever, adapter, "lengthens"), setting_share(lever, adapter, "shortens")
    assert longer is not None
    assert longer < 1
    assert longer * (lever + adapter) / lever == pytest.approx(1)
    assert (shorter is None) == (adapter >= lever or adapter == pytest.approx(lever, rel=1e-9))
    assert shorter is None or shorter > 1
    assert setting_share(lever, adapter, "right-angle") == 1


@pytest.mark.parametrize(
    ("torque", "lever", "adapter", "way", "rounded"),
    [
        # helicopter maintenance manual ch. 20 fig. 20-1 and 20-2
        ("135", 10, 1.5, "lengthens", 117), ("135", 10, 1.5, "shortens", 159),
        # Army TM 9-2350-261-20-1 para 2-29g: 30 lb-ft
        ("40 ft-lb", 12, 4, "lengthens", 360),
        # Army TM 9-254 fig. 45
        ("70", 12, 2, "lengthens", 60),
    ],
)  # fmt: skip
def test_printed_adapter_examples(torque: str, lever: float, adapter: float, way: str, rounded: float) -> None:
    """As each manual rounds them."""
    assert round(required("wrench-adapter", torque=torque, lever=lever, adapter=adapter, way=way)) == rounded


def test_the_example_printed_in_foot_pounds() -> None:
    """Army TM 5-3805-274-13&P WP 0051: 19 lb-ft, 22 in, 3 in: 17 lb-ft, rounded from 16.7."""
    feet = required("wrench-adapter", torque="19 ft-lb", lever=22, adapter=3) / 12
    assert feet == pytest.approx(16.72, abs=0.005)
    assert round(feet) == 17


def test_a_wrench_is_good_for_a_year() -> None:
    """AC 43.13-1B 7-40a."""
    assert verdict("torque-wrench-calibration", months=11, dropped="no") == "within"
    assert verdict("torque-wrench-calibration", months=12.1, dropped="no") == "beyond"
    assert verdict("torque-wrench-calibration", months=0, dropped="yes") == "beyond"


def test_table_7_2_is_as_printed() -> None:
    """All 18 values; none under 7/16."""
    printed = {thread: float(value) for thread, value in (line.split() for line in PRINTED_7_2.split("\n")[1:-1])}
    assert printed == TABLE_7_2
    assert len(printed) == 18
    assert not {"10-32", "1/4-28", "5/16-24", "3/8-24"} & set(TABLE_7_2)


def test_the_breakaway_table_is_as_printed_and_its_last_row_put_right() -> None:
    """The last row (143.0) is printed 1-1/8-12 a second time; it stands as 1-1/4-12."""
    printed = {thread: float(value) for thread, value in (line.split() for line in PRINTED_F_1.split("\n")[1:-1])}
    assert printed == {thread: value for thread, value in BREAKAWAY.items() if thread != "1-1/4-12"}
    assert (BREAKAWAY["1-1/8-12"], BREAKAWAY["1-1/4-12"]) == (117.0, 143.0)


@pytest.mark.parametrize("thread", sorted(TABLE_7_2))
def test_a_locknut_at_its_border(thread: str) -> None:
    """The printed value is still good, a hundredth less is not."""
    least = TABLE_7_2[thread]
    assert verdict("locknut-reuse", thread=thread, prevailing=least) == "at"
    assert verdict("locknut-reuse", thread=thread, prevailing=least - 0.01) == "beyond"
    assert verdict("locknut-reuse", thread=thread) == "required"


@pytest.mark.parametrize("thread", ["8-32", "10-32", "1/4-28", "5/16-24", "3/8-24", "1/4-20", "3/8-16", "1-12"])
@pytest.mark.parametrize("prevailing", [0, 5, 500])
def test_small_locknuts_get_no_verdict(thread: str, prevailing: float) -> None:
    """Whatever is measured; the other table is shown for comparison where it has the thread."""
    result = ask("locknut-reuse", thread=thread, prevailing=prevailing)
    assert result.verdict == "not-covered"
    assert any("for comparison only" in note for note in result.notes) == (thread in BREAKAWAY)


def test_prevailing_and_breakaway_are_not_one_number() -> None:
    """7/16-20: 8 in the circular, 14 in the other test; the circular judges."""
    assert (TABLE_7_2["7/16-20"], BREAKAWAY["7/16-20"]) == (8, 14)
    assert verdict("locknut-reuse", thread="7/16-20", prevailing=10) == "within"


def test_no_locknut_where_the_part_turns() -> None:
    """AC 43.13-1B 7-64a."""
    assert verdict("locknut-reuse", thread="1/2-20", prevailing=50, rotates="yes") == "beyond"


def test_the_printed_grip_example() -> None:
    """Exam-preparation note: 19/16 - 10/16 = 9/16."""
    assert required("grip-length", length="1-3/16", thread="5/8") == pytest.approx(9 / 16)
    assert verdict("grip-length", length=1, thread=1) == "not-covered"


def test_grip_against_thickness_is_only_remembered() -> None:
    """The first half of 7-37 was not readable."""
    result = ask("grip-length", length=1, thread=0.5, thickness=0.5)
    assert result.verdict == "not-covered"
    assert result.remembered
    assert result.sources[0].checked == "memory"


def test_one_thread_must_show() -> None:
    """AC 43.13-1B 7-37, 7-64f."""
    assert verdict("thread-protrusion", threads=0.9, nut="plain") == "beyond"
    assert verdict("thread-protrusion", threads=2, nut="self-locking") == "within"
    assert verdict("thread-protrusion", threads=2, nut="castle") == "not-covered"


def test_heat_of_a_nut_at_its_borders() -> None:
    """250, 450 and 1,400 °F (7-64f, page 7-12)."""
    assert list(HEAT.values()) == [250, 450, 1400]
    for nut, most in HEAT.items():
        assert verdict("nut-temperature", nut=nut, temperature=most) == "at"
        assert verdict("nut-temperature", nut=nut, temperature=most + 0.1) == "beyond"


def test_the_least_bolt_by_material() -> None:
    """AC 43.13-1B 7-41: No. 10 steel, 1/4 aluminium."""
    fits = {(m, s): verdict("structural-bolt-size", material=m, size=s) for m in ("steel", "aluminium")
            for s in ("no-8", "no-10", "1/4", "5/16-or-larger")}  # fmt: skip
    assert {key for key, word in fits.items() if word == "beyond"} == {
        ("steel", "no-8"), ("aluminium", "no-8"), ("aluminium", "no-10"),
    }  # fmt: skip
    assert verdict("structural-bolt-size", material="steel", size="no-6", place="elsewhere") == "not-covered"


@pytest.mark.parametrize(
    ("hole", "apart", "wire", "expected", "least"),
    [
        (0.0451, 2, 0.032, "at", 0.032), (0.0451, 2, 0.0319, "beyond", 0.032), (0.0451, 1.99, 0.020, "at", 0.020),
        (0.062, 1.99, 0.020, "at", 0.020), (0.0621, 1.99, 0.020, "beyond", 0.032),
        (0.045, 1.99, 0.019, "beyond", 0.020),
        (0.045, 2, 0.032, "not-covered", None), (0.0449, 1, 0.032, "not-covered", None),
    ],
)  # fmt: skip
def test_wire_size_at_its_borders(hole: float, apart: float, wire: float, expected: str, least: float | None) -> None:
    """Over 0.045 in takes 0.032; 0.045 to 0.062 and under 2 in apart may take 0.020 (restated)."""
    result = ask("safety-wire-size", hole=hole, apart=apart, wire=wire)
    assert (result.verdict, result.required) == (expected, least)


def test_the_thin_wire_says_it_is_restated() -> None:
    """Its status stays secondary."""
    assert ask("safety-wire-size", hole=0.05, apart=1, wire=0.02).sources[0].checked == "secondary"
    assert ask("safety-wire-size", hole=0.05, apart=3, wire=0.04).sources[0].checked == "read"


def test_twists_quoted_from_elsewhere_never_judge() -> None:
    """0.020-0.025: 8-14; 0.032-0.041: 6-11; 0.051-0.060: 4-8; the circular, restated, has 6-8 alone."""
    assert TWISTS == ((0.020, 0.025, 8, 14), (0.032, 0.041, 6, 11), (0.051, 0.060, 4, 8))
    assert verdict("safety-wire-twists", wire=0.032, twists=8) == "at"
    assert verdict("safety-wire-twists", wire=0.032, twists=8.1) == "not-covered"
    assert verdict("safety-wire-twists", wire=0.032, twists=11.1) == "beyond"
    assert verdict("safety-wire-twists", wire=0.028, twists=9) == "beyond"
    assert verdict("safety-wire-twists", wire=0.051, twists=4) == "not-covered"


def test_a_pigtail_is_judged_by_turns_and_length() -> None:
    """AC 43.13-1B 7-124f: four to six turns, 1/2 to 5/8 in."""
    assert verdict("safety-wire-pigtail", turns=6.1) == "beyond"
    assert verdict("safety-wire-pigtail", turns=5, length=0.55) == "within"
    assert verdict("safety-wire-pigtail", turns=5, length=0.63) == "beyond"


def test_only_thin_copper_on_an_emergency_device() -> None:
    """AC 43.13-1B 7-123."""
    assert verdict("emergency-device-wire", material="copper-or-brass", wire="0.508 mm") == "within"
    assert verdict("emergency-device-wire", material="copper-or-brass", wire=0.032) == "beyond"
    assert verdict("emergency-device-wire", material="monel", wire=0.020) == "beyond"
