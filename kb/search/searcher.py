"""The Searcher: answers questions over pages and findings, and finds what is like a record."""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import TYPE_CHECKING, Any, TypeVar

import numpy as np

from kb.model import Entry, Finding, ShopEntry
from kb.search.explain import explain
from kb.search.fields import entry_fields, finding_fields, finding_parts
from kb.search.filters import Filters
from kb.search.hits import Answer, Hit
from kb.search.likeness import question_of
from kb.search.pick import best, only, smooth
from kb.search.question import Question, read_question
from kb.search.respell import respell
from kb.search.stock import Stock, Watch, places_of
from kb.search.tally import with_tally
from kb.store import Store

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from kb.search.delta import Delta
    from kb.search.score import Scorer
    from kb.search.shelf import Shelf

_Answered = TypeVar("_Answered")

RUNNERS_UP = 5
"""Pages behind the last one shown that the shop's tally may still bring forward."""

_Scored = tuple[float, "Entry | Finding"]

EVERYTHING = Filters()


class Searcher:
    """Answers questions. Safe to use from several threads; the index is opened at the first question."""

    def __init__(self, store: Store) -> None:
        self._store = store
        self._stock = Stock(store)
        self._lock = threading.Lock()

    def ask(self, text: str, *, limit: int = 10, filters: Filters = EVERYTHING, with_tallies: bool = True) -> Answer:
        """Return the best `limit` hits for a question in the asker's own words; none when nothing of it is known.

        Args:
            with_tallies: let what the shop has confirmed bring pages forward; not where it is weighed anyway.

        Raises:
            NotFound: the filters name a system, nature or airframe there is not.
        """
        filters.check(self._store)
        with self._lock:
            return self._surely(lambda: self._answer(self._read(text), limit, filters, with_tallies))

    def like(self, record: Entry | Finding, *, limit: int = 10, filters: Filters = EVERYTHING) -> Answer:
        """Return what is most like an entry or a finding, itself left out.

        Raises:
            NotFound: the filters name a system, nature or airframe there is not.
        """
        filters.check(self._store)
        fields = entry_fields(record) if isinstance(record, Entry) else finding_fields(record)

        def like() -> Answer:
            hits = self._hits(question_of(fields, self._stock.pages), limit + 1, filters)
            return Answer(tuple([hit for hit in hits if hit.id != record.id][:limit]))

        with self._lock:
            return self._surely(like)

    def read(self, text: str) -> Question:
        """Return how a question is read: what it asks for, and what was respelled."""
        with self._lock:
            return self._surely(lambda: self._read(text))

    def warm(self, watch: Watch = lambda said: None) -> None:
        """Open or build the index now, so that the first question need not wait; `watch` is told how far it is."""
        with self._lock:
            self._stock.catch_up(watch)

    def _surely(self, answer: Callable[[], _Answered]) -> _Answered:
        """Return the answer from what the store holds now; from a new index when the kept one turns out damaged."""
        self._stock.catch_up()
        try:
            return answer()
        except (IndexError, UnicodeDecodeError):  # places and words that an index of this store cannot hold
            self._stock.forget()
            self._stock.catch_up()
            return answer()

    def _answer(self, question: Question, limit: int, filters: Filters, with_tallies: bool) -> Answer:
        hits = tuple(self._hits(question, limit, filters, with_tallies=with_tallies))
        return Answer(hits, question.read_as, self._unknown(question))

    def _read(self, text: str) -> Question:
        shelves = self._stock.shelves()

        def is_known(word: str, term: str) -> bool:
            return self._stock.pages.has_word(word) or any(shelf.find(term) >= 0 for shelf in shelves)

        return read_question(
            text, self._stock.lexicon, is_known=is_known, respell=self._respell, far_commoner=self._far_commoner
        )

    def _respell(self, word: str) -> list[str]:
        pages, findings = self._stock.pages, self._stock.findings

        def count(one: str) -> int:
            used = pages.word_count(one) + sum(shelf.word_count(one) for shelf in findings)
            return used or pages.commonness(one)

        return respell(word, self._stock.known_words(), count)

    def _far_commoner(self, word: str) -> str | None:
        shelves = (self._stock.pages, *self._stock.findings)
        return next((found for shelf in shelves if (found := shelf.far_commoner(word))), None)

    def _unknown(self, question: Question) -> tuple[str, ...]:
        terms = {term for shelf in self._stock.shelves() for term in _met(question, shelf)}
        return tuple(w.typed for w in question.wanted if not any(t in terms for way in w.ways for t in way.terms))

    def _hits(self, question: Question, limit: int, filters: Filters, *, with_tallies: bool = True) -> list[Hit]:
        found: list[_Scored] = []
        if filters.lets_pages:
            found += self._best_pages(question, limit, filters, with_tallies)
        if filters.lets_findings:
            found += self._best_findings(question, limit, filters)
        found.sort(key=lambda pair: (-pair[0], isinstance(pair[1], Finding), pair[1].id))
        shown = found[:limit]  # only these need a reason
        confirmed = self._store.findings.confirmed([one.id for _, one in shown if isinstance(one, Entry)])
        return [_hit(record, earned, question, confirmed.get(record.id, 0)) for earned, record in shown]

    def _best_pages(self, question: Question, limit: int, filters: Filters, with_tallies: bool) -> list[_Scored]:
        shelf, ids = self._stock.pages, self._stock.ids
        scores: NDArray[Any] = self._stock.pages_scorer.score(question)
        most = self._stock.pages_scorer.ceiling(question, _unknown_word(shelf))
        if shelf.settings.neighbours and scores.any():
            scores = smooth(scores, shelf.near, shelf.near_share, shelf.settings.share)
        named = question.folded.replace(" ", "-")
        if named in ids:
            most = max(most, 1.0)
            scores = scores.astype(np.float32)
            scores[places_of(shelf.keys, [ids.index(named)])] = most
        if filters.choose_pages:
            allowed = set(self._store.entries.chosen(**filters.choose_pages))
            scores = only(scores, [place for place, key in enumerate(shelf.keys) if ids[key] in allowed])
        places = best(_padded(scores), limit + RUNNERS_UP)
        earned = {ids[shelf.keys[place]]: float(scores[place]) / most for place in places}
        confirmed = self._store.findings.confirmed(list(earned) if with_tallies else [])
        moved = {name: round(with_tally(score, confirmed.get(name, 0)), 4) for name, score in earned.items()}
        first = sorted(moved, key=lambda name: (-moved[name], name))[:limit]
        return [(moved[entry.id], entry) for entry in self._store.entries.some(first)]

    def _best_findings(self, question: Question, limit: int, filters: Filters) -> list[_Scored]:
        numbers = self._store.findings.chosen(**filters.choose_findings) if filters.choose_findings else None
        leaders: list[_Scored] = []
        for scorer in self._stock.findings_scorers:
            most = scorer.ceiling(question, _unknown_word(self._stock.pages)) or 1.0
            scored, found = self._latest(scorer, question, limit, numbers)
            leaders += [(round(scored[number] / most, 4), finding) for number, finding in found.items()]
        return leaders

    def _latest(
        self, scorer: Scorer, question: Question, limit: int, numbers: list[int] | None
    ) -> tuple[dict[int, float], dict[int, Finding]]:
        """Return scores and findings by number. What was changed or withdrawn since it was indexed is hidden."""
        keys = np.asarray(scorer.shelf.keys)
        among = None if numbers is None else places_of(keys, numbers)
        while True:
            scored = {int(keys[place]): score for place, score in scorer.leaders(question, limit, among)}
            found = self._store.findings.numbered(scored)
            if len(found) == len(scored):
                return scored, found
            scorer.hide(places_of(keys, [number for number in scored if number not in found]))


