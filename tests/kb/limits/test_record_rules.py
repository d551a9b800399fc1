"""Dates, hours, forms and entries; the item of skin damage; the flight before passengers."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.limits.record_entries import ENTRY, INSPECTED, RELEASE
from tests.kb.limits.asking import ask, verdict


@pytest.mark.parametrize(
    ("year", "month", "expected"),
    [(2025, 3, "within"), (2026, 2, "within"), (2026, 3, "at"), (2026, 4, "beyond"), (2025, 2, "not-covered")],
)
def test_an_annual_lasts_through_its_month_a_year_on(year: int, month: int, expected: str) -> None:
    """14 CFR 91.409(a): 12 calendar months."""
    result = ask("annual-inspection", last_year=2025, last_month=3, year=year, month=month)
    assert result.verdict == expected
    if expected != "not-covered":
        assert "good through the last day of March 2026" in result.notes


@given(st.integers(1920, 2199), st.integers(1, 12))
def test_the_same_month_of_the_next_year_is_always_the_last(year: int, month: int) -> None:
    """December too."""
    assert verdict("annual-inspection", last_year=year, last_month=month, year=year + 1, month=month) == "at"


@pytest.mark.parametrize(
    ("hours", "carried", "en_route", "expected"),
    [
        (100, 0, "no", "at"),
        (101, 0, "no", "beyond"),
        (110, 0, "yes", "at"),
        (111, 0, "yes", "beyond"),
        (94, 6, "no", "at"),
        (95, 6, "no", "beyond"),
        (104, 6, "yes", "at"),
    ],
)
def test_hours_over_are_for_the_way_and_are_paid_back(
    hours: float, carried: float, en_route: str, expected: str
) -> None:
    """14 CFR 91.409(b), as two sites give it."""
    assert verdict("hundred-hour-inspection", hours=hours, carried=carried, en_route=en_route) == expected


def test_hours_over_on_the_way_are_told() -> None:
    """They count in the next hundred."""
    assert any(
        "7 h count in the next 100" in n for n in ask("hundred-hour-inspection", hours=107, en_route="yes").notes
    )


@pytest.mark.parametrize(
    ("hours", "copies", "tanks", "expected"),
    [
        (48, 2, "no", "at"),
        (48.1, 2, "no", "beyond"),
        (1, 1, "no", "beyond"),
        (1, 2, "yes", "beyond"),
        (1, 3, "yes", "at"),
    ],
)
def test_copies_of_the_form(hours: float, copies: int, tanks: str, expected: str) -> None:
    """14 CFR 43 appendix B (a) and (d): two copies, three for tanks in the cabin, 48 hours."""
    assert verdict("form-copies", hours=hours, copies=copies, tanks=tanks) == expected


@pytest.mark.parametrize("missing", sorted(ENTRY))
def test_an_entry_short_of_one_thing_is_beyond(missing: str) -> None:
    """14 CFR 43.9(a)(1)-(4)."""
    answers = dict.fromkeys(ENTRY, "yes")
    assert verdict("maintenance-entry", **answers | {"doer": "not-asked"}) == "within"
    short = ask("maintenance-entry", **answers | {missing: "no"})
    assert (short.verdict, ENTRY[missing] in short.sentence) == ("beyond", True)


@pytest.mark.parametrize("missing", sorted(INSPECTED))
def test_an_inspection_entry_short_of_one_thing_is_beyond(missing: str) -> None:
    """14 CFR 43.11(a), (b); the list is not asked for where nothing was found wrong."""
    answers = {name.replace("-", "_"): "yes" for name in INSPECTED}
    assert verdict("inspection-entry", **answers | {"listed": "not-asked"}) == "within"
    short = ask("inspection-entry", **answers | {missing.replace("-", "_"): "no"})
    assert (short.verdict, INSPECTED[missing] in short.sentence) == ("beyond", True)


@pytest.mark.parametrize("missing", sorted(RELEASE))
def test_approval_waits_for_entry_form_and_limitations(missing: str) -> None:
    """14 CFR 43.5(a)-(c)."""
    answers = dict.fromkeys(RELEASE, "yes")
    assert verdict("return-to-service", **answers) == "within"
    assert verdict("return-to-service", **answers | {missing: "no"}) == "beyond"


@pytest.mark.parametrize(
    ("changed", "ground", "flown", "expected"),
    [
        ("yes", "no", "no", "beyond"),
        ("unsure", "no", "no", "beyond"),
        ("yes", "yes", "no", "within"),
        ("yes", "no", "yes", "within"),
        ("no", "no", "no", "within"),
    ],
)
def test_passengers_wait_for_the_flight(changed: str, ground: str, flown: str, expected: str) -> None:
    """14 CFR 91.407(b), (c)."""
    assert verdict("flight-before-passengers", changed=changed, ground_proof=ground, flown=flown) == expected


@pytest.mark.parametrize(("damage", "expected"), [(5.9, "within"), (6, "at"), (6.1, "beyond"), ("7 in", "beyond")])
def test_skin_damage_over_six_inches_is_listed_and_under_it_never_called_minor(damage: object, expected: str) -> None:
    """14 CFR 43 appendix A (b)(1)(xxii), and the definition of 14 CFR 1.1."""
    result = ask("skin-damage-listed", damage=damage)
    assert (result.verdict, result.required) == (expected, 6)
    word = "Form 337" if expected == "beyond" else "does not make it minor"
    assert any(word in note for note in result.notes)
