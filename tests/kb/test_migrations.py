"""A store of every form that ever was opens, with all it held, after a backup of it was made."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable
from contextlib import ExitStack, closing
from pathlib import Path

import pytest
from sqlite_utils import Database

from kb.errors import StoreUnavailable
from kb.findings import Findings
from kb.history import History
from kb.ids import new_id
from kb.keeping import Keeping
from kb.store import Store
from kb.store.backup import KEPT, back_up_before, backups_folder
from kb.store.migrations import SET, STEPS, migrations
from tests.kb import writers

Rows = dict[str, list[dict[str, object]]]


def _first_form() -> Rows:
    """Rows in all tables of m0001: two findings, one of them revised twice, pages, words, a session."""
    one, other = new_id(), new_id()
    revisions = [(one, None), (other, None), (new_id(), one), (new_id(), one)]
    words = ["open", "open", "open", "corrected"]
    return {
        "entries": [{"id": "a-page", "system": "fuel", "sha256": "0", "origin": "seed", "body": '{"id": "a-page"}'}],
        "systems": [{"id": "fuel", "place": 0, "body": "{}"}],
        "words": [{"place": 0, "body": "{}"}],
        "loads": [{"fingerprint": "f", "loaded": "2026-01-01T00:00:00Z"}],
        "about": [{"name": "shop", "value": "the old shop"}],
        "sessions": [{"id": new_id(), "made": "2026-01-01T00:00:00Z", "finding": one, "body": "{}"}],
        "finding_revisions": [
            {
                "number": number,
                "id": identifier,
                "finding": finding or identifier,
                "previous": revisions[0][0] if number == 3 else revisions[2][0] if number == 4 else None,
                "airframe": "00123",
                "system": "fuel",
                "text": f"text {number}\nsecond line é",
                "state": state,
                "entries": json.dumps(["a-page"]),
                "action": "done" if state == "corrected" else None,
                "cause": "a-page/a-cause" if number == 4 else None,
                "who": "xy",
                "made": f"2026-01-01T00:00:0{number}Z",
            }
            for number, ((identifier, finding), state) in enumerate(zip(revisions, words, strict=True), 1)
        ],
    }


FILL: dict[str, Callable[[], Rows]] = {"m0001_entries_and_finding_revisions": _first_form}
"""How a store whose last step is this one is filled. Whoever adds a step adds here the one that was last before."""


def make_old(path: Path, step: str) -> Rows:
    """Make a store whose last step is `step`, with rows in all its tables; return them."""
    later = STEPS[STEPS.index(step) + 1]
    rows = FILL[step]()
    with closing(sqlite3.connect(path)) as connection, connection:
        db = Database(connection)
        db.enable_wal()
        migrations().apply(db, stop_before=later)
        for table, some in rows.items():
            db.table(table).insert_all(some)
    return rows


@pytest.fixture(params=STEPS[:-1])
def step(request: pytest.FixtureRequest) -> str:
    """Each step that was the last one once."""
    return str(request.param)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Where the old store is."""
    return tmp_path / "old.db"


def _all(path: Path, table: str) -> list[dict[str, object]]:
    with closing(sqlite3.connect(path)) as db:
        db.row_factory = sqlite3.Row
        return [dict(row) for row in db.execute(f"SELECT * FROM {table}")]


