"""Instruments, compass, induction, ignition, exhaust and cabin."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.limits.induction import HEAT_RISE
from tests.kb.limits.asking import ask, required, verdict

OLDER = ["car-3", "car-4a", "older", "unknown"]


@pytest.mark.parametrize(
    ("after", "expected"), [(150, "within"), (141, "within"), (140, "at"), (139, "beyond"), (151, "not-covered")]
)
def test_the_pitot_system_may_lose_ten_knots(after: float, expected: str) -> None:
    """AC 43.13-1B 12-59, from 150 kt in one minute."""
    assert verdict("pitot-leak", after=after) == expected
    assert verdict("pitot-leak", after=after, start=120) == "not-covered"


def test_the_pitot_figures_of_the_circular_agree_with_one_another() -> None:
    """1.1 inHg is 14.9 in of water and 0.15 inHg is 2.04, as 12-59 prints them (to its rounding)."""
    from kb.limits.units import convert

    assert convert(1.1, "inHg", "inH2O") == pytest.approx(14.9, abs=0.1)
    assert convert(0.15, "inHg", "inH2O") == pytest.approx(2.04, abs=0.01)


@pytest.mark.parametrize(("altitude", "allowed"), [(4000, 100), (5000, 100), (5001, 100.02), (8000, 160)])
def test_a_pressurised_static_system_may_lose_two_per_cent(altitude: float, allowed: float) -> None:
    """14 CFR 23.1325(b)(2)(ii): the greater of 100 ft and 2 %; 8,000 ft gives 160."""
    typed = {"lost": 50, "basis": "part-23", "cabin": "pressurised"}
    assert required("static-leak", altitude=altitude, **typed) == pytest.approx(allowed)
    assert verdict("static-leak", **typed) == "not-covered"


@pytest.mark.parametrize("basis", OLDER)
def test_part_23_figures_are_only_named_on_older_aircraft(basis: str) -> None:
    """Static leak, airspeed error, compass, card, carburettor heat, fluid rate."""
    questions: dict[str, dict[str, object]] = {
        "static-leak": {"lost": 500},
        "airspeed-system-error": {"speed": 100, "error": 50},
        "compass-deviation": {"deviation": 40},
        "compass-card-step": {"step": 45},
        "carburettor-heat-rise": {"kind": "venturi-sea-level", "outside": 30, "heated": 60},
        "carburettor-fluid-rate": {"power": 100, "rate": 1},
    }
    for limit_id, typed in questions.items():
        result = ask(limit_id, basis=basis, **typed)
        assert result.verdict == "not-covered", limit_id
        assert any("for guidance only, under part 23: beyond" in note for note in result.notes), limit_id
        assert verdict(limit_id, basis="part-23", **typed) == "beyond", limit_id


@pytest.mark.parametrize(("speed", "allowed"), [(100, 5), (166.6, 5), (200, 6)])
def test_airspeed_error_is_the_greater_of_two(speed: float, allowed: float) -> None:
    """14 CFR 23.1323(b): 3 % or 5 kt; they meet at 166.7 kt."""
    assert required("airspeed-system-error", speed=speed, error=0, basis="part-23") == pytest.approx(allowed)


@given(st.floats(20, 500), st.floats(-200, 200))
def test_the_sign_of_the_error_does_not_matter(speed: float, error: float) -> None:
    """High or low."""
    one, other = (
        verdict("airspeed-system-error", speed=repr(speed), error=repr(sign * error), basis="part-23")
        for sign in (1, -1)
    )
    assert one == other


def test_compass_at_its_borders() -> None:
    """14 CFR 23.1327(a)(2) and (b), 23.1547(d), AC 12-37b: ten degrees (more only from electrical load), 30, 100 yd."""
    assert verdict("compass-deviation", deviation=10, basis="part-23") == "at"
    assert verdict("compass-deviation", deviation=10.1, basis="part-23") == "beyond"
    assert verdict("compass-deviation", deviation=25, electrical="yes", basis="part-23") == "not-covered"
    assert verdict("compass-card-step", step=31, basis="part-23") == "beyond"
    assert verdict("compass-swing-place", distance="99 m") == "within"
    assert verdict("compass-swing-place", distance="299 ft") == "beyond"


def test_altimeter_tolerances_are_only_remembered() -> None:
    """Appendix E tables I to IV were not readable."""
    for test in ("case-leak", "hysteresis", "after-effect"):
        result = ask("altimeter-test", test=test, error=1)
        assert (result.verdict, bool(result.remembered)) == ("not-covered", True)


@pytest.mark.parametrize(
    ("carried", "fitted", "expected"),
    [(3, 20, "within"), (2, 2, "within"), (1, 1, "within"), (2, 3, "beyond"), (0, 1, "beyond")],
)
def test_spare_fuses(carried: int, fitted: int, expected: str) -> None:
    """14 CFR 91.205(c)(6): a full set or three of the kind."""
    assert verdict("spare-fuses", carried=carried, fitted=fitted) == expected


@pytest.mark.parametrize(
    ("built", "word"),
    [
        (1946, "no shoulder harness"),
        (1977, "no shoulder harness"),
        (1979, "front seats"),
        (1985, "front seats"),
        (1987, "all seats"),
    ],
)
def test_shoulder_harness_by_year(built: int, word: str) -> None:
    """14 CFR 91.205(b)(14), (16): after 18 July 1978, after 12 December 1986; in those two years the day counts."""
    assert word in ask("shoulder-harness", built=built).sentence
    assert {verdict("shoulder-harness", built=year) for year in (1978, 1986)} == {"not-covered"}


def test_vacuum_filter_by_hours_or_a_year() -> None:
    """Advice of a shop article."""
    assert verdict("vacuum-filter", hours=499, months=11) == "within"
    assert verdict("vacuum-filter", hours=100, months=12) == "beyond"


def test_carburettor_heat_rows_are_as_printed() -> None:
    """14 CFR 23.1093(a)(1) to (6): 90, 120, 100 or 40, 60, 75, 60 degrees F."""
    assert list(HEAT_RISE.values()) == [90, 120, 100, 40, 60, 75, 60]


@pytest.mark.parametrize(
    ("heated", "expected"), [("118", "beyond"), ("120", "at"), ("121", "within"), ("50 degC", "within")]
)
def test_carburettor_heat_at_its_border(heated: str, expected: str) -> None:
    """In air of 30 °F, 118 is two degrees short and 120 enough (computed)."""
    typed = {"kind": "venturi-sea-level", "outside": "30 degF", "basis": "part-23"}
    assert verdict("carburettor-heat-rise", heated=heated, **typed) == expected


def test_carburettor_heat_in_other_air_is_told_but_not_judged() -> None:
    """The figure is for air of 30 °F."""
    result = ask("carburettor-heat-rise", kind="venturi-sea-level", outside=60, heated=100, basis="part-23")
    assert result.verdict == "not-covered"
    assert any("40 °F" in note for note in result.notes)


def test_fluid_rate_of_a_hundred_horsepower() -> None:
    """14 CFR 23.1095: 2.5 times the root, 25 lb/h (computed)."""
    assert required("carburettor-fluid-rate", power=100, basis="part-23") == 25


@pytest.mark.parametrize(
    ("known", "hours", "expected"),
    [("yes", 499, "within"), ("yes", 500, "at"), ("yes", 501, "beyond"), ("no", 100, "at"), ("no", 101, "beyond")],
)
def test_paper_filter(known: str, hours: float, expected: str) -> None:
    """AD 84-26-02: at intervals not over 500 h; of unknown age, within 100 h."""
    assert verdict("paper-air-filter", hours=hours, known=known) == expected


@pytest.mark.parametrize(("rise", "expected"), [(0, "beyond"), (10, "at"), (25, "within"), (50, "at"), (51, "beyond")])
def test_idle_rise(rise: float, expected: str) -> None:
    """FAA-H-8083-32B page 2-30."""
    assert verdict("idle-mixture-rise", rise=rise) == expected


def test_the_idle_rise_of_fuel_injection_is_told_beside_it() -> None:
    """FAA-H-8083-32B page 2-30: 25 to 50 rpm for one family of fuel injection."""
    assert any("25 to 50 rpm" in note for note in ask("idle-mixture-rise", rise=12).notes)


def test_magneto_drop_is_judged_by_the_types_figures_only() -> None:
    """25 to 75 is typical and no limit; no drop at all is a warning whatever the verdict."""
    assert verdict("magneto-drop", left=60, right=70) == "not-covered"
    assert verdict("magneto-drop", left=60, right=126, type_drop=125) == "beyond"
    assert verdict("magneto-drop", left=50, right=120, type_drop=125, type_difference=50) == "beyond"
    hot = ask("magneto-drop", left=0, right=60, type_drop=125)
    assert any("left magneto" in note and "live" in note for note in hot.notes)


def test_carbon_monoxide_is_one_in_twenty_thousand() -> None:
    """14 CFR 23.831(a), 50 ppm; a word of warning from 35."""
    assert required("carbon-monoxide", reading=1) == 1_000_000 / 20_000
    assert verdict("carbon-monoxide", reading=50.1) == "beyond"
    assert any("35 ppm" in note for note in ask("carbon-monoxide", reading=35).notes)
    assert not ask("carbon-monoxide", reading=34).notes


def test_other_small_rules_of_engine_and_exhaust() -> None:
    """Shield strands (more than 3 in an inch), point spread (1/16 in), muffler hours."""
    assert verdict("ignition-shield-strands", broken=4) == "beyond"
    assert verdict("breaker-point-spread", spread="3/32 in") == "beyond"
    assert verdict("muffler-hours", hours=999) == "within"


def test_points_are_opened_no_further_than_the_look_needs() -> None:
    """AC 43.13-1B 8-19, caution, beside the sixteenth of an inch of FAA-H-8083-32B page 4-39."""
    result = ask("breaker-point-spread", spread="1/32 in")
    assert result.verdict == "within"
    assert any("no further than the look needs" in note for note in result.notes)


@pytest.mark.parametrize(("pressure", "expected"), [(0.5, "not-covered"), (2, "at"), (15, "beyond")])
def test_a_weak_bubble_test_proves_nothing(pressure: float, expected: str) -> None:
    """FAA-H-8083-32B page 3-23: about 2 psi; less may not show the leak, more is not described."""
    assert verdict("muffler-bubble-test", pressure=pressure) == expected


def test_a_three_inch_crack_takes_fourteen_holes() -> None:
    """AC 43.13-1B 3-40a, computed; in the pilot's view none is allowed."""
    result = ask("window-crack-lacing", crack=3, spacing=0.5, from_crack=0.5, in_view="no")
    assert any("about 14 holes" in note for note in result.notes)
    assert verdict("window-crack-lacing", crack=1, spacing=0.1, from_crack=0.1, in_view="yes") == "beyond"


