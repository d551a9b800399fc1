"""Seats, interior, suction, heater hours, marks, plate and stripping."""

from __future__ import annotations

import pytest

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
