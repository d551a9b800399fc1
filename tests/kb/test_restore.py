"""Putting a backup back: nothing that stood there is lost, and nothing that is not whole takes its place."""

from __future__ import annotations

import random
import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing
from hashlib import sha256
from pathlib import Path

import pytest

from kb.desk import Desk
from kb.errors import BackupDamaged, KbError, StoreTooNew, StoreUnavailable, UsageProblem
from kb.findings import Findings
from kb.keeping import Keeping
from kb.store import Store
from kb.store.access import BUSY_SECONDS, reading
from kb.store.merge import Incoming
from kb.store.migrations import STEPS
from kb.store.restore import put_back
from tests.kb import writers
from tests.kb.shop import damage, full_store, texts
from tests.kb.test_migrations import make_old


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A store with something in every corner."""
    return full_store(tmp_path / "shop.db")


def test_a_restore_brings_back_what_was_and_keeps_what_stood_there(path: Path) -> None:
    """Both are whole stores afterwards."""
    keeping = Keeping(path)
    backup = Path(keeping.backup().path)
    Findings(Store(path)).add("the second", airframe="A")
    done = keeping.restore(backup)
    assert texts(path) == ["the first"]
    assert done.aside
    assert texts(Path(done.aside)) == ["the first", "the second"]
    assert keeping.check().problems == Keeping(Path(done.aside)).check().problems == ()
    Findings(Store(path)).add("the third", airframe="A")
    assert texts(backup) == ["the first"]


def test_what_only_stands_in_the_log_of_a_killed_writer_is_kept_aside_too(path: Path) -> None:
    """The log beside the store belongs to it."""
    keeping = Keeping(path)
    backup = Path(keeping.backup().path)
    with reading(path) as db, writers.another_process(writers.add_and_revise, path, 2) as (process, listen):
        db.execute("SELECT * FROM about").fetchall()  # one who reads keeps the log from being folded in at the end
        kept = [listen.recv_bytes().decode() for _ in range(5)]
        process.kill()
        kept += writers.told(listen)
    assert path.with_name("shop.db-wal").stat().st_size > 0
    aside = Path(keeping.restore(backup).aside or "")
    assert len(Store(aside).revisions.known(kept)) == len(kept)
    assert Store(path).revisions.known(kept) == {}


def test_a_damaged_store_is_kept_aside_as_it_is(path: Path) -> None:
    """Its bytes and those of its log, for whoever can read them."""
    backup = Path(Keeping(path).backup().path)
    path.write_bytes(b"broken" * 1000)
    path.with_name("shop.db-wal").write_bytes(b"log")
    aside = Path(Keeping(path).restore(backup).aside or "")
    assert aside.read_bytes() == b"broken" * 1000
    assert aside.with_name(f"{aside.name}-wal").read_bytes() == b"log"
    assert texts(path) == ["the first"]


def test_a_store_that_is_gone_comes_back(path: Path) -> None:
    """There is nothing to keep aside."""
    backup = Path(Keeping(path).backup(path.with_name("copy.db")).path)
    path.unlink()
    path.with_name("shop.db-wal").unlink(missing_ok=True)
    path.with_name("shop.db-shm").unlink(missing_ok=True)
    assert Keeping(path).restore(backup).aside is None
    assert texts(path) == ["the first"]


def test_an_old_backup_is_brought_up_to_date_when_next_used(path: Path, tmp_path: Path) -> None:
    """A backup made before a step is as good as any."""
    old = tmp_path / "old.db"
    make_old(old, STEPS[0])
    damage(old, "DELETE FROM entries", "DELETE FROM loads")
    Keeping(path).restore(old)
    assert Findings(Store(path)).count() == 2
    assert Keeping(path).check().problems == ()


def _newer(backup: Path) -> None:
    damage(backup, "INSERT INTO _sqlite_migrations VALUES (9, 'oddfix', 'm9999_new', 'x')")


def _broken(backup: Path) -> None:
    damage(backup, "DELETE FROM latest")


def _no_store(backup: Path) -> None:
    backup.write_text("no store", encoding="utf-8")


@pytest.mark.parametrize(
    ("spoil", "error"),
    [(_newer, StoreTooNew), (_broken, BackupDamaged), (_no_store, BackupDamaged), (Path.unlink, StoreUnavailable)],
)
def test_a_backup_that_is_not_whole_is_not_put_back(
    path: Path, spoil: Callable[[Path], None], error: type[KbError]
) -> None:
    """Of a newer program, damaged, no store at all, absent: the store stays."""
    backup = Path(Keeping(path).backup(path.with_name("copy.db")).path)
    spoil(backup)
    before = sha256(path.read_bytes()).digest()
    with pytest.raises(error):
        Keeping(path).restore(backup)
    assert sha256(path.read_bytes()).digest() == before
    assert texts(path) == ["the first"]


def test_a_store_is_no_backup_of_itself(path: Path) -> None:
    """Said before anything is moved."""
    with pytest.raises(UsageProblem, match="the store itself"):
        Keeping(path).restore(path)


def test_a_store_in_use_is_not_replaced(path: Path) -> None:
    """Refused while another process is in the middle of writing; the store stays."""
    backup = Path(Keeping(path).backup().path)
    with writers.another_process(writers.hold, path) as (_, listen):
        assert listen.recv_bytes() == b"held"
        with pytest.raises(StoreUnavailable, match="locked by another program"):
            put_back(backup, path, "2026-01-01T00:00:00Z", wait=0.05)
    assert texts(path) == ["the first"]
    assert [file.name for file in path.parent.glob("*.backups/*")] == [backup.name]


def test_a_writer_who_came_too_late_is_refused_rather_than_lost(path: Path) -> None:
    """Who had opened the old file, and writes after the restore, is told so; his words do not vanish aside."""
    backup = Path(Keeping(path).backup().path)
    with closing(sqlite3.connect(path)) as late:
        Keeping(path).restore(backup)
        with pytest.raises(sqlite3.OperationalError) as caught:
            late.execute("INSERT INTO drafts VALUES ('form', 'now', 'typed')")
    assert caught.value.sqlite_errorname == "SQLITE_READONLY_DBMOVED"


def test_a_restore_without_room_leaves_the_store(path: Path) -> None:
    """One sentence, and the store goes on."""
    backup = Path(Keeping(path).backup().path)
    said = writers.answer(writers.within, 40_000, _restore_first, path)
    assert len(said) == 1
    assert "the disk is full" in said[0]
    assert [file.name for file in path.parent.glob("*.backups/*")] == [backup.name]
    Findings(Store(path)).add("the second", airframe="A")
    assert texts(path) == ["the first", "the second"]


def _restore_first(path: Path) -> None:
    Keeping(path).restore(next(path.parent.glob("*.backups/*")))


def test_a_restored_store_keeps_who_may_read_it(path: Path) -> None:
    """A store shared by a shop stays shared."""
    backup = Path(Keeping(path).backup().path)
    path.chmod(0o664)
    Keeping(path).restore(backup)
    assert path.stat().st_mode & 0o777 == 0o664


def test_an_index_of_what_came_after_the_backup_never_answers(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Numbers come again after a restore, and merging the same pack again even brings the same ids to them."""
    monkeypatch.setattr("kb.search.stock.FOLD_IN", 10)
    monkeypatch.setattr("kb.search.state.FOLD_IN", 10)
    desk = Desk.open(path, entries=writers.FOLDER)
    elsewhere = Store(path.with_name("elsewhere.db"))
    for _ in range(6):
        Findings(elsewhere).add("rigging of the other shop", airframe="B")
    pack = elsewhere.revisions.all()
    backup = Path(Keeping(path).backup().path)

    desk.findings.add("zinc chromate", airframe="A")
    desk.store.merge.take(Incoming(revisions=pack))  # revisions 5 to 10
    assert len(desk.search.ask("chromate").hits) == 1
    assert Keeping(path).check().index["findings"] == "current"

    Keeping(path).restore(backup)
    desk.findings.add("cellulose dope", airframe="A")
    desk.store.merge.take(Incoming(revisions=pack))
    assert Keeping(path).check().index["findings"] == "stale"
    for each in (desk, Desk.open(path, entries=writers.FOLDER)):
        assert [hit.kind for hit in each.search.ask("chromate").hits] == []
        assert [hit.kind for hit in each.search.ask("cellulose").hits] == ["finding"]


