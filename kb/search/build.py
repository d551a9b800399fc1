"""Counts words and weighs them: records in, the arrays of a shelf out. The only place that imports scikit-learn.

The weight of a term in a record is idf x saturated, length-normalised count, the counts summed over fields by weight:
    tf  = sum over fields of weight x count / (1 - b + b x field length / mean field length)
    idf = ln(1 + (n - df + .5) / (df + .5))
    impact = idf x tf x (k1 + 1) / (k1 + tf)
Source: Robertson and Zaragoza, "The Probabilistic Relevance Framework: BM25 and Beyond" (2009), sections 3.4 and 3.5
(from memory); tests/kb/test_search.py compares the scores with scikit-learn's own matrix product.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any

import numpy as np

from kb.search.arrays import Arrays
from kb.search.misspelt import far_commoner
from kb.search.settings import DENSE_FROM, DENSE_SIZE, Settings
from kb.search.texts import pack
from kb.text import split_words, terms_of

if TYPE_CHECKING:
    from numpy.typing import NDArray

Progress = Callable[[int, int], None]
"""Called with records counted so far and their total; may raise to stop the build."""


def build(
    records: Sequence[Mapping[str, str]],
    keys: Sequence[int],
    weights: Mapping[str, float],
    settings: Settings,
    *,
    right_words: Sequence[str] = (),
    progress: Progress = lambda done, total: None,
) -> Arrays:
    """Return the shelf of `records`, each a mapping of field to text with the fields of `weights`; may be empty.

    `right_words`, commonest first, are spelled right even when no record uses them: they are never respelled, but
    others may be to them.
    """
    written, words = _count_words(records, list(weights), progress)
    counts, terms = _words_to_terms(written, words)
    impacts, means = _weigh(counts, list(weights.values()), settings)
    near, near_share = _neighbours(impacts, settings)
    columns = impacts.tocsc()
    columns.sort_indices()
    scaled = np.clip(np.rint(columns.data * settings.scale), 1, 65_535).astype(np.uint16)
    run, term_at, term_head = pack(terms)
    word_run, word_at, word_head, word_count, better = _written_words(written, words, right_words)
    return Arrays(
        terms=run,
        term_at=term_at,
        term_head=term_head,
        keys=np.asarray(keys, dtype=np.int64),
        means=np.asarray(means, dtype=np.float64),
        words=word_run,
        word_at=word_at,
        word_head=word_head,
        word_count=word_count,
        better=better,
        near=near,
        near_share=near_share,
        **_postings(columns.indptr.astype(np.int64), columns.indices.astype(np.int32), scaled, len(records)),
    )


def _count_words(
    records: Sequence[Mapping[str, str]], names: Sequence[str], progress: Progress
) -> tuple[Any, list[str]]:
    """Return how often each word is written, CSR (records x fields, words), rows record by record, and the words."""
    from scipy.sparse import csr_matrix
    from sklearn.feature_extraction.text import CountVectorizer

    def texts() -> Iterator[str]:
        step = max(len(records) // 100, 1000)
        for done, record in enumerate(records):
            if done % step == 0:
                progress(done, len(records))
            for name in names:
                yield record[name]
        progress(len(records), len(records))

    counter = CountVectorizer(analyzer=split_words, dtype=np.int32)
    try:
        counts = counter.fit_transform(texts())
    except ValueError:  # scikit-learn's answer to texts without a single word
        return csr_matrix((len(records) * len(names), 0), dtype=np.int32), []
    return counts, [str(word) for word in counter.get_feature_names_out()]


def _words_to_terms(written: Any, words: Sequence[str]) -> tuple[Any, list[bytes]]:
    """Return the counts of terms, CSR (rows, terms), and the terms by their bytes: a word gives all of its terms."""
    from scipy.sparse import csr_matrix

    of_word = [terms_of(word) for word in words]
    terms = sorted({term.encode() for terms in of_word for term in terms})
    number = {term.decode(): place for place, term in enumerate(terms)}
    columns = [number[term] for terms in of_word for term in terms]
    ends = np.cumsum([0, *map(len, of_word)])
    gives = csr_matrix((np.ones(len(columns), dtype=np.int32), columns, ends), shape=(len(words), len(terms)))
    return written @ gives, terms


def _weigh(counts: Any, weights: Sequence[float], settings: Settings) -> tuple[Any, list[float]]:
    """Return the impacts as CSR float32 (records, terms) and the mean length of each field."""
    from scipy.sparse import csr_matrix

    fields = len(weights)
    size = counts.shape[0] // fields
    lengths = np.asarray(counts.sum(axis=1), dtype=np.float64).reshape(size, fields)
    means = [float(mean) or 1.0 for mean in lengths.mean(axis=0)] if size else [1.0] * fields
    norm = np.asarray(weights) / (1 - settings.length_share + settings.length_share * lengths / np.asarray(means))
    rows = counts.astype(np.float32)
    rows.data *= np.repeat(norm.ravel().astype(np.float32), np.diff(rows.indptr))
    if fields > 1:
        ones = np.ones(size * fields, dtype=np.float32)
        together = csr_matrix((ones, np.arange(size * fields), np.arange(0, size * fields + 1, fields)))
        rows = together @ rows if size else csr_matrix((0, counts.shape[1]), dtype=np.float32)
    df = np.bincount(rows.indices, minlength=rows.shape[1])
    idf = np.log1p((size - df + 0.5) / (df + 0.5)).astype(np.float32)
    k1 = settings.saturation
    rows.data *= (k1 + 1) / (k1 + rows.data)
    rows.data *= idf[rows.indices]
    return rows, means


def _postings(ptr: Any, doc: Any, imp: Any, size: int) -> dict[str, Any]:
    """Return lists and, for the commonest terms of a large shelf, columns."""
    df = np.diff(ptr).astype(np.int32)
    top = np.maximum.reduceat(imp, ptr[:-1]).astype(np.uint16) if len(df) else np.empty(0, np.uint16)
    is_column = (df > size / DENSE_FROM) & (top < 256) & (size >= DENSE_SIZE)
    column = np.full(len(df), -1, dtype=np.int32)
    column[is_column] = np.arange(is_column.sum())
    columns = np.zeros((int(is_column.sum()), padded(size)), dtype=np.uint8)
    for row, term in enumerate(np.flatnonzero(is_column)):
        columns[row, doc[ptr[term] : ptr[term + 1]]] = imp[ptr[term] : ptr[term + 1]]
    kept = np.repeat(~is_column, df)
    lengths = np.where(is_column, 0, df)
    return {
        "df": df,
        "ptr": np.concatenate(([0], np.cumsum(lengths))).astype(np.int64),
        "doc": doc[kept],
        "imp": imp[kept],
        "top": top,
        "column": column,
        "columns": columns,
    }


def padded(size: int) -> int:
    """Return the least multiple of 64 that holds `size` records."""
    return -(-size // 64) * 64


def _neighbours(impacts: Any, settings: Settings) -> tuple[NDArray[np.int32], NDArray[np.float32]]:
    size = impacts.shape[0]
    wanted = min(settings.neighbours, max(size - 1, 0))
    near, share = np.zeros((size, wanted), dtype=np.int32), np.zeros((size, wanted), dtype=np.float32)
    if not wanted:
        return near, share
    from sklearn.preprocessing import normalize

    rows = normalize(impacts)
    for place in range(size):
        likeness = (rows[place] @ rows.T).toarray().ravel()
        likeness[place] = 0
        nearest = np.lexsort((np.arange(size), -likeness))[:wanted]
        weight = likeness[nearest] ** settings.power
        near[place] = nearest
        share[place] = weight / weight.sum() if weight.sum() else 0
    return near, share


def _written_words(
    written: Any, words: Sequence[str], right_words: Sequence[str]
) -> tuple[Any, Any, Any, Any, NDArray[np.int32]]:
    counts = np.asarray(written.sum(axis=0)).ravel() if words else np.empty(0, dtype=np.int64)
    unused = {word: -place for place, word in enumerate(right_words, start=1)}
    count_of = unused | dict(zip(words, counts.tolist(), strict=True))
    texts = sorted(count_of, key=lambda word: word.encode())
    kept = [count_of[text] for text in texts]
    better = far_commoner(texts, kept, right_words)
    return *pack([text.encode() for text in texts]), np.array(kept, dtype=np.int32), better
