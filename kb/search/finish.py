"""Finds the leaders of a large shelf when what is dear to add to every record is looked up for the best ones alone.

Exact: a record that is further behind than all that is left could bring never comes among the leaders.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

import numpy as np

from kb.search.pick import near_best, reached
from kb.search.postings import Postings, Thing, most_of, weighed

if TYPE_CHECKING:
    from numpy.typing import NDArray


def apart(thing: Thing, shelf: Postings) -> list[Thing]:
    """Return a thing of several terms that are simply added as one thing for each; any other as it is."""
    numbers, weight = thing.ways[0]
    if len(thing.ways) > 1 or len(numbers) == 1:
        return [thing]
    return [Thing((((number,), weight),), most_of((number,), weight, shelf)) for number in numbers]


def is_dear(thing: Thing, shelf: Postings) -> bool:
    """True for a thing with a column that cannot be added whole as it is: it has less than full weight, or rivals."""
    if len(thing.ways) == 1 and thing.ways[0][1] == 1:
        return False
    return any(shelf.column(number) is not None for numbers, _ in thing.ways for number in numbers)


def finish(row: NDArray[Any], dear: Sequence[Thing], shelf: Postings, limit: int) -> list[tuple[int, float]] | None:
    """Return place and score of the `limit` best records, best first, ties by place, when the dear things are added.

    Args:
        row: what each record has by now.

    Returns:
        None when too many records may still be among the best; then everything must be added up.
    """
    left = sorted(dear, key=lambda thing: -thing.most)
    rest = sum(thing.most for thing in left)
    places = near_best(row, limit, slack=rest)
    if places is None:
        return None
    records, scores = places.astype(np.int32), row[places].astype(np.int32)
    for thing in left:
        scores += _earned(thing, shelf, records)
        rest -= thing.most
        enough = scores >= reached(scores, limit) - rest
        records, scores = records[enough], scores[enough]
    order = np.lexsort((records, -scores))[:limit]
    return [(int(records[one]), float(scores[one])) for one in order]


def _earned(thing: Thing, shelf: Postings, records: NDArray[np.int32]) -> NDArray[Any]:
    """Return what each of these records earns for a thing."""
    ways = np.zeros((len(thing.ways), len(records)), dtype=np.uint16)
    for way, (numbers, weight) in zip(ways, thing.ways, strict=True):
        for number in numbers:
            way += weighed(_looked_up(number, shelf, records), weight, np.uint16)
    best: NDArray[Any] = ways.max(axis=0)
    return best


def _looked_up(number: int, shelf: Postings, records: NDArray[np.int32]) -> NDArray[Any]:
    """Return the impacts of a term in these records; 0 where they have it not."""
    column = shelf.column(number)
    if column is not None:
        return column[records]
    listed, impacts = shelf.postings(number)
    places = np.searchsorted(listed, records)
    places[places == len(listed)] = 0
    return np.where(listed[places] == records, impacts[places], 0)
