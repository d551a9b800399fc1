"""Records newer than the kept index, held in memory and searchable at once; weighed as kb.search.build would."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING

import numpy as np

from kb.search.settings import Settings
from kb.text import analyze, terms_of

if TYPE_CHECKING:
    from numpy.typing import NDArray


class Delta:
    """Postings of a few records. The idf of terms comes from elsewhere, so that adding one record changes no other."""

    def __init__(
        self,
        weights: Mapping[str, float],
        means: Sequence[float],
        settings: Settings,
        idf_of: Callable[[str], float],
    ) -> None:
        self.settings = settings
        self._weights = dict(zip(weights, zip(weights.values(), means, strict=True), strict=True))
        self._idf_of = idf_of
        self._numbers: dict[str, int] = {}
        self._terms: list[str] = []
        self._records: list[list[int]] = []
        self._impacts: list[list[int]] = []
        self.keys: list[int] = []

    @property
    def size(self) -> int:
        """How many records it holds."""
        return len(self.keys)

    def add(self, record: Mapping[str, str], key: int) -> None:
        """Take in one record, a mapping of field to text with the fields of the weights."""
        place = len(self.keys)
        self.keys.append(key)
        for term, count in self._counts(record).items():
            number = self._numbers.setdefault(term, len(self._terms))
            if number == len(self._terms):
                self._terms.append(term)
                self._records.append([])
                self._impacts.append([])
            self._records[number].append(place)
            self._impacts[number].append(self._impact(term, count))

    def find(self, term: str) -> int:
        """Return the number of a term, or -1 when no record has it."""
        return self._numbers.get(term, -1)

    def postings(self, number: int) -> tuple[NDArray[np.int32], NDArray[np.uint16]]:
        """Return the records that have the term, rising, and its scaled impact in each."""
        return np.array(self._records[number], dtype=np.int32), np.array(self._impacts[number], dtype=np.uint16)

    def column(self, number: int) -> None:
        """A delta is too small for columns."""

    def top(self, number: int) -> int:
        """Return the greatest scaled impact of a term in any record."""
        return max(self._impacts[number])

    def word_count(self, word: str) -> int:
        """Return 1 when a record has the word's first term, else 0: enough to tell known words from unknown ones."""
        return int(any(term in self._numbers for term in terms_of(word)[:1]))

    def _impact(self, term: str, count: float) -> int:
        k1 = self.settings.saturation
        impact = self._idf_of(term) * count * (k1 + 1) / (k1 + count)
        return min(max(round(impact * self.settings.scale), 1), 65_535)

    def _counts(self, record: Mapping[str, str]) -> dict[str, float]:
        counts: Counter[str] = Counter()
        for name, (weight, mean) in self._weights.items():
            terms = analyze(record[name])
            b = self.settings.length_share
            norm = weight / (1 - b + b * len(terms) / mean)
            for term in terms:
                counts[term] += norm  # type: ignore[assignment]  # Counter is typed for whole numbers only
        return dict(counts)
