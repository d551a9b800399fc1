"""The words of the trade, ready to be met in a question: shorthand, slang and synonyms, both ways."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

import msgspec

from kb.model import Term
from kb.text import fold, terms_of, words_of

LONGEST = 3
"""Written words of the longest phrase looked up."""

_WEIGHTS = {"shorthand": 0.8, "slang": 0.7, "synonym": 0.6, "spelling": 0.9, "confusion": 0.7}
"""What a meaning counts beside the typed word's 1. Chosen on the odd questions of tests/questions.toml."""

_BACK = 0.4
"""What the short or slang form counts when the plain word was typed. Chosen in the same way."""


class Meaning(msgspec.Struct, frozen=True, array_like=True):
    """What a phrase may stand for: the phrase as shown to the reader, its terms, and its weight, 0 to 1."""

    shown: str
    terms: tuple[str, ...]
    weight: float


class Lexicon:
    """Phrases of the trade by the terms of their words, joined by blanks."""

    def __init__(self, meanings: dict[str, list[Meaning]]) -> None:
        self._meanings = meanings

    @classmethod
    def of_words(cls, words: Iterable[Term]) -> Lexicon:
        """Return the lexicon of the trade's words, each meaning under all phrases that lead to it."""
        lexicon = cls({})
        for term in words:
            weight = _WEIGHTS[term.kind]
            for meaning in term.means:
                lexicon._add(term.say, meaning, weight)
                if term.both_ways:
                    lexicon._add(meaning, term.say, weight)
                elif term.kind in ("shorthand", "slang"):
                    lexicon._add(meaning, term.say, _BACK)
        return lexicon

    @classmethod
    def from_bytes(cls, data: bytes) -> Lexicon:
        """Return the lexicon that `to_bytes` wrote.

        Raises:
            msgspec.DecodeError: the bytes are not of that form.
        """
        return cls(msgspec.json.decode(data, type=dict[str, list[Meaning]]))

    def to_bytes(self) -> bytes:
        """Return the lexicon as bytes to keep; making it anew costs more than a question."""
        return msgspec.json.encode(self._meanings)

    def meanings(self, raw_words: Sequence[str]) -> Iterator[tuple[int, int, list[Meaning]]]:
        """Yield first and last word number and the meanings of every known phrase among the folded words."""
        keys = [_key_of(word) for word in raw_words]
        for first in range(len(keys)):
            for last in range(first, min(first + LONGEST, len(keys))):
                if found := self._meanings.get(" ".join(keys[first : last + 1])):
                    yield first, last, found

    def _add(self, say: str, meaning: str, weight: float) -> None:
        key = " ".join(_key_of(word.raw) for word in words_of(fold(say)))
        terms = tuple(term for word in words_of(fold(meaning)) for term in terms_of(word.raw)[:1])
        if not key or not terms or key == " ".join(terms):
            return
        known = self._meanings.setdefault(key, [])
        if all(other.terms != terms for other in known):
            known.append(Meaning(meaning, terms, weight))


def _key_of(word: str) -> str:
    terms = terms_of(word)
    return terms[0] if terms else word
