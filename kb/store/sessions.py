"""Sessions of narrowing down a cause, kept as they are; what is in one is the narrow room's business."""

from __future__ import annotations

from kb.errors import NotFound
from kb.ids import new_id
from kb.store.file import StoreFile


class SessionTable:
    """Keeps, replaces and reads sessions. A session is working paper: the latest state replaces the one before."""

    def __init__(self, file: StoreFile) -> None:
        self._file = file

    def put(self, body: bytes, *, session: str | None = None, finding: str | None = None) -> str:
        """Keep a session, new or in the place of one that has this id, and return its id."""
        identifier = session or new_id()
        row = {"id": identifier, "made": self._file.now(), "finding": finding, "body": body.decode()}
        with self._file.writing() as db:
            db.table("sessions").insert(row, replace=True)
        return identifier

    def get(self, name: str) -> tuple[str, str | None, bytes]:
        """Return id, finding and body of the session whose id is, or ends in, `name`.

        Raises:
            NotFound: none or more than one does.
        """
        with self._file.reading() as db:
            rows = db.execute(
                "SELECT id, finding, body FROM sessions WHERE substr(id, -?) = ? ORDER BY id", (len(name), name)
            ).fetchall()
        if len(rows) != 1 or len(name) < 4:
            raise NotFound("session", name, [row[0] for row in rows[:3]])
        identifier, finding, body = rows[0]
        return identifier, finding, body.encode()

    def all(self) -> list[tuple[str, str, str | None]]:
        """Return id, time and finding of each session, newest first."""
        with self._file.reading() as db:
            rows = db.execute("SELECT id, made, finding FROM sessions ORDER BY made DESC, id DESC").fetchall()
        return [(identifier, made, finding) for identifier, made, finding in rows]
