"""Findings go out as CSV and JSON Lines and come back exactly; a file is written whole or not at all."""

from __future__ import annotations

import csv
import io
import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kb.errors import KbError, NotFound, NotWritten, UsageProblem
from kb.exchange.export import Exporting
from kb.exchange.form import FIELDS, cells_of, finding_in, finding_of, guard, unguard
from kb.exchange.importing import Importing
from kb.findings import Findings
from kb.ids import new_id
from kb.model import Content, Finding, Revision
from kb.store import Store
from kb.store.merge import Incoming
from tests.conftest import HOSTILE, Ran
from tests.kb import writers

HARD = "\r\n\0\u2028\u2029\x85\x0b\x0c\x1c\x1e\"',;\t=+-@＝＋－＠\ufeff\x1a é日"
"""Characters at which readers of tables stumble."""

letters = st.characters(codec="utf-8")
texts = st.text(st.one_of(st.sampled_from(HARD), letters), min_size=1, max_size=40)
names = st.none() | texts
days = st.dates().map(lambda day: day.isoformat())
hashes = st.text("0123456789abcdef", min_size=64, max_size=64)
contents = st.builds(
    Content,
    airframe=texts,
    text=texts,
    state=st.sampled_from(["open", "deferred", "corrected"]),
    system=names,
    entries=st.lists(texts, max_size=3).map(tuple),
    place=names,
    found=st.none() | days,
    hours=st.none() | st.floats(0, 1_000_000),
    part=names,
    action=names,
    cause=names,
    minutes=st.none() | st.integers(0, 1_000_000),
    photos=st.lists(hashes, max_size=2).map(tuple),
    who=names,
    shop=names,
)


def _finding(content: Content) -> Finding:
    identifier = new_id()
    fields = {name: getattr(content, name) for name in Content.__struct_fields__}
    moment = "2026-01-01T00:00:00Z"
    return Finding(id=identifier, revision=new_id(), said="revised", created=moment, revised=moment, **fields)


def keep(store: Store, contents: list[Content]) -> list[Finding]:
    """Keep findings that say just this, and return them as the store gives them back."""
    revisions = []
    for content in contents:
        identifier = new_id()
        fields = {name: getattr(content, name) for name in Content.__struct_fields__}
        revisions.append(Revision(id=identifier, finding=identifier, said="added", made=store.now(), **fields))
    store.merge.take(Incoming(revisions=revisions))
    return list(store.findings.each())


@pytest.fixture
def store(tmp_path: Path) -> Store:
    """An empty store."""
    return Store(tmp_path / "shop.db")


@given(contents)
def test_a_finding_in_a_row_of_csv_is_the_same_finding(content: Content) -> None:
    """Whatever its text holds: quotes, line ends, zero bytes, signs of formulas."""
    finding = _finding(content)
    written = io.StringIO(newline="")
    csv.writer(written).writerow(cells_of(finding))
    (cells,) = csv.reader(io.StringIO(written.getvalue(), newline=""))
    assert finding_of(dict(zip(FIELDS, cells, strict=True))) == finding


@given(contents)
def test_a_finding_in_a_line_of_json_is_the_same_finding(content: Content) -> None:
    """And it is one line."""
    finding = _finding(content)
    line = msgspec.json.encode(finding)
    assert b"\n" not in line
    assert finding_in(line.decode()) == finding


@given(texts)
def test_no_cell_begins_as_a_formula_does(text: str) -> None:
    """Behind blanks too; and what was guarded is what it was."""
    assert guard(text).lstrip()[:1] not in set("=+-@＝＋－＠")
    assert guard(text)[0] not in "\t\r\n\0"
    assert unguard(guard(text)) == text


@settings(max_examples=12, deadline=None)
@given(st.lists(contents, min_size=1, max_size=6))
@pytest.mark.parametrize("kind", ["csv", "jsonl"])
def test_an_export_read_into_an_empty_store_gives_the_same_findings(
    kind: str, tmp_path_factory: pytest.TempPathFactory, contents: list[Content]
) -> None:
    """Same ids, revisions and times; and exported again the same file."""
    folder = tmp_path_factory.mktemp("round")
    store, other = Store(folder / "one.db"), Store(folder / "other.db")
    there = keep(store, contents)
    write: dict[str, Callable[..., int]] = {"csv": Exporting(store).to_csv, "jsonl": Exporting(store).to_jsonl}
    first, second = folder / f"first.{kind}", folder / f"second.{kind}"
    assert write[kind](first) == len(contents)
    done = Importing(other).run(Importing(other).plan(first))
    assert (done.new, done.refused) == (len(contents), 0)
    assert list(other.findings.each()) == there
    again: dict[str, Callable[..., int]] = {"csv": Exporting(other).to_csv, "jsonl": Exporting(other).to_jsonl}
    again[kind](second)
    assert second.read_bytes() == first.read_bytes()


def test_rows_are_chosen_by_airframe_state_and_system(store: Store) -> None:
    """Withdrawn ones only when asked for."""
    said = [("A", "open", "fuel"), ("A", "corrected", "oil"), ("B", "open", "fuel"), ("B", "withdrawn", None)]
    keep(store, [Content(airframe=a, text="x", state=s, system=y) for a, s, y in said])  # type: ignore[arg-type]

    def count(**chosen: Any) -> int:
        return Exporting(store).to_csv(io.BytesIO(), **chosen)

    counts = [count(), count(airframe="a"), count(state="open"), count(system="oil"), count(state="withdrawn")]
    assert counts == [3, 2, 2, 1, 1]


