"""The steps that build the store, in order. Each is applied once and never edited; a change is a new step."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kb.ids import new_id

if TYPE_CHECKING:
    from sqlite_utils import Database
    from sqlite_utils.migrations import Migrations

SET = "oddfix"
STEPS = ("m0001_entries_and_finding_revisions",)
"""Names of all steps this program knows; a store that has another one comes from a newer program."""


def migrations() -> Migrations:
    """Return the steps as sqlite-utils applies them: each in one transaction with its record."""
    from sqlite_utils.migrations import Migrations

    steps = Migrations(SET)
    steps(name=STEPS[0])(_entries_and_finding_revisions)
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
