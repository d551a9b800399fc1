"""What the shop knows of each aircraft: every change is a new record, the one with the greatest id counts."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

import msgspec

from kb.ids import new_id
from kb.model import Airframe
from kb.store.file import StoreFile

if TYPE_CHECKING:
    from sqlite_utils import Database

_NAMED = "SELECT body FROM airframes WHERE name = ? COLLATE NOCASE ORDER BY id"


class AirframeTable:
    """Keeps and reads records of airframes; letters' case in names is ignored."""

    def __init__(self, file: StoreFile) -> None:
        self._file = file

    def change(self, name: str, make: Callable[[Airframe], Airframe]) -> Airframe:
        """Keep a new record made from the latest of this name, or from a bare one; return it.

        Nobody else can write between the reading and the writing. Id, time and name are the new record's own.
        """
        with self._file.writing() as db:
            rows = db.conn.execute(_NAMED, (name,)).fetchall()
            before = msgspec.json.decode(rows[-1][0], type=Airframe) if rows else None
            identifier = new_id(after=before.id if before else None)
            bare = Airframe(id=identifier, name=name, made=self._file.now())
            record = msgspec.structs.replace(make(before or bare), id=identifier, name=name, made=bare.made)
            insert_airframe(db, record)
        return record

    def get(self, name: str) -> Airframe | None:
        """Return the latest record of an airframe, or None."""
        history = self.history(name)
        return history[-1] if history else None

    def history(self, name: str) -> list[Airframe]:
        """Return all records of an airframe, oldest first."""
        with self._file.reading() as db:
            rows = db.execute(_NAMED, (name,)).fetchall()
        return [msgspec.json.decode(body, type=Airframe) for (body,) in rows]

    def all(self) -> list[Airframe]:
        """Return every record, by id."""
        with self._file.reading() as db:
            rows = db.execute("SELECT body FROM airframes ORDER BY id").fetchall()
        return [msgspec.json.decode(body, type=Airframe) for (body,) in rows]


def insert_airframe(db: Database, airframe: Airframe) -> None:
    """Keep a record within a transaction."""
    body = msgspec.json.encode(airframe).decode()
    db.table("airframes").insert({"id": airframe.id, "name": airframe.name, "made": airframe.made, "body": body})
