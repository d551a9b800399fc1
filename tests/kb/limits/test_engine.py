"""Compression, oil, propeller, shock cord."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.kb.limits.asking import ask, required, verdict


@pytest.mark.parametrize(
    ("reading", "expected"), [(80, "within"), (60.1, "within"), (60, "at"), (59.9, "beyond"), (0, "beyond")]
)
def test_a_loss_over_a_quarter_is_suspect(reading: float, expected: str) -> None:
    """AC 43.13-1B 8-14b(5)(i): 60 of 80 is exactly 25 %, and only more than that is suspect."""
    assert verdict("compression", reading=reading, engine="hot", maker_data="no") == expected


def test_the_loss_is_told_and_the_next_act_named() -> None:
    """59 of 80 is 26.25 %; run three minutes and test again comes before any cylinder comes off."""
    notes = " | ".join(ask("compression", reading=59, engine="hot", maker_data="no").notes)
    assert "loss 26.25 %" in notes
    assert notes.index("run at least 3 minutes") < notes.index("comes off")


def test_the_propeller_caution_stands_in_every_compression_result() -> None:
    """Whatever the verdict."""
    for typed in (
        {"reading": 70, "maker_data": "no"},
        {"reading": 10, "maker_data": "no"},
        {"reading": 70, "maker_data": "yes"},
    ):
        assert "spin the propeller" in ask("compression", engine="hot", **typed).caution


@pytest.mark.parametrize(
    "typed",
    [{"maker_data": "yes", "engine": "hot"}, {"maker_data": "no", "engine": "cold"},
     {"maker_data": "no", "engine": "hot", "supply": 100}],
)  # fmt: skip
def test_compression_outside_the_described_test_is_not_judged(typed: dict[str, object]) -> None:
    """Maker's own limit, a cold engine, another supply pressure."""
    assert verdict("compression", reading=61, **typed) == "not-covered"


@pytest.mark.parametrize(("bore", "orifice"), [(3.875, 0.040), (4.999, 0.040), (5.0, 0.060), (5.125, 0.060)])
def test_the_orifice_follows_the_bore(bore: float, orifice: float) -> None:
    """FAASTeam tip of November 2011 on change 1: 5.125 in takes 0.060 in; not the displacement of older prints."""
    assert required("compression-orifice", bore=bore) == orifice
    assert verdict("compression-orifice", bore=bore, fitted=orifice) == "within"
    assert verdict("compression-orifice", bore=bore, fitted=0.1 - orifice) == "beyond"


@given(st.floats(0, 80), st.floats(0, 80))
def test_more_pressure_never_worsens_the_verdict(first: float, second: float) -> None:
    """Monotone in the reading."""
    rank = ["beyond", "at", "within"]
    low, high = sorted((first, second))
    low_verdict, high_verdict = (
        verdict("compression", reading=repr(p), engine="hot", maker_data="no") for p in (low, high)
    )
    assert rank.index(low_verdict) <= rank.index(high_verdict)


@pytest.mark.parametrize(("capacity", "space"), [(3, 0.5), (5, 0.5), (8, 0.8)])
def test_oil_tank_expansion(capacity: float, space: float) -> None:
    """14 CFR 23.1013(b)(1), computed: 3 and 5 gal take 0.5, 8 gal takes 0.8."""
    assert required("oil-tank-expansion", capacity=capacity, basis="part-23") == pytest.approx(space)


@pytest.mark.parametrize("basis", ["car-3", "car-4a", "older", "unknown"])
def test_a_part_23_figure_never_judges_an_older_aircraft(basis: str) -> None:
    """It is named as guidance, with what it would have said."""
    result = ask("oil-tank-expansion", capacity=8, basis=basis, space=0.1)
    assert result.verdict == "not-covered"
    assert any(note.startswith("for guidance only, under part 23: beyond") for note in result.notes)


