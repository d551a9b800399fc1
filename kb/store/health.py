"""Looks through a store for damage, without changing it: each problem is a sentence with what to do."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing
from hashlib import sha256
from itertools import islice
from pathlib import Path

import msgspec

from kb.errors import StoreUnavailable
from kb.model import Airframe, Entry, Revision
from kb.store.access import reading
from kb.store.backup import count_rows
from kb.store.findings import LISTS
from kb.store.migrations import SET, STEPS, migrations

TOLD = 10
"""Problems of one sort that are told one by one."""

_CHUNK = 1 << 20
_LISTS = LISTS | {"joins"}


class Health(msgspec.Struct, frozen=True):
    """What a store holds, as rows by table, the steps that built it, and what is wrong with it."""

    steps: tuple[str, ...]
    counts: dict[str, int]
    problems: tuple[str, ...]

    @property
    def unknown_steps(self) -> tuple[str, ...]:
        """Steps of a newer program."""
        return tuple(step for step in self.steps if step not in STEPS)


def examine(path: Path) -> Health:
    """Look through the file; a damaged one gives problems, not an error.

    Raises:
        StoreUnavailable: there is no such file.
    """
    if not path.exists():
        raise StoreUnavailable(path, "does not exist", "name another with --store; oddfix makes one when first used")
    health = Health((), {}, ())
    try:
        with reading(path) as db:
            db.execute("BEGIN")  # one state throughout, whoever writes meanwhile
            steps = _steps(db)
            if not steps:
                return Health((), {}, ("the file is no store of oddfix; name another with --store",))
            health = Health(steps, {}, tuple(_problems(db, steps)))
            return Health(steps, count_rows(db), health.problems)
    except StoreUnavailable as error:
        return Health(health.steps, {}, (*health.problems, f"the file {error.reason}; {error.remedy}"))


def look_in(path: Path) -> tuple[tuple[str, ...], dict[str, int]]:
    """Return the steps that built a store and its rows by table, without a check; empty for what is no store."""
    try:
        with reading(path) as db:
            steps = _steps(db)
            return steps, count_rows(db) if steps else {}
    except StoreUnavailable:
        return (), {}


def _steps(db: sqlite3.Connection) -> tuple[str, ...]:
    if not _columns(db, "_sqlite_migrations"):
        return ()
    rows = db.execute("SELECT name FROM _sqlite_migrations WHERE migration_set = ? ORDER BY id", (SET,))
    return tuple(name for (name,) in rows)


def _problems(db: sqlite3.Connection, steps: tuple[str, ...]) -> Iterator[str]:
    unknown = [step for step in steps if step not in STEPS]
    for step in unknown:
        yield f"step {step} is of a newer oddfix; update oddfix before the store is used"
    for what, check in _CHECKS:
        if unknown and check is _make_of_the_store:
            continue
        try:
            found = check(db)
            yield from islice(found, TOLD)
            if more := sum(1 for _ in found):
                yield f"{more:,} more problems of the same sort; {_RESTORE}"
        except sqlite3.DatabaseError as error:
            yield f"{what} cannot be read ({error}); {_RESTORE}"


_RESTORE = "put back a backup with oddfix store restore"


def _whole_file(db: sqlite3.Connection) -> Iterator[str]:
    for (said,) in db.execute("PRAGMA integrity_check"):
        if said != "ok":
            yield f"the file is damaged ({said}); {_RESTORE}"


def _links(db: sqlite3.Connection) -> Iterator[str]:
    for table, row, to, _ in db.execute("PRAGMA foreign_key_check"):
        yield f"row {row} of {table} names one of {to} that is not there; {_RESTORE}"


def _make_of_the_store(db: sqlite3.Connection) -> Iterator[str]:
    """Compare names of tables, indexes and triggers with those of a new store brought to the same step."""
    from sqlite_utils import Database

    steps = _steps(db)
    later = next((step for step in STEPS if step not in steps), None)
    with closing(sqlite3.connect(":memory:")) as new:
        migrations().apply(Database(new), stop_before=later)
        wanted = new.execute(
            "SELECT type, name FROM sqlite_master WHERE name NOT LIKE 'sqlite|_%' ESCAPE '|' ORDER BY 1, 2"
        ).fetchall()
    here = set(db.execute("SELECT type, name FROM sqlite_master").fetchall())
    for kind, name in wanted:
        if (kind, name) not in here:
            yield f"the {kind} {name} of the store is missing; {_RESTORE}"


def _revisions(db: sqlite3.Connection) -> Iterator[str]:
    known = _columns(db, "finding_revisions")
    fields = [name for name in Revision.__struct_fields__ if name in known]
    for row in db.execute(f"SELECT {', '.join(fields)} FROM finding_revisions ORDER BY id"):
        values = {"said": "added"} | dict(zip(fields, row, strict=True))
        try:
            for name in _LISTS & values.keys():
                values[name] = msgspec.json.decode(values[name])
            msgspec.convert(values, Revision)
        except (msgspec.MsgspecError, TypeError) as error:
            yield f"revision {values['id']} cannot be understood ({error}); {_RESTORE}"


def _parents(db: sqlite3.Connection) -> Iterator[str]:
    made_from = "SELECT id, finding, previous AS parent FROM finding_revisions WHERE previous IS NOT NULL"
    if "joins" in _columns(db, "finding_revisions"):
        made_from += f" UNION ALL SELECT r.id, r.finding, j.value FROM finding_revisions AS r, {_each('r.joins')} AS j"
    rows = db.execute(
        f"SELECT m.id, m.parent, p.finding = m.finding, p.id < m.id FROM ({made_from}) AS m"
        " LEFT JOIN finding_revisions AS p ON p.id = m.parent WHERE p.id IS NULL OR p.finding <> m.finding"
        " OR p.id >= m.id ORDER BY m.id"
    )
    for revision, parent, is_same, _ in rows:
        why = "is not here" if is_same is None else "is not earlier" if is_same else "is of another finding"
        yield f"revision {revision} was made from {parent}, which {why}; {_RESTORE}"


def _latest(db: sqlite3.Connection) -> Iterator[str]:
    names = _columns(db, "latest")
    if not names:
        return
    of_latest, of_revision = (", ".join(f"{table}.{name}" for name in names) for table in "lr")
    rows = db.execute(
        "SELECT m.finding FROM (SELECT finding, max(id) AS id FROM finding_revisions GROUP BY finding) AS m"
        " JOIN finding_revisions AS r ON r.id = m.id LEFT JOIN latest AS l ON l.finding = m.finding"
        f" WHERE ({of_latest}) IS NOT ({of_revision}) UNION ALL"
        " SELECT finding FROM latest WHERE finding NOT IN (SELECT finding FROM finding_revisions) ORDER BY 1"
    )
    for (finding,) in rows:
        yield f"the lists do not show finding {finding} as its latest revision says; {_RESTORE}"


def _acts(db: sqlite3.Connection) -> Iterator[str]:
    if not _columns(db, "acts"):
        return
    rows = db.execute(
        "SELECT id FROM finding_revisions WHERE act IS NOT NULL AND act NOT IN (SELECT number FROM acts) ORDER BY id"
    )
    for (revision,) in rows:
        yield f"revision {revision} belongs to an act that is not here; {_RESTORE}"


def _photos(db: sqlite3.Connection) -> Iterator[str]:
    if not _columns(db, "photos"):
        return
    for row, name in db.execute("SELECT rowid, sha256 FROM photos ORDER BY sha256"):
        digest = sha256()
        with db.blobopen("photos", "body", row, readonly=True) as body:
            while chunk := body.read(_CHUNK):
                digest.update(chunk)
        if digest.hexdigest() != name:
            yield f"photo {name} is not the picture that was kept; {_RESTORE}"


def _photos_named(db: sqlite3.Connection) -> Iterator[str]:
    if not _columns(db, "photos"):
        return
    rows = db.execute(
        f"SELECT r.id, p.value FROM finding_revisions AS r, {_each('r.photos')} AS p"
        " WHERE p.value NOT IN (SELECT sha256 FROM photos) ORDER BY 1, 2"
    )
    for revision, photo in rows:
        yield f"revision {revision} shows photo {photo}, which is not here; {_RESTORE}"


def _pages(db: sqlite3.Connection) -> Iterator[str]:
    for name, digest, body in db.execute("SELECT id, sha256, body FROM entries ORDER BY id"):
        if sha256(body.encode()).hexdigest() != digest:
            yield f"page {name} is not what was kept; {_RESTORE}"


def _bodies(table: str, called: str, kind: type) -> Callable[[sqlite3.Connection], Iterator[str]]:
    def check(db: sqlite3.Connection) -> Iterator[str]:
        if not _columns(db, table):
            return
        for name, body in db.execute(f"SELECT id, body FROM {table} ORDER BY id"):
            try:
                msgspec.json.decode(body, type=kind)
            except msgspec.MsgspecError as error:
                yield f"{called} {name} cannot be understood ({error}); {_RESTORE}"

    return check


def _each(column: str) -> str:
    """Return the SQL that steps through a JSON list; what is no JSON is told of by another check."""
    return f"json_each(CASE WHEN json_valid({column}) THEN {column} ELSE '[]' END)"


def _columns(db: sqlite3.Connection, table: str) -> list[str]:
    return [row[1] for row in db.execute(f"PRAGMA table_info({table})")]


_CHECKS: tuple[tuple[str, Callable[[sqlite3.Connection], Iterator[str]]], ...] = (
    ("the file", _whole_file),
    ("the links between tables", _links),
    ("the make of the store", _make_of_the_store),
    ("the revisions", _revisions),
    ("what the revisions were made from", _parents),
    ("the list of findings", _latest),
    ("the acts", _acts),
    ("the photos", _photos),
    ("the photos of the findings", _photos_named),
    ("the pages", _pages),
    ("the pages", _bodies("entries", "page", Entry)),
    ("the shop's own pages", _bodies("pages", "a shop's page", Entry)),
    ("the airframes", _bodies("airframes", "airframe", Airframe)),
)
