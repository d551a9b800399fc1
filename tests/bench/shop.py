"""A shop with a million findings, through the program's own store and search: `python -m tests.bench.shop [FINDINGS]`.

Prints how long the store and its index take to make, a cold `oddfix ask` against one on fifty pages without findings,
what one more finding costs until it is found, and the memory of a process that has answered three hundred questions.
"""

from __future__ import annotations

import json
import os
import sqlite3
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterable
from contextlib import closing
from pathlib import Path
from statistics import median
from typing import Any, cast

from kb.desk import Desk
from kb.entries.files import default_folder, fingerprint
from kb.entries.folder import load_folder
from kb.ids import new_id
from kb.store import Store
from tests.bench.memory import mapped_mb, own_mb, unwritten_mb
from tests.bench.others import timed
from tests.bench.records import need, questions, records

ROUNDS = 15
ADDED = 50
PAGES = 50
ASKED = "fuel line worn at the clamp"


def main(size: int) -> None:
    need("faa_sdr_narratives")
    with tempfile.TemporaryDirectory() as folder:
        small, large = Path(folder) / "small.db", Path(folder) / "large.db"
        for path in (small, large):
            with_pages(path, PAGES)
        _, kept = timed(lambda: fill(large, ((text, None) for text in records(size))))
        indexed = _in_own_process("index", large)["seconds"]
        _in_own_process("index", small)
        _say(f"{size:,} findings: kept in {kept:.0f} s, indexed in {indexed:.0f} s, {_disk(large)}")
        _print_cold(small, large, size)
        _print_added(_in_own_process("add", large))
        _print_memory(_in_own_process("memory", large))


def with_pages(path: Path, count: int) -> None:
    """Make a store with the first `count` of the seed pages, which the program takes for all of them."""
    loaded = load_folder(default_folder())
    pages = list(loaded.entries.values())[:count]
    store = Store(path)
    store.entries.replace_seed(pages, loaded.systems.values(), loaded.words, fingerprint=fingerprint(default_folder()))


def fill(path: Path, rows: Iterable[tuple[str, str | None]]) -> None:
    """Keep a finding for each text and action, all at once; one at a time would take hours."""
    sql = (
        "INSERT INTO finding_revisions (id, finding, airframe, text, action, state, entries, made)"
        " VALUES (:id, :id, :airframe, :text, :action, 'open', '[]', '2020-01-01T00:00:00Z')"
    )
    values = (
        {"id": new_id(), "airframe": f"fleet {number % 40}", "text": text, "action": action}
        for number, (text, action) in enumerate(rows)
    )
    with closing(sqlite3.connect(path)) as db, db:
        db.executemany(sql, values)


def index(path: Path) -> dict[str, float]:
    """Build and keep the index; return the seconds."""
    return {"seconds": timed(Desk.open(path).search.warm)[1]}


def add(path: Path) -> dict[str, float]:
    """Add findings one by one and ask for each; return medians in ms, split by who does the work."""
    desk = Desk.open(path)
    clocks = [_Clock(desk.store.findings), _Clock(desk.store.entries)]
    desk.store.findings, desk.store.entries = cast(Any, clocks[0]), cast(Any, clocks[1])
    desk.search.warm()
    rows: list[tuple[float, ...]] = []
    for number, text in enumerate(records(ADDED + 1, seed=5)):
        word = f"quibblefish{number}"
        _, kept = timed(lambda said=f"{text} {word}": desk.findings.add(said, airframe="A1"))  # type: ignore[misc]
        before = sum(clock.seconds for clock in clocks)
        _, caught_up = timed(desk.search.warm)
        read = sum(clock.seconds for clock in clocks) - before
        answer, asked = timed(lambda word=word: desk.search.ask(word))  # type: ignore[misc]
        assert any(word in hit.title for hit in answer.hits)
        rows.append((kept, read, caught_up - read, asked))
    names = ("kept", "read", "indexed", "asked")
    columns = zip(*rows[1:], strict=True)  # the first one loads what writes
    return {name: median(times) * 1000 for name, times in zip(names, columns, strict=True)}


def memory(path: Path) -> dict[str, float]:
    """Answer a hundred questions of each of three lengths; return MB before and after."""
    start = own_mb()
    search = Desk.open(path).search
    search.warm()
    opened = own_mb()
    for length in (3, 8, 25):
        for text in questions(100, length):
            search.ask(text)
    return {
        "start": start,
        "opened": opened,
        "own": own_mb(),
        "mapped": mapped_mb(),
        "unwritten": unwritten_mb(),
    }


class _Clock:
    """Hands calls on to a table of the store, and adds up the seconds they take."""

    def __init__(self, table: Any) -> None:
        self._table = table
        self.seconds = 0.0

    def __getattr__(self, name: str) -> Callable[..., Any]:
        method = getattr(self._table, name)

        def call(*arguments: Any, **named: Any) -> Any:
            result, seconds = timed(lambda: method(*arguments, **named))
            self.seconds += seconds
            return result

        return call


def _print_cold(small: Path, large: Path, size: int) -> None:
    times: dict[Path, list[float]] = {small: [], large: []}
    for _ in range(ROUNDS + 1):
        for path, some in times.items():
            some.append(_cold(path))
    few, many = (median(times[path][1:]) for path in (small, large))
    _say(
        f"cold oddfix ask: {PAGES} pages {few:.0f} ms, with {size:,} findings {many:.0f} ms,"
        f" {many / few:.2f}x (at most 1.5x)"
    )


def _cold(path: Path) -> float:
    start = time.perf_counter()
    command = [sys.executable, "-m", "kb", "ask", "--json", ASKED]
    environment = os.environ | {"ODDFIX_STORE": str(path)}
    subprocess.run(command, env=environment, check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    return (time.perf_counter() - start) * 1000


def _print_added(ms: dict[str, float]) -> None:
    _say(
        f"one more finding: kept by the store {ms['kept']:.2f} ms, read back {ms['read']:.2f} ms,"
        f" index work {ms['indexed']:.2f} ms (at most 1), then found by a question in {ms['asked']:.2f} ms"
    )


def _print_memory(mb: dict[str, float]) -> None:
    _say(
        f"memory that no file is behind: {mb['own']:.0f} MB after 300 questions (at most 60), {mb['opened']:.0f} when"
        f" opened, {mb['start']:.0f} before; mapped files in memory {mb['mapped']:.0f} MB,"
        f" of these not yet on the disk {mb['unwritten']:.0f} MB"
    )


def _disk(path: Path) -> str:
    parts = {name: path.with_name(f"{path.name}{end}") for name, end in (("store", ""), ("index", ".index"))}
    files = {name: [part] if part.is_file() else list(part.rglob("*.*")) for name, part in parts.items()}
    return ", ".join(f"{name} {sum(f.stat().st_size for f in some) / 1e6:.0f} MB" for name, some in files.items())


def _in_own_process(act: str, path: Path) -> dict[str, float]:
    command = [sys.executable, "-m", "tests.bench.shop", act, str(path)]
    done = subprocess.run(command, check=True, stdout=subprocess.PIPE, text=True)
    figures: dict[str, float] = json.loads(done.stdout.splitlines()[-1])
    return figures


def _say(line: str) -> None:
    sys.stdout.write(line + "\n")
    sys.stdout.flush()


if __name__ == "__main__":
    acts = {"index": index, "add": add, "memory": memory}
    if sys.argv[1:] and sys.argv[1] in acts:
        _say(json.dumps(acts[sys.argv[1]](Path(sys.argv[2]))))
    else:
        main(int(sys.argv[1]) if len(sys.argv) > 1 else 1_000_000)
