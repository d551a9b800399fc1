"""Keeping: damage is told of in sentences, a backup is whole, and a restore loses nothing."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable
from contextlib import closing
from hashlib import sha256
from pathlib import Path

import pytest

from kb.desk import Desk
from kb.errors import BackupDamaged, KbError, StoreTooNew, StoreUnavailable, UsageProblem
from kb.findings import Findings
from kb.ids import new_id
from kb.keeping import Keeping
from kb.model import Airframe
from kb.store import Store
from kb.store.access import reading
from kb.store.migrations import STEPS
from kb.store.photos import Photo
from kb.store.restore import put_back
from tests.conftest import Ran
from tests.kb import writers
from tests.kb.test_migrations import make_old

PICTURE = Photo(kind="png", body=b"a picture" * 1000, width=1, height=1, thumbnail=b"small")


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A store with something in every corner: a finding with a photo, revised twice, and an airframe."""
    path = tmp_path / "shop.db"
    desk = Desk.open(path, entries=writers.FOLDER)
    desk.store.photos.put([PICTURE])
    desk.store.airframes.take([Airframe(id=new_id(), name="A", made=desk.store.now())])
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


def test_a_whole_store_has_no_problem(path: Path) -> None:
    """And the report says what it holds, and how it stands with the index."""
    report = Keeping(path).check()
    assert report.problems == ()
    assert (report.counts["finding_revisions"], report.counts["latest"], report.counts["photos"]) == (3, 1, 1)
    assert report.index == {"pages": "absent"}
    assert report.steps == STEPS


FIRST = "(SELECT min(id) FROM finding_revisions)"
LAST = "(SELECT max(id) FROM finding_revisions)"


@pytest.mark.parametrize(
    ("act", "said"),
    [
        ("UPDATE latest SET state = 'open'", "do not show finding"),
        ("UPDATE latest SET number = 1", "do not show finding"),
        ("DELETE FROM latest", "do not show finding"),
        ("INSERT INTO latest VALUES ('x', 'x', 9, 'A', NULL, 'open', NULL)", "do not show finding x"),
        (f"UPDATE finding_revisions SET previous = id WHERE id = {LAST}", "which is not earlier"),
        (f"UPDATE finding_revisions SET previous = 'gone' WHERE id = {LAST}", "made from gone, which is not here"),
        (f"UPDATE finding_revisions SET joins = '[\"gone\"]' WHERE id = {LAST}", "made from gone, which is not here"),
        (f"UPDATE finding_revisions SET said = 'sung' WHERE id = {FIRST}", "cannot be understood (Invalid enum value"),
        (f"UPDATE finding_revisions SET entries = '[' WHERE id = {FIRST}", "cannot be understood (Input data was"),
        (f"UPDATE finding_revisions SET minutes = -1 WHERE id = {FIRST}", "cannot be understood (Expected"),
        (f"UPDATE finding_revisions SET act = 99 WHERE id = {FIRST}", "belongs to an act that is not here"),
        ("DELETE FROM photos", f"shows photo {PICTURE.sha256}, which is not here"),
        ("UPDATE photos SET body = x'00'", f"photo {PICTURE.sha256} is not the picture"),
        ("UPDATE entries SET body = '{}'", "cannot be understood"),
        ("UPDATE entries SET body = replace(body, 'fuel', 'feul')", "is not what was kept"),
        ("UPDATE airframes SET body = 'x'", "airframe"),
        ("INSERT INTO pages (id, page, made, body) VALUES ('p', 'p', 'x', 'x')", "a shop's page p"),
        ("UPDATE acts SET undoes = 99 WHERE number = 1", "row 1 of acts names one of acts that is not there"),
        ("DROP TABLE drafts", "the table drafts of the store is missing"),
        (
            "INSERT INTO _sqlite_migrations VALUES (9, 'oddfix', 'm9999_new', 'x')",
            "step m9999_new is of a newer oddfix",
        ),
    ],
)
def test_each_sort_of_damage_is_told_with_what_to_do(path: Path, act: str, said: str) -> None:
    """One sentence a problem, and each ends with the remedy."""
    damage(path, act)
    problems = Keeping(path).check().problems
    assert any(said in problem for problem in problems), problems
    assert all("; put back a backup" in problem or "; update oddfix" in problem for problem in problems)