def _unknown_word(shelf: Shelf) -> float:
    return shelf.idf(-1) * shelf.settings.scale


def _met(question: Question, shelf: Shelf | Delta) -> set[str]:
    terms = {term for wanted in question.wanted for way in wanted.ways for term in way.terms}
    return {term for term in terms if shelf.find(term) >= 0}


def _padded(scores: NDArray[Any]) -> NDArray[Any]:
    return np.pad(scores, (0, -len(scores) % 64))


def _hit(record: Entry | Finding, earned: float, question: Question, confirmed: int) -> Hit:
    if isinstance(record, Finding):
        return _finding_hit(record, earned, question)
    return _entry_hit(record, earned, question, confirmed)


def _entry_hit(entry: Entry, earned: float, question: Question, confirmed: int) -> Hit:
    times = "once" if confirmed == 1 else f"{confirmed} times"
    told = (f"confirmed by this shop {times}",) if confirmed else ()
    return Hit(
        kind="entry",
        id=entry.id,
        title=entry.title,
        system=entry.system,
        urgency=entry.urgency,
        score=earned,
        why=(*explain(question, entry_fields(entry)), *told),
        origin="shop" if isinstance(entry, ShopEntry) else None,
    )


def _finding_hit(finding: Finding, earned: float, question: Question) -> Hit:
    return Hit(
        kind="finding",
        id=finding.id,
        title=finding.text,
        system=finding.system,
        urgency=None,
        score=earned,
        why=explain(question, finding_parts(finding)),
        airframe=finding.airframe,
        state=finding.state,
        created=finding.created,
    )