@pytest.mark.parametrize(
    ("hours", "months", "filtration", "expected"),
    [(25, 3, "screen-only", "at"), (25.1, 3, "screen-only", "beyond"), (49, 3, "full-flow-filter", "within"),
     (24, 5, "screen-only", "beyond"), (10, 4, "full-flow-filter", "at")],
)  # fmt: skip
def test_oil_is_changed_by_hours_or_months(hours: float, months: float, filtration: str, expected: str) -> None:
    """FAA-H-8083-32B page 6-17; 24 h but 5 months is due by time."""
    assert verdict("oil-change", hours=hours, months=months, filtration=filtration) == expected


@pytest.mark.parametrize(("days", "word"), [(30, "active"), (31, "temporary"), (90, "temporary"), (91, "indefinite")])
def test_storage_classes_at_their_borders(days: int, word: str) -> None:
    """FAA-H-8083-32B page 8-18."""
    result = ask("engine-storage", days=days, hot_run="yes")
    assert word in " ".join((result.sentence, *result.notes))
    assert verdict("engine-storage", days=10, hot_run="no") == "beyond"


def test_eight_quarts_of_preservative_mix() -> None:
    """FAA-H-8083-32B page 8-18, 1 part to 3: 2 qt of concentrate and 6 of oil (computed)."""
    result = ask("preservative-mix", total="8 qt")
    assert result.required == 2
    assert "6 qt of oil" in result.sentence


@pytest.mark.parametrize(
    ("concentrate", "expected"), [(1.9, "beyond"), (2, "at"), (2.1, "not-covered"), (8, "not-covered")]
)
def test_a_richer_preservative_mix_is_not_passed(concentrate: float, expected: str) -> None:
    """One part to three is what is printed; neither leaner nor richer is within it."""
    assert verdict("preservative-mix", total=8, concentrate=concentrate) == expected


def test_the_storage_class_past_thirty_days_is_said_to_be_restated() -> None:
    """The active class is read; the borders of the longer ones are marked as restated."""
    assert [source.checked for source in ask("engine-storage", days=30, hot_run="yes").sources] == ["read"]
    assert [source.checked for source in ask("engine-storage", days=60, hot_run="yes").sources] == ["secondary"]


def test_the_first_oil_change_of_a_new_engine_is_not_judged() -> None:
    """FAA-H-8083-32B page 6-17: new, overhauled or with a new cylinder, the first change is at 25 h."""
    result = ask("oil-change", hours=1, months=1, filtration="full-flow-filter")
    assert any("first change is at 25 h" in told for told in result.does_not_cover)


def test_a_blister_with_fluid_is_rejected() -> None:
    """FAA-H-8083-32B page 2-32: only air may be tested, at one and a half times working pressure."""
    assert verdict("blistered-hose-test", working=100, leaked="fluid", tested=1000) == "beyond"
    assert required("blistered-hose-test", working=100, leaked="air") == 150


def test_track_needs_the_makers_limit() -> None:
    """AC 43.13-1B 8-74 leaves it to the maker; 1/16 in is only remembered."""
    assert (
        ask("propeller-track", difference=0.01).remembered
        == "1/16 in between blades, usual for light fixed-pitch propellers"
    )
    assert verdict("propeller-track", difference="1/8 in", maker_limit="0.062") == "beyond"


@given(st.floats(0, 2), st.sampled_from(["edge", "face"]))
def test_a_nick_is_never_judged(depth: float, place: str) -> None:
    """The circular's figures were cut in every copy; one maker's are a sample."""
    assert verdict("propeller-nick", depth=repr(depth), place=place) == "not-covered"


@pytest.mark.parametrize(
    ("age", "defects", "expected"), [(4.9, "no", "within"), (5, "no", "beyond"), (1, "yes", "beyond")]
)
def test_shock_cord_near_five_years(age: float, defects: str, expected: str) -> None:
    """AC 43.13-1B 9-4a: advisable from about five years; any defect at any age."""
    assert verdict("shock-cord-age", age=age, defects=defects) == expected
