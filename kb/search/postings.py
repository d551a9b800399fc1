"""What scoring needs to know of records, and what a question asks of them in their own numbers."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any, Protocol

import msgspec
import numpy as np

from kb.search.question import Question

if TYPE_CHECKING:
    from numpy.typing import NDArray


class Postings(Protocol):
    """A kept shelf or the delta."""

    @property
    def size(self) -> int: ...
    @property
    def keys(self) -> Sequence[int] | NDArray[np.int64]: ...
    def find(self, term: str) -> int: ...
    def postings(self, number: int) -> tuple[NDArray[np.int32], NDArray[np.uint16]]: ...
    def column(self, number: int) -> NDArray[np.uint8] | None: ...
    def top(self, number: int) -> int: ...


class Thing(msgspec.Struct, frozen=True):
    """One wanted thing that records have: its ways as numbers of terms with the weight of each term.

    `most` is the greatest scaled score it can bring. The best way counts.
    """

    ways: tuple[tuple[tuple[int, ...], float], ...]
    most: int


def things_of(question: Question, shelf: Postings) -> list[Thing | None]:
    """Return what the question wants of these records, in its order; None for a thing that none of them has."""
    things: list[Thing | None] = []
    for wanted in question.wanted:
        ways = []
        for way in wanted.ways:
            numbers = tuple(number for term in way.terms if (number := shelf.find(term)) >= 0)
            if numbers:
                ways.append((numbers, way.weight / len(way.terms)))
        if ways:
            things.append(Thing(tuple(ways), max([most_of(numbers, weight, shelf) for numbers, weight in ways])))
        else:
            things.append(None)
    return things


def weighed(impacts: NDArray[Any], weight: float, kind: Any) -> NDArray[Any]:
    """Return the impacts as they count with this weight, in whole numbers."""
    return impacts.astype(kind, copy=False) if weight == 1 else (impacts * np.float32(weight)).astype(kind)


def most_of(numbers: tuple[int, ...], weight: float, shelf: Postings) -> int:
    """Return the greatest scaled score that terms of this weight can bring together."""
    top = sum([shelf.top(number) for number in numbers])
    return top if weight == 1 else math.ceil(top * weight)
