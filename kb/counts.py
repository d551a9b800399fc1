"""Lists that answer a shop's questions: what is open and how pressing it is, and what is found most."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import Literal

import msgspec

from kb.model import URGENCY_WORDS, Finding
from kb.store import Store

By = Literal["system", "nature", "cause", "page", "airframe", "state", "year"]

NOTHING_SAID: dict[str, str] = {
    "system": "no system",
    "nature": "on no page",
    "cause": "no cause confirmed",
    "state": "no state",
}
"""How findings are called that have no such value."""


class Pressing(msgspec.Struct, frozen=True):
    """A finding with the urgency of the most pressing page it is linked to; None when it is linked to no page."""

    finding: Finding
    urgency: str | None
    page: str | None


class Count(msgspec.Struct, frozen=True):
    """How many findings have a value; `share` is of all that were counted, `title` is how a reader calls the value."""

    value: str | None
    title: str
    count: int
    share: float


class Counts:
    """Counts findings and puts them in order; withdrawn ones are left out."""

    def __init__(self, store: Store) -> None:
        self._store = store

    def open(self, *, airframe: str | None = None, limit: int = -1) -> list[Pressing]:
        """Return the open findings, most pressing first, in one urgency the oldest first; of one airframe if named."""
        urgencies = self._store.entries.values_of("urgency")
        found = self._store.findings.open_by(tuple(URGENCY_WORDS), airframe=airframe, limit=limit)
        return [Pressing(finding, urgencies[page] if page else None, page) for finding, page in found]

    def most(self, by: By, *, airframe: str | None = None) -> list[Count]:
        """Return what is found most, first; years in their order. A finding on several pages counts for each."""
        titles = self._titles(by)
        if by == "page":
            counted: Sequence[tuple[str | None, int]] = self._store.findings.linked(airframe=airframe)
        elif by == "nature":
            counted = self._by_nature(airframe)
        else:
            counted = self._store.findings.counts(by, airframe=airframe)
        total = sum(count for _, count in counted) or 1
        return [
            Count(value, titles.get(value or "", value or NOTHING_SAID.get(by, "nothing said")), count, count / total)
            for value, count in counted
        ]

    def _by_nature(self, airframe: str | None) -> list[tuple[str | None, int]]:
        natures = self._store.entries.values_of("nature")
        summed: Counter[str | None] = Counter()
        for page, count in self._store.findings.first_linked(airframe=airframe):
            summed[natures.get(page or "")] += count
        return sorted(summed.items(), key=lambda item: (-item[1], item[0] or ""))

    def _titles(self, by: By) -> dict[str, str]:
        if by == "system":
            return {system.id: system.title for system in self._store.entries.systems()}
        if by == "page":
            return self._store.entries.values_of("title")
        if by == "nature":
            return {nature: nature.replace("-", " ") for nature in self._store.entries.values_of("nature").values()}
        return {}
