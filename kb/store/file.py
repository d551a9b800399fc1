"""The store's file: opens it, brings it up to date, and hands out connections that explain their failures.

Every use opens its own connection, so a store may be used from any thread. Readers are read-only. sqlite-utils, which
costs more to import than a question costs to answer, is loaded only to write.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from kb.errors import StoreTooNew, StoreUnavailable
from kb.store.migrations import SET, STEPS, migrations

if TYPE_CHECKING:
    from sqlite_utils import Database

BUSY_SECONDS = 5.0
"""How long a writer waits for another one. Source: SQLite's Python default, kept by the design."""


class StoreFile:
    """One store file. Opening creates it, or brings an older one up to date, and refuses a newer one.

    Raises:
        StoreUnavailable: the file cannot be opened, is no store, or is locked longer than `busy_seconds`.
        StoreTooNew: the file was written by a newer program.
    """

    def __init__(self, path: Path, *, busy_seconds: float, clock: Callable[[], datetime]) -> None:
        self.path = path
        self._busy_seconds = busy_seconds
        self._clock = clock
        self._bring_up_to_date()

    @contextmanager
    def reading(self) -> Iterator[sqlite3.Connection]:
        """Give a connection that cannot write."""
        with self._plainly_explained():
            address = f"file:{_as_uri_path(self.path)}?mode=ro"
            with closing(sqlite3.connect(address, uri=True, timeout=self._busy_seconds)) as connection:
                connection.execute("PRAGMA query_only = ON")
                yield connection

    @contextmanager
    def writing(self) -> Iterator[Database]:
        """Give a database for one user action: everything inside is kept, or nothing."""
        with self._writable() as db:
            # Taking the lock at once makes a second writer wait its turn; a later upgrade would be refused instead.
            db.conn.execute("BEGIN IMMEDIATE")
            try:
                yield db
                db.conn.execute("COMMIT")
            except BaseException:
                db.conn.rollback()
                raise

    def now(self) -> str:
        """Return the time of the store's clock, UTC, ISO 8601, to the second."""
        return self._clock().astimezone(UTC).isoformat(timespec="seconds").replace("+00:00", "Z")

    def _bring_up_to_date(self) -> None:
        try:
            self.path.parent.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise StoreUnavailable(
                self.path, f"has no usable folder ({error.strerror})", "name another place"
            ) from error
        applied = self._applied_steps() if self.path.exists() else []
        if unknown := [step for step in applied if step not in STEPS]:
            raise StoreTooNew(self.path, unknown)
        if len(applied) == len(STEPS):
            return
        with self._writable() as db:
            db.enable_wal()
            migrations().apply(db)

    def _applied_steps(self) -> list[str]:
        with self.reading() as db:
            tables = {name for (name,) in db.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
            if not tables:
                return []
            steps: list[str] = []
            if "_sqlite_migrations" in tables:
                rows = db.execute("SELECT name FROM _sqlite_migrations WHERE migration_set = ? ORDER BY id", (SET,))
                steps = [name for (name,) in rows]
        if not steps:
            raise StoreUnavailable(self.path, "is a database of something else", "name another place with --store")
        return steps

    @contextmanager
    def _writable(self) -> Iterator[Database]:
        from sqlite_utils import Database

        with self._plainly_explained(), closing(sqlite3.connect(self.path, timeout=self._busy_seconds)) as connection:
            connection.execute("PRAGMA foreign_keys = ON")
            yield Database(connection)

    @contextmanager
    def _plainly_explained(self) -> Iterator[None]:
        try:
            yield
        except sqlite3.DatabaseError as error:
            raise StoreUnavailable(self.path, *_explain(error)) from error


def _as_uri_path(path: Path) -> str:
    """Return the path for an SQLite URI. Source: sqlite.org, "Uniform Resource Identifiers", the URI path."""
    return str(path.absolute()).replace("%", "%25").replace("?", "%3f").replace("#", "%23")


def _explain(error: sqlite3.DatabaseError) -> tuple[str, str]:
    name = getattr(error, "sqlite_errorname", "")
    if name.startswith(("SQLITE_BUSY", "SQLITE_LOCKED")):
        return "is locked by another program", "wait until that has finished and try again; nothing was changed"
    if name.startswith("SQLITE_FULL"):
        return "cannot grow, the disk is full", "make room and try again; nothing was changed"
    if name.startswith("SQLITE_READONLY"):
        return "may be read but not written", "check who may write it; nothing was changed"
    if name.startswith(("SQLITE_CANTOPEN", "SQLITE_IOERR")):
        return "cannot be opened", "check that it is a file you may read, or name another with --store"
    if name.startswith(("SQLITE_NOTADB", "SQLITE_CORRUPT")):
        return "is damaged or is not an oddfix store", "name another with --store, or restore a backup"
    return f"answered: {error}", "the store was left as it is"
