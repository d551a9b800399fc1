"""A sorted list of texts kept as one run of bytes: looked up by bisection, so that nothing is loaded at the start."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray


HEAD = 8
"""Bytes of a text that are compared as one number."""


def pack(texts: Sequence[bytes]) -> tuple[NDArray[np.uint8], NDArray[np.uint32], NDArray[np.uint64]]:
    """Return the texts, already sorted, as one run of bytes, where each begins and the last ends, and their heads."""
    ends = np.cumsum([0, *map(len, texts)], dtype=np.uint32)
    heads = np.array([_head(text) for text in texts], dtype=np.uint64)
    return np.frombuffer(b"".join(texts), dtype=np.uint8), ends, heads


class Texts:
    """Sorted texts by number."""

    def __init__(self, run: NDArray[np.uint8], at: NDArray[np.uint32], heads: NDArray[np.uint64]) -> None:
        self._run = memoryview(run.data)
        self._at = memoryview(at.data)
        self._heads = memoryview(heads.data)
        self._size = len(heads)

    def __len__(self) -> int:
        return self._size

    def __getitem__(self, number: int) -> bytes:
        return bytes(self._run[self._at[number] : self._at[number + 1]])

    def find(self, text: bytes) -> int:
        """Return the number of a text, or -1."""
        head = _head(text)
        place = bisect_left(self._heads, head)
        if len(text) > HEAD:  # others may share its head; a shorter text stands first of those that do
            end = bisect_right(self._heads, head, place)
            place = bisect_left(range(end), text, place, key=self.__getitem__)
        return place if place < self._size and self[place] == text else -1

    def all(self) -> list[str]:
        """Return all texts in order."""
        run, at = bytes(self._run), list(self._at)
        return [run[start:end].decode() for start, end in pairwise(at)]


def _head(text: bytes) -> int:
    return int.from_bytes(text[:HEAD].ljust(HEAD, b"\0"), "big")
