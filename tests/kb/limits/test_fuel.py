"""Fuel flow, tanks, leaks and checklists against 14 CFR part 23 (before 2017) and AC 43.13-1B chapter 8."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.limits import get_limit
from kb.limits.fuel_checks import DRAINS, MARKS, SELECTOR, STRAINER, VENT
from kb.limits.fuel_leak import leak_class
from kb.limits.fuel_tank import LIMITS as TANK_LIMITS
from tests.kb.limits.asking import ask, required, verdict

CHECKLISTS = {
    "fuel-vent": VENT, "fuel-strainer": STRAINER, "fuel-drains": DRAINS, "fuel-selector": SELECTOR, "fuel-marks": MARKS,
}  # fmt: skip
OLDER = ["car-3", "car-4a", "older", "unknown"]


@pytest.mark.parametrize(("takeoff", "gravity", "pump"), [(18, 27, 22.5), (20, 30, 25), (6, 9, 7.5)])
def test_gravity_needs_half_again_and_a_pump_a_quarter(takeoff: float, gravity: float, pump: float) -> None:
    """23.955(b) and (c)(1); 18 to 27 and 20 to 25 gal/h stand in builders' logs (secondary)."""
    assert required("fuel-flow-gravity", takeoff=takeoff, basis="part-23") == gravity
    assert required("fuel-flow-pump", takeoff=takeoff, basis="part-23") == pump


@pytest.mark.parametrize(("measured", "expected"), [(8.999, "beyond"), (9, "at"), (9.001, "within")])
def test_gravity_flow_flips_at_the_figure(measured: float, expected: str) -> None:
    """6 gal/h at take-off."""
    assert verdict("fuel-flow-gravity", takeoff=6, measured=measured, basis="part-23") == expected


def test_fuel_caught_in_a_time_is_a_flow() -> None:
    """1 gal in 6 min is 10 gal/h; half the pair counts for nothing and says so."""
    result = ask("fuel-flow-gravity", takeoff=6, caught=1, minutes=6, basis="part-23")
    assert (result.verdict, result.measured) == ("within", 10)
    half = ask("fuel-flow-gravity", takeoff=6, caught=1, basis="part-23")
    assert half.verdict == "required"
    assert any("only together" in note for note in half.notes)


@pytest.mark.parametrize("basis", OLDER)
@pytest.mark.parametrize("limit_id", ["fuel-flow-gravity", "fuel-flow-pump"])
def test_an_older_basis_is_never_judged_by_part_23(limit_id: str, basis: str) -> None:
    """The figure is named as guidance."""
    result = ask(limit_id, takeoff=6, measured=100, basis=basis)
    assert result.verdict == "not-covered"
    assert any("guidance only" in note for note in result.notes)


def test_car_3_is_only_remembered() -> None:
    """65 hp at 1.2 lb/h is 78 lb/h, at 0.9 is 58.5 (memory): named, never a verdict."""
    gravity = ask("fuel-flow-gravity", takeoff=6, measured=100, basis="car-3", power=65)
    assert "78 lb/h" in str(gravity.remembered)
    pump = ask("fuel-flow-pump", takeoff=6, measured=100, basis="car-3", power=65)
    assert "58.5 lb/h" in str(pump.remembered)


def test_a_hand_pump_is_worked_no_faster_than_sixty() -> None:
    """23.955(c)(2): 60 full cycles, 120 strokes."""
    good = {"takeoff": 20, "measured": 26, "basis": "part-23"}
    assert verdict("fuel-hand-pump", cycles=59, **good) == "within"
    assert verdict("fuel-hand-pump", cycles=60.1, **good) == "beyond"
    assert verdict("fuel-hand-pump", cycles=50, **(good | {"measured": 24})) == "beyond"


@pytest.mark.parametrize(
    ("capacity", "sump", "bowl", "space"),
    [(12, 0.0625, 0.6, 0.24), (24, 0.0625, 1.2, 0.48), (25, 0.0625, 1.25, 0.5), (36, 0.09, 1.8, 0.72)],
)
def test_sump_bowl_and_expansion_by_capacity(capacity: float, sump: float, bowl: float, space: float) -> None:
    """23.971(a), (c), 23.969: 25 gal is the break-even of 0.25 % and 1/16 gal (computed from the rule)."""
    assert required("fuel-tank-sump", capacity=capacity, basis="part-23") == pytest.approx(sump)
    assert required("fuel-sediment-bowl", capacity=capacity, basis="part-23") == pytest.approx(bowl)
    wanted = required("fuel-tank-expansion", capacity=capacity, vent_clear="no", basis="part-23")
    assert wanted == pytest.approx(space)


@given(st.floats(0.5, 1000), st.floats(0.5, 1000))
def test_a_larger_tank_never_needs_a_smaller_sump(first: float, second: float) -> None:
    """Nor under 1/16 gal."""
    small, large = sorted((first, second))
    needs = [required("fuel-tank-sump", capacity=repr(size), basis="part-23") for size in (small, large)]
    assert 0.0625 <= needs[0] <= needs[1]


def test_a_vent_that_discharges_clear_needs_no_space() -> None:
    """23.969."""
    assert verdict("fuel-tank-expansion", capacity=12, vent_clear="yes", space=0, basis="part-23") == "within"
    assert verdict("fuel-tank-expansion", capacity=12, vent_clear="no", space=0, basis="part-23") == "beyond"


@pytest.mark.parametrize("limit", TANK_LIMITS, ids=lambda limit: limit.id)
def test_the_tank_figures_judge_no_older_aircraft(limit: object) -> None:
    """Each example of part 23 becomes not covered on CAR 3."""
    limit_id = str(limit.id)  # type: ignore[attr-defined]
    for example in get_limit(limit_id).examples:
        name = "basis" if "basis" in example.inputs else "rule"
        typed = {key.replace("-", "_"): value for key, value in example.inputs.items()} | {name: "car-3"}
        assert verdict(limit_id, **typed) == "not-covered"


