"""Puts a backup in the place of a store. What stood there is kept aside, with all that belongs to it."""

from __future__ import annotations

import os
import shutil
import sqlite3
import time
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from kb.errors import BackupDamaged, StoreTooNew, UsageProblem
from kb.ids import new_id
from kb.store.access import plainly_explained
from kb.store.backup import bring_to_disk, named_backup, put_at, written_beside
from kb.store.health import examine

WAIT = 5.0
"""Seconds to wait for others to leave the store; each use of it by oddfix lasts a moment."""


def put_back(backup: Path, store: Path, now: str, *, wait: float = WAIT) -> Path | None:
    """Put a backup in the place of the store, and return where the store that stood there is kept now, if one did.

    Raises:
        UsageProblem: backup and store are the same file.
        StoreTooNew: the backup was written by a newer program.
        BackupDamaged: the backup is not whole. The store was left as it is, as in all these cases.
        BackupFailed: there is no room for a copy.
        StoreUnavailable: the backup cannot be read, or another program uses the store.
    """
    if store.exists() and backup.exists() and backup.samefile(store):
        raise UsageProblem(f"{backup} is the store itself; name a backup of it")
    health = examine(backup)
    if health.unknown_steps:
        raise StoreTooNew(backup, health.unknown_steps)
    if health.problems:
        raise BackupDamaged(backup, health.problems)
    with written_beside(store, backup) as work:
        _begin_generation(work)
        if not store.exists():
            put_at(work, store)
            return None
        shutil.copymode(store, work)
        with _alone(store, wait):
            aside = _set_aside(store, now)
            os.replace(work, store)
        bring_to_disk(aside.parent)
        return aside


def _begin_generation(work: Path) -> None:
    """Mark the copy, so that no index made from what came after the backup fits it, and keep its log beside it."""
    with plainly_explained(work), closing(sqlite3.connect(work)) as db:
        db.execute("PRAGMA journal_mode = WAL")
        with db:
            db.execute("INSERT OR REPLACE INTO about (name, value) VALUES ('generation', ?)", (new_id(),))
    bring_to_disk(work)


@contextmanager
def _alone(store: Path, wait: float) -> Iterator[None]:
    """Keep everybody else away, with the store's log folded into its file; a damaged store nobody can use anyway."""
    with plainly_explained(store), closing(sqlite3.connect(store, timeout=wait)) as db:
        try:
            _fold_in_log(db, wait)
            db.execute("BEGIN EXCLUSIVE")
        except sqlite3.DatabaseError as error:
            if error.sqlite_errorname not in ("SQLITE_NOTADB", "SQLITE_CORRUPT"):
                raise
            yield
            return
        try:
            yield
        except BaseException:
            db.rollback()
            db.execute("PRAGMA journal_mode = WAL")
            raise


def _fold_in_log(db: sqlite3.Connection, wait: float) -> None:
    # Leaving write-ahead mode is refused at once, without waiting, while anybody else has the file open.
    end = time.monotonic() + wait
    while True:
        try:
            db.execute("PRAGMA journal_mode = DELETE")
            return
        except sqlite3.OperationalError as error:
            if error.sqlite_errorname != "SQLITE_BUSY" or time.monotonic() > end:
                raise
            time.sleep(0.02)


def _set_aside(store: Path, now: str) -> Path:
    aside = named_backup(store, "before-restore", now)
    aside.parent.mkdir(parents=True, exist_ok=True)
    for suffix in ("-wal", "-shm", "-journal"):  # there are any only when the store is damaged
        if (beside := store.with_name(store.name + suffix)).exists():
            os.replace(beside, aside.with_name(aside.name + suffix))
    put_at(store, aside)  # a second name for it; it keeps the first until the backup takes that in one step
    return aside
