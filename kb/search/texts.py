"""A sorted list of texts kept as one run of bytes: looked up by bisection, so that nothing is loaded at the start."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray


def pack(texts: Sequence[bytes]) -> tuple[NDArray[np.uint8], NDArray[np.uint32]]:
    """Return the texts, already sorted, as one run of bytes and the place where each begins and the last ends."""
    ends = np.cumsum([0, *map(len, texts)], dtype=np.uint32)
    return np.frombuffer(b"".join(texts), dtype=np.uint8), ends


class Texts:
    """Sorted texts by number."""

    def __init__(self, run: NDArray[np.uint8], at: NDArray[np.uint32]) -> None:
        self._run = memoryview(run.data)
        self._at = memoryview(at.data)

    def __len__(self) -> int:
        return len(self._at) - 1

    def __getitem__(self, number: int) -> bytes:
        return bytes(self._run[self._at[number] : self._at[number + 1]])

    def find(self, text: bytes) -> int:
        """Return the number of a text, or -1."""
        place = bisect_left(range(len(self)), text, key=self.__getitem__)
        return place if place < len(self) and self[place] == text else -1

    def all(self) -> list[str]:
        """Return all texts in order."""
        run, at = bytes(self._run), list(self._at)
        return [run[start:end].decode() for start, end in pairwise(at)]
