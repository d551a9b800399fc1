"""The history of findings: every change is a new revision in an act; none is ever changed or removed."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Sequence
from operator import attrgetter
from typing import TYPE_CHECKING, Any

import msgspec

from kb.errors import NotFound, UsageProblem
from kb.ids import new_id
from kb.model import Content, Revision, Said
from kb.store.file import StoreFile
from kb.store.findings import CONTENT, LISTS, content_of

if TYPE_CHECKING:
    from sqlite3 import Connection

    from sqlite_utils import Database

_FIELDS = ("id", "finding", "said", "made", "previous", "joins", *CONTENT)
_FIELDS_OF = attrgetter(*_FIELDS)
_AS_JSON = [_FIELDS.index(name) for name in ("joins", *sorted(LISTS))]
"""Places of the fields kept as JSON."""

_REVISIONS = f"SELECT {', '.join(_FIELDS)} FROM finding_revisions"
_INSERT = f"INSERT INTO finding_revisions ({', '.join(_FIELDS)}, act) VALUES ({', '.join('?' * (len(_FIELDS) + 1))})"
_IS_HEAD = (
    "NOT EXISTS (SELECT 1 FROM finding_revisions AS c WHERE c.finding = r.finding"
    " AND (c.previous = r.id OR r.id IN (SELECT value FROM json_each(c.joins))))"
)


class RevisionTable:
    """Writes revisions, one transaction an act, and reads histories."""

    def __init__(self, file: StoreFile) -> None:
        self._file = file

    def add(self, content: Content) -> Revision:
        """Keep a new finding as its first revision and return it."""
        identifier = new_id()
        first = Revision(
            id=identifier, finding=identifier, said="added", made=self._file.now(), **msgspec.structs.asdict(content)
        )
        with self._file.writing() as db:
            insert_revisions(db, [first], act=insert_act(db, "added", content.who, made=first.made))
        return first

    def change(
        self,
        findings: Sequence[str],
        make: Callable[[Revision], Content],
        *,
        said: Said,
        who: str | None = None,
        joins: bool = False,
    ) -> list[Revision]:
        """Keep a new revision of each finding, made from its latest one, in one act; return them.

        Nobody else can write between the reading and the writing. With `joins`, the new revision settles all heads.

        Raises:
            NotFound: one of the findings does not exist.
        """
        with self._file.writing() as db:
            act = insert_act(db, said, who, made=self._file.now())
            return [self._next(db, finding, make, said=said, who=who, act=act, joins=joins) for finding in findings]

    def last_act(self) -> tuple[int, Said, list[Revision]]:
        """Return number, word and revisions of the last act that is not taken back yet.

        Raises:
            UsageProblem: there is none.
        """
        with self._file.reading() as db:
            return _last_act(db)

    def undo(self, *, who: str | None = None, act: int | None = None) -> tuple[Said, list[Revision]]:
        """Take back the last act that is not taken back yet, by new revisions; return its word and these.

        Args:
            act: the number of the act that is meant; refused when another one is the last by now.

        Raises:
            UsageProblem: there is none, or a finding of it was changed since.
        """
        with self._file.writing() as db:
            number, said, changed = _last_act(db.conn)
            if act not in (None, number):
                raise UsageProblem("something else was done meanwhile; look again at what is to be taken back")
            undoing = insert_act(db, "undone", who, made=self._file.now(), undoes=number)
            return said, [self._undone(db, revision, who, undoing) for revision in changed]

    def of(self, finding: str) -> list[Revision]:
        """Return the revisions of a finding, oldest first."""
        with self._file.reading() as db:
            return [_revision(row) for row in db.execute(f"{_REVISIONS} WHERE finding = ? ORDER BY id", (finding,))]

    def heads(self, finding: str) -> list[Revision]:
        """Return the revisions that no other one was made from, latest first: more than one is a conflict."""
        with self._file.reading() as db:
            return _heads(db, finding)

    def split(self) -> list[str]:
        """Return the findings that have more than one head, by id."""
        with self._file.reading() as db:
            rows = db.execute(
                "SELECT finding FROM finding_revisions AS r WHERE finding IN (SELECT finding FROM finding_revisions"
                f" GROUP BY finding HAVING count(*) > 1) AND {_IS_HEAD} GROUP BY finding HAVING count(*) > 1 ORDER BY 1"
            ).fetchall()
            return [finding for (finding,) in rows if len(_heads(db, finding)) > 1]

    def all(self, findings: Iterable[str] | None = None) -> list[Revision]:
        """Return all revisions of the findings named, or of every finding, by id."""
        where, values = "", ()
        if findings is not None:
            where, values = "WHERE finding IN (SELECT value FROM json_each(?))", (_json(list(findings)),)  # type: ignore[assignment]
        with self._file.reading() as db:
            return [_revision(row) for row in db.execute(f"{_REVISIONS} {where} ORDER BY id", values)]

    def known(self, ids: Iterable[str]) -> dict[str, Revision]:
        """Return those of the revisions named that are here, by id."""
        with self._file.reading() as db:
            rows = db.execute(f"{_REVISIONS} WHERE id IN (SELECT value FROM json_each(?))", (_json(list(ids)),))
            return {row[0]: _revision(row) for row in rows}

    def _next(
        self,
        db: Database,
        finding: str,
        make: Callable[[Revision], Content],
        *,
        said: Said,
        who: str | None,
        act: int,
        joins: bool,
    ) -> Revision:
        latest = _latest(db.conn, finding)
        made = make(latest)
        content = {name: getattr(made, name) for name in CONTENT} | {"who": who}
        others = tuple(head.id for head in _heads(db.conn, finding) if head.id != latest.id) if joins else ()
        revision = Revision(
            id=new_id(after=latest.id),
            finding=finding,
            said=said,
            made=self._file.now(),
            previous=latest.id,
            joins=others,
            **content,
        )
        insert_revisions(db, [revision], act=act)
        return revision

    def _undone(self, db: Database, revision: Revision, who: str | None, act: int) -> Revision:
        # What was undone, and the undoing of it, stands between an act and its own undoing; nothing else may.
        later = db.conn.execute(
            "SELECT 1 FROM finding_revisions AS r WHERE finding = ? AND id > ? AND NOT EXISTS"
            " (SELECT 1 FROM acts AS a WHERE a.number = r.act"
            " AND (a.undoes IS NOT NULL OR EXISTS (SELECT 1 FROM acts WHERE undoes = a.number)))",
            (revision.finding, revision.id),
        ).fetchone()
        if later:
            name = revision.finding[-8:]
            raise UsageProblem(f"finding {name} was changed since; see oddfix history {name}")
        row = db.conn.execute(f"{_REVISIONS} WHERE id = ?", (revision.previous,)).fetchone()
        before: Content = _revision(row) if row else msgspec.structs.replace(revision, state="withdrawn")
        return self._next(db, revision.finding, lambda _: before, said="undone", who=who, act=act, joins=False)


def insert_act(db: Database, said: Said, who: str | None, *, made: str, undoes: int | None = None) -> int:
    """Keep an act within a transaction and return its number."""
    number = db.table("acts").insert({"said": said, "who": who, "made": made, "undoes": undoes}).last_rowid
    assert number is not None  # a row was inserted
    return number


def insert_revisions(db: Database, revisions: Iterable[Revision], *, act: int | None) -> None:
    """Keep revisions within a transaction."""
    # One prepared statement: a library that looks at the table before each insert takes longer over it than SQLite.
    db.conn.executemany(_INSERT, ((*_values(revision), act) for revision in revisions))


def read_revisions(db: Connection, where: str, values: Sequence[Any] = ()) -> list[Revision]:
    """Return the revisions that a condition, a constant of the store's own, holds for."""
    return [_revision(row) for row in db.execute(f"{_REVISIONS} WHERE {where}", values)]


