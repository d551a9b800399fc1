"""Takes in records made elsewhere, of all kinds at once: what is here already is left as it is."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

import msgspec

from kb.errors import KbError
from kb.model import Airframe, OwnPage, Revision
from kb.store.airframes import insert_airframe
from kb.store.entries import stand_own_pages
from kb.store.file import StoreFile
from kb.store.pages import insert_page
from kb.store.photos import Photo, insert_photo
from kb.store.revisions import heads_of, insert_revisions, read_revisions

if TYPE_CHECKING:
    from sqlite3 import Connection

    from sqlite_utils import Database


class Incoming(msgspec.Struct, frozen=True, kw_only=True):
    """Records to take in; each names itself, so that the same one is the same everywhere.

    `photos` gives each photo by its SHA-256 when it is called, one after another: together they may be larger than
    the memory.
    """

    revisions: Sequence[Revision] = ()
    airframes: Sequence[Airframe] = ()
    pages: Sequence[OwnPage] = ()
    photos: Mapping[str, Callable[[], Photo]] = {}


class Taken(msgspec.Struct, frozen=True, kw_only=True):
    """What was new: counts, and the findings that are now, or again, said in more than one way."""

    findings: int
    revisions: int
    airframes: int
    pages: int
    photos: int
    already: int
    conflicts: tuple[str, ...] = ()


class Clash(KbError, ValueError):
    """Two different records carry the same name, which no honest store makes; nothing was taken."""

    def __init__(self, kind: str, name: str) -> None:
        super().__init__(
            f"two different {kind} carry the id {name}: this pack or this store is damaged; nothing was kept"
        )


class MergeTable:
    """Takes in records in one transaction: a union by id, so that order and repetition change nothing."""

    def __init__(self, file: StoreFile) -> None:
        self._file = file

    def take(self, incoming: Incoming, *, only_count: bool = False) -> Taken:
        """Keep what is new, and return what that was; with `only_count`, keep nothing.

        Raises:
            Clash: a record here has the id of an incoming one and says something else.
        """
        if only_count:
            with self._file.reading() as db:
                return _taken(db, incoming, _new(db, incoming))
        with self._file.writing() as db:
            new = _new(db.conn, incoming)
            taken = _taken(db.conn, incoming, new)
            _keep(db, new, made=self._file.now())
        return taken


def _new(db: Connection, incoming: Incoming) -> Incoming:
    here = {one.id: one for one in _revisions(db, [one.id for one in incoming.revisions])}
    for revision in incoming.revisions:
        if revision.id in here and not _are_one(here[revision.id], revision):
            raise Clash("revisions", revision.id)
    return Incoming(
        revisions=[one for one in incoming.revisions if one.id not in here],
        airframes=[one for one in incoming.airframes if _is_new(db, "airframes", one)],
        pages=[one for one in incoming.pages if _is_new(db, "pages", one)],
        photos={name: read for name, read in incoming.photos.items() if not _has(db, "photos", "sha256", name)},
    )


def _are_one(kept: Revision, incoming: Revision) -> bool:
    """True for the same revision; also when one of both came in a table, which does not say what it was made from."""
    bare, other = (msgspec.structs.replace(one, previous=None, joins=()) for one in (kept, incoming))
    is_from_table = any(one.previous is None and not one.joins and one.id != one.finding for one in (kept, incoming))
    return kept == incoming or (is_from_table and bare == other)


def _revisions(db: Connection, ids: Sequence[str]) -> list[Revision]:
    return read_revisions(db, "id IN (SELECT value FROM json_each(?))", [msgspec.json.encode(ids).decode()])


def _is_new(db: Connection, table: str, record: Airframe | OwnPage) -> bool:
    row = db.execute(f"SELECT body FROM {table} WHERE id = ?", (record.id,)).fetchone()
    if row is None:
        return True
    body: Any = record.body if isinstance(record, OwnPage) else record
    if msgspec.json.decode(row[0], type=type(body)) != body:
        raise Clash(table, record.id)
    return False


def _has(db: Connection, table: str, column: str, value: str) -> bool:
    return db.execute(f"SELECT 1 FROM {table} WHERE {column} = ?", (value,)).fetchone() is not None


def _taken(db: Connection, incoming: Incoming, new: Incoming) -> Taken:
    findings = {one.finding for one in new.revisions}
    known = sum(_has(db, "latest", "finding", finding) for finding in findings)
    counts = {name: len(getattr(new, name)) for name in Incoming.__struct_fields__}
    came = sum(len(getattr(incoming, name)) for name in Incoming.__struct_fields__)
    already = came - sum(counts.values())
    return Taken(findings=len(findings) - known, already=already, conflicts=_conflicts(db, new.revisions), **counts)


def _keep(db: Database, new: Incoming, *, made: str) -> None:
    for read in new.photos.values():
        insert_photo(db, read(), made=made)
    for airframe in new.airframes:
        insert_airframe(db, airframe)
    for page in new.pages:
        insert_page(db, page)
    if new.pages:
        stand_own_pages(db)
    insert_revisions(db, new.revisions, act=None)


def _conflicts(db: Connection, new: Sequence[Revision]) -> tuple[str, ...]:
    """Return the findings that have more than one head once the new revisions are kept, by id."""
    split = []
    added: dict[str, list[Revision]] = {}
    for revision in new:
        added.setdefault(revision.finding, []).append(revision)
    for finding in sorted(added):
        history = read_revisions(db, "finding = ?", (finding,)) + added[finding]
        if len(heads_of(history)) > 1:
            split.append(finding)
    return tuple(split)
