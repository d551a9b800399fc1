"""The index folder: foreign, half-written, cut, on a full disk, and built by several at once. Never half believed."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from kb.desk import Desk
from kb.errors import IndexProblem
from kb.search.build import build
from kb.search.keep import LEFT_BEHIND, read_shelf, write_shelf
from kb.search.lexicon import Lexicon
from kb.search.question import read_question
from kb.search.score import Scorer
from kb.search.settings import Settings
from kb.search.shelf import Shelf

ASKED = "white strings in the strainer"
PLAIN = Settings(saturation=1.5, length_share=0.5, scale=100)
TEXTS = {"one": ["bowl of cork", "cork", "strings in the bowl"], "two": ["bowl", "cork and strings", "bowl bowl cork"]}

_WITH_LITTLE_ROOM = """
import resource, sys
from pathlib import Path
from kb.desk import Desk
search = Desk.open(Path(sys.argv[1])).search
resource.setrlimit(resource.RLIMIT_FSIZE, (65_536, resource.RLIM_INFINITY))
print(*[hit.id for hit in search.ask(sys.argv[2]).hits])
"""

_WHEN_TOLD = """
import sys
from pathlib import Path
import kb.search.stock
from kb.desk import Desk
kb.search.stock.FOLD_IN = 5
search = Desk.open(Path(sys.argv[1])).search
print("ready", flush=True)
sys.stdin.readline()
print(*[hit.id for hit in search.ask(sys.argv[2]).hits])
"""


def _ids(path: Path, asked: str = ASKED) -> list[str]:
    return [hit.id for hit in Desk.open(path).search.ask(asked).hits]


def _names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def _index(path: Path) -> Path:
    return Path(f"{path}.index")


def _arrays(name: str) -> Any:
    return build([{"text": text} for text in TEXTS[name]], range(3), {"text": 1.0}, PLAIN)


def _score(shelf: Shelf) -> list[int]:
    none = Lexicon.of_words([])
    question = read_question("bowl cork strings", none, is_known=lambda word, term: True, respell=lambda word: [])
    return [int(score) for score in Scorer(shelf).score(question)]


@pytest.mark.parametrize("manifest", [b"", b"[]", b'{"format": 1}', b'{"name": "other"}', b"\x00\xff\xfe", b"{" * 5000])
def test_a_manifest_of_something_else_is_refused(tmp_path: Path, manifest: bytes) -> None:
    """A folder of this name may be anybody's."""
    write_shelf(_arrays("one"), PLAIN, tmp_path / "shelf", stamp="one")
    (tmp_path / "shelf" / "manifest.json").write_bytes(manifest)
    with pytest.raises(IndexProblem):
        read_shelf(tmp_path / "shelf", PLAIN, stamp="one")


@pytest.mark.parametrize("array", ["terms", "term_at", "df", "ptr", "doc", "imp", "top", "keys", "words", "better"])
def test_one_changed_byte_inside_an_array_is_refused(tmp_path: Path, array: str) -> None:
    """Its size and its head are right, what it says is not."""
    folder = tmp_path / "shelf"
    write_shelf(_arrays("one"), PLAIN, folder, stamp="one")
    harmed = bytearray((folder / f"{array}.npy").read_bytes())
    harmed[-1] ^= 0x40
    (folder / f"{array}.npy").write_bytes(harmed)
    with pytest.raises(IndexProblem):
        read_shelf(folder, PLAIN, stamp="one")


def test_every_cut_of_an_array_is_refused(tmp_path: Path) -> None:
    """As a copy that was broken off leaves it."""
    folder = tmp_path / "shelf"
    write_shelf(_arrays("one"), PLAIN, folder, stamp="one")
    whole = (folder / "doc.npy").read_bytes()
    for length in range(0, len(whole), 7):
        (folder / "doc.npy").write_bytes(whole[:length])
        with pytest.raises(IndexProblem):
            read_shelf(folder, PLAIN, stamp="one")


def test_a_folder_where_an_array_should_be_is_refused(tmp_path: Path) -> None:
    """Whoever made it."""
    folder = tmp_path / "shelf"
    write_shelf(_arrays("one"), PLAIN, folder, stamp="one")
    (folder / "imp.npy").unlink()
    (folder / "imp.npy").mkdir()
    with pytest.raises(IndexProblem):
        read_shelf(folder, PLAIN, stamp="one")


