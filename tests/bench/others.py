"""Other search engines behind one call, so that all are measured alike: texts in, places of the best records out.

Each gets its own stemming and stop words, as its users would set it up.
"""

from __future__ import annotations

import sqlite3
import time
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import Stemmer

from kb.text import STOP_WORDS, fold, split_words

Ask = Callable[[str, int], list[tuple[int, float]]]
"""From a question and how many are wanted to places and scores, best first."""

Parts = Sequence[tuple[str, str]]
"""Title and text of each record."""

_stemmer = Stemmer.Stemmer("english")


def stems(text: str) -> list[str]:
    """Return the stemmed words of a text without stop words."""
    return [str(stem) for stem in _stemmer.stemWords([w for w in split_words(text) if w not in STOP_WORDS])]


def fts5(parts: Parts, folder: Path) -> Ask:
    """SQLite's full-text search with its porter stemmer and bm25, titles counting double."""
    db = sqlite3.connect(folder / "fts5.db")
    db.execute("CREATE VIRTUAL TABLE t USING fts5(title, body, tokenize='porter unicode61')")
    db.executemany("INSERT INTO t (rowid, title, body) VALUES (?, ?, ?)", ((n, *p) for n, p in enumerate(parts)))
    db.commit()
    db.close()
    return fts5_opened(folder)


def fts5_opened(folder: Path) -> Ask:
    """Open what `fts5` made."""
    db = sqlite3.connect(folder / "fts5.db")

    def ask(question: str, limit: int) -> list[tuple[int, float]]:
        words = dict.fromkeys(w for w in split_words(question) if w not in STOP_WORDS)
        match = " OR ".join('"' + word.replace('"', "") + '"' for word in words)
        if not match:
            return []
        rank = "bm25(t, 2.0, 1.0)"
        rows = db.execute(f"SELECT rowid, -{rank} FROM t WHERE t MATCH ? ORDER BY {rank} LIMIT ?", (match, limit))
        return [(int(place), float(score)) for place, score in rows]

    return ask


def bm25s_numba(parts: Parts, folder: Path) -> Ask:
    """bm25s with its numba kernel, on plain lists of stems."""
    import bm25s

    engine = bm25s.BM25(backend="numba")
    engine.index([stems(f"{title} {body}") for title, body in parts], show_progress=False)

    def ask(question: str, limit: int) -> list[tuple[int, float]]:
        places, scores = engine.retrieve([stems(question)], k=min(limit, len(parts)), show_progress=False)
        return [(int(p), float(s)) for p, s in zip(places[0], scores[0], strict=True) if s > 0]

    return ask


def rank_bm25_okapi(parts: Parts, folder: Path) -> Ask:
    """rank_bm25's Okapi weights."""
    import numpy as np
    from rank_bm25 import BM25Okapi

    engine = BM25Okapi([stems(f"{title} {body}") or ["-"] for title, body in parts])

    def ask(question: str, limit: int) -> list[tuple[int, float]]:
        scores = engine.get_scores(stems(question))
        return [(int(p), float(scores[p])) for p in np.argsort(-scores, kind="stable")[:limit] if scores[p] > 0]

    return ask


def tantivy_english(parts: Parts, folder: Path) -> Ask:
    """tantivy with its English stemmer and our stop words left out of the question."""
    import tantivy

    builder = tantivy.SchemaBuilder()
    builder.add_text_field("body", stored=False, tokenizer_name="en_stem")
    builder.add_integer_field("place", stored=True, fast=True)
    place = folder / "tantivy"
    place.mkdir(exist_ok=True)
    index = tantivy.Index(builder.build(), path=str(place))
    writer = index.writer(200_000_000, 1)
    for number, (title, body) in enumerate(parts):
        writer.add_document(tantivy.Document(body=f"{title} {body}", place=number))
    writer.commit()
    writer.wait_merging_threads()
    return tantivy_opened(folder)


def tantivy_opened(folder: Path) -> Ask:
    """Open what `tantivy_english` made."""
    import tantivy

    index = tantivy.Index.open(str(folder / "tantivy"))
    searcher = index.searcher()

    def ask(question: str, limit: int) -> list[tuple[int, float]]:
        words = [w for w in dict.fromkeys(split_words(question)) if w not in STOP_WORDS]
        query = index.parse_query(" ".join('"' + word.replace('"', "") + '"' for word in words), ["body"])
        hits = searcher.search(query, limit).hits if words else []
        return [(int(searcher.doc(address)["place"][0]), float(score)) for score, address in hits]

    return ask


def scikit_learn_plain(parts: Parts, folder: Path) -> Ask:
    """scikit-learn's TF-IDF with its defaults, by cosine."""
    import numpy as np
    from sklearn.feature_extraction.text import TfidfVectorizer

    counter = TfidfVectorizer()
    rows = counter.fit_transform([fold(f"{title} {body}") for title, body in parts])

    def ask(question: str, limit: int) -> list[tuple[int, float]]:
        scores = np.asarray((rows @ counter.transform([fold(question)]).T).todense()).ravel()
        return [(int(p), float(scores[p])) for p in np.argsort(-scores, kind="stable")[:limit] if scores[p] > 0]

    return ask


ENGINES: dict[str, Callable[[Parts, Path], Ask]] = {
    "FTS5": fts5,
    "bm25s": bm25s_numba,
    "rank_bm25": rank_bm25_okapi,
    "tantivy": tantivy_english,
    "scikit-learn": scikit_learn_plain,
}


def timed(work: Callable[[], Any]) -> tuple[Any, float]:
    """Return what the work returns, and its seconds."""
    start = time.perf_counter()
    return work(), time.perf_counter() - start
