"""Narrowing on the desk: `python -m tests.bench.narrowing [FINDINGS]`.

Prints, for an empty store and for one with so many confirmed findings (100,000 unless said), the time to start a case
from a question and from a page, of one step (an answer weighed, looks ranked), of keeping it, and of reopening it.
"""

from __future__ import annotations

import random
import sqlite3
import sys
import tempfile
import time
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from statistics import median

from kb.desk import Desk
from kb.ids import new_id
from kb.narrowtelling import steps

QUESTION = "white strings in the fuel strainer, engine quits at full power"
PAGE = "thread-tape-in-fuel-fittings"
ROUNDS = 30


def main(count: int) -> None:
    with tempfile.TemporaryDirectory() as folder:
        for number in (0, count):
            path = Path(folder) / f"{number}.db"
            desk = Desk.open(path)
            _fill(desk, path, number)
            desk.search.warm()
            _say(f"\n{number} confirmed findings, {desk.library.size()} pages")
            _say(f"  first start from a page   {_once(lambda: desk.narrow.start(PAGE)):8.1f} ms")  # noqa: B023
            _measure(desk)


def _measure(desk: Desk) -> None:
    at = desk.narrow.start(QUESTION)
    _say(f"  case of the question: {len(at.session.pages)} pages, {len(at.case.candidates)} causes")
    desk.narrow.keep(at)
    sign = steps(at)[0].sign
    answered = desk.narrow.answer(at, sign, "seen")
    for name, act in (
        ("start from a question", lambda: desk.narrow.start(QUESTION)),
        ("start from a page", lambda: desk.narrow.start(PAGE)),
        ("one step", lambda: desk.narrow.answer(at, sign, "seen")),
        ("one undo", lambda: desk.narrow.undo(answered)),
        ("keep", lambda: desk.narrow.keep(answered)),
        ("reopen", lambda: desk.narrow.reopen(at.id)),
    ):
        times = [_once(act) for _ in range(ROUNDS)]
        _say(f"  {name:<25} {median(times):8.1f} ms  ({min(times):.1f}-{max(times):.1f})")


def _fill(desk: Desk, path: Path, count: int) -> None:
    names = [f"{entry.id}/{cause.id}" for entry in desk.store.entries.all() for cause in entry.causes]
    dice = random.Random(7)
    identifiers = (new_id() for _ in range(count))
    rows = (
        (name, name, "A", "found", "open", "[]", dice.choice(names), "2026-01-01T00:00:00Z") for name in identifiers
    )
    with closing(sqlite3.connect(path)) as db, db:
        db.executemany(
            "INSERT INTO finding_revisions (id, finding, airframe, text, state, entries, cause, made)"
            " VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
            rows,
        )


def _once(act: Callable[[], object]) -> float:
    start = time.perf_counter()
    act()
    return (time.perf_counter() - start) * 1000


def _say(line: str) -> None:
    sys.stdout.write(line + "\n")
    sys.stdout.flush()


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 100_000)
