"""The Desk: one object, opened on a store, that hands out what oddfix can do. It holds no logic of its own."""

from __future__ import annotations

from collections.abc import Collection
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from kb.errors import NotFound
from kb.model import Entry, Finding
from kb.store import Store, default_store

if TYPE_CHECKING:
    from kb.airframes import Airframes
    from kb.counts import Counts
    from kb.drafts import Drafts
    from kb.exchange.export import Exporting
    from kb.exchange.importing import Importing
    from kb.exchange.pack import Packs
    from kb.findings import Findings
    from kb.history import History
    from kb.identify import KeyRing
    from kb.library import Library
    from kb.limits.book import LimitBook
    from kb.narrowing import Narrowing
    from kb.own_pages import OwnPages
    from kb.photos import Photos
    from kb.search import Searcher
    from kb.twins import TwinCheck


class Desk:
    """What both faces, commands and screens, talk to. Safe to use from several threads."""

    def __init__(self, store: Store) -> None:
        self.store = store

    @classmethod
    def open(cls, path: Path | None = None, *, entries: Path | None = None) -> Desk:
        """Open a store, create it if need be, and load the entry folder into it if that has changed.

        Args:
            path: the store file; the user's own when None.
            entries: the folder of entries; the one that came with the program when None.

        Raises:
            StoreUnavailable, StoreTooNew: see Store.
            DataProblems: the folder has problems; nothing was loaded.
        """
        from kb.entries.files import default_folder, fingerprint

        store = Store(path or default_store())
        folder = entries or default_folder()
        if store.entries.loaded_fingerprint() != fingerprint(folder):
            _load(store, folder)
        return cls(store)

    def record(self, name: str) -> Entry | Finding:
        """Return the page of this id, or the finding whose id is, or ends in, `name`.

        Raises:
            NotFound: neither; it names the nearest pages.
        """
        try:
            return self.library.page(name)
        except NotFound as no_page:
            try:
                return self.findings.get(name)
            except NotFound:
                raise no_page from None

    @cached_property
    def search(self) -> Searcher:
        """Ask in one's own words."""
        from kb.search import Searcher

        return Searcher(self.store)

    @cached_property
    def library(self) -> Library:
        """Read pages and reading lists by name."""
        from kb.library import Library

        return Library(self.store)

    @cached_property
    def findings(self) -> Findings:
        """Add and read the shop's findings."""
        from kb.findings import Findings

        return Findings(self.store)

    @cached_property
    def history(self) -> History:
        """Read what a finding said before, and go back."""
        from kb.history import History

        return History(self.store)

    @cached_property
    def drafts(self) -> Drafts:
        """Keep what is being typed and is no finding yet."""
        from kb.drafts import Drafts

        return Drafts(self.store)

    @cached_property
    def counts(self) -> Counts:
        """See what is open and what is found most."""
        from kb.counts import Counts

        return Counts(self.store)

    @cached_property
    def twins(self) -> TwinCheck:
        """See whether a finding is in the store already."""
        from kb.twins import TwinCheck

        return TwinCheck(self.search)

    @cached_property
    def photos(self) -> Photos:
        """Add pictures to findings, and see them."""
        from kb.photos import Photos

        return Photos(self.store)

    @cached_property
    def airframes(self) -> Airframes:
        """Say and read what is known of an aircraft."""
        from kb.airframes import Airframes

        return Airframes(self.store)

    @cached_property
    def own_pages(self) -> OwnPages:
        """Write a page of the shop's own from a finding that no page covers."""
        from kb.own_pages import OwnPages

        return OwnPages(self.store, known_names)

    @cached_property
    def importing(self) -> Importing:
        """Take a shop's own table of findings into the store."""
        from kb.exchange.importing import Importing

        return Importing(self.store)

    @cached_property
    def exporting(self) -> Exporting:
        """Write findings as tables that can be read back."""
        from kb.exchange.export import Exporting

        return Exporting(self.store)

    @cached_property
    def packs(self) -> Packs:
        """Swap findings with another shop."""
        from kb.exchange.pack import Packs

        return Packs(self.store, known_names)

    @cached_property
    def identify(self) -> KeyRing:
        """Name a part or material in hand from measurements and marks."""
        from kb.identify import KeyRing

        return KeyRing()

    @cached_property
    def limits(self) -> LimitBook:
        """Give a number its verdict from a printed table."""
        from kb.limits.book import LimitBook

        return LimitBook()

    @cached_property
    def narrow(self) -> Narrowing:
        """Tell causes apart, and say what to look at next."""
        from kb.narrowing import Narrowing

        return Narrowing(self.store, self._find_pages)

    def _find_pages(self, text: str, limit: int) -> list[tuple[str, float]]:
        from kb.search import Filters

        found = self.search.ask(text, limit=limit, filters=Filters(only="pages"), with_tallies=False)
        return [(hit.id, hit.score) for hit in found.hits]


def known_names() -> dict[str, Collection[str]]:
    """Return the names a page may give in `limits` and in `keys`; the check of a folder is handed them."""
    from kb.identify import keys
    from kb.limits import all_limits

    return {"limits": all_limits().keys(), "keys": {key.id for key in keys()}}


def _load(store: Store, folder: Path) -> None:
    from kb.entries.folder import load_folder

    loaded = load_folder(folder, **known_names())
    store.entries.replace_seed(
        loaded.entries.values(), loaded.systems.values(), loaded.words, fingerprint=loaded.fingerprint
    )
