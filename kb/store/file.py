"""The store's file: opens it, brings it up to date, and hands out connections that explain their failures.

Every use opens its own connection, so a store may be used from any thread. Readers are read-only. sqlite-utils, which
costs more to import than a question costs to answer, is loaded only to write.
"""

from __future__ import annotations

import sqlite3
import time
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from kb.errors import BackupFailed, StoreTooNew, StoreUnavailable
from kb.store.access import BUSY_SECONDS, is_locked, plainly_explained, reading
from kb.store.migrations import SET, STEPS, migrations

if TYPE_CHECKING:
    from sqlite_utils import Database

__all__ = ["BUSY_SECONDS", "StoreFile"]


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
        with reading(self.path, busy_seconds=self._busy_seconds) as connection:
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
        if not self._pending_steps():
            self._keep_log()
            return
        self._begin_log()
        with self.writing() as db:
            # Another process may have been quicker while this one waited for its turn.
            if pending := self._pending_steps():
                self._back_up_before(pending[0])
                migrations().apply(db)

    def _begin_log(self) -> None:
        """Turn on the log; several that make a store at once wait for one another here."""
        # SQLite does not wait at this step itself: two would wait for each other (sqlite.org, "Write-Ahead Logging").
        until = time.monotonic() + self._busy_seconds
        while True:
            try:
                with self._writable() as db:
                    db.enable_wal()
                return
            except StoreUnavailable as error:
                if not is_locked(error) or time.monotonic() > until:
                    raise
                time.sleep(0.02)

    def _keep_log(self) -> None:
        """Give a store that has none the log that lets others read while one writes: a copied backup has none."""
        with self.reading() as db:
            if db.execute("PRAGMA journal_mode").fetchone() == ("wal",):
                return
        try:
            with self._writable() as writable:
                writable.enable_wal()
        except StoreUnavailable:
            pass  # it may be read only, or is in use just now; it does without

    def _pending_steps(self) -> list[str]:
        applied = self._applied_steps() if self.path.exists() else []
        if unknown := [step for step in applied if step not in STEPS]:
            raise StoreTooNew(self.path, unknown)
        return [step for step in STEPS if step not in applied]

    def _back_up_before(self, step: str) -> None:
        """Keep the store as it is before a step, if it holds anything; its lock is held, so nothing comes between."""
        if step == STEPS[0]:
            return
        from kb.store.backup import back_up_before

        try:
            back_up_before(self.path, step, self.now())
        except BackupFailed as error:
            raise StoreUnavailable(
                self.path, f"is of an older form and was left so, since {error.reason}", error.remedy
            ) from error

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

        with (
            plainly_explained(self.path),
            closing(sqlite3.connect(self.path, timeout=self._busy_seconds)) as connection,
        ):
            connection.execute("PRAGMA foreign_keys = ON")
            # In write-ahead mode FULL brings each commit to the disk before it returns; NORMAL, which is quicker, may
            # lose the last ones when the power fails. Source: sqlite.org, "PRAGMA synchronous".
            connection.execute("PRAGMA synchronous = FULL")
            # What a statement changes is kept until it ends, in case it fails; of many, each would go through a file.
            connection.execute("PRAGMA temp_store = MEMORY")
            yield Database(connection)
