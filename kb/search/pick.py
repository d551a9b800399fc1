"""Picks the best of a row of scores, and lets near records lend one another a share."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

BLOCK = 64
"""Records looked at together when the best are picked."""

MOST_BLOCKS = 2048
"""Blocks that may be looked into; beyond, going through all scores is quicker. Chosen by tests/bench/scale.py."""

_STRIDE = 65_536


def best(scores: NDArray[Any], limit: int) -> list[int]:
    """Return the places of the `limit` highest scores above 0, highest first, ties by place."""
    if len(scores) <= BLOCK * max(limit, BLOCK):
        return sorted_places(scores, np.flatnonzero(scores))[:limit]
    places = near_best(scores, limit)
    return _best_of_many_equal(scores, limit) if places is None else sorted_places(scores, places)[:limit]


def near_best(scores: NDArray[Any], limit: int, slack: int = 0) -> NDArray[np.intp] | None:
    """Return all places whose score is above 0 and at most `slack` below one that `limit` records are sure to reach.

    None when there is no such score above the slack, or when the places are too many to be worth picking from.
    """
    blocks = scores.reshape(BLOCK, -1)
    maxima = blocks.max(axis=0)
    least = reached(maxima, limit) - slack
    if slack and least <= 0:
        return None
    passing = np.flatnonzero(maxima >= max(least, 1))
    if len(passing) > MOST_BLOCKS:
        return None
    rows, columns = np.nonzero(blocks[:, passing] >= max(least, 1))
    return rows * blocks.shape[1] + passing[columns]


def reached(scores: NDArray[Any], limit: int) -> int:
    """Return a score that at least `limit` of these reach; the greatest such one when they are few."""
    if len(scores) < limit:
        return 0
    if len(scores) > BLOCK * limit * 2:
        scores = scores[: len(scores) // BLOCK * BLOCK].reshape(BLOCK, -1).max(axis=0)
    return int(np.partition(scores, -limit)[-limit])


def sorted_places(scores: NDArray[Any], places: NDArray[np.intp]) -> list[int]:
    """Return the places by falling score, ties by place."""
    order = np.lexsort((places, -scores[places].astype(np.float64)))
    return [int(place) for place in places[order]]


def only(scores: NDArray[Any], places: Any) -> NDArray[Any]:
    """Return the scores with all but those places set to 0."""
    kept = np.zeros_like(scores)
    kept[places] = scores[places]
    return kept


def smooth(scores: NDArray[Any], near: NDArray[np.int32], near_share: NDArray[np.float32], share: float) -> Any:
    """Return float32 scores of which `share` comes from the nearest records; scaled so that the greatest stays.

    Source: neighbour smoothing of the search prototype.
    """
    own = scores[: len(near)].astype(np.float32)
    lent = (own[near] * near_share).sum(axis=1)
    top, lent_top = float(own.max(initial=0)), float(lent.max(initial=0))
    return (1 - share) * own + share * lent * (top / lent_top) if lent_top else own


def _best_of_many_equal(scores: NDArray[Any], limit: int) -> list[int]:
    # At least `limit` records reach the limit-th largest of the blocks' maxima, and fewer than `limit` blocks pass it.
    blocks = scores.reshape(BLOCK, -1)
    maxima = blocks.max(axis=0)
    bound = int(np.partition(maxima, -limit)[-limit])
    passing = np.flatnonzero(maxima > bound)
    rows, columns = np.nonzero(blocks[:, passing] > bound)
    places = sorted_places(scores, rows * blocks.shape[1] + passing[columns])[:limit]
    return places + (_first_equal(scores, bound, limit - len(places)) if bound else [])


def _first_equal(scores: NDArray[Any], value: int, count: int) -> list[int]:
    """Return the first `count` places that hold `value`; looked for stride by stride, since ties are often many."""
    found: list[int] = []
    for start in range(0, len(scores), _STRIDE):
        if len(found) >= count:
            break
        equal = np.flatnonzero(scores[start : start + _STRIDE] == value)[: count - len(found)]
        found += [start + int(place) for place in equal]
    return found
