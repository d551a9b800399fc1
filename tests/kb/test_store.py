"""The store: nothing lost, nothing half done, and a plain sentence when it cannot be used."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from kb.errors import StoreTooNew, StoreUnavailable
from kb.ids import new_id
from kb.model import Content
from kb.store import Store


@pytest.fixture
def store(tmp_path: Path) -> Store:
    """An empty store."""
    return Store(tmp_path / "new.db")


def test_a_finding_is_read_back_as_it_was_added(store: Store) -> None:
    """Codes keep their zeros, text keeps its lines."""
    content = Content(airframe="00123", text="two\nlines", entries=("a-b",), action="none", who="xy")
    added = store.revisions.add(content)
    finding = store.findings.all()[0].finding
    assert (finding.id, finding.revision) == (added.finding, added.id)
    assert all(getattr(finding, name) == getattr(content, name) for name in Content.__struct_fields__)


@pytest.mark.parametrize("act", ["UPDATE finding_revisions SET text = 'x'", "DELETE FROM finding_revisions"])
def test_a_revision_can_neither_be_changed_nor_removed(store: Store, act: str) -> None:
    """History is kept by the store itself, not by good manners."""
    store.revisions.add(Content(airframe="A", text="kept"))
    with closing(sqlite3.connect(store.path)) as db, pytest.raises(sqlite3.IntegrityError, match="never changed"):
        db.execute(act)


def test_ids_sort_by_the_time_of_making() -> None:
    """Each id is greater than the one before (RFC 9562, 6.2)."""
    ids = [new_id() for _ in range(2000)]
    assert ids == sorted(set(ids))


def test_an_id_is_a_uuid_of_version_7() -> None:
    """RFC 9562, 5.7: version 7 in bits 48 to 51, variant 10 in bits 64 and 65."""
    identifier = new_id()
    assert identifier[14] == "7"
    assert identifier[19] in "89ab"


def test_a_store_of_a_newer_program_is_refused_and_left_alone(store: Store) -> None:
    """A step this program does not know means rules it does not know."""
    with closing(sqlite3.connect(store.path)) as db, db:
        db.execute("INSERT INTO _sqlite_migrations (migration_set, name, applied_at) VALUES ('oddfix', 'm9999', 'x')")
    before = store.path.read_bytes()
    with pytest.raises(StoreTooNew, match=r"newer oddfix .*m9999"):
        Store(store.path)
    assert store.path.read_bytes() == before


def test_a_database_of_something_else_is_refused_and_left_alone(tmp_path: Path) -> None:
    """Somebody's other database is never given our tables."""
    path = tmp_path / "other.db"
    with closing(sqlite3.connect(path)) as db, db:
        db.execute("CREATE TABLE theirs (a)")
    with pytest.raises(StoreUnavailable, match="something else"):
        Store(path)
    with closing(sqlite3.connect(path)) as db:
        assert [row[0] for row in db.execute("SELECT name FROM sqlite_master")] == ["theirs"]


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (lambda path: path.write_bytes(b"this is no database, it is a letter to the owner" * 40), "damaged or is not"),
        (lambda path: path.mkdir(), "cannot be opened"),
    ],
)
def test_a_file_that_is_no_store_is_named_in_one_sentence(tmp_path: Path, make: object, said: str) -> None:
    """The path, what is wrong, what to do."""
    path = tmp_path / "odd.db"
    make(path)  # type: ignore[operator]
    with pytest.raises(StoreUnavailable, match=said) as caught:
        Store(path)
    assert str(path) in str(caught.value)


def test_a_locked_store_says_so_and_keeps_what_it_had(tmp_path: Path) -> None:
    """Another program holds it; nothing is changed and nothing hangs."""
    store = Store(tmp_path / "busy.db", busy_seconds=0.05)
    with closing(sqlite3.connect(store.path)) as other:
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(StoreUnavailable, match="locked by another program"):
            store.revisions.add(Content(airframe="A", text="refused"))
    assert store.findings.all() == []


def test_a_store_left_half_changed_without_a_log_is_read(tmp_path: Path) -> None:
    """A journal that a killed program left beside it is rolled back, which a mere reader may not do."""
    store = Store(tmp_path / "killed.db")
    store.revisions.add(Content(airframe="A", text="first"))
    copy = tmp_path / "copy.db"
    with closing(sqlite3.connect(store.path)) as db:
        db.execute("PRAGMA journal_mode = DELETE")
        db.execute("PRAGMA cache_size = 1")  # so that the change reaches the file before it is committed
        db.execute("BEGIN IMMEDIATE")
        db.executemany("INSERT INTO drafts VALUES (?, 'now', ?)", [(str(n), "x" * 3000) for n in range(50)])
        copy.write_bytes(store.path.read_bytes())
        copy.with_name("copy.db-journal").write_bytes(store.path.with_name("killed.db-journal").read_bytes())
        db.rollback()
    assert Store(copy).drafts.all() == []
    assert [row.finding.text for row in Store(copy).findings.all()] == ["first"]


def test_reading_goes_on_while_another_program_writes(tmp_path: Path) -> None:
    """Write-ahead logging: a reader sees the last state that was kept."""
    store = Store(tmp_path / "busy.db", busy_seconds=0.05)
    store.revisions.add(Content(airframe="A", text="first"))
    with closing(sqlite3.connect(store.path)) as other:
        other.execute("BEGIN IMMEDIATE")
        assert len(store.findings.all()) == 1


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=40, deadline=None)
@given(text=st.text(st.characters(exclude_categories=["Cs"]), min_size=1), airframe=st.text("0aZ é", min_size=1))
def test_any_text_survives_the_store(store: Store, text: str, airframe: str) -> None:
    """What went in comes out, character for character."""
    added = store.revisions.add(Content(airframe=airframe, text=text))
    finding = store.findings.ending(added.finding)[0]
    assert (finding.text, finding.airframe) == (text, airframe)