@pytest.mark.parametrize(
    ("fuel", "diameter", "expected"),
    [("gasoline-only", 2.361, "beyond"), ("gasoline-only", 2.36, "at"), ("turbine", 2.949, "beyond"),
     ("turbine", 2.95, "at"), ("turbine", 3, "within")],
)  # fmt: skip
def test_filler_opening(fuel: str, diameter: float, expected: str) -> None:
    """23.973(e), (f)."""
    assert verdict("fuel-filler-opening", diameter=diameter, fuel=fuel, basis="part-23") == expected


@pytest.mark.parametrize(
    ("slope", "lost", "expected"),
    [(0.5, "yes", "beyond"), (1, "yes", "beyond"), (1.1, "yes", "not-covered"),
     (0.9, "no", "not-covered"), (1, "no", "at"), (2, "no", "within")],
)  # fmt: skip
def test_a_slope_proves_only_what_it_can(slope: float, lost: str, expected: str) -> None:
    """23.975(a)(7): loss on a steeper slope, or none on a flatter, says nothing."""
    assert verdict("fuel-vent-ramp", slope=slope, lost=lost, basis="part-23") == expected


def test_the_outlet_screen_has_three_borders() -> None:
    """25.977: 8 to 16 meshes, five times the area of the line, no narrower than the outlet."""
    good = {"meshes": 10, "clear_area": 0.4, "line_bore": 0.3, "screen_diameter": 0.6, "outlet": 0.5}
    assert verdict("fuel-outlet-screen", **good, rule="part-25-27-29") == "within"
    for name, poor in (("meshes", 7), ("meshes", 17), ("clear_area", 0.35), ("screen_diameter", 0.4)):
        assert verdict("fuel-outlet-screen", **(good | {name: poor}), rule="part-25-27-29") == "beyond"
    assert "5 times" in str(ask("fuel-outlet-screen", **good, rule="part-23").remembered)


@pytest.mark.parametrize(
    ("diameter", "name"),
    [(0, "stain"), (0.749, "stain"), (0.75, "seep"), (1.499, "seep"), (1.5, "heavy seep"), (4, "heavy seep")],
)
def test_leak_classes_at_their_borders(diameter: float, name: str) -> None:
    """FAA-H-8083-31 (repost): a border goes to the graver class; past 4 in the scale has no dry class."""
    assert leak_class(diameter) == name
    typed = {"diameter": diameter, "drips": "no", "minutes": 30, "place": "open-airstream"}
    result = ask("fuel-leak-class", **typed)
    assert result.verdict == "required"
    assert name in result.sentence
    assert verdict("fuel-leak-class", **(typed | {"diameter": 4.01})) == "not-covered"


def test_a_leak_class_is_no_release() -> None:
    """Cabin floor and drips are beyond; engine bay and wiring rest on reasoning only; another time is no class."""
    typed = {"diameter": 0.1, "drips": "no", "minutes": 30, "place": "open-airstream"}
    assert verdict("fuel-leak-class", **(typed | {"place": "cabin-or-under-its-floor"})) == "beyond"
    assert verdict("fuel-leak-class", **(typed | {"drips": "yes"})) == "beyond"
    assert verdict("fuel-leak-class", **(typed | {"minutes": 29})) == "not-covered"
    for place in ("engine-bay", "near-wiring"):
        result = ask("fuel-leak-class", **(typed | {"place": place}))
        assert result.verdict == "not-covered"
        assert result.remembered


@pytest.mark.parametrize("limit_id", list(CHECKLISTS))
def test_one_no_is_enough_and_is_named(limit_id: str) -> None:
    """Each item alone turns the list, and only on part 23."""
    items = CHECKLISTS[limit_id]
    good = {name.replace("-", "_"): "yes" for name in items}
    assert verdict(limit_id, **good, basis="part-23") == "within"
    for name, text in items.items():
        poor = good | {name.replace("-", "_"): "no"}
        result = ask(limit_id, **poor, basis="part-23")
        assert result.verdict == "beyond"
        assert text in result.sentence
        assert verdict(limit_id, **poor, basis="car-3") == "not-covered"


def test_the_vent_list_has_its_seven_items() -> None:
    """23.975(a)(1)-(7); the selector has (a)-(g)."""
    assert len(VENT) == len(SELECTOR) == 7


def test_a_selector_that_leaks_inside_or_hides_its_position() -> None:
    """8-34a, c, d."""
    good = {"keeps_coming": "no", "shows_position": "yes", "detents": "yes", "full_travel": "yes"}
    assert verdict("fuel-selector-test", **good) == "within"
    assert verdict("fuel-selector-test", **(good | {"keeps_coming": "yes"})) == "beyond"
    for name in ("shows_position", "detents", "full_travel"):
        assert verdict("fuel-selector-test", **(good | {name: "no"})) == "beyond"


def test_an_unvented_cap_for_a_vented_one() -> None:
    """8-33a, and the recess of 8-33b."""
    good = {"type_cap": "vented", "fitted": "vented", "seals": "yes", "recess": "holds"}
    assert verdict("fuel-cap", **good) == "within"
    result = ask("fuel-cap", **(good | {"fitted": "unvented"}))
    assert "sooner with a full tank" in result.sentence
    for name, poor in (("seals", "no"), ("recess", "drains-away"), ("type_cap", "unvented")):
        assert verdict("fuel-cap", **(good | {name: poor})) == "beyond"
