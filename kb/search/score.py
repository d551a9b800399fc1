"""Scores the records of a shelf against a question.

Scores are whole numbers: scaled impacts added up. A term in few records is a list that is added place by place; a
term in very many is a column that is added whole, as bytes while they last. Of several ways to meet one wanted thing
the best counts, which is reckoned in rows beside the total.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any

import numpy as np

from kb.search.finish import apart, finish, is_dear
from kb.search.pick import BLOCK, best, only
from kb.search.postings import Postings, Thing, things_of, weighed
from kb.search.question import Question
from kb.search.settings import DENSE_SIZE

if TYPE_CHECKING:
    from numpy.typing import NDArray

_Columns = list[tuple[int, "NDArray[np.uint8]"]]
"""Columns that are still to be added, each with its greatest value."""


class Scorer:
    """Scores questions against one shelf. Keeps its rows of numbers between questions; one thread at a time."""

    def __init__(self, shelf: Postings) -> None:
        self.shelf = shelf
        self._size = -1
        self._kind: Any = None
        self._rows: tuple[NDArray[Any], ...] = ()
        self._bytes: NDArray[np.uint8] = np.empty(0, dtype=np.uint8)
        self._hidden: NDArray[np.intp] = np.empty(0, dtype=np.intp)

    def hide(self, places: Sequence[int] | NDArray[np.intp]) -> None:
        """Leave these records out of all answers from now on."""
        self._hidden = np.union1d(self._hidden, np.asarray(places, dtype=np.intp))

    def leaders(self, question: Question, limit: int, among: NDArray[np.intp] | None = None) -> list[tuple[int, float]]:
        """Return place and scaled score of the `limit` best records, best first, ties by place; of `among` if given."""
        if among is None and not question.excluded and self.shelf.size >= DENSE_SIZE:
            return self._leaders_of_many([thing for thing in things_of(question, self.shelf) if thing], limit)
        scores = self.score(question)
        if among is not None:
            scores = only(scores, among)
        return _with_scores(scores, best(scores, limit))

    def score(self, question: Question) -> NDArray[Any]:
        """Return the scaled score of each record, uint16 or, for long questions, uint32; (n padded to BLOCK,).

        Records that are hidden or have an excluded term score 0. The row is written over by the next question.
        """
        things = [thing for thing in things_of(question, self.shelf) if thing]
        total = self._sum(things, _kind_for(things))
        for term in question.excluded:
            self._clear(term, total)
        return total

    def ceiling(self, question: Question, unknown: float) -> float:
        """Return the scaled score of a record that is the best there is for every wanted thing.

        A thing that no record meets counts `unknown`, so that a shelf that lacks a word cannot claim to answer all.
        """
        return sum(thing.most if thing else unknown for thing in things_of(question, self.shelf))

    def _leaders_of_many(self, things: Sequence[Thing], limit: int) -> list[tuple[int, float]]:
        """Add up what is cheap to add, and look up the rest for the best; when these are too many, add that too."""
        parts = [part for thing in things for part in apart(thing, self.shelf)]
        dear = [part for part in parts if is_dear(part, self.shelf)]
        row = self._sum([part for part in parts if part not in dear], _kind_for(parts))
        leaders = finish(row, dear, self.shelf, limit) if dear else None
        if leaders is None:
            self._add_each(dear, row)
            leaders = _with_scores(row, best(row, limit))
        return leaders

    def _sum(self, things: Iterable[Thing], kind: Any) -> NDArray[Any]:
        """Return what each record earns for these things together; hidden records nothing."""
        self._make_room(kind)
        total = self._rows[0]
        columns: _Columns = []
        others: list[Thing] = []
        for thing in things:
            column = self._whole_column(thing)
            if column is None:
                others.append(thing)
            else:
                columns.append((thing.most, column))
        self._set_to_columns(columns, total)
        self._add_each(others, total)
        return total

    def _add_each(self, things: Iterable[Thing], total: NDArray[Any]) -> None:
        for thing in things:
            if len(thing.ways) == 1:
                self._add_way(*thing.ways[0], total)
            else:
                self._add_best_way(thing, total)
        total[self._hidden] = 0

    def _make_room(self, kind: Any) -> None:
        """Have rows for the total, and for highest and earned: these two are 0, and left so by whoever uses them."""
        if self._size != self.shelf.size or self._kind is not kind:
            self._size, self._kind = self.shelf.size, kind
            padded = -(-self._size // BLOCK) * BLOCK
            self._bytes = np.empty(padded, dtype=np.uint8)
            self._rows = tuple(np.zeros(padded, dtype=kind) for _ in range(3))

    def _whole_column(self, thing: Thing) -> NDArray[np.uint8] | None:
        """Return the column that is all a thing brings, if it is one."""
        numbers, weight = thing.ways[0]
        return self.shelf.column(numbers[0]) if len(thing.ways) == 1 and weight == 1 else None

    def _set_to_columns(self, columns: _Columns, total: NDArray[Any]) -> None:
        """Set the total to the sum of whole columns; as bytes as far as their greatest values cannot pass 255."""
        columns.sort(key=lambda pair: pair[0])
        if not columns:
            total.fill(0)
        is_set = False
        while columns:
            top, column = columns.pop(0)
            while columns and top + columns[0][0] < 256:
                more, other = columns.pop(0)
                top += more
                column = np.add(column, other, out=self._bytes)
            if is_set:
                np.add(total, column, out=total)
            else:
                np.copyto(total, column)  # instead of filling with 0 first
            is_set = True

    def _add_way(self, numbers: tuple[int, ...], weight: float, row: NDArray[Any]) -> None:
        """Add the weighed impacts of a way's terms to a row."""
        for number in numbers:
            column = self.shelf.column(number)
            if column is None:
                records, impacts = self.shelf.postings(number)
                np.add.at(row, records.astype(np.intp), weighed(impacts, weight, row.dtype))  # quicker than as int32
            else:
                row += weighed(column, weight, row.dtype)

    def _add_best_way(self, thing: Thing, total: NDArray[Any]) -> None:
        if all(self.shelf.column(number) is None for numbers, _ in thing.ways for number in numbers):
            self._add_best_list(thing, total)
        else:
            self._add_best_column(thing, total)

    def _add_best_list(self, thing: Thing, total: NDArray[Any]) -> None:
        """Touch only the records that have one of the terms."""
        _, highest, earned = self._rows
        touched: list[NDArray[np.int32]] = []
        for numbers, weight in thing.ways:
            self._add_way(numbers, weight, earned)
            lists = [self.shelf.postings(number)[0] for number in numbers]
            for records in lists:
                highest[records] = np.maximum(highest[records], earned[records])
            for records in lists:
                earned[records] = 0
            touched += lists
        for records in touched:
            total[records] += highest[records]
            highest[records] = 0

    def _add_best_column(self, thing: Thing, total: NDArray[Any]) -> None:
        _, highest, earned = self._rows
        for numbers, weight in thing.ways:
            if len(numbers) == 1 and self.shelf.column(numbers[0]) is None:
                records, impacts = self.shelf.postings(numbers[0])
                np.maximum.at(highest, records, weighed(impacts, weight, highest.dtype))
            else:
                self._add_way(numbers, weight, earned)
                np.maximum(highest, earned, out=highest)
                earned.fill(0)
        total += highest
        highest.fill(0)

    def _clear(self, term: str, total: NDArray[Any]) -> None:
        if (number := self.shelf.find(term)) >= 0:
            column = self.shelf.column(number)
            total[self.shelf.postings(number)[0] if column is None else np.flatnonzero(column)] = 0


def _with_scores(scores: NDArray[Any], places: list[int]) -> list[tuple[int, float]]:
    return [(place, float(scores[place])) for place in places]


def _kind_for(things: Iterable[Thing]) -> Any:
    return np.uint16 if sum(thing.most for thing in things) <= 65_535 else np.uint32
