"""The Store: one file, with its tables of entries and findings."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from kb.store.entries import EntryTable
from kb.store.file import BUSY_SECONDS, StoreFile
from kb.store.findings import FindingTable

if TYPE_CHECKING:
    from kb.store.airframes import AirframeTable
    from kb.store.drafts import DraftTable
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
    """What one file holds, by table. See StoreFile for what opening does and raises.

    Tables that a question does not need are read when they are first used: a start asks for two of them.
    """

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
        self._file = file

    @cached_property
    def revisions(self) -> RevisionTable:
        """Histories of findings, and writing them."""
        from kb.store.revisions import RevisionTable

        return RevisionTable(self._file)

    @cached_property
    def airframes(self) -> AirframeTable:
        """What is known of each aircraft."""
        from kb.store.airframes import AirframeTable

        return AirframeTable(self._file)

    @cached_property
    def photos(self) -> PhotoTable:
        """Pictures, by their hash."""
        from kb.store.photos import PhotoTable

        return PhotoTable(self._file)

    @cached_property
    def merge(self) -> MergeTable:
        """Taking in what others made."""
        from kb.store.merge import MergeTable

        return MergeTable(self._file)

    @cached_property
    def pages(self) -> PageTable:
        """The shop's own pages with their history."""
        from kb.store.pages import PageTable

        return PageTable(self._file)

    @cached_property
    def imports(self) -> ImportTable:
        """Files that were taken in."""
        from kb.store.imports import ImportTable

        return ImportTable(self._file)

    @cached_property
    def drafts(self) -> DraftTable:
        """What was typed and not kept yet."""
        from kb.store.drafts import DraftTable

        return DraftTable(self._file)

    @cached_property
    def sessions(self) -> SessionTable:
        """Narrowing, as it was left."""
        from kb.store.sessions import SessionTable

        return SessionTable(self._file)

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
