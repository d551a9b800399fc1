"""Keeping: damage is told of in sentences, a backup is whole, and both are had by command."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from kb.errors import UsageProblem
from kb.keeping import Keeping
from kb.store import Store
from kb.store.migrations import STEPS
from tests.conftest import Ran
from tests.kb import writers
from tests.kb.shop import PICTURE, damage, full_store, texts
from tests.kb.test_migrations import make_old


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A store with something in every corner."""
    return full_store(tmp_path / "shop.db")


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