def test_a_missing_guard_is_told(path: Path) -> None:
    """Without its triggers the store would let a revision be changed."""
    with closing(sqlite3.connect(path)) as db, db:
        db.execute("DROP TRIGGER finding_revisions_keep_update")
    assert "the trigger finding_revisions_keep_update of the store is missing" in Keeping(path).check().problems[0]


def test_of_many_problems_some_are_told_and_the_rest_counted(path: Path) -> None:
    """A report is read by a person."""
    many = [f"INSERT INTO latest VALUES ('x{n}', 'x', {n}, 'A', NULL, 'open', NULL)" for n in range(100, 150)]
    damage(path, *many)
    problems = Keeping(path).check().problems
    assert len(problems) == 11
    assert problems[-1].startswith("40 more problems of the same sort")


@pytest.mark.parametrize("at", [0, 40, 100, 4096, 8192, 40_960])
def test_a_file_with_bytes_overwritten_gives_a_report(path: Path, at: int) -> None:
    """In the head of the file and at the heads of its pages; never a traceback."""
    plain = Path(Keeping(path).backup(path.with_name("plain.db")).path)  # one file, so that the log hides nothing
    body = bytearray(plain.read_bytes())
    body[at : at + 600] = b"\xa5" * 600
    plain.write_bytes(bytes(body))
    assert Keeping(plain).check().problems


@pytest.mark.parametrize("body", [b"", b"a letter to the owner" * 100, b"SQLite format 3\x00"])
def test_a_file_that_is_no_store_is_told_of(tmp_path: Path, body: bytes) -> None:
    """Empty, text, or the mere beginning of a database."""
    path = tmp_path / "odd.db"
    path.write_bytes(body)
    assert len(Keeping(path).check().problems) == 1
    assert path.read_bytes() == body


def test_a_check_of_an_old_store_leaves_it_old(tmp_path: Path) -> None:
    """It is looked at as it is, and whole in its own form; only what it was filled with here is not."""
    path = tmp_path / "old.db"
    make_old(path, STEPS[0])
    report = Keeping(path).check()
    assert report.steps == STEPS[:1]
    assert all(problem.startswith("page a-page") for problem in report.problems), report.problems
    assert Keeping(path).where().waiting == STEPS[1:]


def test_a_backup_holds_what_the_store_holds_in_one_file(path: Path, tmp_path: Path) -> None:
    """And is itself whole."""
    kept = Keeping(path).backup(tmp_path / "there" / "copy.db")
    assert [file.name for file in (tmp_path / "there").iterdir()] == ["copy.db"]
    assert Keeping(Path(kept.path)).check().problems == ()
    assert texts(Path(kept.path)) == texts(path)


def test_a_backup_replaces_nothing_unless_told(path: Path, tmp_path: Path) -> None:
    """Neither another file nor the store itself."""
    target = tmp_path / "mine.txt"
    target.write_text("mine", encoding="utf-8")
    with pytest.raises(UsageProblem, match="is there already"):
        Keeping(path).backup(target)
    with pytest.raises(UsageProblem, match="is there already"):
        Keeping(path).backup(path, overwrite=True)
    assert target.read_text(encoding="utf-8") == "mine"
    Keeping(path).backup(target, overwrite=True)
    assert texts(target) == texts(path)


def test_a_backup_taken_while_another_writes_is_whole(path: Path) -> None:
    """One state of the store, whatever comes meanwhile; nothing the other had kept before is missing."""
    with writers.another_process(writers.add_and_revise, path, 1) as (_, listen):
        for turn in range(5):
            kept = [listen.recv_bytes().decode() for _ in range(5)]
            copy = Path(Keeping(path).backup(path.with_name(f"copy{turn}.db")).path)
            assert Keeping(copy).check().problems == ()
            assert len(Store(copy).revisions.known(kept)) == len(kept)


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
    desk.store.revisions.take(pack)  # revisions 5 to 10
    assert len(desk.search.ask("chromate").hits) == 1
    assert Keeping(path).check().index["findings"] == "current"

    Keeping(path).restore(backup)
    desk.findings.add("cellulose dope", airframe="A")
    desk.store.revisions.take(pack)
    assert Keeping(path).check().index["findings"] == "stale"
    for each in (desk, Desk.open(path, entries=writers.FOLDER)):
        assert [hit.kind for hit in each.search.ask("chromate").hits] == []
        assert [hit.kind for hit in each.search.ask("cellulose").hits] == ["finding"]


