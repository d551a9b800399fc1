"""What other processes do to a store while a test looks on; each tells through a pipe what it has kept."""

from __future__ import annotations

import random
import resource
import signal
import time
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from multiprocessing import get_context
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from pathlib import Path
from typing import Any

from kb.desk import Desk
from kb.errors import KbError
from kb.findings import Findings
from kb.keeping import Keeping
from kb.store import Store

FOLDER = Path(__file__).parent.parent / "data" / "folder"
"""Two pages that never change."""

_PROCESSES = get_context("forkserver")
_PROCESSES.set_forkserver_preload(["tests.kb.writers", "sqlite_utils", "sqlite_utils.migrations"])


@contextmanager
def another_process(work: Callable[..., None], *arguments: Any) -> Iterator[tuple[BaseProcess, Connection]]:
    """Start `work(pipe, *arguments)` in a process of its own; give it and the pipe to read from."""
    listen, tell = _PROCESSES.Pipe(duplex=False)
    process = _PROCESSES.Process(target=work, args=(tell, *arguments))
    process.start()
    tell.close()  # so that the pipe ends with the process
    try:
        yield process, listen
    finally:
        process.kill()
        process.join()
        listen.close()


def told(listen: Connection) -> Iterator[str]:
    """Give what a process has told until it ended."""
    try:
        while True:
            yield listen.recv_bytes().decode()
    except EOFError:
        return


def answer(work: Callable[..., None], *arguments: Any) -> list[str]:
    """Return all that a process tells from its start to its end."""
    with another_process(work, *arguments) as (_, listen):
        return list(told(listen))


def add_and_revise(tell: Connection, path: Path, seed: int) -> None:
    """Keep findings and change them without end; tell the id of each revision once it is kept."""
    desk, choose = Desk.open(path, entries=FOLDER), random.Random(seed)  # chooses what to do, hides nothing
    mine: list[str] = []
    for number in range(1_000_000):
        if not mine or choose.random() < 0.4:
            text = f"finding {seed}-{number} " + "x" * choose.randrange(4000)
            finding = desk.findings.add(text, airframe=f"A{choose.randrange(5)}")
            mine.append(finding.id)
        else:
            name = choose.choice(mine)
            if choose.random() < 0.5:
                finding = desk.findings.revise(name, place=f"place {number}")
            else:
                finding = desk.findings.correct(name, action=f"done {number}", minutes=number)
        tell.send_bytes(finding.revision.encode())


def add_many(tell: Connection, path: Path, airframe: str, count: int) -> None:
    """Keep so many findings as fast as it goes; tell the longest wait for one in seconds, or what was refused."""
    findings, longest = Findings(Store(path)), 0.0
    tell.send_bytes(b"ready")
    for number in range(count):
        start = time.monotonic()
        try:
            findings.add(f"finding {number}", airframe=airframe)
        except KbError as error:
            tell.send_bytes(f"refused {number}: {error}".encode())
            return
        longest = max(longest, time.monotonic() - start)
    tell.send_bytes(f"{longest:.3f}".encode())


def add_on(tell: Connection, path: Path) -> None:
    """Keep findings without end, whatever is refused; tell the id of each that was kept."""
    findings = Findings(Store(path))
    for number in range(1_000_000):
        try:
            finding = findings.add(f"finding {number}", airframe="A")
        except KbError:
            continue
        tell.send_bytes(finding.revision.encode())


def read_on(tell: Connection, path: Path) -> None:
    """Read without end; tell what was refused."""
    findings = Findings(Store(path))
    tell.send_bytes(b"ready")
    while True:
        try:
            findings.all(limit=5)
        except KbError as error:
            tell.send_bytes(str(error).encode())
            return


def put_back_on(tell: Connection, path: Path, backups: list[Path]) -> None:
    """Put one backup after the other in the place of the store without end; tell of each once it stands there."""
    for number in range(1_000_000):
        Keeping(path).restore(backups[number % len(backups)])
        tell.send_bytes(str(number % len(backups)).encode())


def open_store(tell: Connection, path: Path) -> None:
    """Open a store, which brings an old one up to date; tell how many findings it holds, or what was refused."""
    try:
        tell.send_bytes(str(Store(path).findings.count()).encode())
    except KbError as error:
        tell.send_bytes(f"refused: {error}".encode())


def within(tell: Connection, limit: int, work: Callable[..., None], path: Path) -> None:
    """Do work where no file may grow beyond `limit` bytes, as on a full disk; tell the sentence it ends with."""
    signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit))
    try:
        work(path)
    except KbError as error:
        tell.send_bytes(str(error).encode())


def fill(path: Path) -> None:
    """Keep findings until it is refused."""
    findings = Findings(Store(path))
    for number in range(10_000):
        findings.add(f"{number} " + "x" * 19_000, airframe="A")


def hold(tell: Connection, path: Path) -> None:
    """Hold the store's lock until killed."""
    import sqlite3

    with closing(sqlite3.connect(path)) as db:
        db.execute("BEGIN IMMEDIATE")
        tell.send_bytes(b"held")
        signal.pause()