@pytest.mark.parametrize(
    ("spacing", "from_crack", "expected"),
    [(0.4, 0.5, "at"), (0.5, 0.4, "not-covered"), (0.6, 0.4, "beyond"), (0.5, 0.6, "beyond")],
)
def test_lacing_holes_stand_half_an_inch_from_the_crack(spacing: float, from_crack: float, expected: str) -> None:
    """AC 43.13-1B 3-40a: half an inch from the edge of the crack; nearer is not described."""
    assert verdict("window-crack-lacing", crack=3, spacing=spacing, from_crack=from_crack, in_view="no") == expected


@pytest.mark.parametrize(("turns", "expected"), [(0.5, "beyond"), (1, "at"), (2, "not-covered")])
def test_window_nuts_are_backed_off_one_full_turn(turns: float, expected: str) -> None:
    """AC 43.13-1B 3-27b: firm, then back one full turn, snug and still turned with the fingers."""
    assert verdict("window-nut-back-off", turns=turns) == expected


@pytest.mark.parametrize(("hole", "expected"), [("0.28", "beyond"), ("9/32", "at"), ("3/8", "at"), ("0.38", "beyond")])
def test_a_window_hole_is_half_as_large_again_to_twice(hole: str, expected: str) -> None:
    """A 3/16 in screw takes 9/32 to 3/8 in."""
    assert verdict("window-screw-hole", screw="3/16", hole=hole) == expected


@pytest.mark.parametrize(("height", "width", "gap"), [(12, "8 in", 2), (3, "2 in", 0.5), (2, "1.333 in", 1 / 3)])
def test_marks_keep_their_shape(height: float, width: str, gap: float) -> None:
    """14 CFR 45.29: two thirds wide, a sixth the stroke, a quarter of the width between."""
    result = ask("registration-mark-shape", height=height)
    assert result.required == pytest.approx(gap)
    assert any(f"each character {width} wide" in note for note in result.notes)
