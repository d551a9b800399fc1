"""Speed and size at scale, each engine in a process of its own, all in one run: `python -m tests.bench.scale [SIZE…]`.

Sizes default to 10,000, 100,000 and 1,000,000 records. Times in milliseconds at p50/p95; peak memory is that of the
process that builds, own memory (which no file is behind) that of one that only opens and asks. A machine shared with
others makes every figure larger; compare within one run. The last lines compare processor time too, in which other
programs do not count.
"""

from __future__ import annotations

import json
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

from tests.bench.memory import own_mb
from tests.bench.records import need, questions, records

SIZES = (10_000, 100_000, 1_000_000)
LENGTHS = (3, 8, 25)
ROUNDS = {"FTS5": 20}
"""Questions of each length; 200 but for an engine that takes seconds for one."""

ENGINES = ("ours", "tantivy", "bm25s", "FTS5")


def main(sizes: Sequence[int]) -> None:
    need("faa_sdr_narratives")
    for size in sizes:
        _say(
            f"\n{size:,} records"
            + "".join(f"{f'{n} words p50/p95 ms':>24}" for n in LENGTHS)
            + "   build s  disk MB  peak MB  own MB"
        )
        figures = {}
        for engine in ENGINES:
            with tempfile.TemporaryDirectory() as folder:
                built = _in_own_process("build", engine, str(size), folder)
                asked = _in_own_process("ask", engine, str(size), folder) | {"disk": _disk(Path(folder))}
            figures[engine] = asked
            _say(
                f"{engine:<15}"
                + "".join(f"{asked[f'p50-{n}']:13.2f} /{asked[f'p95-{n}']:9.2f}" for n in LENGTHS)
                + f"{built['seconds']:10.1f}{asked['disk']:9.0f}{built['peak']:9.0f}{asked['own']:8.0f}"
            )
        for kind, title in (("", "by the clock"), ("cpu-", "in processor time")):
            for other in ENGINES[1:]:
                names = {p: f"{kind}{p}-8" for p in ("p50", "p95")}
                ratios = (f"{figures[other][name] / figures['ours'][name]:.1f}x at {p}" for p, name in names.items())
                us = " / ".join(f"{figures['ours'][name]:.2f}" for name in names.values())
                _say(f"8 words, {title}, ours ({us} ms) quicker than {other}: {', '.join(ratios)}")


def build(engine: str, size: int, folder: Path) -> dict[str, float]:
    """Build an index of `size` records in `folder`; return seconds and peak memory in MB."""
    texts = list(records(size))
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    start = time.perf_counter()
    if engine == "ours":
        from kb.search.build import build as build_shelf
        from kb.search.keep import write_shelf
        from kb.search.settings import FINDINGS

        rows = [{"all": text} for text in texts]
        write_shelf(build_shelf(rows, range(size), {"all": 1.0}, FINDINGS), FINDINGS, folder / "shelf", stamp="bench")
    elif engine == "bm25s":
        import bm25s

        from tests.bench.others import stems

        index = bm25s.BM25(backend="numba")
        index.index([stems(text) for text in texts], show_progress=False)
        index.save(str(folder / "bm25s"))
    else:
        from tests.bench.others import fts5, tantivy_english

        {"FTS5": fts5, "tantivy": tantivy_english}[engine]([("", text) for text in texts], folder)
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return {"seconds": time.perf_counter() - start, "peak": (peak - before) / 1024}


def ask(engine: str, size: int, folder: Path) -> dict[str, float]:
    """Ask an index opened from `folder`; return p50 and p95 in ms by length, and its own memory in MB."""
    asked = {length: questions(ROUNDS.get(engine, 200), length) for length in LENGTHS}
    before = own_mb()
    answer = _opened(engine, folder)
    figures: dict[str, float] = {}
    for length, texts in asked.items():
        for text in texts:  # the first touch of a mapped page is not what is measured
            answer(text)
        pairs = [_seconds(answer, text) for text in texts]
        for kind, times in (("", sorted(pair[0] for pair in pairs)), ("cpu-", sorted(pair[1] for pair in pairs))):
            figures[f"{kind}p50-{length}"] = times[len(times) // 2] * 1000
            figures[f"{kind}p95-{length}"] = times[len(times) * 95 // 100] * 1000
    return figures | {"own": own_mb() - before}


def _opened(engine: str, folder: Path) -> Callable[[str], Any]:
    if engine == "ours":
        from kb.search.keep import read_shelf
        from kb.search.lexicon import Lexicon
        from kb.search.question import read_question
        from kb.search.score import Scorer
        from kb.search.settings import FINDINGS

        scorer, no_words = Scorer(read_shelf(folder / "shelf", FINDINGS, stamp="bench")), Lexicon.of_words([])

        def ours(text: str) -> Any:
            question = read_question(text, no_words, is_known=lambda word, term: True, respell=lambda word: [])
            return scorer.leaders(question, 10)

        return ours
    if engine == "bm25s":
        import bm25s

        from tests.bench.others import stems

        index = bm25s.BM25.load(str(folder / "bm25s"), mmap=True)
        index.backend = "numba"
        index.activate_numba_scorer()

        def theirs(text: str) -> Any:
            words = stems(text)
            return index.retrieve([words], k=10, show_progress=False, n_threads=0) if words else None

        return theirs
    from tests.bench.others import fts5_opened, tantivy_opened

    opened = {"FTS5": fts5_opened, "tantivy": tantivy_opened}[engine](folder)
    return lambda text: opened(text, 10)


def _seconds(answer: Callable[[str], Any], text: str) -> tuple[float, float]:
    """Return the seconds one answer took, by the clock and of the processor (all threads)."""
    start, used = time.perf_counter(), time.process_time()
    answer(text)
    return time.perf_counter() - start, time.process_time() - used


def _disk(folder: Path) -> float:
    return sum(path.stat().st_size for path in folder.rglob("*") if path.is_file()) / 1e6


def _in_own_process(*arguments: str) -> dict[str, float]:
    command = [sys.executable, "-m", "tests.bench.scale", *arguments]
    done = subprocess.run(command, check=True, capture_output=True, text=True)
    figures: dict[str, float] = json.loads(done.stdout.splitlines()[-1])
    return figures


def _say(line: str) -> None:
    sys.stdout.write(line + "\n")
    sys.stdout.flush()


if __name__ == "__main__":
    if sys.argv[1:2] in (["build"], ["ask"]):
        _say(json.dumps({"build": build, "ask": ask}[sys.argv[1]](sys.argv[2], int(sys.argv[3]), Path(sys.argv[4]))))
    else:
        main([int(argument) for argument in sys.argv[1:]] or SIZES)
