"""Ranking on the Cranfield collection, ours against other engines in one run: `python -m tests.bench.cranfield`.

Settings are chosen on the odd questions, figures are reported on the even ones, with both readings of the judgments
(`qrels.tsv` counts the paper a question was written from as worthless, the other file as relevant).
"""

from __future__ import annotations

import json
import sys
import tempfile
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import ir_measures
from ir_measures import AP, RR, P, nDCG

from kb.search.build import build
from kb.search.lexicon import Lexicon
from kb.search.pick import best, smooth
from kb.search.question import read_question
from kb.search.score import Scorer
from kb.search.settings import COLLECTION, PAGES, Settings
from kb.search.shelf import Shelf
from tests.bench.others import ENGINES, Ask, Parts
from tests.bench.records import need

MEASURES = {"MAP": AP, "nDCG@10": nDCG @ 10, "P@5": P @ 5, "MRR": RR}
JUDGMENTS = ("qrels.tsv", "qrels_source_as_relevant.tsv")
DEPTH = 1000


def ours(parts: Parts, settings: Settings) -> Ask:
    """Our engine as a document collection is asked: no words of the trade, no respelling."""
    records = [{"title": title, "text": body} for title, body in parts]
    shelf = Shelf(build(records, range(len(records)), {"title": 3.0, "text": 1.0}, settings), settings)
    scorer, no_words = Scorer(shelf), Lexicon.of_words([])

    def ask(question: str, limit: int) -> list[tuple[int, float]]:
        read = read_question(question, no_words, is_known=lambda word, term: True, respell=lambda word: [])
        scores = smooth(scorer.score(read), shelf.near, shelf.near_share, settings.share)
        return [(place, float(scores[place])) for place in best(scores, limit)]

    return ask


def main() -> None:
    folder = need("cranfield")
    documents = _lines(folder / "docs.jsonl")
    parts = [(d["title"], d["text"].removeprefix(d["title"])) for d in documents]
    questions = [q for q in _lines(folder / "queries.jsonl") if int(q["id"]) % 2 == 0]
    read: Any = ir_measures.read_trec_qrels
    judged = {name: list(read(_as_trec(folder / name))) for name in JUDGMENTS}
    figures: dict[str, dict[str, dict[str, float]]] = {}
    with tempfile.TemporaryDirectory() as work:
        asks = {name: make(parts, Path(work)) for name, make in ENGINES.items()}
        asks |= {"ours, pages": ours(parts, PAGES), "ours, collection": ours(parts, COLLECTION)}
        for name, ask in asks.items():
            run = {q["id"]: {documents[p]["id"]: score for p, score in ask(q["text"], DEPTH)} for q in questions}
            figures[name] = {file: _measure(judged[file], run) for file in JUDGMENTS}
    for file in JUDGMENTS:
        _say(f"even questions, {file}\n{'':<18}" + "".join(f"{name:>9}" for name in MEASURES))
        for name, by_file in figures.items():
            _say(f"{name:<18}" + "".join(f"{by_file[file][measure]:9.4f}" for measure in MEASURES))
        others = [figures[name][file] for name in ("FTS5", "bm25s", "rank_bm25", "tantivy")]
        us = figures["ours, collection"][file]
        ratios = (f"{m} {us[m] / max(o[m] for o in others):.2f}x" for m in ("MAP", "nDCG@10"))
        _say(f"ours, collection, against the best of FTS5, bm25s, rank_bm25, tantivy: {', '.join(ratios)}\n")


def _measure(judged: list[Any], run: Mapping[str, Mapping[str, float]]) -> dict[str, float]:
    asked = [one for one in judged if one.query_id in run]
    found = ir_measures.calc_aggregate(list(MEASURES.values()), asked, run)
    return {name: float(found[measure]) for name, measure in MEASURES.items()}


def _as_trec(path: Path) -> str:
    rows = (line.split() for line in path.read_text(encoding="utf-8").splitlines())
    return "\n".join(f"{query} 0 {document} {gain}" for query, document, gain in rows)


def _lines(path: Path) -> list[dict[str, str]]:
    return [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines()]


def _say(line: str) -> None:
    sys.stdout.write(line + "\n")


if __name__ == "__main__":
    main()
