"""One index opened for questions: terms to postings, words to their counts. Knows nothing of files."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from kb.search.arrays import Arrays
from kb.search.settings import Settings
from kb.search.texts import Texts

if TYPE_CHECKING:
    from numpy.typing import NDArray


class Shelf:
    """Terms and postings of one kind of record. `keys[place]` is the caller's number of the record at that place."""

    def __init__(self, arrays: Arrays, settings: Settings, lexicon: bytes = b"") -> None:
        self._arrays = arrays
        self._terms = Texts(arrays.terms, arrays.term_at, arrays.term_head)
        self._words = Texts(arrays.words, arrays.word_at, arrays.word_head)
        # Numbers looked up one by one come quicker out of a memoryview than out of an array.
        self._ptr, self._df = memoryview(arrays.ptr.data), memoryview(arrays.df.data)
        self._top, self._column = memoryview(arrays.top.data), memoryview(arrays.column.data)
        self.settings = settings
        self.lexicon = lexicon
        self.keys: NDArray[np.int64] = arrays.keys
        self.size = len(arrays.keys)
        self.means = [float(mean) for mean in arrays.means]
        self.near = arrays.near
        self.near_share = arrays.near_share

    def find(self, term: str) -> int:
        """Return the number of a term, or -1 when no record has it."""
        return self._terms.find(term.encode())

    def postings(self, number: int) -> tuple[NDArray[np.int32], NDArray[np.uint16]]:
        """Return the records that have a listed term, rising, and its scaled impact in each."""
        start, end = self._ptr[number], self._ptr[number + 1]
        return self._arrays.doc[start:end], self._arrays.imp[start:end]

    def column(self, number: int) -> NDArray[np.uint8] | None:
        """Return the scaled impacts of a very common term in all records, padded to a multiple of 64, or None."""
        row = self._column[number]
        return self._arrays.columns[row] if row >= 0 else None

    def top(self, number: int) -> int:
        """Return the greatest scaled impact of a term in any record."""
        return int(self._top[number])

    def idf(self, number: int) -> float:
        """Return the inverse document frequency of a term; of one that no record has when `number` is -1."""
        df = self._df[number] if number >= 0 else 0
        return math.log1p((self.size - df + 0.5) / (df + 0.5))

    def has_word(self, word: str) -> bool:
        """True when the folded word is written in a record or known to be spelled right."""
        return self._words.find(word.encode()) >= 0

    def word_count(self, word: str) -> int:
        """Return how often the folded word is written."""
        return max(self.commonness(word), 0)

    def commonness(self, word: str) -> int:
        """Return how often the word is written; below 0 for right words no record uses, the commonest nearest to 0."""
        place = self._words.find(word.encode())
        return int(self._arrays.word_count[place]) if place >= 0 else -(2**31)

    def far_commoner(self, word: str) -> str | None:
        """Return the far commoner word that a rare one may be a misspelling of."""
        place = self._words.find(word.encode())
        better = int(self._arrays.better[place]) if place >= 0 else -1
        return self._words[better].decode() if better >= 0 else None

    def common_words(self, least: int) -> list[str]:
        """Return the words written at least `least` times, sorted by their UTF-8 bytes; at 0 the right words too."""
        if least <= 0:
            return self._words.all()
        return [self._words[int(n)].decode() for n in np.flatnonzero(np.asarray(self._arrays.word_count) >= least)]
