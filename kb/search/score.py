"""Scores the records of a shelf against a question, and picks the best.

Scores are whole numbers: scaled impacts added up. A term in few records is a list that is added place by place; a
term in very many is a column that is added whole, as bytes while they last. Of several ways to meet one wanted thing
the best counts, which is reckoned in rows beside the total.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any, Protocol

import numpy as np

from kb.search.question import Question, Wanted, Way

if TYPE_CHECKING:
    from numpy.typing import NDArray

BLOCK = 64
"""Records looked at together when the best are picked."""

_STRIDE = 65_536


class Postings(Protocol):
    """What scoring needs to know of records: a kept shelf or the delta."""

    @property
    def size(self) -> int: ...
    @property
    def keys(self) -> Sequence[int] | NDArray[np.int64]: ...
    def find(self, term: str) -> int: ...
    def postings(self, number: int) -> tuple[NDArray[np.int32], NDArray[np.uint16]]: ...
    def column(self, number: int) -> NDArray[np.uint8] | None: ...
    def top(self, number: int) -> int: ...


class Scorer:
    """Scores questions against one shelf. Keeps its rows of numbers between questions; one thread at a time."""

    def __init__(self, shelf: Postings) -> None:
        self.shelf = shelf
        self._size = -1
        self._kind: Any = None
        self._rows: tuple[NDArray[Any], ...] = ()
        self._bytes: NDArray[np.uint8] = np.empty(0, dtype=np.uint8)

    def score(self, question: Question) -> NDArray[Any]:
        """Return the scaled score of each record, uint16 or, for long questions, uint32; (n padded to BLOCK,).

        Records that have an excluded term score 0. The row is written over by the next question.
        """
        known = [ways for wanted in question.wanted if (ways := self._known(wanted))]
        most = sum(max(self._most_of(way) for way in ways) for ways in known)
        total, highest, earned = self._cleared(np.uint16 if most <= 65_535 else np.uint32)
        columns: list[tuple[int, NDArray[np.uint8]]] = []
        for ways in known:
            if len(ways) == 1:
                self._add_way(ways[0], total, columns)
            else:
                self._add_best_way(ways, total, highest, earned)
        self._add_columns(columns, total)
        for term in question.excluded:
            self._clear(term, total)
        return total

    def ceiling(self, question: Question, unknown: float) -> float:
        """Return the scaled score of a record that is the best there is for every wanted thing.

        A thing that no record meets counts `unknown`, so that a shelf that lacks a word cannot claim to answer all.
        """
        known = (self._known(wanted) for wanted in question.wanted)
        return sum(max((self._most_of(way) for way in ways), default=unknown) for ways in known)

    def _cleared(self, kind: Any) -> tuple[NDArray[Any], ...]:
        """Return total, highest and earned, all 0. The last two are left so by whoever uses them."""
        if self._size != self.shelf.size or self._kind is not kind:
            self._size, self._kind = self.shelf.size, kind
            self._bytes = np.empty(-(-self._size // BLOCK) * BLOCK, dtype=np.uint8)
            self._rows = tuple(np.zeros(-(-self._size // BLOCK) * BLOCK, dtype=kind) for _ in range(3))
        self._rows[0].fill(0)
        return self._rows

    def _known(self, wanted: Wanted) -> _Known:
        ways = (self._numbers(way) for way in wanted.ways)
        return [(numbers, weight) for numbers, weight in ways if numbers]

    def _numbers(self, way: Way) -> tuple[tuple[int, ...], float]:
        numbers = tuple(number for term in way.terms if (number := self.shelf.find(term)) >= 0)
        return numbers, way.weight / len(way.terms)

    def _most_of(self, way: tuple[tuple[int, ...], float]) -> int:
        numbers, weight = way
        return int(np.ceil(sum(self.shelf.top(number) for number in numbers) * weight))

    def _add_way(
        self, way: tuple[tuple[int, ...], float], row: NDArray[Any], columns: list[tuple[int, NDArray[np.uint8]]] | None
    ) -> None:
        """Add the weighed impacts of a way's terms to a row; whole columns are left to the caller if it takes them."""
        numbers, weight = way
        for number in numbers:
            column = self.shelf.column(number)
            if column is None:
                records, impacts = self.shelf.postings(number)
                np.add.at(row, records, _weighed(impacts, weight, row.dtype))
            elif columns is not None and weight == 1:
                columns.append((self.shelf.top(number), column))
            else:
                row += _weighed(column, weight, row.dtype)

    def _add_columns(self, columns: list[tuple[int, NDArray[np.uint8]]], total: NDArray[Any]) -> None:
        """Add whole columns, as bytes as far as their greatest values cannot pass 255 together, widened once."""
        columns.sort(key=lambda pair: pair[0])
        while columns:
            top, column = columns.pop(0)
            while columns and top + columns[0][0] < 256:
                more, other = columns.pop(0)
                top += more
                column = np.add(column, other, out=self._bytes)
            np.add(total, column, out=total)

    def _add_best_way(self, ways: _Known, total: NDArray[Any], highest: NDArray[Any], earned: NDArray[Any]) -> None:
        for way in ways:
            numbers, weight = way
            if len(numbers) == 1 and self.shelf.column(numbers[0]) is None:
                records, impacts = self.shelf.postings(numbers[0])
                np.maximum.at(highest, records, _weighed(impacts, weight, highest.dtype))
            else:
                self._add_way(way, earned, None)
                np.maximum(highest, earned, out=highest)
                earned.fill(0)
        total += highest
        highest.fill(0)

    def _clear(self, term: str, total: NDArray[Any]) -> None:
        if (number := self.shelf.find(term)) >= 0:
            column = self.shelf.column(number)
            total[self.shelf.postings(number)[0] if column is None else np.flatnonzero(column)] = 0


