"""Small stores to look at, to damage and to put back."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

from kb.desk import Desk
from kb.findings import Findings
from kb.ids import new_id
from kb.model import Airframe
from kb.store import Store
from kb.store.merge import Incoming
from kb.store.photos import Photo
from tests.kb.writers import FOLDER

PICTURE = Photo(kind="png", body=b"a picture" * 1000, width=1, height=1, thumbnail=b"small")


def full_store(path: Path) -> Path:
    """Make a store with something in every corner: a finding with a photo, revised twice, and an airframe."""
    desk = Desk.open(path, entries=FOLDER)
    desk.store.photos.put([PICTURE])
    desk.store.merge.take(Incoming(airframes=[Airframe(id=new_id(), name="A", made=desk.store.now())]))
    first = desk.findings.add("the first", airframe="A", photos=[PICTURE.sha256])
    desk.findings.revise(first.id, place="left wing")
    desk.findings.correct(first.id, action="done")
    return path


def texts(path: Path) -> list[str]:
    """Return the texts of all findings, sorted."""
    return sorted(finding.text for finding in Findings(Store(path)).all())


def damage(path: Path, *acts: str) -> None:
    """Do to a store what its triggers forbid, and leave these as they were."""
    with closing(sqlite3.connect(path)) as db, db:
        triggers = db.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'").fetchall()
        for name, _ in triggers:
            db.execute(f"DROP TRIGGER {name}")
        for act in acts:
            db.execute(act)
        for _, sql in triggers:
            db.execute(sql)
