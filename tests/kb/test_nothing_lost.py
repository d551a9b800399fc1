"""Nothing that was once kept is lost: not by a kill, not by two at once, not by a full disk."""

from __future__ import annotations

import random
import sqlite3
import subprocess
import time
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from kb.desk import Desk
from kb.errors import BackupFailed, StoreUnavailable
from kb.findings import Findings
from kb.keeping import Keeping
from kb.model import Content
from kb.store import Store
from kb.store.access import BUSY_SECONDS
from tests.kb import writers


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A store with two pages and one finding, as an older day left it."""
    path = tmp_path / "shop.db"
    Desk.open(path, entries=writers.FOLDER).findings.add("the first", airframe="A")
    return path


def assert_whole(path: Path) -> None:
    """Check the store as `oddfix store check` does, and that the finding of the older day is there."""
    assert Keeping(path).check().problems == ()
    assert "the first" in [finding.text for finding in Findings(Store(path)).all(airframe="A")]


def _killed(path: Path, seed: int) -> list[str]:
    """Let another process write, kill it at a moment chosen by the seed, and return the revisions it told of."""
    chance = random.Random(seed)
    with writers.another_process(writers.add_and_revise, path, seed) as (process, listen):
        kept = [listen.recv_bytes().decode() for _ in range(chance.randrange(1, 12))]
        moment = time.monotonic() + chance.random() * 0.02
        while (left := moment - time.monotonic()) > 0 and listen.poll(left):
            kept.append(listen.recv_bytes().decode())
        process.kill()
        kept.extend(writers.told(listen))
    return kept


@pytest.mark.parametrize("rounds", [30, pytest.param(300, marks=pytest.mark.slow)])
def test_what_was_kept_is_there_after_a_kill_at_any_moment(path: Path, rounds: int) -> None:
    """Every revision that was told of is there, and no half of another one."""
    kept: list[str] = []
    for seed in range(rounds):
        kept += _killed(path, seed)
        there = Store(path).revisions.known(kept)
        assert len(there) == len(kept) == len(set(kept)), f"round {seed}"
        assert_whole(path)
    assert len(kept) >= rounds


def _two_at_once(path: Path, count: int) -> list[list[str]]:
    with (
        writers.another_process(writers.add_many, path, "B", count) as (_, first),
        writers.another_process(writers.add_many, path, "C", count) as (_, second),
    ):
        return [list(writers.told(listen)) for listen in (first, second)]


@pytest.mark.parametrize("count", [300, pytest.param(5_000, marks=pytest.mark.slow)])
def test_two_who_write_at_once_are_both_served(path: Path, count: int) -> None:
    """None is refused, none is lost, and nobody comes near the time after which a store is called locked."""
    start = time.monotonic()
    answers = _two_at_once(path, count)
    took = time.monotonic() - start
    assert [answer[0] for answer in answers] == ["ready", "ready"]
    waits = [float(answer[1]) for answer in answers]
    print(f"{2 * count} findings of two at once in {took:.1f} s, longest wait for one {max(waits):.2f} s")  # noqa: T201
    assert max(waits) < BUSY_SECONDS / 2
    assert Findings(Store(path)).count() == 2 * count + 1
    assert_whole(path)


def test_one_who_reads_is_served_while_two_write(path: Path) -> None:
    """Lists go on being read; the reader has nothing to tell but that it began."""
    with writers.another_process(writers.read_on, path) as (_, listen):
        assert listen.recv_bytes() == b"ready"
        _two_at_once(path, 100)
        assert not listen.poll()


def test_a_writer_waits_for_another_one_that_is_slow(path: Path) -> None:
    """Held for a while by another process, the store is not called locked; freed, it takes the finding."""
    with writers.another_process(writers.hold, path) as (holder, listen):
        assert listen.recv_bytes() == b"held"
        with writers.another_process(writers.add_many, path, "B", 1) as (_, waiting):
            assert waiting.recv_bytes() == b"ready"
            assert not waiting.poll(0.3)
            holder.kill()
            assert float(waiting.recv_bytes()) < BUSY_SECONDS
    assert Findings(Store(path)).count() == 2


def test_a_full_disk_stops_an_add_with_one_sentence(path: Path) -> None:
    """No file may grow: writing fails as on a full disk."""
    said = writers.answer(writers.within, 400_000, writers.fill, path)
    assert len(said) == 1
    assert "cannot be written, the disk is full" in said[0] or "cannot grow, the disk is full" in said[0]
    assert_whole(path)


def test_a_full_disk_stops_a_backup_with_one_sentence_and_leaves_no_half(path: Path, tmp_path: Path) -> None:
    """A backup that cannot be written has neither its name nor a rest of it."""
    for number in range(30):
        Findings(Store(path)).add(f"{number} " + "x" * 19_000, airframe="A")
    (tmp_path / "there").mkdir()
    said = writers.answer(writers.within, 200_000, _back_up_there, path)
    assert len(said) == 1
    assert "the disk is full" in said[0]
    assert list((tmp_path / "there").iterdir()) == []
    assert_whole(path)


def _back_up_there(path: Path) -> None:
    Keeping(path).backup(path.parent / "there" / "copy.db")


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A folder on a disk of its own, of two megabytes."""
    folder = tmp_path / "disk"
    folder.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", "size=2m", "oddfix", str(folder)]
    try:
        done = subprocess.run(mount, capture_output=True, check=False)
    except FileNotFoundError:
        pytest.skip("there is no mount here")
    if done.returncode:
        pytest.skip("only root may make a small disk")
    yield folder
    subprocess.run(["umount", str(folder)], check=True)