_Known = list[tuple[tuple[int, ...], float]]
"""The ways of one wanted thing as numbers of terms, with their weight divided among the terms of the way."""


def best(scores: NDArray[Any], limit: int) -> list[int]:
    """Return the places of the `limit` highest scores above 0, highest first, ties by place."""
    if len(scores) <= BLOCK * max(limit, BLOCK):
        return _sorted_places(scores, np.flatnonzero(scores))[:limit]
    # At least `limit` records reach the limit-th largest of the blocks' maxima, and fewer than `limit` blocks pass it.
    blocks = scores.reshape(BLOCK, -1)
    maxima = blocks.max(axis=0)
    bound = int(np.partition(maxima, -limit)[-limit])
    passing = np.flatnonzero(maxima > bound)
    rows, columns = np.nonzero(blocks[:, passing] > bound)
    places = _sorted_places(scores, rows * blocks.shape[1] + passing[columns])[:limit]
    return places + (_first_equal(scores, bound, limit - len(places)) if bound else [])


def smooth(scores: NDArray[Any], near: NDArray[np.int32], near_share: NDArray[np.float32], share: float) -> Any:
    """Return float32 scores of which `share` comes from the nearest records; scaled so that the greatest stays.

    Source: neighbour smoothing of the search prototype.
    """
    own = scores[: len(near)].astype(np.float32)
    lent = (own[near] * near_share).sum(axis=1)
    top, lent_top = float(own.max(initial=0)), float(lent.max(initial=0))
    return (1 - share) * own + share * lent * (top / lent_top) if lent_top else own


def _sorted_places(scores: NDArray[Any], places: NDArray[np.intp]) -> list[int]:
    order = np.lexsort((places, -scores[places].astype(np.float64)))
    return [int(place) for place in places[order]]


def _first_equal(scores: NDArray[Any], value: int, count: int) -> list[int]:
    """Return the first `count` places that hold `value`; looked for stride by stride, since ties are often many."""
    found: list[int] = []
    for start in range(0, len(scores), _STRIDE):
        if len(found) >= count:
            break
        equal = np.flatnonzero(scores[start : start + _STRIDE] == value)[: count - len(found)]
        found += [start + int(place) for place in equal]
    return found


def _weighed(impacts: NDArray[Any], weight: float, kind: Any) -> NDArray[Any]:
    return impacts.astype(kind, copy=False) if weight == 1 else (impacts * np.float32(weight)).astype(kind)