def heads_of(history: Collection[Revision]) -> list[Revision]:
    """Return those of a finding's revisions that no other one was made from, latest first.

    One that came in a table does not say what it was made from: all that was said before it counts as that.
    """
    parents = {name for one in history for name in (one.previous, *one.joins)}
    from_table = max((one.id for one in history if not one.previous and one.id != one.finding), default="")
    heads = [one for one in history if one.id not in parents and one.id >= from_table]
    return sorted(heads, key=lambda one: one.id, reverse=True)


def _latest(db: Connection, finding: str) -> Revision:
    row = db.execute(f"{_REVISIONS} WHERE finding = ? ORDER BY id DESC LIMIT 1", (finding,)).fetchone()
    if not row:
        raise NotFound("finding", finding)
    return _revision(row)


def _last_act(db: Connection) -> tuple[int, Said, list[Revision]]:
    found = db.execute(
        "SELECT number, said FROM acts AS a WHERE said <> 'undone'"
        " AND NOT EXISTS (SELECT 1 FROM acts WHERE undoes = a.number) ORDER BY number DESC LIMIT 1"
    ).fetchone()
    if not found:
        raise UsageProblem("there is nothing to undo")
    number, said = found
    changed = db.execute(f"{_REVISIONS} WHERE act = ? ORDER BY number", (number,))
    return number, said, [_revision(row) for row in changed]


def _heads(db: Connection, finding: str) -> list[Revision]:
    return heads_of(read_revisions(db, "finding = ?", (finding,)))


def _revision(row: tuple[Any, ...]) -> Revision:
    identifier, finding, said, made, previous, joins, *content = row
    return Revision(
        id=identifier,
        finding=finding,
        said=said,
        made=made,
        previous=previous,
        joins=tuple(msgspec.json.decode(joins)),
        **content_of(content),
    )


def _values(revision: Revision) -> list[Any]:
    values = list(_FIELDS_OF(revision))
    for place in _AS_JSON:
        values[place] = _json(values[place]) if values[place] else "[]"
    return values


def _json(value: Any) -> str:
    return msgspec.json.encode(value).decode()
