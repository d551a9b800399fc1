"""Lists and counts of the shop's findings, and the look for twins."""

from __future__ import annotations

import pytest

from kb.desk import Desk
from kb.store import Store
from kb.twins import TwinCheck

TAPE, ENAMEL = "thread-tape-in-fuel-fittings", "enamel-over-dope"


@pytest.fixture
def shop(desk: Desk) -> Desk:
    """Five findings on two aircraft, one of them withdrawn."""
    desk.findings.add("rib cracked", airframe="One", system="wood", found="2019-03-01")
    desk.findings.add("white strings in strainer", airframe="one", entries=[TAPE], found="2021-03-01")
    desk.findings.add("paint flakes", airframe="One", entries=[ENAMEL], found="2021-04-01")
    desk.findings.add("more strings", airframe="Two", entries=[TAPE, ENAMEL], found="2021-05-01")
    desk.findings.withdraw(desk.findings.add("a mistake", airframe="Two", entries=[TAPE]).id)
    return desk


def test_open_findings_stand_by_how_pressing_their_page_is(shop: Desk) -> None:
    """Those on no page last, not first and not left out."""
    pressing = shop.counts.open(airframe="ONE")
    ranks = ["before-flight", "before-return", "next-inspection", "information", None]
    assert [one.urgency for one in pressing] == sorted((one.urgency for one in pressing), key=ranks.index)
    assert (pressing[0].page, pressing[-1].finding.text, len(pressing)) == (TAPE, "rib cracked", 3)


def test_a_finding_on_two_pages_presses_as_the_more_pressing(shop: Desk) -> None:
    """Whatever their order."""
    assert shop.counts.open(airframe="Two")[0].page == TAPE


@pytest.mark.parametrize(
    ("by", "expected"),
    [
        ("system", {"fuel": 2, "wood": 1, "fabric": 1}),
        ("page", {TAPE: 2, ENAMEL: 2}),
        ("airframe", {"One": 3, "Two": 1}),
        ("year", {"2019": 1, "2021": 3}),
        ("state", {"open": 4}),
        ("cause", {None: 4}),
    ],
)
def test_what_is_found_most_is_counted_without_the_withdrawn(shop: Desk, by: str, expected: dict[str, int]) -> None:
    """By each of the questions a shop asks."""
    counted = shop.counts.most(by)  # type: ignore[arg-type]
    found = {one.value if by != "airframe" else (one.value or "").capitalize(): one.count for one in counted}
    expected = {shop.library.page(ENAMEL).system if value == "fabric" else value: n for value, n in expected.items()}
    assert found == expected
    assert sum(one.share for one in counted) == pytest.approx(1)


def test_natures_are_those_of_the_first_page(shop: Desk) -> None:
    """A finding on no page says so."""
    counted = {one.title: one.count for one in shop.counts.most("nature")}
    assert counted.pop("on no page") == 1
    assert sum(counted.values()) == 3


def test_counts_may_be_of_one_aircraft(shop: Desk) -> None:
    """Its name in any case."""
    assert sum(one.count for one in shop.counts.most("system", airframe="two")) == 1


def test_counting_nothing_gives_nothing(desk: Desk) -> None:
    """An empty store is no mistake."""
    assert (desk.counts.open(), desk.counts.most("year"), desk.counts.most("system")) == ([], [], [])


def test_a_twin_on_the_same_aircraft_is_seen_with_the_reason(shop: Desk) -> None:
    """Other aircraft's findings are no twins; pages are offered for all."""
    near = shop.twins.of("white strings seen in the strainer", airframe="one")
    assert near.findings[0].title == "white strings in strainer"
    assert {hit.airframe for hit in near.findings} <= {"One", "one"}
    assert near.findings[0].why
    assert TAPE in [hit.id for hit in near.pages]


@pytest.mark.parametrize("text", ["", "white", "zzzz qqqq xxxx"])
def test_nothing_is_near_what_says_nothing(shop: Desk, text: str) -> None:
    """Two letters make no twin."""
    near = shop.twins.of(text, airframe="One")
    assert (near.findings, near.pages) == ((), ())


def test_a_new_aircraft_has_no_twins_and_is_no_mistake(shop: Desk) -> None:
    """It is being typed for the first time."""
    assert shop.twins.of("white strings in the strainer", airframe="Three").findings == ()


def test_a_finding_is_no_twin_of_itself(shop: Desk) -> None:
    """When it is being revised."""
    own = next(one for one in shop.findings.all() if one.text == "white strings in strainer")
    near = shop.twins.of(own.text, airframe="One", but=own.id)
    assert own.id not in [hit.id for hit in near.findings]


def test_the_names_of_aircraft_are_listed_once_whatever_their_case(shop: Desk) -> None:
    """As first sorted."""
    assert [name.casefold() for name in shop.findings.airframes()] == ["one", "two"]


def test_the_check_needs_a_searcher_only(shop: Desk) -> None:
    """It keeps nothing."""
    before = Store(shop.store.path).findings.last_number()
    TwinCheck(shop.search).of("white strings in the strainer", airframe="One")
    assert shop.store.findings.last_number() == before


@pytest.mark.parametrize("asked", ["quibbleplace", "QB-0012"])
def test_where_it_was_and_on_what_part_is_searched_too(shop: Desk, asked: str) -> None:
    """With the name a reader knows as the reason."""
    kept = shop.findings.add("hole worn through", airframe="One", place="quibbleplace", part="QB-0012")
    hit = shop.search.ask(asked).hits[0]
    assert hit.id == kept.id
    assert hit.why[0].split(": ")[1] in ("where", "part")
