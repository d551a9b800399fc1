"""Records newer than the kept index, held in memory and searchable at once; weighed as kb.search.build would."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING

import numpy as np

from kb.search.settings import LENGTH_SHARE, SATURATION
from kb.text import analyze

if TYPE_CHECKING:
    from numpy.typing import NDArray


class Delta:
    """Postings of a few records. The idf of terms comes from elsewhere, so that adding one record changes no other."""

    def __init__(self, weights: Mapping[str, float], means: Sequence[float], idf_of: Callable[[str], float]) -> None:
        self._weights = dict(zip(weights, zip(weights.values(), means, strict=True), strict=True))
        self._idf_of = idf_of
        self._numbers: dict[str, int] = {}
        self._terms: list[str] = []
        self._records: list[list[int]] = []
        self._impacts: list[list[float]] = []
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
            self._impacts[number].append(self._idf_of(term) * count * (SATURATION + 1) / (SATURATION + count))

    def find(self, term: str) -> int:
        """Return the number of a term, or -1 when no record has it."""
        return self._numbers.get(term, -1)

    def postings(self, number: int) -> tuple[NDArray[np.int32], NDArray[np.float32]]:
        """Return the records that have the term, rising, and its impact in each."""
        return np.array(self._records[number], dtype=np.int32), np.array(self._impacts[number], dtype=np.float32)

    def idf(self, number: int) -> float:
        """Return the inverse document frequency of a term; of an unknown one when `number` is -1."""
        return self._idf_of(self._terms[number] if number >= 0 else "")

    def _counts(self, record: Mapping[str, str]) -> dict[str, float]:
        counts: Counter[str] = Counter()
        for name, (weight, mean) in self._weights.items():
            terms = analyze(record[name])
            norm = weight / (1 - LENGTH_SHARE + LENGTH_SHARE * len(terms) / mean)
            for term in terms:
                counts[term] += norm  # type: ignore[assignment]  # Counter is typed for whole numbers only
        return dict(counts)