@pytest.mark.parametrize("rounds", [8, pytest.param(150, marks=pytest.mark.slow)])
def test_a_restore_that_is_killed_leaves_one_store_or_the_other(path: Path, rounds: int) -> None:
    """Whole, at any moment."""
    backups = [Path(Keeping(path).backup(path.with_name("first.db")).path)]
    Findings(Store(path)).add("the second", airframe="A")
    backups.append(Path(Keeping(path).backup(path.with_name("second.db")).path))
    chance = random.Random(1)
    for _ in range(rounds):
        with writers.another_process(writers.put_back_on, path, backups) as (process, listen):
            listen.recv_bytes()
            listen.poll(chance.random() * 0.1)
            process.kill()
        assert Keeping(path).check().problems == ()
        assert texts(path) in (["the first"], ["the first", "the second"])


def test_what_another_keeps_while_backups_are_put_back_is_here_or_aside(path: Path) -> None:
    """Each finding that the other was told is kept stands in the store or in one of those kept aside."""
    backup = Path(Keeping(path).backup(path.with_name("copy.db")).path)
    kept = []
    with writers.another_process(writers.add_on, path) as (process, listen):
        for _ in range(5):
            kept += [listen.recv_bytes().decode() for _ in range(10)]
            put_back(backup, path, "2026-01-01T00:00:00Z", wait=BUSY_SECONDS)
        process.kill()
        kept += writers.told(listen)
    places = [path, *path.parent.glob("*.backups/*.db")]
    found: set[str] = set()
    for place in places:
        assert Keeping(place).check().problems == ()
        found |= Store(place).revisions.known(kept).keys()
    assert (len(places), found) == (6, set(kept))


def test_a_backup_copied_by_hand_gets_its_log(path: Path, tmp_path: Path) -> None:
    """So that reading goes on while another writes."""
    by_hand = tmp_path / "by-hand.db"
    shutil.copy(Keeping(path).backup().path, by_hand)
    Store(by_hand)
    with reading(by_hand) as db:
        assert db.execute("PRAGMA journal_mode").fetchone() == ("wal",)
