"""Words known to be spelled right: plain English, and the words of the trade. Used only to build an index."""

from __future__ import annotations

from collections.abc import Iterable

from kb.model import Term
from kb.text import STOP_WORDS, fold, is_code, words_of

SHORTEST = 3

RAREST = 2.3
"""Least Zipf frequency (tenths power of uses in a thousand million words) of a plain English word that counts as right.
None of the misspellings mined from real records reaches 2.0; chosen by tests/bench/typos.py."""


def right_words(terms: Iterable[Term]) -> list[str]:
    """Return the folded words, each once: those of the trade first, then plain English by falling frequency."""
    import wordfreq

    trade = [word.raw for term in terms for phrase in (term.say, *term.means) for word in words_of(fold(phrase))]
    least = 10**RAREST / 1e9
    used = wordfreq.get_frequency_dict("en", wordlist="large")
    english = [fold(word) for word in sorted(used, key=lambda word: (-used[word], word)) if used[word] >= least]
    right = (word for word in dict.fromkeys([*trade, *english]) if len(word) >= SHORTEST)
    return [word for word in right if word not in STOP_WORDS and not is_code(word)]
