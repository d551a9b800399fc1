"""What the shop knows of each aircraft: every change is a new record, the one with the greatest id counts."""

from __future__ import annotations

from collections.abc import Iterable

import msgspec

from kb.model import Airframe
from kb.store.file import StoreFile


class AirframeTable:
    """Keeps and reads records of airframes; letters' case in names is ignored."""

    def __init__(self, file: StoreFile) -> None:
        self._file = file

    def take(self, airframes: Iterable[Airframe]) -> int:
        """Keep records, those already here left out; return how many were new."""
        new = 0
        with self._file.writing() as db:
            for airframe in airframes:
                if not db.conn.execute("SELECT 1 FROM airframes WHERE id = ?", (airframe.id,)).fetchone():
                    body = msgspec.json.encode(airframe).decode()
                    row = {"id": airframe.id, "name": airframe.name, "made": airframe.made, "body": body}
                    db.table("airframes").insert(row)
                    new += 1
        return new

    def get(self, name: str) -> Airframe | None:
        """Return the latest record of an airframe, or None."""
        history = self.history(name)
        return history[-1] if history else None

    def history(self, name: str) -> list[Airframe]:
        """Return all records of an airframe, oldest first."""
        with self._file.reading() as db:
            rows = db.execute(
                "SELECT body FROM airframes WHERE name = ? COLLATE NOCASE ORDER BY id", (name,)
            ).fetchall()
        return [msgspec.json.decode(body, type=Airframe) for (body,) in rows]

    def all(self) -> list[Airframe]:
        """Return every record, by id."""
        with self._file.reading() as db:
            rows = db.execute("SELECT body FROM airframes ORDER BY id").fetchall()
        return [msgspec.json.decode(body, type=Airframe) for (body,) in rows]