@pytest.mark.slow
def test_a_disk_that_is_really_full_loses_nothing(small_disk: Path) -> None:
    """Adding until the disk is full, then a backup onto it: two sentences, and all that was kept is there."""
    path = small_disk / "shop.db"
    desk = Desk.open(path, entries=writers.FOLDER)
    desk.findings.add("the first", airframe="A")
    with pytest.raises(StoreUnavailable, match="the disk is full"):
        writers.fill(path)
    with pytest.raises(BackupFailed, match=r"the disk is full|No space left"):
        Keeping(path).backup()
    assert [file.name for file in (small_disk / "shop.db.backups").glob("*")] == []
    assert_whole(path)


def test_a_store_that_may_not_grow_says_the_disk_is_full(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """SQLITE_FULL itself, made by a limit of pages."""
    monkeypatch.setattr(sqlite3, "connect", _with_limit(sqlite3.connect))
    with pytest.raises(StoreUnavailable, match="cannot grow, the disk is full"):
        writers.fill(path)
    monkeypatch.undo()
    assert_whole(path)


def _with_limit(connect: Callable[..., sqlite3.Connection]) -> Callable[..., sqlite3.Connection]:
    def limited(*arguments: Any, **values: Any) -> sqlite3.Connection:
        connection = connect(*arguments, **values)
        connection.execute("PRAGMA max_page_count = 100")
        return connection

    return limited


def test_every_commit_is_on_the_disk_before_it_is_told(path: Path) -> None:
    """Writers use synchronous FULL (2) in write-ahead mode: the log is brought to the disk at each commit."""
    with Store(path)._file.writing() as db:
        assert db.execute("PRAGMA synchronous").fetchone() == (2,)
        assert db.execute("PRAGMA journal_mode").fetchone() == ("wal",)


def test_an_act_that_fails_half_way_leaves_nothing(path: Path) -> None:
    """An error between the first write and the end of an act takes back the first write too."""
    store = Store(path)
    first = store.findings.all()[0].finding
    with pytest.raises(RuntimeError, match="half way"):
        store.revisions.change([first.id, first.id], _fails_second(), said="revised")
    assert len(store.revisions.of(first.id)) == 1
    with closing(sqlite3.connect(path)) as db:
        assert db.execute("SELECT count(*) FROM acts").fetchone() == (1,)


def _fails_second() -> Callable[[Any], Content]:
    turns = iter([False, True])

    def make(latest: Content) -> Content:
        if next(turns):
            raise RuntimeError("half way")
        return latest

    return make
