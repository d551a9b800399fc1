"""Keeps the shelves in step with the store: the pages' shelf, the findings' shelf, and the delta of newer findings."""

from __future__ import annotations

import shutil
import time
from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING

import numpy as np

from kb.errors import IndexProblem
from kb.search.delta import Delta
from kb.search.fields import (
    ENTRY_WEIGHTS,
    FINDING_MEANS,
    FINDING_WEIGHTS,
    entry_fields,
    finding_fields,
    searched_text,
)
from kb.search.keep import read_shelf, write_shelf
from kb.search.lexicon import Lexicon
from kb.search.score import Scorer
from kb.search.settings import FINDINGS, FOLD_IN, PAGES, Settings
from kb.search.shelf import Shelf
from kb.search.spans import Span, kept_spans, stamp_of
from kb.store import Store, index_folder

if TYPE_CHECKING:
    from numpy.typing import NDArray

Watch = Callable[[str], None]
"""Told in words how far a build has come; may raise to stop it."""

SMALL = 20_000
"""Findings up to which every word of theirs may be what a misspelt one meant; above, those written OFTEN times."""

OFTEN = 5

_Read = Callable[[], tuple[list[dict[str, str]], list[int]]]


class Stock:
    """What can be searched just now. Not safe for threads by itself; the Searcher holds the lock."""

    def __init__(self, store: Store) -> None:
        self._store = store
        self._folder = index_folder(store.path)
        self._stamp = ""
        self._folded = 0
        self._read_to = 0
        self._mark = ""
        self.ids: list[str] = []
        self.pages: Shelf
        self.pages_scorer: Scorer
        self.lexicon: Lexicon
        self.findings: list[Shelf] = []
        self._spans: list[Span] = []
        self.findings_scorers: list[Scorer] = []
        self.delta: Delta
        self._known: list[str] = []

    def shelves(self) -> list[Shelf | Delta]:
        """Return everything that has words."""
        return [self.pages, self.delta, *self.findings]

    def known_words(self) -> list[str]:
        """Return the words a misspelt one may have meant, sorted; gathered when the first one is met."""
        if not self._known:
            known = set(self.pages.common_words(0))
            least = 1 if sum(shelf.size for shelf in self.findings) <= SMALL else OFTEN
            for shelf in self.findings:
                known.update(shelf.common_words(least))
            self._known = sorted(known)
        return self._known

    def catch_up(self, watch: Watch = lambda said: None) -> None:
        """Take in what changed in the store since the last call; builds an index only when there is none to open."""
        stamp = self._store.entries.stamp()
        if stamp != self._stamp:
            self.pages = self._kept("pages", stamp, ENTRY_WEIGHTS, PAGES, self._read_entries, watch, self._words)
            self.pages_scorer = Scorer(self.pages)
            self.lexicon = Lexicon.from_bytes(self.pages.lexicon)
            self.ids = self._store.entries.ids()
            self._open_findings(watch)
            self._stamp = stamp
        elif self._store.findings.mark_at(self._read_to) != self._mark:
            self._open_findings(watch)  # another store, or an older copy of this one, stands in its place
        if self._store.findings.last_number() - self._folded > 2 * FOLD_IN:
            self._open_findings(watch)
        self._read_newer()

    def forget(self) -> None:
        """Throw away what is kept; the next call of `catch_up` builds it anew."""
        shutil.rmtree(self._folder, ignore_errors=True)
        self._stamp = ""

    def _read_newer(self) -> None:
        last = self._store.findings.last_number()
        if last == self._read_to:
            return
        for row in self._store.findings.since(self._read_to):
            self.delta.add(finding_fields(row.finding), row.number)
            last = max(last, row.number)
        self._read_to, self._mark = last, self._store.findings.mark_at(last)
        self._hide_replaced()

    def _open_findings(self, watch: Watch) -> None:
        self._spans = kept_spans(self._store.findings.last_number(), FOLD_IN)
        self.findings = [self._kept_findings(span, watch) for span in self._spans]
        self._known = []
        means = self.findings[0].means if self.findings else FINDING_MEANS
        base = self.findings[0] if self.findings else self.pages
        self.delta = Delta(FINDING_WEIGHTS, means, FINDINGS, lambda term: base.idf(base.find(term)))
        self.findings_scorers = [*map(Scorer, self.findings), Scorer(self.delta)]
        self._folded = self._read_to = self._spans[-1].up_to if self._spans else 0
        self._mark = self._store.findings.mark_at(self._folded)
        self._hide_replaced()

    def _kept_findings(self, span: Span, watch: Watch) -> Shelf:
        stamp = stamp_of(span, self._store.findings.mark_at(span.up_to))
        return self._kept(span.folder, stamp, FINDING_WEIGHTS, FINDINGS, lambda: self._read_findings(span), watch)

    def _hide_replaced(self) -> None:
        for span, scorer, shelf in zip(self._spans, self.findings_scorers, self.findings, strict=False):
            numbers = self._store.findings.replaced(after=span.after, up_to=span.up_to)
            scorer.hide(places_of(shelf.keys, numbers))

    def _kept(
        self,
        name: str,
        stamp: str,
        weights: Mapping[str, float],
        settings: Settings,
        read: _Read,
        watch: Watch,
        words: Callable[[], bytes] = bytes,
    ) -> Shelf:
        """Open the kept index of this state, or build it and keep it if the disk allows."""
        try:
            return read_shelf(self._folder / name, settings, stamp=stamp)
        except IndexProblem:
            from kb.search.build import build
            from kb.search.plain import right_words

            lexicon = words()
            records, keys = read()
            right = right_words(self._store.entries.words())
            arrays = build(records, keys, weights, settings, right_words=right, progress=_in_words(name, watch))
            watch("")
            try:
                write_shelf(arrays, settings, self._folder / name, stamp=stamp, lexicon=lexicon)
            except OSError:
                pass  # a full or read-only disk costs time at the next start, never an answer
            return Shelf(arrays, settings, lexicon)

    def _read_entries(self) -> tuple[list[dict[str, str]], list[int]]:
        numbered = [(n, entry) for n, entry in enumerate(self._store.entries.all()) if not entry.is_withdrawn]
        return [entry_fields(entry) for _, entry in numbered], [n for n, _ in numbered]

    def _read_findings(self, span: Span) -> tuple[list[dict[str, str]], list[int]]:
        rows = self._store.findings.searched(after=span.after, up_to=span.up_to)
        return [{"all": searched_text(*texts)} for _, texts in rows], [number for number, _ in rows]

    def _words(self) -> bytes:
        return Lexicon.of_words(self._store.entries.words()).to_bytes()


def places_of(keys: NDArray[np.int64], numbers: list[int]) -> NDArray[np.intp]:
    """Return the places of those `numbers` that are among the sorted `keys`."""
    if not numbers or not len(keys):
        return np.empty(0, dtype=np.intp)
    places = np.searchsorted(keys, numbers)
    places[places == len(keys)] = 0
    found: NDArray[np.intp] = places[keys[places] == np.asarray(numbers)]
    return found


def _in_words(name: str, watch: Watch) -> Callable[[int, int], None]:
    start = time.monotonic()

    def progress(done: int, total: int) -> None:
        seconds = time.monotonic() - start
        if not done or seconds < 0.5:
            watch(f"reading {total:,} {name}")
            return
        rate = done / seconds
        watch(f"reading {name}: {done:,} of {total:,}, {rate:,.0f} a second, {(total - done) / rate:.0f} s left")

    return progress
