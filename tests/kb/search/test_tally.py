"""The shop's confirmed causes bring pages forward."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.desk import Desk
from kb.search import Filters
from kb.search.tally import with_tally

TAPE = "thread-tape-in-fuel-fittings"
QUESTION = "strings in the strainer"
PAGES = Filters(only="pages")


@given(earned=st.floats(0, 1), confirmed=st.integers(0, 100))
def test_a_tally_brings_forward_and_never_past_what_fits_wholly(earned: float, confirmed: int) -> None:
    """More confirmed, never less score; the order of equal tallies stays."""
    moved = with_tally(earned, confirmed)
    assert earned <= moved <= 1
    assert with_tally(earned, confirmed + 1) >= moved


def test_a_page_the_shop_has_confirmed_rises_and_says_why(desk: Desk) -> None:
    """By how often; the page's own words come first in the reason."""
    before = desk.search.ask(QUESTION, filters=PAGES).hits
    page = before[3]
    cause = desk.library.page(page.id).causes[0].id
    for number in range(20):
        desk.findings.add(f"number {number}", airframe="A", cause=f"{page.id}/{cause}")
    after = {hit.id: hit for hit in desk.search.ask(QUESTION, filters=PAGES).hits}
    assert after[page.id].score > page.score
    assert after[page.id].why[-1] == "confirmed by this shop 20 times"
    assert list(after).index(page.id) < 3


def test_what_is_withdrawn_or_taken_back_counts_no_more(desk: Desk) -> None:
    """The score is again what it was."""
    before = desk.search.ask(QUESTION, filters=PAGES).hits
    cause = f"{TAPE}/{desk.library.page(TAPE).causes[0].id}"
    kept = [desk.findings.add("found", airframe="A", cause=cause).id for _ in range(2)]
    assert desk.search.ask(QUESTION, filters=PAGES).hits != before
    desk.findings.withdraw(kept[0])
    desk.findings.confirm(kept[1], None)
    assert desk.search.ask(QUESTION, filters=PAGES).hits == before


@pytest.mark.parametrize(("count", "said"), [(1, "once"), (100, "100 times"), (130, "100 times")])
def test_it_is_counted_to_a_hundred(desk: Desk, count: int, said: str) -> None:
    """More tells nothing more, and costs time."""
    cause = f"{TAPE}/{desk.library.page(TAPE).causes[0].id}"
    for number in range(count):
        desk.findings.add(f"number {number}", airframe="A", cause=cause)
    hit = next(hit for hit in desk.search.ask(QUESTION, filters=PAGES).hits if hit.id == TAPE)
    assert hit.why[-1] == f"confirmed by this shop {said}"


def test_narrowing_weighs_what_was_confirmed_once(desk: Desk) -> None:
    """As a tally of its causes, not as a better match of their page too."""
    before = desk.narrow.start(QUESTION).session.pages
    cause = f"{TAPE}/{desk.library.page(TAPE).causes[0].id}"
    for number in range(9):
        desk.findings.add(f"number {number}", airframe="A", cause=cause)
    assert desk.narrow.start(QUESTION).session.pages == before
