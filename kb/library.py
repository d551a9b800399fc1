"""The library: reads pages and reading lists, and names the nearest page when a name is off."""

from __future__ import annotations

from kb.errors import NotFound
from kb.model import URGENCY_WORDS, Entry, System
from kb.names import nearest_names
from kb.store import Store


class Library:
    """What a reader may ask for by name."""

    def __init__(self, store: Store) -> None:
        self._store = store

    def page(self, entry_id: str) -> Entry:
        """Return one entry.

        Raises:
            NotFound: no entry has this id; it names the nearest ones.
        """
        try:
            return self._store.entries.get(entry_id)
        except NotFound:
            raise NotFound("page", entry_id, nearest_names(entry_id, self._store.entries.ids())) from None

    def size(self) -> int:
        """Return how many pages there are."""
        return len(self._store.entries.ids())

    def systems(self) -> list[tuple[System, int]]:
        """Return the systems in reading order, each with how many pages it has."""
        counts: dict[str, int] = {}
        for entry in self._readable():
            counts[entry.system] = counts.get(entry.system, 0) + 1
        return [(system, counts.get(system.id, 0)) for system in self._store.entries.systems()]

    def system_titles(self) -> dict[str, str]:
        """Return the title of each system by id, in reading order; cheaper than `systems`, which counts pages."""
        return {system.id: system.title for system in self._store.entries.systems()}

    def pages_with_limit(self, limit_id: str) -> list[Entry]:
        """Return the pages that name this limit, the most pressing first, then by title."""
        found = [entry for entry in self._store.entries.with_limit(limit_id) if not entry.is_withdrawn]
        return sorted(found, key=lambda entry: (_pressing(entry), entry.title))

    def reading_list(self, system_id: str) -> tuple[System, list[Entry]]:
        """Return a system and its pages, the most pressing first, then by title.

        Raises:
            NotFound: no system has this id; it names the nearest ones.
        """
        systems = {system.id: system for system in self._store.entries.systems()}
        if system_id not in systems:
            raise NotFound("system", system_id, nearest_names(system_id, list(systems)) or tuple(systems))
        entries = self._readable(system_id)
        return systems[system_id], sorted(entries, key=lambda entry: (_pressing(entry), entry.title))

    def _readable(self, system: str | None = None) -> list[Entry]:
        return [entry for entry in self._store.entries.all(system=system) if not entry.is_withdrawn]


def _pressing(entry: Entry) -> int:
    return list(URGENCY_WORDS).index(entry.urgency)