def test_the_header_names_every_field(store: Store) -> None:
    """In the order of the record, lines ended as RFC 4180 says."""
    stream = io.BytesIO()
    Exporting(store).to_csv(stream, bom=True)
    assert stream.getvalue() == b"\xef\xbb\xbf" + ",".join(FIELDS).encode() + b"\r\n"


def test_an_unknown_airframe_names_the_nearest(store: Store) -> None:
    """A mistyped name writes no empty file."""
    keep(store, [Content(airframe="High-wing 3", text="x")])
    with pytest.raises(NotFound, match="nearest: High-wing 3"):
        Exporting(store).to_csv(io.BytesIO(), airframe="High-wing 33")


def test_a_file_that_is_there_stays_unless_it_may_go(store: Store, tmp_path: Path) -> None:
    """Neither is anything left beside it."""
    folder = tmp_path / "out"
    folder.mkdir()
    target = folder / "all.csv"
    target.write_text("mine")
    with pytest.raises(UsageProblem, match="is there already"):
        Exporting(store).to_csv(target)
    assert target.read_text() == "mine"
    Exporting(store).to_csv(target, overwrite=True)
    assert target.read_text().startswith("id,revision,")
    assert list(folder.iterdir()) == [target]


def test_a_place_that_cannot_be_written_is_said(store: Store, tmp_path: Path) -> None:
    """A folder that is not there, and a folder in the place of the file."""
    with pytest.raises(NotWritten, match="no such file"):
        Exporting(store).to_csv(tmp_path / "nowhere" / "all.csv")
    with pytest.raises(UsageProblem, match="is a folder"):
        Exporting(store).to_csv(tmp_path)


def test_a_full_disk_leaves_no_half_file(store: Store, tmp_path: Path) -> None:
    """One sentence, what was exported before still there."""
    keep(store, [Content(airframe="A", text="x" * 19_000) for _ in range(30)])
    target = tmp_path / "out" / "all.csv"
    target.parent.mkdir()
    target.write_text("the one before")
    said = writers.answer(writers.within, 200_000, _export_there, tmp_path / "shop.db")
    assert len(said) == 1
    assert "all.csv could not be written: file too large" in said[0]
    assert [file.read_text() for file in target.parent.iterdir()] == ["the one before"]


def _export_there(path: Path) -> None:
    Exporting(Store(path)).to_csv(path.parent / "out" / "all.csv", overwrite=True)


def test_a_large_store_is_never_held_in_memory(store: Store) -> None:
    """Findings are read one by one while they are written."""
    keep(store, [Content(airframe="A", text=str(number)) for number in range(100)])
    store.findings.all = _never  # type: ignore[method-assign]
    reading: Iterator[Finding] = store.findings.each()
    assert next(reading).text == "0"
    assert Exporting(store).to_jsonl(io.BytesIO()) == 100


def _never(**_: Any) -> Any:
    raise AssertionError("read all at once")


def test_the_command_writes_a_file(run_cli: Callable[..., Ran], tmp_path: Path) -> None:
    """CSV or JSON Lines by its name; --json says how many."""
    run_cli("add", "--airframe", "A", "frayed cable")
    for kind in ("csv", "jsonl"):
        ran = run_cli("export", str(tmp_path / f"all.{kind}"), "--json")
        assert ran.data == {"file": str(tmp_path / f"all.{kind}"), "format": kind, "findings": 1}
        assert "frayed cable" in (tmp_path / f"all.{kind}").read_text()
    assert run_cli("export", str(tmp_path / "all.csv")).exit_code == 2
    assert run_cli("export", str(tmp_path / "all.csv"), "--force", "--bom").exit_code == 0


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["all.txt"], "neither in .csv nor in .jsonl"),
        (["all.jsonl", "--bom"], "only a CSV"),
        (["-", "--json"], "export to a file"),
    ],
)
def test_the_command_says_what_it_cannot_do(run_cli: Callable[..., Ran], arguments: list[str], said: str) -> None:
    """With exit code 2."""
    ran = run_cli("export", *arguments)
    assert ran.exit_code == 2
    assert said in ran.err


def test_the_command_writes_to_a_pipe(store_path: Path) -> None:
    """Raw bytes, hostile text as it is, the note apart from it."""
    findings = Findings(Store(store_path))
    kept = [findings.add(text, airframe="A").text for text in HOSTILE]
    command = [sys.executable, "-m", "kb", "export", "-", "--format", "jsonl"]
    environment = os.environ | {"ODDFIX_STORE": str(store_path)}
    ran = subprocess.run(command, env=environment, capture_output=True, check=True)
    read = [msgspec.json.decode(line, type=Finding).text for line in ran.stdout.split(b"\n")[:-1]]
    assert read == kept
    assert b"findings written" in ran.stderr


def test_errors_of_writing_are_ours() -> None:
    """So that commands and screens say them in one sentence."""
    error = NotWritten(Path("x.csv"), "no space left on device")
    assert isinstance(error, KbError)
    assert str(error) == "x.csv could not be written: no space left on device; make room or name another place"
