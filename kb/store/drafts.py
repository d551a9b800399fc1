"""Drafts: what was typed into a form and not kept yet. The latest replaces the one before."""

from __future__ import annotations

from kb.store.file import StoreFile


class DraftTable:
    """Keeps one draft a form."""

    def __init__(self, file: StoreFile) -> None:
        self._file = file

    def put(self, name: str, body: bytes) -> None:
        """Keep what a form holds now."""
        with self._file.writing() as db:
            row = {"name": name, "made": self._file.now(), "body": body.decode()}
            db.table("drafts").insert(row, replace=True)

    def all(self) -> list[tuple[str, str, bytes]]:
        """Return name, time and body of every draft, newest first."""
        with self._file.reading() as db:
            rows = db.execute("SELECT name, made, body FROM drafts ORDER BY made DESC, name DESC").fetchall()
        return [(name, made, body.encode()) for name, made, body in rows]

    def drop(self, name: str) -> None:
        """Forget the draft of a form: it was kept as a finding, or is not wanted."""
        with self._file.writing() as db:
            db.table("drafts").delete_where("name = ?", [name])
