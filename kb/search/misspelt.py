"""Finds words that are probably misspellings of far commoner ones, for a whole vocabulary at once.

Two words at distance 1 share a form with at most one letter taken out of each; a table of these forms finds the
pairs, rapidfuzz measures them.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from typing import TYPE_CHECKING

import numpy as np

from kb.text import is_code

if TYPE_CHECKING:
    from numpy.typing import NDArray

SHORTEST = 5
"""Words below this length have too many neighbours that are words themselves."""

TIMES = 20
"""How much commoner the other word must be. Source: the search prototype."""


def far_commoner(words: Sequence[str], counts: Sequence[int], right_words: Collection[str] = ()) -> NDArray[np.int32]:
    """Return for each word the number of its commonest neighbour at distance 1, if TIMES as common; else -1.

    Words known to be right have none. Ties go to the first in order. int32, (words,).
    """
    from rapidfuzz.distance import OSA

    right = frozenset(right_words)
    better = np.full(len(words), -1, dtype=np.int32)
    common = [n for n, word in enumerate(words) if counts[n] >= TIMES and len(word) >= SHORTEST - 1 and _is_plain(word)]
    if not common:
        return better
    forms: dict[str, list[int]] = {}
    for number in common:
        for form in _forms(words[number]):
            forms.setdefault(form, []).append(number)
    most = max(counts[number] for number in common)
    for number, word in enumerate(words):
        if len(word) < SHORTEST or counts[number] * TIMES > most or word in right or not _is_plain(word):
            continue
        near = {other for form in _forms(word) for other in forms.get(form, ())}
        fit = [o for o in near if counts[o] >= TIMES * counts[number] and OSA.distance(word, words[o]) == 1]
        if fit:
            better[number] = min(fit, key=lambda other: (-counts[other], other))
    return better


def _forms(word: str) -> Iterator[str]:
    yield word
    for place in range(len(word)):
        yield word[:place] + word[place + 1 :]


def _is_plain(word: str) -> bool:
    return word.isalpha() and not is_code(word)
