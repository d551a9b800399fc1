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

    def get(self, name: str) -> tuple[str, bytes] | None:
        """Return time and body of the draft of a form, or None."""
        with self._file.reading() as db:
            row = db.execute("SELECT made, body FROM drafts WHERE name = ?", (name,)).fetchone()
        return (row[0], row[1].encode()) if row else None

    def drop(self, name: str) -> None:
        """Forget the draft of a form: it was kept as a finding, or is not wanted."""
        with self._file.writing() as db:
            db.table("drafts").delete_where("name = ?", [name])
