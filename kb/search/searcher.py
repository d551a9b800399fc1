"""The Searcher: keeps the index in step with the store and answers questions over entries and findings."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterable, Mapping

from kb.errors import IndexProblem
from kb.model import Entry, Finding
from kb.search.delta import Delta
from kb.search.explain import explain
from kb.search.fields import ENTRY_WEIGHTS, FINDING_WEIGHTS, entry_fields, finding_fields
from kb.search.hits import Answer, Hit
from kb.search.lexicon import Lexicon
from kb.search.question import Question, read_question
from kb.search.respell import respell
from kb.search.score import best, score
from kb.search.settings import FOLD_IN
from kb.search.shelf import Shelf, read_shelf, write_shelf
from kb.store import Store


class Searcher:
    """Answers questions. Safe to use from several threads; the index is opened at the first question."""

    def __init__(self, store: Store) -> None:
        self._store = store
        self._folder = store.path.with_name(f"{store.path.name}.index")
        self._lock = threading.Lock()
        self._stamp = ""
        self._ids: list[str] = []
        self._entries: Shelf
        self._lexicon: Lexicon
        self._findings: Shelf | None = None
        self._delta: Delta
        self._read_to = 0

    def ask(self, text: str, *, limit: int = 10) -> Answer:
        """Return the best `limit` hits for a question in the asker's own words; no hits when nothing of it is known."""
        with self._lock:
            self._catch_up()
            question = self._read(text)
            found = [*self._entry_hits(question, limit), *self._finding_hits(question, limit)]
        found.sort(key=lambda hit: (-hit.score, hit.kind, hit.id))
        unknown = tuple(wanted.typed for wanted in question.wanted if not wanted.ways or not self._is_met(wanted.ways))
        return Answer(tuple(found[:limit]), question.read_as, unknown)

    def warm(self) -> None:
        """Open or build the index now, so that the first question need not wait."""
        with self._lock:
            self._catch_up()

    def _read(self, text: str) -> Question:
        def is_known(term: str) -> bool:
            return any(shelf.find(term) >= 0 for shelf in self._shelves())

        def nearest(word: str) -> list[str]:
            return respell(word, self._entries.written_words(), self._entries.word_count)

        return read_question(text, self._lexicon, is_known=is_known, respell=nearest)

    def _is_met(self, ways: Iterable[object]) -> bool:
        return any(
            shelf.find(term) >= 0 for way in ways for term in getattr(way, "terms", ()) for shelf in self._shelves()
        )

    def _shelves(self) -> list[Shelf | Delta]:
        kept: list[Shelf | Delta] = [self._entries, self._delta]
        return [*kept, self._findings] if self._findings else kept

    def _entry_hits(self, question: Question, limit: int) -> list[Hit]:
        scores = score(question, self._entries)
        ids = [self._ids[key] for key in self._entries.keys]
        name = question.folded.replace(" ", "-")
        if name in ids:
            scores[ids.index(name)] = 1.0
        places = best(scores, limit)
        entries = self._store.entries.some(ids[place] for place in places)
        return [_entry_hit(entry, float(scores[p]), question) for entry, p in zip(entries, places, strict=True)]

    def _finding_hits(self, question: Question, limit: int) -> list[Hit]:
        scored: dict[int, float] = {}
        for shelf in (self._findings, self._delta):
            if shelf is not None and shelf.size:
                scores = score(question, shelf)
                scored |= {int(shelf.keys[place]): float(scores[place]) for place in best(scores, limit)}
        found = self._store.findings.numbered(scored)
        return [_finding_hit(finding, scored[number], question) for number, finding in found.items()]

    def _catch_up(self) -> None:
        stamp = self._store.entries.stamp()
        if stamp != self._stamp:
            self._entries = self._kept("entries", stamp, ENTRY_WEIGHTS, self._entry_records, self._words)
            self._lexicon = Lexicon.from_bytes(self._entries.lexicon)
            self._ids = self._store.entries.ids()
            self._stamp = stamp
            self._open_findings()
        last = self._store.findings.last_number()
        if last - self._read_to + self._delta.size > FOLD_IN:
            self._open_findings()
        if last > self._read_to:
            for row in self._store.findings.since(self._read_to):
                self._delta.add(finding_fields(row.finding), row.number)
            self._read_to = last

    def _open_findings(self) -> None:
        last = self._store.findings.last_number()
        folded = last - last % FOLD_IN
        self._findings, self._read_to = None, folded
        if folded:
            stamp = f"{self._store.identity()}-{folded}"
            self._findings = self._kept("findings", stamp, FINDING_WEIGHTS, lambda: self._finding_records(folded))
        means = self._findings.means if self._findings else [15.0, 10.0, 3.0]
        base = self._findings or self._entries
        self._delta = Delta(FINDING_WEIGHTS, means, lambda term: base.idf(base.find(term)))

    def _entry_records(self) -> tuple[list[dict[str, str]], list[int]]:
        entries = self._store.entries.all()
        numbered = [(place, entry) for place, entry in enumerate(entries) if not entry.is_withdrawn]
        return [entry_fields(entry) for _, entry in numbered], [place for place, _ in numbered]

    def _words(self) -> bytes:
        return Lexicon.of_words(self._store.entries.words()).to_bytes()

    def _finding_records(self, last: int) -> tuple[list[dict[str, str]], list[int]]:
        rows = [row for row in self._store.findings.since(0) if row.number <= last]
        return [finding_fields(row.finding) for row in rows], [row.number for row in rows]

    def _kept(
        self,
        name: str,
        stamp: str,
        weights: Mapping[str, float],
        read: Callable[[], tuple[list[dict[str, str]], list[int]]],
        words: Callable[[], bytes] = bytes,
    ) -> Shelf:
        """Open the kept index of this state, or build it and keep it if the disk allows."""
        try:
            return read_shelf(self._folder / name, stamp=stamp)
        except IndexProblem:
            from kb.search.build import build

            records, keys = read()
            arrays = build(records, keys, weights)
            lexicon = words()
            try:
                write_shelf(arrays, self._folder / name, stamp=stamp, lexicon=lexicon)
            except OSError:
                pass  # a full or read-only disk costs time at the next start, never an answer
            return Shelf(arrays, lexicon)


def _entry_hit(entry: Entry, earned: float, question: Question) -> Hit:
    return Hit(
        kind="entry",
        id=entry.id,
        title=entry.title,
        system=entry.system,
        urgency=entry.urgency,
        score=round(earned, 4),
        why=explain(question, entry_fields(entry)),
    )


def _finding_hit(finding: Finding, earned: float, question: Question) -> Hit:
    return Hit(
        kind="finding",
        id=finding.id,
        title=finding.text,
        system=finding.system,
        urgency=None,
        score=round(earned, 4),
        why=explain(question, finding_fields(finding)),
        airframe=finding.airframe,
        state=finding.state,
        created=finding.created,
    )
