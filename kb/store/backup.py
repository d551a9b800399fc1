"""Backups: copies of a store made while it is in use, proved whole before they get their name."""

from __future__ import annotations

import os
import re
import shutil
import sqlite3
import tempfile
import time
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from kb.errors import BackupFailed, KbError, UsageProblem
from kb.store.access import explain, plainly_explained, reading

KEPT = 5
"""Automatic backups kept beside a store; older ones make room for newer."""

LEFT_BEHIND = 86_400.0
"""Seconds after which an unfinished copy belongs to a program that was killed; none takes a day."""

_UNFINISHED = ".oddfix-copy-"
_AUTOMATIC = re.compile(r"before-m\d{4}-\d{8}T\d{6}Z(-\d+)?\.db")


def backups_folder(store: Path) -> Path:
    """Return the folder beside a store where its backups are kept."""
    return store.with_name(f"{store.name}.backups")


def named_backup(store: Path, why: str, now: str) -> Path:
    """Return a path that is free in the folder of backups; its name says why and when (UTC, ISO 8601)."""
    stem = f"{why}-{now.replace('-', '').replace(':', '')}"
    names = (f"{stem}.db" if count == 1 else f"{stem}-{count}.db" for count in range(1, 10_000))
    return next(path for path in map(backups_folder(store).joinpath, names) if not path.exists())


def back_up_before(store: Path, step: str, now: str) -> Path:
    """Back up a store that a migration is about to change, and let the oldest of more than KEPT such backups go."""
    target = named_backup(store, f"before-{step.partition('_')[0]}", now)
    back_up(store, target)
    # The time stands in the name at the same place in each, once the step is cut off.
    ours = [path for path in target.parent.iterdir() if _AUTOMATIC.fullmatch(path.name)]
    for old in sorted(ours, key=lambda path: path.name.split("-", 2)[2].removesuffix(".db"))[:-KEPT]:
        old.unlink(missing_ok=True)
    return target


def back_up(store: Path, target: Path, *, overwrite: bool = False) -> None:
    """Copy a store to `target`, whole or not at all; others may read and write it meanwhile.

    Raises:
        UsageProblem: the target is the store, or is there already and `overwrite` was not said.
        StoreUnavailable: the store cannot be read.
        BackupFailed: the copy cannot be written, or is not whole.
    """
    if target.exists() and (not overwrite or target.samefile(store)):
        raise UsageProblem(f"{target} is there already and was left as it is; name another file")
    with written_beside(target, store) as work:
        if overwrite:
            os.replace(work, target)
        else:
            put_at(work, target)


@contextmanager
def written_beside(target: Path, store: Path) -> Iterator[Path]:
    """Give a proved copy of a store in a file of its own beside `target`; it is removed unless it was renamed.

    Raises:
        StoreUnavailable: the store cannot be read.
        BackupFailed: the copy cannot be written, or is not whole.
    """
    with _failing_plainly(target):
        target.parent.mkdir(parents=True, exist_ok=True)
        _sweep(target.parent)
        handle, name = tempfile.mkstemp(prefix=_UNFINISHED, dir=target.parent)
        os.close(handle)
    work = Path(name)
    try:
        with plainly_explained(store), reading(store) as source, _failing_plainly(target):
            _copy(source, work)
            shutil.copymode(store, work)
            bring_to_disk(work)
        with _failing_plainly(target):
            yield work
            bring_to_disk(target.parent)
    finally:
        for suffix in ("", "-journal", "-wal", "-shm"):
            work.with_name(work.name + suffix).unlink(missing_ok=True)


def put_at(work: Path, target: Path) -> None:
    """Give a file its name; FileExistsError when another one has it, which is then left as it is."""
    try:
        os.link(work, target)
    except FileExistsError:
        raise
    except OSError:  # a file system without links
        if target.exists():
            raise FileExistsError(17, "is there already", str(target)) from None
        os.rename(work, target)


def bring_to_disk(path: Path) -> None:
    """Have what was written to a file, or the names in a folder, on the disk before going on."""
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def count_rows(db: sqlite3.Connection) -> dict[str, int]:
    """Return the number of rows of each table, by name."""
    tables = db.execute("SELECT name FROM sqlite_master WHERE type = 'table' ORDER BY name").fetchall()
    return {name: db.execute(f"SELECT count(*) FROM {_quoted(name)}").fetchone()[0] for (name,) in tables}


def _sweep(folder: Path) -> None:
    """Remove the unfinished copies of programs that were killed."""
    for left in folder.glob(f"{_UNFINISHED}*"):
        try:
            if time.time() - left.stat().st_mtime > LEFT_BEHIND:
                left.unlink()
        except FileNotFoundError:
            pass  # another process was quicker


def _copy(source: sqlite3.Connection, work: Path) -> None:
    with closing(sqlite3.connect(work)) as copy:
        # Within one transaction the source stays as it is at the first reading, whoever writes meanwhile.
        source.execute("BEGIN")
        counts = count_rows(source)
        source.backup(copy)
        source.execute("ROLLBACK")
        # One file alone, without a log beside it, can be carried away.
        copy.execute("PRAGMA journal_mode = DELETE")
        (said,) = copy.execute("PRAGMA integrity_check(1)").fetchone()
        if said != "ok":
            raise sqlite3.DatabaseError(f"the copy is not whole ({said})")
        if copy.execute("PRAGMA foreign_key_check").fetchone() or count_rows(copy) != counts:
            raise sqlite3.DatabaseError("the copy does not hold what the store holds")


@contextmanager
def _failing_plainly(target: Path) -> Iterator[None]:
    try:
        yield
    except KbError:
        raise
    except FileExistsError as error:
        raise UsageProblem(f"{target} is there already and was left as it is; name another file") from error
    except sqlite3.DatabaseError as error:
        reason, remedy = _why(error)
        raise BackupFailed(target, f"no copy could be made at {target}: {reason}", remedy) from error
    except OSError as error:
        said = f"no copy could be made at {target}: {error.strerror}"
        raise BackupFailed(target, said, "make room or name another place; the store was left as it is") from error


def _why(error: sqlite3.DatabaseError) -> tuple[str, str]:
    name = getattr(error, "sqlite_errorname", "")
    if name.startswith(("SQLITE_FULL", "SQLITE_IOERR", "SQLITE_CANTOPEN", "SQLITE_READONLY")):
        return "the disk is full or may not be written", "make room or name another place; the store was left as it is"
    if not name or name.startswith(("SQLITE_CORRUPT", "SQLITE_NOTADB")):
        return f"what is to be copied is damaged ({error})", "oddfix store check says what is wrong"
    return explain(error)


def _quoted(name: str) -> str:
    return '"' + name.replace('"', '""') + '"'
