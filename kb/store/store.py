"""The Store: one file, with its tables of entries and findings."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime
from pathlib import Path

from kb.store.airframes import AirframeTable
from kb.store.drafts import DraftTable
from kb.store.entries import EntryTable
from kb.store.file import BUSY_SECONDS, StoreFile
from kb.store.findings import FindingTable
from kb.store.imports import ImportTable
from kb.store.merge import MergeTable
from kb.store.pages import PageTable
from kb.store.photos import PhotoTable
from kb.store.revisions import RevisionTable
from kb.store.sessions import SessionTable


def default_store() -> Path:
    """Return the place of the store when none is named: the user's own data folder."""
    from platformdirs import user_data_path

    return user_data_path("oddfix", appauthor=False) / "oddfix.db"


def index_folder(store: Path) -> Path:
    """Return the folder beside a store where what the search learned from it is kept."""
    return store.with_name(f"{store.name}.index")


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
        self.revisions = RevisionTable(file)
        self.airframes = AirframeTable(file)
        self.photos = PhotoTable(file)
        self.merge = MergeTable(file)
        self.pages = PageTable(file)
        self.imports = ImportTable(file)
        self.drafts = DraftTable(file)
        self.sessions = SessionTable(file)
        self._file = file

    def identity(self) -> str:
        """Return the id this store got when it was made; a copy keeps it, another store has another."""
        return self._about("store") or ""

    def shop(self) -> str | None:
        """Return what the shop calls itself, or None."""
        return self._about("shop")

    def name_shop(self, name: str) -> None:
        """Say what the shop calls itself; new revisions carry it."""
        with self._file.writing() as db:
            db.table("about").insert({"name": "shop", "value": name}, replace=True)

    def secret(self) -> str:
        """Return a random text only this store knows, made when it is first asked for; never leaves it."""
        import secrets

        with self._file.writing() as db:
            db.conn.execute("INSERT OR IGNORE INTO about (name, value) VALUES ('secret', ?)", (secrets.token_hex(32),))
            return str(db.conn.execute("SELECT value FROM about WHERE name = 'secret'").fetchone()[0])

    def now(self) -> str:
        """Return the time of the store's clock, UTC, ISO 8601, to the second."""
        return self._file.now()

    def today(self) -> date:
        """Return the day of the store's clock, UTC."""
        return date.fromisoformat(self.now()[:10])

    def _about(self, name: str) -> str | None:
        with self._file.reading() as db:
            row = db.execute("SELECT value FROM about WHERE name = ?", (name,)).fetchone()
        return row[0] if row else None