def test_every_form_but_the_last_can_be_made(step: str, path: Path) -> None:
    """And has rows in each table, so that the tests below prove what they say."""
    rows = make_old(path, step)
    with closing(sqlite3.connect(path)) as db:
        tables = {name for (name,) in db.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
    assert set(rows) == tables - {"_sqlite_migrations", "sqlite_sequence", "latest"}


def test_an_old_store_opens_with_all_it_held(step: str, path: Path) -> None:
    """Every row of every table is there, every value as it was."""
    rows = make_old(path, step)
    Store(path)
    for table, some in rows.items():
        now = _all(path, table)
        assert all(any(row.items() <= new.items() for new in now) for row in some), table


def test_an_old_store_works_on(step: str, path: Path) -> None:
    """Lists show the latest word, histories are whole, and the next change follows the last one."""
    rows = make_old(path, step)["finding_revisions"]
    store = Store(path)
    findings = {finding.id: finding for finding in Findings(store).all(airframe="00123")}
    for name, finding in findings.items():
        mine = [row for row in rows if row["finding"] == name]
        assert (finding.revision, finding.text) == (mine[-1]["id"], mine[-1]["text"])
        assert [one.revision.id for one in History(store).of(name)] == [row["id"] for row in mine]
        revised = Findings(store).revise(name, place="left wing")
        assert store.revisions.known([revised.revision])[revised.revision].previous == mine[-1]["id"]
    assert len(findings) == 2


def test_a_store_brought_up_to_date_is_made_as_a_new_one(step: str, path: Path, tmp_path: Path) -> None:
    """The same tables, columns, indexes, triggers."""
    make_old(path, step)
    Store(path)
    Store(tmp_path / "new.db")
    made = "SELECT type, name, tbl_name, sql FROM sqlite_master ORDER BY 1, 2"
    with closing(sqlite3.connect(path)) as old, closing(sqlite3.connect(tmp_path / "new.db")) as new:
        assert old.execute(made).fetchall() == new.execute(made).fetchall()


def test_a_backup_is_made_before_a_store_is_changed(step: str, path: Path) -> None:
    """It holds the old form, whole, and its name says before which step it was made."""
    rows = make_old(path, step)
    Store(path)
    (backup,) = backups_folder(path).iterdir()
    after = STEPS[STEPS.index(step) + 1]
    assert backup.name.startswith(f"before-{after[:5]}-")
    assert [row["name"] for row in _all(backup, "_sqlite_migrations")] == list(STEPS[: STEPS.index(after)])
    assert _all(backup, "finding_revisions") == rows["finding_revisions"]


def test_a_new_store_needs_no_backup(path: Path) -> None:
    """There is nothing to keep."""
    Store(path)
    assert not backups_folder(path).exists()


def test_the_last_backups_are_kept_and_nothing_else_is_touched(path: Path) -> None:
    """Five of ours stay; a file that somebody put there stays, and so does what a restore has set aside."""
    Store(path)
    folder = backups_folder(path)
    folder.mkdir()
    others = [folder / name for name in ("mine.db", "before-restore-20200101T000000Z.db", "before-m0002-x.db")]
    for other in others:
        other.write_bytes(b"kept")
    made = [back_up_before(path, STEPS[1], f"2026-01-0{day}T00:00:00Z") for day in range(1, KEPT + 4)]
    assert set(folder.iterdir()) == {*others, *made[-KEPT:]}


def test_without_room_for_a_backup_the_store_is_left_as_it_is(path: Path) -> None:
    """One sentence; the store has its old form, and opens once there is room."""
    rows = make_old(path, STEPS[0])
    said = writers.answer(writers.within, 40_000, Store, path)
    assert len(said) == 1
    assert "is of an older form and was left so" in said[0]
    assert [row["name"] for row in _all(path, "_sqlite_migrations")] == [STEPS[0]]
    assert list(backups_folder(path).iterdir()) == []
    assert Findings(Store(path)).count() == len({row["finding"] for row in rows["finding_revisions"]})


def test_a_damaged_old_store_is_not_changed(path: Path) -> None:
    """What no backup can be proved of is not brought up to date."""
    make_old(path, STEPS[0])
    with closing(sqlite3.connect(path)) as db, db:
        db.execute("PRAGMA writable_schema = ON")
        db.execute("UPDATE sqlite_master SET rootpage = 2 WHERE name = 'words'")
    with pytest.raises(StoreUnavailable, match="damaged"):
        Store(path)
    assert [row["name"] for row in _all(path, "_sqlite_migrations")] == [STEPS[0]]


@pytest.mark.parametrize("form", ["absent", "old"])
def test_several_who_open_a_store_at_once_all_find_it_up_to_date(form: str, tmp_path: Path) -> None:
    """One makes it or brings it up to date, the others wait; there is one backup of an old one."""
    for turn in range(6):
        path = tmp_path / f"{form}{turn}.db"
        if form == "old":
            make_old(path, STEPS[0])
        with ExitStack() as stack:
            pipes = [stack.enter_context(writers.another_process(writers.open_store, path))[1] for _ in range(3)]
            counts = [list(writers.told(pipe)) for pipe in pipes]
        assert counts == [["2" if form == "old" else "0"]] * 3
        assert len(_all(path, "_sqlite_migrations")) == len(STEPS)
        assert len(list(tmp_path.glob(f"{path.name}.backups/*"))) == (form == "old")
        assert not Keeping(path).check().problems or form == "old"


def test_the_record_of_the_steps_is_what_the_program_reads(path: Path) -> None:
    """The name of the set stands beside each step."""
    Store(path)
    assert {row["migration_set"] for row in _all(path, "_sqlite_migrations")} == {SET}
