"""Looks for what is in the store already while a finding is being written: nearest findings, nearest pages."""

from __future__ import annotations

import msgspec

from kb.errors import NotFound
from kb.search import Filters, Hit, Searcher

SHORTEST = 8
"""Characters of text below which nothing is near. Chosen by hand: two short words."""

LEAST = 0.2
"""Score, 0 to 1, below which a hit is no twin. Chosen by the tests of the twin check."""


class Twins(msgspec.Struct, frozen=True):
    """What is near a text; each hit says why. `findings` are those of the airframe, newest word of each."""

    findings: tuple[Hit, ...] = ()
    pages: tuple[Hit, ...] = ()


class TwinCheck:
    """Finds twins. It decides nothing: whoever writes links, adds to a twin, or keeps a new finding."""

    def __init__(self, searcher: Searcher) -> None:
        self._searcher = searcher

    def of(self, text: str, *, airframe: str | None = None, limit: int = 3, but: str | None = None) -> Twins:
        """Return the nearest pages, and the nearest findings of the airframe when it is known, best first.

        Args:
            but: the id of a finding that is no twin of itself.
        """
        if len(text.strip()) < SHORTEST:
            return Twins()
        pages = self._near(text, Filters(only="pages"), limit)
        if not airframe or not airframe.strip():
            return Twins(pages=pages)
        try:
            found = self._near(text, Filters(only="findings", airframe=airframe.strip()), limit + 1)
        except NotFound:  # an aircraft without findings has no twins
            found = ()
        return Twins(tuple(hit for hit in found if hit.id != but)[:limit], pages)

    def _near(self, text: str, filters: Filters, limit: int) -> tuple[Hit, ...]:
        hits = self._searcher.ask(text, limit=limit, filters=filters).hits
        return tuple(hit for hit in hits if hit.score >= LEAST)