def test_the_state_of_the_index_is_told(store_path: Path) -> None:
    """Current, damaged, stale, absent; none of them is a problem of the store."""
    keeping, folder = Keeping(store_path), store_path.with_name("shop.db.index")
    assert keeping.check().index == {"pages": "current"}
    manifest = folder / "pages" / "manifest.json"
    written = manifest.read_text(encoding="utf-8")
    manifest.write_text(written.replace('"stamp":"', '"stamp":"old'), encoding="utf-8")
    assert keeping.check().index == {"pages": "stale"}
    manifest.write_text(written, encoding="utf-8")
    (folder / "pages" / "lexicon.json").unlink()
    assert keeping.check().index == {"pages": "damaged"}
    folder.rename(folder.with_name("elsewhere"))
    assert (keeping.check().index, keeping.check().problems) == ({"pages": "absent"}, ())


def test_where_says_the_place_of_everything(path: Path) -> None:
    """Before there is a store, and with one."""
    keeping = Keeping(path.with_name("none.db"))
    assert (keeping.where().store, keeping.where().backups) == (None, ())
    assert not path.with_name("none.db").exists()
    backup = Keeping(path).backup()
    found = Keeping(path).where()
    assert found.store
    assert found.store.size >= path.stat().st_size
    assert found.backups == (backup,)
    assert (found.waiting, found.counts["finding_revisions"]) == ((), 3)


def test_the_store_commands_answer_in_json(run_cli: Callable[..., Ran], store_path: Path) -> None:
    """Each of them, and check ends with 3 when there are problems."""
    assert run_cli("store", "check", "--json").data["problems"] == []
    assert run_cli("store", "shop", "--json").data == {"shop": None}
    assert run_cli("store", "shop", "the old hangar", "--json").data == {"shop": "the old hangar"}
    backup = run_cli("store", "backup", "--json").data["path"]
    assert run_cli("store", "where", "--json").data["backups"][0]["path"] == backup
    assert run_cli("store", "restore", backup, "--yes", "--json").data["backup"] == backup
    damage(store_path, "DROP TABLE drafts")
    checked = run_cli("store", "check", "--json")
    assert (checked.exit_code, len(json.loads(checked.out)["problems"])) == (3, 1)


def test_the_store_commands_answer_in_words(run_cli: Callable[..., Ran], store_path: Path) -> None:
    """What a person reads; and nothing is put back where nobody can be asked."""
    assert "whole" in run_cli("store", "check").out
    backup = run_cli("store", "backup").out.strip()
    assert backup in run_cli("store", "where").out
    refused = run_cli("store", "restore", backup)
    assert (refused.exit_code, "--yes" in refused.err) == (2, True)
    assert run_cli("store", "restore", backup, "--yes").exit_code == 0
    assert run_cli("store", "shop").exit_code == 1
    assert run_cli("store", "shop", " ").exit_code == 2
    assert run_cli("store", "shop", "the old hangar").out == "the old hangar\n"


def test_the_store_commands_work_where_no_desk_can_be_opened(run_cli: Callable[..., Ran], store_path: Path) -> None:
    """A damaged store is told of, and put right by a backup."""
    backup = run_cli("store", "backup").out.strip()
    store_path.write_bytes(b"broken" * 1000)
    assert run_cli("findings").exit_code == 4
    checked = run_cli("store", "check")
    assert (checked.exit_code, "damaged" in checked.out) == (3, True)
    assert "no store of oddfix" in run_cli("store", "where").out
    assert run_cli("store", "backup").exit_code == 4
    assert run_cli("store", "restore", backup, "--yes").exit_code == 0
    assert run_cli("store", "check").exit_code == 0
