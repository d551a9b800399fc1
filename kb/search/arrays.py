"""The arrays an index is made of."""

from __future__ import annotations

from typing import TYPE_CHECKING

import msgspec

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


class Arrays(msgspec.Struct, frozen=True):
    """The arrays of one shelf of n records, t terms, p postings, d columns and w written words.

    Texts are kept as one run of UTF-8 bytes (uint8) with the place where each begins and the last ends (uint32, one
    more than texts), sorted by their bytes: `terms`, `term_at` and `words`, `word_at`; with the first eight bytes of
    each as one number, padded with zeros (uint64): `term_head`, `word_head`.

    df: int32 (t,), records that have the term; ptr: int64 (t + 1,); doc: int32 (p,), rising inside a term;
    imp: uint16 (p,), scaled impact, at least 1; top: uint16 (t,), the greatest impact of each term;
    column: int32 (t,), the term's row of `columns`, or -1 when it is a list;
    columns: uint8 (d, n padded to a multiple of 64), scaled impacts of the commonest terms;
    keys: int64 (n,), the caller's number of each record; means: float64 (fields,), mean terms of each field;
    word_count: int32 (w,), how often each word is written, or below 0 its place among the right words no record uses;
    better: int32 (w,), the far commoner word a rare one may
    be a misspelling of, or -1;
    near: int32 (n, k), the nearest records of each; near_share: float32 (n, k), their weights, rows sum to 1 or 0.
    """

    terms: NDArray[np.uint8]
    term_at: NDArray[np.uint32]
    term_head: NDArray[np.uint64]
    df: NDArray[np.int32]
    ptr: NDArray[np.int64]
    doc: NDArray[np.int32]
    imp: NDArray[np.uint16]
    top: NDArray[np.uint16]
    column: NDArray[np.int32]
    columns: NDArray[np.uint8]
    keys: NDArray[np.int64]
    means: NDArray[np.float64]
    words: NDArray[np.uint8]
    word_at: NDArray[np.uint32]
    word_head: NDArray[np.uint64]
    word_count: NDArray[np.int32]
    better: NDArray[np.int32]
    near: NDArray[np.int32]
    near_share: NDArray[np.float32]
