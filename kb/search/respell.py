"""Finds what a misspelt word was meant to be, by optimal string alignment distance (rapidfuzz)."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from kb.text import is_code

SHORTEST = 4
"""Words below this length are never respelled: nearly everything is near them."""

VOWELS = set("aeiouy")

LONG = 7
"""From this length on two edits are forgiven, below it one. Source: the search prototype (93 % of mined typos at 1)."""


def respell(word: str, known: Sequence[str], count: Callable[[str], int]) -> list[str]:
    """Return the known words nearest to an unknown one: at most two, nearest first, ties by frequency, then by letters.

    Words with a digit are codes, and words without a vowel are shorthand: both are never respelled.
    """
    if len(word) < SHORTEST or is_code(word) or not VOWELS & set(word):
        return []
    from rapidfuzz import process
    from rapidfuzz.distance import OSA

    reach = 2 if len(word) >= LONG else 1
    near = process.extract(word, known, scorer=OSA.distance, score_cutoff=reach, limit=None)
    words = [(int(distance), -count(choice), choice) for choice, distance, _ in near if not is_code(choice)]
    nearest = sorted(words)[:2]
    return [choice for distance, _, choice in nearest if distance == nearest[0][0]]
