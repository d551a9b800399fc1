"""The Store: one file, with its tables of entries and findings."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

from kb.store.entries import EntryTable
from kb.store.file import BUSY_SECONDS, StoreFile
from kb.store.findings import FindingTable
from kb.store.sessions import SessionTable


def default_store() -> Path:
    """Return the place of the store when none is named: the user's own data folder."""
    from platformdirs import user_data_path

    return user_data_path("oddfix", appauthor=False) / "oddfix.db"


class Store:
    """What one file holds, by table. See StoreFile for what opening does and raises."""

    def __init__(
        self,
        path: Path,
        *,
        busy_seconds: float = BUSY_SECONDS,
        clock: Callable[[], datetime] = lambda: datetime.now(UTC),
    ) -> None:
        self.path = path
        file = StoreFile(path, busy_seconds=busy_seconds, clock=clock)
        self.entries = EntryTable(file)
        self.findings = FindingTable(file)
        self.sessions = SessionTable(file)
        self._file = file

    def identity(self) -> str:
        """Return the id this store got when it was made; a copy keeps it, another store has another."""
        with self._file.reading() as db:
            return str(db.execute("SELECT value FROM about WHERE name = 'store'").fetchone()[0])
