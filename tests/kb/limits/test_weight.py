"""Weight and balance against AC 43.13-1B chapter 10."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.limits.weight import centre_of
from tests.kb.limits.asking import ask, required, verdict

SAMPLE = {"forward_limit": 8.5, "aft_limit": 21.9, "max_weight": 2100}
EMPTY = "1169@10.6, 17@-49"


@pytest.mark.parametrize(
    ("figure", "loads", "weight", "moment", "centre"),
    [
        ("10-10", "170@16, 83@22", 1439, 16104, 11.2),
        ("10-11", "170@16, 340@48, 240@22, 100@75.5", 2036, 43428, None),
        ("10-14", "170@48, 170@16, 170@16, 240@22, 100@75.5", 2036, 37988, 18.7),
    ],
)
def test_worked_loadings_of_the_circular(
    figure: str, loads: str, weight: float, moment: float, centre: float | None
) -> None:
    """Figures 10-10, 10-11 (its centre is cut off in the copy) and 10-14; the empty moment is printed as 12391."""
    result = ask("loading", items=f"{EMPTY}, {loads}", **SAMPLE)
    assert result.verdict == "within", figure
    assert result.measured == pytest.approx(moment / weight, abs=0.001)
    if centre is not None:
        assert result.measured == pytest.approx(centre, abs=0.05)


def test_the_misprint_of_figure_10_13() -> None:
    """It prints +18.6 for 38466 over 2100, which is 18.317; the weight stands exactly at the greatest."""
    loads = ((1169, 10.6), (17, -49), (170, 16), (170, 16), (340, 48), (234, 22))
    weight, moment, centre = centre_of(loads)
    assert (weight, round(moment)) == (2100, 38466)
    assert centre == pytest.approx(18.317, abs=0.001)
    assert centre != pytest.approx(18.6, abs=0.2)
    result = ask("loading", items=", ".join(f"{pounds}@{arm}" for pounds, arm in loads), **SAMPLE)
    assert (result.verdict, result.required, result.measured) == ("at", 2100, 2100)
    assert any("centre at 18.31" in note for note in result.notes)


def test_a_loading_outside_is_beyond_whichever_limit_it_passes() -> None:
    """Forward, aft, or weight."""
    assert verdict("loading", items="1500@8.4", **SAMPLE) == "beyond"
    assert verdict("loading", items="1500@22", **SAMPLE) == "beyond"
    assert verdict("loading", items="2101@15", **SAMPLE) == "beyond"
    assert verdict("loading", items="1500@8.5", **SAMPLE) == "at"
    assert verdict("loading", items="1500@9, -1500@9", **SAMPLE) == "not-covered"


@given(st.lists(st.tuples(st.floats(1, 2000), st.floats(-500, 500)), min_size=1, max_size=8))
def test_the_centre_lies_between_the_foremost_and_the_rearmost_load(loads: list[tuple[float, float]]) -> None:
    """And the order of the loads does not matter."""
    _, _, centre = centre_of(tuple(loads))
    assert min(arm for _, arm in loads) - 1e-6 <= centre <= max(arm for _, arm in loads) + 1e-6
    assert centre_of(tuple(reversed(loads)))[2] == pytest.approx(centre, abs=1e-6)


def test_taking_a_thing_out_and_putting_it_back_changes_nothing() -> None:
    """A removed item takes a negative weight (FAA-H-8083-30, repost)."""
    result = ask("equipment-change", empty_weight=1169, empty_centre=10.6, changes="-12.5@-49, 12.5@-49")
    assert result.required == pytest.approx(1169)
    assert "centre at 10.6 in" in result.sentence
    assert verdict("equipment-change", empty_weight=100, empty_centre=10, changes="-101@10") == "not-covered"


def test_a_removed_item_ahead_of_the_datum_has_a_positive_moment() -> None:
    """So the centre moves aft."""
    typed = {"empty_weight": 1000, "empty_centre": 10, "forward_limit": 9, "aft_limit": 20}
    assert (ask("equipment-change", changes="-10@-40", **typed).measured or 0) > 10


@pytest.mark.parametrize(
    ("weight", "centre", "limit", "arm", "printed"),
    [(4954, 30.5, 32, 162, 57.16), (1876, 32.2, 33, 228, 7.7)],
)
def test_ballast_examples(weight: float, centre: float, limit: float, arm: float, printed: float) -> None:
    """A question bank's 57.16 lb; the handbook's inputs with the arm and the answer 7.7 as remembered."""
    answer = required("ballast", weight=weight, centre=centre, limit=limit, arm=arm)
    assert answer == pytest.approx(printed, abs=0.005)
    assert verdict("ballast", weight=weight, centre=centre, limit=limit, arm=arm, fitted=answer * 1.01) == "within"


@given(st.floats(500, 5000), st.floats(0, 20), st.floats(0.1, 5), st.floats(30, 300))
def test_the_ballast_found_brings_the_centre_to_the_limit(
    weight: float, centre: float, gap: float, reach: float
) -> None:
    """Put it aboard and compute the centre again."""
    limit, arm = centre + gap, centre + gap + reach
    ballast = required("ballast", weight=repr(weight), centre=repr(centre), limit=repr(limit), arm=repr(arm))
    assert centre_of(((weight, centre), (ballast, arm)))[2] == pytest.approx(limit, abs=1e-6)


def test_ballast_on_the_wrong_side_is_not_covered() -> None:
    """It would drive the centre further out."""
    assert verdict("ballast", weight=1876, centre=32.2, limit=33, arm=10) == "not-covered"
    assert required("ballast", weight=1876, centre=33, limit=33, arm=10) == 0


@pytest.mark.parametrize(
    ("empty_weight", "change", "expected"),
    [(4999, 1, "at"), (4999, 1.01, "beyond"), (5000, 0.5, "not-covered"), (5001, 2, "at"), (50_000, 2, "at"),
     (50_001, 5, "at"), (50_001, -5.1, "beyond")],
)  # fmt: skip
def test_negligible_weight_at_its_borders(empty_weight: float, change: float, expected: str) -> None:
    """10-2c, printed "more than 5,000 and 50,000": exactly 5,000 stands nowhere."""
    assert verdict("negligible-weight-change", change=change, empty_weight=empty_weight) == expected


def test_a_negligible_move_is_under_a_twentieth_of_a_per_cent() -> None:
    """10-2c: less than 0.05 % of the mean chord, so 0.05 itself is too much."""
    assert verdict("negligible-weight-change", change=0.5, empty_weight=1200, shift=0.05) == "beyond"
    assert verdict("negligible-weight-change", change=0.5, empty_weight=1200, shift=-0.049) == "within"


def test_minimum_fuel_of_the_sample_aircraft() -> None:
    """10-2p: 165 hp takes 13.75 gal, 82.5 lb, which figure 10-10 prints as 83."""
    result = ask("minimum-fuel", power=165)
    assert result.required == 13.75
    assert any("82.5 lb" in note for note in result.notes)


def test_oil_belongs_to_the_empty_weight_by_basis() -> None:
    """10-15 note; 9 qt at 7.5 lb a gallon are 16.875 lb, printed as 17."""
    assert required("empty-weight-oil", oil=9, basis="car-3") == 16.875
    assert "take" in ask("empty-weight-oil", oil=9, basis="car-3").sentence
    assert "stays" in ask("empty-weight-oil", oil=9, basis="part-23").sentence
    assert verdict("empty-weight-oil", oil=9, basis="unknown") == "not-covered"
