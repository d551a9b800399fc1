"""Seats, interior, suction, heater hours, marks, plate, stripping, required instruments, propeller zones."""

from __future__ import annotations

import pytest

from kb.limits import get_limit
from kb.limits.identity import PLATE
from kb.limits.required_instruments import DAY, DAY_IF, ENGINE, ENGINE_IF
from tests.kb.limits.asking import ask, verdict


@pytest.mark.parametrize(
    ("hours", "months", "expected"),
    [(99, 23, "within"), (100, 3, "at"), (3, 24, "at"), (101, 3, "beyond"), (3, 25, "beyond")],
)
def test_a_heater_is_inspected_by_hours_or_months(hours: float, months: float, expected: str) -> None:
    """AD 2004-21-05 as reported: each 100 h or 24 calendar months, one family."""
    assert verdict("heater-hours", hours=hours, months=months, same_type="yes") == expected


@pytest.mark.parametrize(
    ("suction", "expected"), [(4.5, "beyond"), (4.6, "at"), (5, "within"), (5.4, "at"), (5.5, "beyond")]
)
def test_suction_is_judged_by_the_types_figures_only(suction: float, expected: str) -> None:
    """The 4.5 to 5.5 inHg of a shop article is told, and judges nothing."""
    assert verdict("gyro-suction", suction=suction, type_low=4.6, type_high=5.4) == expected
    for typed in ({}, {"type_low": 4.6}, {"type_low": 5.4, "type_high": 4.6}):
        assert verdict("gyro-suction", suction=suction, **typed) == "not-covered"
    assert any(note.startswith("inside the 4.5 inHg") for note in ask("gyro-suction", suction=4.5).notes)
    assert any(note.startswith("outside the 4.5 inHg") for note in ask("gyro-suction", suction=5.6).notes)


@pytest.mark.parametrize(
    ("cracks", "apart", "expected"),
    [(0, "", "within"), (4, 1, "at"), (5, 1, "beyond"), (2, 0.99, "beyond"), (2, "", "not-covered")],
)
def test_seat_rail_cracks_by_number_and_distance(cracks: int, apart: object, expected: str) -> None:
    """AD 2011-10-09 as reported: more than 4, or two closer than 1 in."""
    typed = {"cracks": cracks, "apart": apart, "same_type": "yes"}
    assert verdict("seat-rail-cracks", place="crown", direction="across", **typed) == expected


@pytest.mark.parametrize(("place", "direction"), [("web-or-flange", "across"), ("crown", "other")])
def test_one_crack_in_the_wrong_place_or_direction_is_enough(place: str, direction: str) -> None:
    """AD 2011-10-09 as reported: web or lower flange, or not square to the rail."""
    assert verdict("seat-rail-cracks", cracks=1, place=place, direction=direction, same_type="yes") == "beyond"


@pytest.mark.parametrize(
    ("basis", "smoking", "material", "expected"),
    [
        ("car-3", "barred", "none", "beyond"),
        ("car-3", "barred", "flash", "within"),
        ("car-3", "allowed", "flash", "beyond"),
        ("car-3", "allowed", "flame", "within"),
        ("part-23", "barred", "flash", "beyond"),
        ("part-23", "barred", "flame", "within"),
        ("unknown", "barred", "flame", "not-covered"),
    ],
)
def test_the_interior_by_basis_and_smoking(basis: str, smoking: str, material: str, expected: str) -> None:
    """AC 43.13-1B 9-61 quoting CAR 3.388, and 14 CFR 23.853(a)."""
    assert verdict("interior-material", basis=basis, smoking=smoking, material=material) == expected


