"""Counts words and weighs them: records in, the arrays of a shelf out. The only place that imports scikit-learn.

The weight of a term in a record is idf x saturated, length-normalised count, the counts summed over fields by weight:
    tf  = sum over fields of weight x count / (1 - b + b x field length / mean field length)
    idf = ln(1 + (n - df + .5) / (df + .5))
    impact = idf x tf x (k1 + 1) / (k1 + tf)
Source: Robertson and Zaragoza, "The Probabilistic Relevance Framework: BM25 and Beyond" (2009), sections 3.4 and 3.5
(from memory); tests/kb/test_search_ranking.py compares the ranking with scikit-learn's own matrix product.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

import numpy as np

from kb.search.arrays import Arrays
from kb.search.settings import LENGTH_SHARE, SATURATION
from kb.text import analyze, fold, words_of

if TYPE_CHECKING:
    from numpy.typing import NDArray


def build(
    records: Sequence[Mapping[str, str]],
    keys: Sequence[int],
    weights: Mapping[str, float],
    *,
    saturation: float = SATURATION,
    length_share: float = LENGTH_SHARE,
) -> Arrays:
    """Return the shelf of `records`, each a mapping of field to text with the fields of `weights`; may be empty."""
    impacts, terms, means = _impacts(records, weights, saturation, length_share)
    words, word_df = _count_words(records)
    return Arrays(
        terms=_as_bytes(terms),
        df=np.diff(impacts.indptr).astype(np.int32),
        ptr=impacts.indptr.astype(np.int64),
        doc=impacts.indices.astype(np.int32),
        imp=impacts.data.astype(np.float32),
        keys=np.asarray(keys, dtype=np.int64),
        words=_as_bytes(words),
        word_df=np.asarray(word_df, dtype=np.int32),
        means=np.asarray(means, dtype=np.float64),
    )


def _impacts(
    records: Sequence[Mapping[str, str]], weights: Mapping[str, float], saturation: float, length_share: float
) -> tuple[Any, list[str], list[float]]:
    """Return the impacts as a CSC matrix (n records, t terms) with sorted indices, its terms, and the means."""
    from scipy.sparse import csc_matrix
    from sklearn.feature_extraction.text import CountVectorizer

    texts = [text for record in records for text in record.values()]
    counter = CountVectorizer(analyzer=analyze, dtype=np.float32)
    try:
        counter.fit(texts)
    except ValueError:  # scikit-learn's answer to texts without a single term
        return csc_matrix((len(records), 0), dtype=np.float32), [], [1.0] * len(weights)
    total: Any = 0
    means: list[float] = []
    for name, weight in weights.items():
        counts = counter.transform([record[name] for record in records])
        lengths = np.asarray(counts.sum(axis=1)).ravel()
        means.append(float(lengths.mean()) or 1.0)
        norm = weight / (1 - length_share + length_share * lengths / means[-1])
        counts.data *= np.repeat(norm, np.diff(counts.indptr)).astype(np.float32)
        total = total + counts
    columns = total.tocsc()
    columns.sort_indices()
    df = np.diff(columns.indptr)
    idf = np.log1p((len(records) - df + 0.5) / (df + 0.5))
    columns.data *= (saturation + 1) / (saturation + columns.data)
    columns.data *= np.repeat(idf, df).astype(np.float32)
    return columns, [str(term) for term in counter.get_feature_names_out()], means


def _count_words(records: Sequence[Mapping[str, str]]) -> tuple[list[str], list[int]]:
    counts: dict[str, int] = {}
    for record in records:
        for word in {word.raw for text in record.values() for word in words_of(fold(text))}:
            counts[word] = counts.get(word, 0) + 1
    words = sorted(counts, key=lambda word: word.encode())
    return words, [counts[word] for word in words]


def _as_bytes(texts: Sequence[str]) -> NDArray[np.bytes_]:
    return np.array([text.encode() for text in texts], dtype=np.bytes_) if texts else np.empty(0, dtype="S1")
