"""Cylinder, cooler, desiccant, magneto and switch, and the air at the carburettor."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.limits.cylinder import FINS
from tests.kb.limits.asking import ask, required, verdict

OF_ONE_TYPE: dict[str, dict[str, object]] = {
    "cylinder-fins": {"fins": 1, "broken": 13},
    "oil-cooler-valve": {"closed_at": 200},
    "suction-duct": {"suction": 5, "cold": 0, "hot": 200, "wire": 0.02},
    "breaker-point-gap": {"gap": 0.03},
    "ignition-switch-directive": {"hours": 101, "engine": "not-tried"},
    "heater-hours": {"hours": 101, "months": 1},
    "seat-rail-cracks": {"cracks": 5, "place": "crown", "direction": "across"},
}


@pytest.mark.parametrize("other", ["no", "unknown"])
@pytest.mark.parametrize("limit_id", sorted(OF_ONE_TYPE))
def test_figures_of_one_type_judge_no_other(limit_id: str, other: str) -> None:
    """They are named as an example, and beyond only on the very type."""
    result = ask(limit_id, same_type=other, **OF_ONE_TYPE[limit_id])
    assert (result.verdict, result.required) == ("not-covered", None)
    assert any(note.startswith("an example only, of that one type: beyond") for note in result.notes)
    assert verdict(limit_id, same_type="yes", **OF_ONE_TYPE[limit_id]) == "beyond"


def test_fins_of_the_handbooks_engine_are_as_printed() -> None:
    """FAA-H-8083-32B page 6-36: 12, 6, 4, 2, 1 in, and 83 sq in of a head."""
    assert list(FINS.values()) == [12, 6, 4, 2, 1]
    assert verdict("cylinder-fins", fins=3, broken=4, area=83, same_type="yes") == "at"
    assert verdict("cylinder-fins", fins=3, broken=4, area=84, same_type="yes") == "beyond"
    assert any("not measured: at most 83" in n for n in ask("cylinder-fins", fins=3, broken=4, same_type="yes").notes)
    assert verdict("cylinder-fins", fins=6, broken=0.1, same_type="yes") == "not-covered"


@pytest.mark.parametrize(
    ("closed_at", "expected"), [("83 degC", "at"), ("82.9 degC", "beyond"), ("87 degC", "at"), ("87.1 degC", "beyond")]
)
def test_the_cooler_valve_closes_within_two_degrees(closed_at: str, expected: str) -> None:
    """FAA-H-8083-32B page 6-14: 85 °C, 2 °C each way."""
    assert verdict("oil-cooler-valve", closed_at=closed_at, same_type="yes") == expected


@pytest.mark.parametrize(
    ("colour", "humidity", "expected"),
    [
        ("blue", "", "within"),
        ("lavender", "", "at"),
        ("white", "", "beyond"),
        ("blue", 30, "at"),
        ("blue", 31, "beyond"),
    ],
)
def test_desiccant_is_changed_over_thirty_per_cent(colour: str, humidity: object, expected: str) -> None:
    """FAA-H-8083-32B pages 8-19 and 8-21; a reading counts for more than the colour."""
    assert verdict("desiccant-humidity", colour=colour, humidity=humidity) == expected


def test_twenty_one_hundred_turns_make_seventeen_and_a_half_sparks() -> None:
    """Half a spark a turn, over sixty; FAA-H-8083-32B page 4-24 prints about 17."""
    assert required("spark-rate", speed=2100) == 2100 / 2 / 60


def test_an_engine_that_fires_on_is_beyond_whatever_the_fall() -> None:
    """FAA-H-8083-32B page 4-31: it must stop firing; a short look settles nothing, a long one is warned of."""
    assert {verdict("ignition-switch-check", engine="fires-on", fall=fall) for fall in ("", 0, 250)} == {"beyond"}
    assert [verdict("ignition-switch-check", engine="stops", fall=fall) for fall in (199, 200, 300, 301)] == [
        "not-covered", "within", "within", "within",
    ]  # fmt: skip
    assert any("back to both" in note for note in ask("ignition-switch-check", engine="stops", fall=301).notes)


@pytest.mark.parametrize(
    ("hours", "engine", "expected"),
    [(99, "stops", "within"), (100, "stops", "at"), (101, "stops", "beyond"), (1, "fires-on", "beyond")],
)
def test_the_switch_directive_counts_hours_and_firing(hours: float, engine: str, expected: str) -> None:
    """AD 76-07-12 R1: each 100 h; continues to fire past OFF, repair before the next flight."""
    assert verdict("ignition-switch-directive", hours=hours, engine=engine, same_type="yes") == expected


@pytest.mark.parametrize(
    ("gap", "expected"), [(0.0119, "beyond"), (0.012, "at"), (0.018, "within"), (0.024, "at"), (0.0241, "beyond")]
)
def test_the_point_gap_never_proves_the_timing(gap: float, expected: str) -> None:
    """FAA-H-8083-32B page 4-29: 0.018 in, 0.006 each way, after the angle."""
    result = ask("breaker-point-gap", gap=gap, same_type="yes")
    assert result.verdict == expected
    assert any("does not prove the timing" in note for note in result.notes)


@pytest.mark.parametrize(
    ("outside", "humidity", "word"),
    [
        (50, 60.1, "severe"),
        (70, 100, "severe"),
        (70, 60, "possible"),
        (71, 61, "possible"),
        (100, 50, "possible"),
        (101, 50, "no word"),
        (45, 25, "typical"),
        (45, 40, "typical"),
        (45, 45, "no word"),
        (60, 24.9, "rare"),
        (20, 80, "no word"),
    ],
)
def test_ice_to_expect_by_temperature_and_humidity(outside: float, humidity: float, word: str) -> None:
    """Interior safety alert SA 11-01: 50 to 70 °F over 60 %, 100 °F from 50 %, 40 to 50 °F at 25 to 40 %."""
    result = ask("carburettor-ice", outside=outside, humidity=humidity)
    assert word in result.sentence
    assert result.verdict == ("not-covered" if word == "no word" else "required")


@given(st.floats(-60, 130), st.floats(0, 100))
def test_ice_is_never_called_impossible(outside: float, humidity: float) -> None:
    """Advice tells what to expect; it clears nothing."""
    assert verdict("carburettor-ice", outside=repr(outside), humidity=repr(humidity)) in ("required", "not-covered")


@pytest.mark.parametrize(
    ("heated", "clears", "expected"), [(130, "yes", "at"), (129, "yes", "beyond"), (150, "no", "beyond")]
)
def test_a_screen_in_the_only_path_wants_heat_that_clears_it(heated: float, clears: str, expected: str) -> None:
    """14 CFR 23.1105: 100 °F and heated air on the screen; a way round needs neither; older rules are not judged."""
    typed = {"outside": 30, "heated": heated, "clears": clears}
    assert verdict("induction-screen", only_path="yes", basis="part-23", **typed) == expected
    assert verdict("induction-screen", only_path="no", basis="part-23", **typed) == "within"
    assert verdict("induction-screen", only_path="yes", basis="car-3", **typed) == "not-covered"


@pytest.mark.parametrize("weak", ["suction", "cold", "hot", "wire"])
def test_a_duct_short_in_one_thing_is_beyond(weak: str) -> None:
    """FAA safety team notice 5415: 12 inHg, -65 to 500 °F, wire 0.048 in."""
    printed: dict[str, object] = {"suction": 12, "cold": -65, "hot": 500, "wire": 0.048}
    short: dict[str, object] = {"suction": 11.9, "cold": -64, "hot": 499, "wire": 0.047}
    assert verdict("suction-duct", same_type="yes", **printed) == "at"
    assert verdict("suction-duct", same_type="yes", **printed | {weak: short[weak]}) == "beyond"


@pytest.mark.parametrize(("hours", "expected"), [(7.9, "beyond"), (8, "at"), (24, "within")])
def test_a_diaphragm_soaks_eight_hours(hours: float, expected: str) -> None:
    """FAA-H-8083-32B page 2-29."""
    assert verdict("diaphragm-soak", hours=hours) == expected
