"""The arrays an index is made of."""

from __future__ import annotations

from typing import TYPE_CHECKING

import msgspec

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


class Arrays(msgspec.Struct, frozen=True):
    """The arrays of one shelf of n records, t terms, p postings and w written words.

    terms: bytes (t,), sorted UTF-8; df: int32 (t,); ptr: int64 (t + 1,); doc: int32 (p,), rising inside a term;
    imp: float32 (p,), the impact of the term in the record; keys: int64 (n,), the caller's number of each record;
    words: bytes (w,), sorted, as written and folded; word_df: int32 (w,), how many records use the word;
    means: float64 (fields,), the mean terms a record has in each field, in the order of the weights.
    """

    terms: NDArray[np.bytes_]
    df: NDArray[np.int32]
    ptr: NDArray[np.int64]
    doc: NDArray[np.int32]
    imp: NDArray[np.float32]
    keys: NDArray[np.int64]
    words: NDArray[np.bytes_]
    word_df: NDArray[np.int32]
    means: NDArray[np.float64]