@pytest.mark.parametrize(
    ("height", "age", "kind", "expected"),
    [
        (12, 5, "standard", "at"),
        (11.9, 29, "standard", "beyond"),
        (2, 30, "standard", "at"),
        (1.9, 60, "standard", "beyond"),
        (2, 0, "copy", "at"),
        (20, 80, "other", "not-covered"),
    ],
)
def test_marks_are_twelve_inches_or_two_from_thirty_years(height: float, age: float, kind: str, expected: str) -> None:
    """14 CFR 45.29(b) and 45.22(b)(1): exactly 30 years counts, 29 does not."""
    assert verdict("registration-mark-height", height=height, age=age, kind=kind) == expected


def test_five_characters_of_twelve_inches_are_four_feet_long() -> None:
    """14 CFR 45.29(c), (e), computed: five of 8 in and four gaps of 2 in."""
    result = ask("registration-mark-height", height=12, age=5, kind="standard", characters=5)
    assert any("take 48 in" in note for note in result.notes)


@pytest.mark.parametrize("missing", sorted(PLATE))
def test_a_plate_short_of_one_item_is_beyond(missing: str) -> None:
    """14 CFR 45.11 and 45.13(a); what was never issued is not asked for."""
    answers = {name.replace("-", "_"): "yes" for name in PLATE}
    short = ask("data-plate", **answers | {missing.replace("-", "_"): "no"})
    assert short.verdict == "beyond"
    assert PLATE[missing] in short.sentence
    assert verdict("data-plate", **answers | {"production_certificate": "not-asked"}) == "within"


@pytest.mark.parametrize(
    ("layer", "minutes", "expected"),
    [("1/32", 10, "at"), ("1/16", 40, "at"), ("1/40", 20, "beyond"), ("1/20", 9, "beyond"), ("1/20", 20, "within")],
)
def test_stripper_is_thick_and_not_long(layer: str, minutes: float, expected: str) -> None:
    """Navy corrosion control course: 1/32 to 1/16 in, 10 to 40 minutes; rinse 1 to 9."""
    result = ask("paint-stripper", layer=layer, minutes=minutes, rinse=10)
    assert result.verdict == expected
    assert any("1 gal of cleaner in 9 gal of water" in note for note in result.notes)


@pytest.mark.parametrize("items", [("day-instruments", DAY, DAY_IF), ("engine-instruments", ENGINE, ENGINE_IF)])
def test_each_instrument_of_a_list_counts(items: tuple[str, dict[str, str], tuple[str, ...]]) -> None:
    """14 CFR 91.205(b) and 23.1305: missing is beyond; only what has a condition may be not asked for."""
    limit_id, texts, with_condition = items
    basis = {"basis": "part-23"} if limit_id == "engine-instruments" else {}
    answers = {name.replace("-", "_"): "yes" for name in texts} | basis
    assert verdict(limit_id, **answers) == "within"
    for name in texts:
        assert texts[name] in ask(limit_id, **answers | {name.replace("-", "_"): "no"}).sentence
        assert ("not-asked" in get_limit(limit_id).input(name).choices) == (name in with_condition)


@pytest.mark.parametrize("basis", ["car-3", "car-4a", "older", "unknown"])
def test_the_engine_list_of_part_23_judges_no_older_aircraft(basis: str) -> None:
    """It is named as guidance."""
    answers = {name.replace("-", "_"): "no" for name in ENGINE}
    assert verdict("engine-instruments", **answers, basis=basis) == "not-covered"


@pytest.mark.parametrize(
    ("at", "word"), [(0.5, "leading edge"), (0.51, "face"), (3.99, "face"), (4, "trailing edge"), (5, "trailing edge")]
)
def test_edge_zones_of_one_maker(at: float, word: str) -> None:
    """One propeller maker's manual: the first 10 and the last 20 per cent of the chord."""
    assert word in ask("propeller-edge-zone", from_leading=at, chord=5, same_type="yes").sentence
    other = ask("propeller-edge-zone", from_leading=at, chord=5, same_type="no")
    assert other.verdict == "not-covered"
    assert any("an example only" in note and word in note for note in other.notes)
    assert verdict("propeller-edge-zone", from_leading=5.1, chord=5, same_type="yes") == "not-covered"
