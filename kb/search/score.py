"""Scores the records of a shelf against a question."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

import numpy as np

from kb.search.question import Question, Wanted, Way

if TYPE_CHECKING:
    from numpy.typing import NDArray


class Postings(Protocol):
    """What scoring needs to know of records: a kept shelf or the delta."""

    @property
    def size(self) -> int: ...
    def find(self, term: str) -> int: ...
    def postings(self, number: int) -> tuple[NDArray[np.int32], NDArray[np.float32]]: ...
    def idf(self, number: int) -> float: ...


def score(question: Question, shelf: Postings) -> NDArray[np.float32]:
    """Return the score of each record, float32 (n,): 0 where nothing matched, 1 where every word earned all it could.

    Of the ways to meet one wanted thing the best counts. Records with an excluded term score 0.
    """
    total = np.zeros(shelf.size, dtype=np.float32)
    if not shelf.size:
        return total
    for wanted in question.wanted:
        total += _earned(wanted, shelf)
    for term in question.excluded:
        if (number := shelf.find(term)) >= 0:
            total[shelf.postings(number)[0]] = 0
    return total / max(_could_earn(question, shelf), 1e-9)


def best(scores: NDArray[np.float32], limit: int) -> list[int]:
    """Return the places of the highest scores above 0, highest first, ties by place."""
    places = np.flatnonzero(scores)
    order = np.lexsort((places, -scores[places]))
    return [int(place) for place in places[order[:limit]]]


def _earned(wanted: Wanted, shelf: Postings) -> NDArray[np.float32]:
    highest = np.zeros(shelf.size, dtype=np.float32)
    for way in wanted.ways:
        np.maximum(highest, _of_way(way, shelf), out=highest)
    return highest


def _of_way(way: Way, shelf: Postings) -> NDArray[np.float32]:
    earned = np.zeros(shelf.size, dtype=np.float32)
    for term in way.terms:
        if (number := shelf.find(term)) >= 0:
            records, impacts = shelf.postings(number)
            earned[records] += impacts * (way.weight / len(way.terms))
    return earned


def _could_earn(question: Question, shelf: Postings) -> float:
    """What one record would earn that is the best there is for every wanted thing; unknown things count their idf."""
    return sum(max((_most_of(way, shelf) for way in wanted.ways), default=shelf.idf(-1)) for wanted in question.wanted)


def _most_of(way: Way, shelf: Postings) -> float:
    most = 0.0
    for term in way.terms:
        number = shelf.find(term)
        most += float(shelf.postings(number)[1].max()) if number >= 0 else shelf.idf(-1)
    return most * way.weight / len(way.terms)
