"""Imports: which files were taken in, how far, and in which act; rows of a file are kept batch by batch."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator
from contextlib import contextmanager
from sqlite3 import Connection

import msgspec

from kb.errors import UsageProblem
from kb.model import Revision
from kb.store.file import StoreFile
from kb.store.revisions import insert_act, insert_revisions, read_revisions

LOG_PAGES = 16_000
"""Pages of 4 kB in the log before it is folded in: batches change the same pages of the indexes over and over."""


class Import(msgspec.Struct, frozen=True):
    """One file by its SHA-256: its act, the rows of it that are done, and the reading of its columns they were done by.

    `ended` is None while it is under way or was stopped; `is_undone` when its act was taken back.
    """

    sha256: str
    act: int
    rows: int
    columns: str
    made: str
    ended: str | None
    is_undone: bool


class Present(msgspec.Struct, frozen=True):
    """What the store holds of the findings and revisions a batch names: latest revisions by finding, all by id."""

    latest: dict[str, Revision]
    revisions: dict[str, Revision]


class ImportTable:
    """Keeps how far each file was taken in, in one transaction with what was taken from it."""

    def __init__(self, file: StoreFile) -> None:
        self._file = file

    def get(self, sha256: str) -> Import | None:
        """Return what is known of a file, or None."""
        with self._file.reading() as db:
            return _read(db, sha256)

    def present(self, named: Collection[str]) -> Present:
        """Return what is kept of the findings and revisions of these ids."""
        with self._file.reading() as db:
            return _present(db, named)

    def keep(
        self,
        sha256: str,
        make: Callable[[Present], list[Revision]],
        *,
        columns: str,
        who: str | None,
        done: int,
        rows: int,
        named: Collection[str] = (),
    ) -> int:
        """Keep one batch of a file in one transaction; return how many revisions it made.

        The first batch that makes one begins the act, all later ones belong to it.

        Args:
            make: given what is kept of `named`, returns the new revisions; nobody else can write meanwhile.
            done: rows of the file that are done before this batch.
            rows: rows that are done after it.

        Raises:
            UsageProblem: the act was taken back, or another import of the same file goes on at the same time.
        """
        with self._file.writing() as db:
            db.execute(f"PRAGMA wal_autocheckpoint = {LOG_PAGES}")
            before = _read(db.conn, sha256)
            if before and (before.is_undone or before.ended or before.rows != done):
                raise UsageProblem("this file was imported or taken back by another command meanwhile; look again")
            new = make(_present(db.conn, named))
            if not (new or before):
                return 0
            now = self._file.now()
            act = before.act if before else insert_act(db, "imported", who, made=now)
            insert_revisions(db, new, act=act)
            row = {"sha256": sha256, "act": act, "rows": rows, "columns": columns}
            db.table("imports").insert(row | {"made": before.made if before else now}, replace=True)
        return len(new)

    @contextmanager
    def kept_open(self) -> Iterator[None]:
        """Keep the store open between batches: whoever closes it last folds in its log, which takes as long as one."""
        with self._file.reading() as db:
            db.execute("SELECT count(*) FROM imports").fetchone()
            yield

    def end(self, sha256: str) -> None:
        """Say that all rows of a file are done, if any was kept."""
        with self._file.writing() as db:
            db.execute("UPDATE imports SET ended = ? WHERE sha256 = ?", (self._file.now(), sha256))

    def forget(self, sha256: str) -> None:
        """Take a file whose act was taken back off the list, so that it can be taken in anew."""
        with self._file.writing() as db:
            before = _read(db.conn, sha256)
            if before and before.is_undone:
                db.table("imports").delete(sha256)


def _read(db: Connection, sha256: str) -> Import | None:
    row = db.execute(
        "SELECT sha256, act, rows, columns, made, ended, EXISTS (SELECT 1 FROM acts WHERE undoes = i.act)"
        " FROM imports AS i WHERE sha256 = ?",
        (sha256,),
    ).fetchone()
    if not row:
        return None
    sha256, act, rows, columns, made, ended, is_undone = row
    return Import(sha256, act, rows, columns, made, ended, is_undone=bool(is_undone))


def _present(db: Connection, named: Collection[str]) -> Present:
    if not named:
        return Present({}, {})
    names = msgspec.json.encode(list(named)).decode()
    some = "(SELECT value FROM json_each(?))"
    latest = read_revisions(db, f"id IN (SELECT id FROM latest WHERE finding IN {some})", (names,))
    others = read_revisions(db, f"id IN {some}", (names,))
    return Present(
        {revision.finding: revision for revision in latest}, {revision.id: revision for revision in (*others, *latest)}
    )
