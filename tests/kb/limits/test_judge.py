"""How a typed question becomes a result, and what a result always carries."""

from __future__ import annotations

import pytest

from kb.errors import NotFound
from kb.limits import get_limit, limits_by_system, missing_inputs
from kb.limits.judge import value_of
from kb.limits.model import Ruling
from kb.limits.ruling import at_least, at_most, between, needed, not_covered, worst
from kb.model import CAUTION, Source
from tests.kb.limits.asking import ask

_SOURCE = Source("A document", "1-1", "Something.", "read")


def test_a_result_carries_every_condition_of_its_limit() -> None:
    """Verdict, sentence, source and paragraph, assumptions, gaps, caution, guidance: none travels alone."""
    limit = get_limit("fabric-strength")
    result = ask("fabric-strength", wing_loading="8.1", never_exceed="120", measured="51 lb/in", method="strip")
    assert result.verdict == "within"
    assert result.sentence.startswith("within, by 5 lb/in (11 %)")
    assert (result.required, result.measured, result.margin) == (46.0, 51.0, 5.0)
    assert result.margin_percent == pytest.approx(100 * 5 / 46)
    assert [source.where for source in result.sources] == ["2-33b, table 2-1"]
    assert (result.assumes, result.does_not_cover, result.caution) == (
        limit.assumes,
        limit.does_not_cover,
        limit.caution,
    )
    assert result.basis == limit.basis
    assert result.guidance == CAUTION


def test_a_result_shows_each_input_as_typed_and_as_used() -> None:
    """A supposed unit and a default are both told."""
    result = ask("fabric-strength", wing_loading="8.1", never_exceed="193 km/h", measured="51 lb/in", method="strip")
    shown = {each.name: (each.typed, each.used) for each in result.given}
    assert shown["wing-loading"] == ("8.1", "8.1 lb/ft²")
    assert shown["never-exceed"] == ("193 km/h", "119.925 mph")
    assert shown["aircraft"] == ("", "powered")
    assert "wing-loading: no unit was given; read as lb/ft²" in result.notes
    assert "aircraft: not given; taken as powered" in result.notes
    assert value_of(result, "measured") == 51.0


def test_missing_inputs_are_asked_in_order() -> None:
    """Only those without default; blanks count as missing."""
    names = [item.name for item in missing_inputs(get_limit("fabric-strength"), {"measured": "5", "method": " "})]
    assert names == ["wing-loading", "never-exceed", "method"]


def test_a_choice_is_read_whatever_its_case_and_blanks() -> None:
    """Words of a choice may be typed with blanks, yes and no with one letter."""
    assert ask("tear-tape-width", opening=12, surface="Wing Top", never_exceed=100).required == 6
    assert ask("compression", reading=70, engine="HOT", maker_data="n").verdict == "within"


def test_a_wrong_name_of_a_limit_names_the_nearest() -> None:
    """The error helps."""
    with pytest.raises(NotFound) as caught:
        get_limit("fabric-strenth")
    assert caught.value.nearest[0] == "fabric-strength"


def test_limits_are_listed_by_system_without_loss() -> None:
    """Each limit stands under exactly one system."""
    grouped = limits_by_system()
    assert sum(len(limits) for limits in grouped.values()) >= 45
    assert all(limit.system == system for system, limits in grouped.items() for limit in limits)


@pytest.mark.parametrize(
    ("measured", "floor", "ceiling"),
    [(10.0, "at", "at"), (10.000001, "within", "beyond"), (9.999999, "beyond", "within"), (10 + 1e-12, "at", "at")],
)
def test_floor_and_ceiling_flip_at_the_limit(measured: float, floor: str, ceiling: str) -> None:
    """Equal is enough, unless the source says more than or less than."""
    assert at_least("x", measured, 10.0, "in").verdict == floor
    assert at_most("x", measured, 10.0, "in").verdict == ceiling
    strict = {"at": "beyond"}
    assert at_least("x", measured, 10.0, "in", equal_is_enough=False).verdict == strict.get(floor, floor)
    assert at_most("x", measured, 10.0, "in", equal_is_enough=False).verdict == strict.get(ceiling, ceiling)


def test_a_range_reports_its_nearer_end() -> None:
    """And says the whole range in a note."""
    low, high = between("x", 9.0, 8.0, 16.0, "%"), between("x", 17.0, 8.0, 16.0, "%")
    assert (low.required, low.verdict) == (8.0, "within")
    assert (high.required, high.verdict) == (16.0, "beyond")
    assert "the range is 8 % to 16 %" in low.notes


def test_the_gravest_of_several_leads() -> None:
    """Beyond before not covered, a part not measured before at, at before within; the others are told."""
    within, at = at_most("a", 1.0, 2.0, "in"), at_most("b", 2.0, 2.0, "in")
    bare, gap, past = needed("c is needed"), not_covered("d", _SOURCE), at_most("e", 3.0, 2.0, "in")
    order: list[Ruling] = [past, gap, bare, at, within]
    for position, leader in enumerate(order):
        led = worst(*reversed(order[position:]))
        assert led.verdict == leader.verdict
        assert all(other.sentence in led.notes for other in order[position + 1 :])


def test_a_remembered_value_is_named_and_never_judges() -> None:
    """The tape width for short openings is only remembered."""
    result = ask("tear-tape-width", opening=5, surface="elsewhere", never_exceed=100, fitted=1)
    assert (result.verdict, result.remembered, result.required, result.margin) == (
        "not-covered",
        "3 in wide",
        None,
        None,
    )
    assert result.sentence.endswith("see AC 43.13-1B 2-43")


def test_a_share_is_told_only_where_it_means_something() -> None:
    """Not of an arm from a datum, nor of a per cent; and large shares are written out."""
    loading = ask("loading", items="1500@10", forward_limit=8.5, aft_limit=21.9, max_weight=2100)
    assert (loading.margin, loading.margin_percent) == (1.5, None)
    assert "%" not in loading.sentence
    assert ask("wood-moisture", reading=11).margin_percent is None
    assert ask("hand-stitches", per_inch=12).sentence.startswith("within, by 8 (200 %): ")
    assert "by 1 month (" in ask("oil-change", hours=1, months=5, filtration="screen-only").sentence
