"""The steps that build the store, in order. Each is applied once and never edited; a change is a new step."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kb.ids import new_id

if TYPE_CHECKING:
    from sqlite_utils import Database
    from sqlite_utils.migrations import Migrations

SET = "oddfix"
STEPS = ("m0001_entries_and_finding_revisions", "m0002_acts_photos_airframes_and_latest")
"""Names of all steps this program knows; a store that has another one comes from a newer program."""


def migrations() -> Migrations:
    """Return the steps as sqlite-utils applies them: each in one transaction with its record."""
    from sqlite_utils.migrations import Migrations

    steps = Migrations(SET)
    for name, step in zip(STEPS, (_entries_and_finding_revisions, _acts_photos_airframes_and_latest), strict=True):
        steps(name=name)(step)
    return steps


def _entries_and_finding_revisions(db: Database, /) -> None:
    db.create_table(
        "entries",
        {"id": str, "system": str, "sha256": str, "origin": str, "body": str},
        pk="id",
        not_null={"id", "system", "sha256", "origin", "body"},
        strict=True,
    )
    db.create_table("systems", {"id": str, "place": int, "body": str}, pk="id", not_null={"place", "body"}, strict=True)
    db.create_table("words", {"place": int, "body": str}, pk="place", not_null={"body"}, strict=True)
    db.create_table("loads", {"fingerprint": str, "loaded": str}, pk="fingerprint", strict=True)
    db.create_table("about", {"name": str, "value": str}, pk="name", not_null={"value"}, strict=True)
    db.table("about").insert({"name": "store", "value": new_id()})
    db.create_table(
        "finding_revisions",
        {
            "number": int,
            "id": str,
            "finding": str,
            "previous": str,
            "airframe": str,
            "system": str,
            "text": str,
            "state": str,
            "entries": str,
            "action": str,
            "cause": str,
            "who": str,
            "made": str,
        },
        pk="number",
        not_null={"id", "finding", "airframe", "text", "state", "entries", "made"},
        strict=True,
    )
    for columns, unique in ((["id"], True), (["finding", "id"], False), (["airframe"], False), (["cause"], False)):
        db.table("finding_revisions").create_index(columns, unique=unique)
    db.create_table(
        "sessions",
        {"id": str, "made": str, "finding": str, "body": str},
        pk="id",
        not_null={"made", "body"},
        strict=True,
    )
    for act in ("UPDATE", "DELETE"):
        db.execute(
            f"CREATE TRIGGER finding_revisions_keep_{act.lower()} BEFORE {act} ON finding_revisions"
            " BEGIN SELECT RAISE(ABORT, 'a revision is never changed or removed'); END"
        )
    # Ids sort by time, so the latest revision of a finding is the one with the greatest id.
    db.create_view(
        "findings",
        "SELECT * FROM finding_revisions AS r"
        " WHERE r.id = (SELECT max(id) FROM finding_revisions WHERE finding = r.finding)",
    )


def _acts_photos_airframes_and_latest(db: Database, /) -> None:
    _widen_revisions(db)
    _keep_latest(db)
    db.create_table(
        "acts",
        {"number": int, "said": str, "who": str, "made": str, "undoes": int},
        pk="number",
        not_null={"said", "made"},
        foreign_keys=[("undoes", "acts", "number")],
        strict=True,
    )
    db.create_table(
        "photos",
        {
            "sha256": str,
            "kind": str,
            "body": bytes,
            "width": int,
            "height": int,
            "thumbnail": bytes,
            "taken": str,
            "name": str,
            "made": str,
        },
        pk="sha256",
        not_null={"kind", "body", "width", "height", "thumbnail", "made"},
        strict=True,
    )
    db.create_table(
        "airframes",
        {"id": str, "name": str, "made": str, "body": str},
        pk="id",
        not_null={"name", "made", "body"},
        strict=True,
    )
    db.execute("CREATE INDEX airframes_by_name ON airframes (name COLLATE NOCASE, id)")
    db.create_table(
        "pages",
        {"id": str, "page": str, "made": str, "who": str, "body": str},
        pk="id",
        not_null={"page", "made", "body"},
        strict=True,
    )
    db.table("pages").create_index(["page", "id"])
    db.create_table(
        "drafts", {"name": str, "made": str, "body": str}, pk="name", not_null={"made", "body"}, strict=True
    )
    db.create_table(
        "imports",
        {"sha256": str, "act": int, "rows": int, "columns": str, "made": str, "ended": str},
        pk="sha256",
        not_null={"act", "rows", "columns", "made"},
        foreign_keys=[("act", "acts", "number")],
        strict=True,
    )
    for table in ("photos", "airframes", "pages", "acts"):
        _forbid_changes(db, table, "what was once kept is never changed or removed")


def _widen_revisions(db: Database) -> None:
    columns = {"place": "TEXT", "found": "TEXT", "hours": "REAL", "part": "TEXT", "minutes": "INTEGER", "shop": "TEXT"}
    for name, kind in columns.items():
        db.execute(f"ALTER TABLE finding_revisions ADD COLUMN {name} {kind}")
    for name, value in (("photos", "[]"), ("joins", "[]"), ("said", "added")):
        db.execute(f"ALTER TABLE finding_revisions ADD COLUMN {name} TEXT NOT NULL DEFAULT '{value}'")
    db.execute("ALTER TABLE finding_revisions ADD COLUMN act INTEGER")
    db.execute("CREATE INDEX finding_revisions_by_act ON finding_revisions (act) WHERE act IS NOT NULL")


def _keep_latest(db: Database) -> None:
    """Make the table of each finding's latest revision: derived, kept by a trigger, so that lists need no search."""
    db.execute("DROP VIEW findings")
    for column in ("airframe", "cause"):
        db.execute(f"DROP INDEX idx_finding_revisions_{column}")
    columns = "finding, id, number, airframe, system, state, cause"
    db.create_table(
        "latest",
        {"finding": str, "id": str, "number": int, "airframe": str, "system": str, "state": str, "cause": str},
        pk="finding",
        not_null={"id", "number", "airframe", "state"},
        strict=True,
    )
    db.execute(
        f"INSERT INTO latest ({columns}) SELECT {columns} FROM finding_revisions AS r"
        " WHERE id = (SELECT max(id) FROM finding_revisions WHERE finding = r.finding)"
    )
    for name, of in (
        ("number", "number"),
        ("airframe", "airframe COLLATE NOCASE, state, finding"),
        ("state", "state, system"),
        ("cause", "cause"),
        ("handle", "substr(finding, -8)"),
    ):
        db.execute(f"CREATE INDEX latest_by_{name} ON latest ({of})")
    values = ", ".join(f"new.{column}" for column in columns.split(", "))
    changed = ", ".join(f"{column} = excluded.{column}" for column in columns.split(", ")[1:])
    db.execute(
        f"CREATE TRIGGER finding_revisions_latest AFTER INSERT ON finding_revisions BEGIN"
        f" INSERT INTO latest ({columns}) VALUES ({values})"
        f" ON CONFLICT (finding) DO UPDATE SET {changed} WHERE excluded.id > latest.id; END"
    )


def _forbid_changes(db: Database, table: str, why: str) -> None:
    for act in ("UPDATE", "DELETE"):
        db.execute(
            f"CREATE TRIGGER {table}_keep_{act.lower()} BEFORE {act} ON {table} BEGIN SELECT RAISE(ABORT, '{why}'); END"
        )