def test_damage_that_only_a_question_meets_is_put_right_by_it(
    store_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Deep in a large array, where no sum is checked: the index is built anew, and the answer is the right one."""
    first = _ids(store_path)
    pages = _index(store_path) / "pages"
    np.save(pages / "doc.npy", np.full_like(np.load(pages / "doc.npy"), 1_000_000))
    with monkeypatch.context() as patch:
        patch.setattr("kb.search.keep.CHECKED", 0)
        manifest = (pages / "manifest.json").read_bytes()
        patch.setattr("kb.search.keep._seen", lambda path: _same(path, manifest))
        assert _ids(store_path) == first
    assert int(np.load(pages / "doc.npy").max()) < 1_000_000


def _same(path: Path, manifest: bytes) -> Any:
    import msgspec

    from kb.search.keep import Manifest

    return msgspec.json.decode(manifest, type=Manifest).files[path.name]


def test_the_index_of_another_store_is_not_believed(
    store_path: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The pages of both are the same, their findings are not."""
    monkeypatch.setattr("kb.search.stock.FOLD_IN", 5)
    other = tmp_path / "other.db"
    for path, word in ((store_path, "quibblefish"), (other, "snorkelwort")):
        desk = Desk.open(path)
        for number in range(5):
            desk.findings.add(f"{word} {number}", airframe="A")
        desk.search.warm()
    shutil.rmtree(_index(other))
    shutil.copytree(_index(store_path), _index(other))
    assert _ids(other, "quibblefish") == []
    assert len(_ids(other, "snorkelwort")) == 5


def test_a_full_disk_costs_time_and_never_an_answer(store_path: Path) -> None:
    """No file may pass 64 kB; nothing half-written stays, and room brings the index back."""
    pytest.importorskip("resource")
    expected = _ids(store_path)
    shutil.rmtree(_index(store_path))
    command = [sys.executable, "-c", _WITH_LITTLE_ROOM, str(store_path), ASKED]
    done = subprocess.run(command, capture_output=True, text=True, check=True)
    assert (done.stdout.split(), done.stderr) == (expected, "")
    assert _names(_index(store_path)) == []
    assert _ids(store_path) == expected
    assert _names(_index(store_path)) == ["pages"]


def test_two_builders_at_once_both_answer_and_leave_one_index(
    store_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Two programs that find none build it at the same time."""
    desk = Desk.open(store_path)
    for number in range(5):
        desk.findings.add(f"strings number{number}", airframe="A")
    shutil.rmtree(_index(store_path))
    command = [sys.executable, "-c", _WHEN_TOLD, str(store_path), ASKED]
    both = [
        subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
        for _ in range(2)
    ]
    for one in both:
        assert one.stdout is not None
        assert one.stdout.readline() == "ready\n"
    for one in both:
        assert one.stdin is not None
        one.stdin.write("\n")
        one.stdin.flush()
    ended = [one.communicate() for one in both]
    monkeypatch.setattr("kb.search.stock.FOLD_IN", 5)
    monkeypatch.setattr("kb.search.build.build", None)  # what they left must do
    expected = " ".join(_ids(store_path)) + "\n"
    assert ended == [(expected, ""), (expected, "")]
    assert _names(_index(store_path)) == ["findings", "pages"]


def test_who_opens_while_others_write_gets_a_whole_shelf_or_none(tmp_path: Path) -> None:
    """Three threads on one folder; a shelf that opens says what its stamp promises."""
    arrays = {name: _arrays(name) for name in TEXTS}
    expected = {name: _score(Shelf(arrays[name], PLAIN)) for name in TEXTS}
    folder = tmp_path / "shelf"

    def write(name: str) -> int:
        for _ in range(8):
            write_shelf(arrays[name], PLAIN, folder, stamp=name)
        return 0

    def read(_: str) -> int:
        opened = 0
        for number in range(200):
            name = ("one", "two")[number % 2]
            try:
                shelf = read_shelf(folder, PLAIN, stamp=name)
            except IndexProblem:
                continue
            opened += 1
            assert _score(shelf) == expected[name]
        return opened

    with ThreadPoolExecutor(3) as pool:
        jobs = [pool.submit(write, "one"), pool.submit(write, "two"), pool.submit(read, "")]
        assert [job.result() for job in jobs][:2] == [0, 0]
    assert _names(tmp_path) == ["shelf"]


def test_who_may_read_the_folder_may_read_the_index(tmp_path: Path) -> None:
    """A store may be shared; nobody should have to build an index of their own at every question."""
    tmp_path.chmod(0o755)
    write_shelf(_arrays("one"), PLAIN, tmp_path / "shelf", stamp="one")
    assert (tmp_path / "shelf").stat().st_mode & 0o777 == 0o755


def test_what_a_killed_build_left_is_swept_away_by_a_later_one(tmp_path: Path) -> None:
    """A folder of a build that may still run is left alone."""
    for name in ("shelf.new-dead", "shelf.old-dead", "shelf.new-busy"):
        (tmp_path / name).mkdir()
        (tmp_path / name / "doc.npy").write_bytes(b"half")
    past = time.time() - LEFT_BEHIND - 60
    for name in ("shelf.new-dead", "shelf.old-dead"):
        os.utime(tmp_path / name, (past, past))
    write_shelf(_arrays("one"), PLAIN, tmp_path / "shelf", stamp="one")
    assert _names(tmp_path) == ["shelf", "shelf.new-busy"]
