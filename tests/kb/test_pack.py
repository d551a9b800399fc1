"""Packs: what is written is read back, what is left out stays out, and what is not whole is refused."""

from __future__ import annotations

import json
import re
import secrets
import zipfile
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import msgspec
import pytest

from kb.desk import Desk
from kb.errors import KbError, NotWritten, UsageProblem
from kb.exchange import archive, packform, packrecords
from kb.exchange.pack import Packs
from kb.exchange.packform import Manifest, as_bytes
from kb.exchange.unpack import PackRefused
from kb.ids import new_id
from kb.model import Content, Revision
from kb.search import Filters
from kb.store import Store
from kb.store.health import examine
from kb.store.merge import Incoming
from tests.conftest import HOSTILE_TOGETHER, Ran
from tests.kb import writers
from tests.kb.packs import picture, rewritten, said

Run = Callable[..., Ran]
TAPE = "thread-tape-in-fuel-fittings"


@pytest.fixture
def shop(tmp_path: Path) -> Store:
    """A store with two findings, one of them changed, by somebody, on an aircraft that is known."""
    store = Store(tmp_path / "north.db")
    first = store.revisions.add(
        Content(airframe="Blue Two", text="blue two: strings", who="kp", shop="North", entries=(TAPE,))
    )
    store.revisions.change(
        [first.finding], lambda latest: msgspec.structs.replace(latest, state="deferred"), said="deferred", who="mm"
    )
    store.revisions.add(Content(airframe="Red", text="rib cracked", place="left of Red 7"))
    store.airframes.change("Blue Two", lambda one: msgspec.structs.replace(one, built=1946, who="kp"))
    return store


@pytest.fixture
def other(tmp_path: Path) -> Store:
    """An empty store of another shop."""
    return Store(tmp_path / "other.db")


def test_a_pack_brings_whole_histories_and_the_aircraft(shop: Store, other: Store, tmp_path: Path) -> None:
    """Nothing lost on the way, not even times and initials."""
    packed = Packs(shop).write(tmp_path / "a.oddpack")
    merged = Packs(other).merge(tmp_path / "a.oddpack")
    assert said(other) == said(shop)
    assert (packed.findings, packed.revisions, packed.airframes) == (2, 3, 1)
    assert (merged.taken.findings, merged.taken.revisions, merged.taken.already) == (2, 3, 0)


def test_merging_twice_changes_nothing(shop: Store, other: Store, tmp_path: Path) -> None:
    """And says that all of it was here."""
    Packs(shop).write(tmp_path / "a.oddpack")
    Packs(other).merge(tmp_path / "a.oddpack")
    before = said(other)
    assert Packs(other).merge(tmp_path / "a.oddpack").taken.already == 4
    assert said(other) == before


def test_counting_first_keeps_nothing(shop: Store, other: Store, tmp_path: Path) -> None:
    """The dry run says the same as the merge."""
    Packs(shop).write(tmp_path / "a.oddpack")
    counted = Packs(other).merge(tmp_path / "a.oddpack", only_count=True)
    assert said(other) == ([], [], [], [])
    assert Packs(other).merge(tmp_path / "a.oddpack") == counted


def test_the_same_records_give_the_same_bytes(shop: Store, tmp_path: Path) -> None:
    """At the same moment; a pack can be compared by its hash."""
    for name in ("a", "b"):
        Packs(Store(shop.path, clock=lambda: datetime(2020, 1, 1, tzinfo=UTC))).write(tmp_path / name)
    assert (tmp_path / "a").read_bytes() == (tmp_path / "b").read_bytes()


def test_photos_travel_and_show_what_they_showed(desk: Desk, other: Store, tmp_path: Path) -> None:
    """Byte for byte, under the same name."""
    finding = desk.findings.add("strings", airframe="Blue")
    shown = desk.photos.add(finding.id, [picture()]).finding.photos
    desk.packs.write(tmp_path / "a.oddpack")
    Packs(other).merge(tmp_path / "a.oddpack")
    assert other.photos.get(shown[0]).body == desk.store.photos.get(shown[0]).body
    assert other.photos.get(shown[0]).thumbnail


def test_what_came_is_found_by_the_next_question(shop: Store, desk: Desk, tmp_path: Path) -> None:
    """Without a new index."""
    desk.search.warm()
    Packs(shop).write(tmp_path / "a.oddpack")
    desk.packs.merge(tmp_path / "a.oddpack")
    assert desk.search.ask("rib cracked", filters=Filters(only="findings")).hits[0].airframe == "Red"


def test_chosen_findings_travel_alone(shop: Store, other: Store, tmp_path: Path) -> None:
    """With their own aircraft only."""
    one = next(row.finding for row in shop.findings.all() if row.finding.airframe == "Red")
    Packs(shop).write(tmp_path / "a.oddpack", findings=[one.id])
    Packs(other).merge(tmp_path / "a.oddpack")
    assert ([row.finding for row in other.findings.all()], other.airframes.all()) == ([one], [])


def test_without_who_no_initials_and_no_shop_travel(shop: Store, other: Store, tmp_path: Path) -> None:
    """Nor in the record of the aircraft."""
    Packs(shop).write(tmp_path / "a.oddpack", without_who=True)
    Packs(other).merge(tmp_path / "a.oddpack")
    assert len(other.revisions.all()) == 3
    assert [one for one in other.revisions.all() if one.who or one.shop] == []
    assert [one for one in other.airframes.all() if one.who or one.shop] == []
    with zipfile.ZipFile(tmp_path / "a.oddpack") as archive:
        assert b"kp" not in b"".join(archive.read(name) for name in archive.namelist())


def test_without_the_aircraft_its_name_is_nowhere(shop: Store, other: Store, tmp_path: Path) -> None:
    """Not in texts, in whatever case; but one aircraft stays one."""
    Packs(shop).write(tmp_path / "a.oddpack", without_airframe=True)
    with zipfile.ZipFile(tmp_path / "a.oddpack") as archive:
        held = b"".join(archive.read(name) for name in archive.namelist()).lower()
    assert b"blue two" not in held
    assert b"red 7" not in held
    Packs(other).merge(tmp_path / "a.oddpack")
    assert len(other.findings.airframes()) == 2
    texts = {row.finding.text.replace(row.finding.airframe, "NAME") for row in other.findings.all()}
    assert texts == {"NAME: strings", "rib cracked"}


def test_what_is_left_out_makes_other_records_so_that_none_says_two_things(
    shop: Store, other: Store, tmp_path: Path
) -> None:
    """The whole pack can follow the one with parts left out."""
    Packs(shop).write(tmp_path / "less.oddpack", without_airframe=True)
    Packs(shop).write(tmp_path / "whole.oddpack")
    Packs(other).merge(tmp_path / "less.oddpack")
    Packs(other).merge(tmp_path / "whole.oddpack")
    assert len(other.findings.all()) == 4
    ids = [one.id for one in other.revisions.all()]
    assert len(set(ids)) == len(ids) == 6


def test_a_pack_with_parts_left_out_is_not_taken_in_where_it_came_from(shop: Store, tmp_path: Path) -> None:
    """Its findings would stand there twice."""
    Packs(shop).write(tmp_path / "less.oddpack", without_who=True)
    with pytest.raises(UsageProblem, match="this very store"):
        Packs(shop).merge(tmp_path / "less.oddpack")


def test_two_shops_that_changed_a_finding_apart_keep_both_words(shop: Store, other: Store, tmp_path: Path) -> None:
    """Named by the merge, settled by a restore that travels back."""
    Packs(shop).write(tmp_path / "a.oddpack")
    Packs(other).merge(tmp_path / "a.oddpack")
    finding = shop.findings.all()[0].finding.id
    for store, text in ((shop, "ours"), (other, "theirs")):
        said_so = msgspec.structs.replace(store.findings.ending(finding)[0], text=text)
        store.revisions.change([finding], lambda _, content=said_so: content, said="revised")  # type: ignore[misc]
    Packs(other).write(tmp_path / "b.oddpack")
    assert Packs(shop).merge(tmp_path / "b.oddpack").taken.conflicts == (finding,)
    chosen = next(head for head in shop.revisions.heads(finding) if head.text == "ours")
    shop.revisions.change([finding], lambda _: chosen, said="restored", joins=True)
    Packs(shop).write(tmp_path / "c.oddpack")
    assert Packs(other).merge(tmp_path / "c.oddpack").taken.conflicts == ()
    assert other.findings.all()[0].finding.text == "ours"


def _by_table(sender: Desk, receiver: Desk, table: Path) -> None:
    sender.exporting.to_jsonl(table, overwrite=True)
    receiver.importing.run(receiver.importing.plan(table))


def test_a_finding_that_came_in_a_table_is_no_conflict_with_its_own_history(desk: Desk, tmp_path: Path) -> None:
    """A table says the latest word alone; what was said before it is settled by it."""
    other = Desk.open(tmp_path / "other.db")
    finding = desk.findings.add("first", airframe="A")
    desk.findings.revise(finding.id, text="second")
    _by_table(desk, other, tmp_path / "all.jsonl")
    desk.findings.revise(finding.id, text="third")
    desk.packs.write(tmp_path / "a.oddpack")
    assert other.packs.merge(tmp_path / "a.oddpack").taken.conflicts == ()
    assert other.history.conflicts() == []
    assert [step.is_head for step in other.history.of(finding.id)] == [False, False, True]
    other.packs.write(tmp_path / "b.oddpack")
    assert desk.packs.merge(tmp_path / "b.oddpack").taken.revisions == 0
    assert other.findings.get(finding.id).text == "third"


def test_a_change_apart_from_what_came_in_a_table_is_a_conflict_still(desk: Desk, tmp_path: Path) -> None:
    """Two words said after it stand side by side."""
    other = Desk.open(tmp_path / "other.db")
    finding = desk.findings.add("first", airframe="A")
    desk.findings.revise(finding.id, text="second")
    _by_table(desk, other, tmp_path / "all.jsonl")
    for shop, text in ((desk, "ours"), (other, "theirs")):
        shop.findings.revise(finding.id, text=text)
    desk.packs.write(tmp_path / "a.oddpack")
    assert other.packs.merge(tmp_path / "a.oddpack").taken.conflicts == (finding.id,)
    assert [found.id for found in other.history.conflicts()] == [finding.id]


def test_photos_that_a_table_named_only_are_told_as_absent(desk: Desk, tmp_path: Path) -> None:
    """Their finding travels on without them; a pack of the shop that has them brings them."""
    other, third = Desk.open(tmp_path / "other.db"), Desk.open(tmp_path / "third.db")
    finding = desk.findings.add("strings", airframe="Blue")
    [shown] = desk.photos.add(finding.id, [picture()]).finding.photos
    _by_table(desk, other, tmp_path / "all.jsonl")
    assert other.packs.write(tmp_path / "b.oddpack").photos == 0
    third.packs.merge(tmp_path / "b.oddpack")
    assert third.packs.read(tmp_path / "b.oddpack").manifest.absent == (shown,)
    desk.packs.write(tmp_path / "a.oddpack")
    assert third.packs.merge(tmp_path / "a.oddpack").taken.photos == 1
    assert other.packs.write(tmp_path / "c.oddpack", without_who=True).photos == 0


def test_an_undo_passes_over_a_merge(shop: Store, desk: Desk, tmp_path: Path) -> None:
    """What came in a pack is nobody's act here."""
    desk.findings.add("own", airframe="Green")
    Packs(shop).write(tmp_path / "a.oddpack")
    desk.packs.merge(tmp_path / "a.oddpack")
    desk.history.undo()
    assert {finding.airframe for finding in desk.findings.all()} == {"Blue Two", "Red"}


def test_a_pack_is_never_written_over_unless_told(shop: Store, tmp_path: Path) -> None:
    """And a place that cannot be written leaves nothing behind."""
    (tmp_path / "a.oddpack").write_text("mine", encoding="utf-8")
    with pytest.raises(UsageProblem, match="there already"):
        Packs(shop).write(tmp_path / "a.oddpack")
    with pytest.raises(NotWritten):
        Packs(shop).write(tmp_path / "no" / "a.oddpack")
    Packs(shop).write(tmp_path / "a.oddpack", overwrite=True)
    assert zipfile.is_zipfile(tmp_path / "a.oddpack")
    assert not list(tmp_path.glob(".*"))


def _pack_there(path: Path) -> None:
    Packs(Store(path)).write(path.parent / "there" / "a.oddpack")


def _merge_there(path: Path) -> None:
    Packs(Store(path)).merge(path.parent / "a.oddpack")


@pytest.fixture
def large(shop: Store) -> Store:
    """The shop with half a megabyte of text that cannot be made smaller."""
    for _ in range(30):
        shop.revisions.add(Content(airframe="A", text=secrets.token_hex(9_000)))
    return shop


def test_a_full_disk_stops_a_pack_with_one_sentence_and_leaves_no_half(large: Store) -> None:
    """Neither its name nor a rest of it, and the store is whole."""
    (large.path.parent / "there").mkdir()
    said = writers.answer(writers.within, 100_000, _pack_there, large.path)
    assert len(said) == 1
    assert "could not be written: file too large; make room" in said[0]
    assert list((large.path.parent / "there").iterdir()) == []
    assert examine(large.path).problems == ()


def test_a_full_disk_stops_a_merge_and_keeps_nothing_of_it(large: Store, other: Store, tmp_path: Path) -> None:
    """All of a pack, or nothing."""
    Packs(large).write(tmp_path / "a.oddpack")
    said = writers.answer(writers.within, 300_000, _merge_there, other.path)
    assert len(said) == 1
    assert "the disk is full" in said[0]
    assert other.revisions.all() == []
    assert examine(other.path).problems == ()


def test_nothing_to_pack_is_said(other: Store, tmp_path: Path) -> None:
    """And no empty file is made."""
    with pytest.raises(UsageProblem, match="no findings to pack"):
        Packs(other).write(tmp_path / "a.oddpack")
    assert not (tmp_path / "a.oddpack").exists()


def _line(change: Callable[[dict[str, Any]], None]) -> Callable[[dict[str, bytes]], None]:
    """Change the first finding's record."""

    def changed(members: dict[str, bytes]) -> None:
        first, *rest = members["findings.jsonl"].splitlines()
        record = json.loads(first)
        change(record)
        members["findings.jsonl"] = b"\n".join([json.dumps(record).encode(), *rest]) + b"\n"

    return changed


def _put(name: str, body: bytes) -> Callable[[dict[str, bytes]], None]:
    return lambda members: members.update({name: body})


def _without(name: str) -> Callable[[dict[str, bytes]], None]:
    def changed(members: dict[str, bytes]) -> None:
        del members[name]

    return changed


SEALED: list[tuple[str, Callable[[dict[str, bytes]], None], str]] = [
    ("a foreign member", _put("notes.txt", b"hello"), "not part of a pack"),
    ("an absolute name", _put("/etc/passwd", b"x"), "not part of a pack"),
    ("an escaping name", _put("photos/../../x.jpg", b"x"), "not part of a pack"),
    ("a backslash", _put("photos\\x.jpg", b"x"), "not part of a pack"),
    ("a folder", _put("photos/", b""), "not part of a pack"),
    ("a pack inside", _put("photos/a.oddpack", b"PK"), "not part of a pack"),
    ("a picture that is none", _put(f"photos/{'0' * 64}.jpg", b"hello"), "photos/0000"),
    ("another picture", _put(f"photos/{'0' * 64}.jpg", picture()), "another picture than its name says"),
    ("a missing member", _without("pages.jsonl"), "has no pages.jsonl"),
    ("half a line", _put("findings.jsonl", b'{"id": '), "ends in half a line"),
    ("no JSON", _put("findings.jsonl", b"hello\n"), "findings.jsonl:1"),
    ("an empty line", _put("findings.jsonl", b"\n"), "findings.jsonl:1"),
    ("half characters", _put("findings.jsonl", b'"\xff"\n'), "findings.jsonl:1"),
    ("deep nesting", _put("findings.jsonl", b"[" * 100_000 + b"\n"), "findings.jsonl:1"),
    ("an unknown field", _line(lambda record: record.update(evil=1)), "unknown field"),
    ("a number as text", _line(lambda record: record.update(text=7)), "Expected `str`"),
    ("an empty text", _line(lambda record: record.update(text="")), "length >= 1"),
    ("a text too long", _line(lambda record: record.update(text="x" * 20_001)), "length <= 20000"),
    ("another state", _line(lambda record: record.update(state="airworthy")), "Invalid enum"),
    ("no id", _line(lambda record: record.update(id="7")), "regex"),
    ("a day that is none", _line(lambda record: record.update(found="tomorrow")), "regex"),
    ("a late id", _line(lambda record: record.update(id="ff" + record["id"][2:])), "made in the future"),
    ("a cut history", _line(lambda record: record.update(previous=new_id()[:-4] + "0000")), "before what it was made"),
    ("an own parent", _line(lambda record: record.update(previous=record["id"])), "before what it was made from"),
    ("a twice told record", lambda m: m.update({"findings.jsonl": m["findings.jsonl"] * 2}), "does not rise by id"),
    (
        "a missing photo",
        _line(lambda record: record.update(photos=["1" * 64])),
        "that findings show are missing",
    ),
]


@pytest.mark.parametrize(("change", "why"), [row[1:] for row in SEALED], ids=[row[0] for row in SEALED])
def test_a_pack_that_holds_what_it_may_not_is_refused_whole(
    shop: Store, other: Store, tmp_path: Path, change: Callable[[dict[str, bytes]], None], why: str
) -> None:
    """Even when its hashes fit."""
    Packs(shop).write(tmp_path / "a.oddpack")
    bad = rewritten(tmp_path / "a.oddpack", tmp_path / "bad.oddpack", change)
    with pytest.raises(PackRefused, match=why):
        Packs(other).merge(bad)
    assert said(other) == ([], [], [], [])


@pytest.mark.parametrize("name", ["findings.jsonl", "airframes.jsonl", "manifest.json"])
def test_a_changed_member_is_noticed(shop: Store, other: Store, tmp_path: Path, name: str) -> None:
    """By its hash, and the manifest by its own."""

    def change(members: dict[str, bytes]) -> None:
        members[name] = members[name].replace(b"Blue", b"Bleu").replace(b'"left_out": []', b'"left_out": ["who"]')
        if name == "manifest.json":
            manifest = msgspec.json.decode(members[name], type=Manifest)
            members[name] = as_bytes(msgspec.structs.replace(manifest, program="other"))

    Packs(shop).write(tmp_path / "a.oddpack")
    bad = rewritten(tmp_path / "a.oddpack", tmp_path / "bad.oddpack", change, is_sealed=False)
    with pytest.raises(PackRefused, match="changed"):
        Packs(other).merge(bad)
    assert said(other) == ([], [], [], [])


def test_a_history_that_is_cut_off_is_refused_unless_the_rest_is_here(
    shop: Store, other: Store, tmp_path: Path
) -> None:
    """The missing half may have come before."""
    Packs(shop).write(tmp_path / "a.oddpack")
    first = next(one for one in shop.revisions.all() if one.state == "deferred").previous

    def cut(members: dict[str, bytes]) -> None:
        lines = members["findings.jsonl"].splitlines(keepends=True)
        members["findings.jsonl"] = b"".join(line for line in lines if json.loads(line)["id"] != first)

    half = rewritten(tmp_path / "a.oddpack", tmp_path / "half.oddpack", cut)
    with pytest.raises(PackRefused, match="is cut off"):
        Packs(other).merge(half)
    other.merge.take(Incoming(revisions=[one for one in shop.revisions.all() if one.id == first]))
    assert Packs(other).merge(half).taken.revisions == 2


def test_a_record_of_the_same_id_that_says_something_else_is_refused(shop: Store, other: Store, tmp_path: Path) -> None:
    """Neither is taken for the true one."""
    Packs(shop).write(tmp_path / "a.oddpack")
    first = shop.revisions.all()[0]
    other.merge.take(Incoming(revisions=[msgspec.structs.replace(first, text="something else")]))
    with pytest.raises(KbError, match="two different revisions carry the id"):
        Packs(other).merge(tmp_path / "a.oddpack")
    assert len(other.revisions.all()) == 1


def test_a_newer_form_is_refused_with_what_to_do(shop: Store, other: Store, tmp_path: Path) -> None:
    """Whatever else stands in its manifest."""
    Packs(shop).write(tmp_path / "a.oddpack")
    bad = rewritten(
        tmp_path / "a.oddpack", tmp_path / "bad.oddpack",
        _put("manifest.json", b'{"pack": "oddfix", "format": 2, "more": {}}'), is_sealed=False,
    )  # fmt: skip
    with pytest.raises(PackRefused, match="update oddfix"):
        Packs(other).merge(bad)


@pytest.mark.parametrize(
    ("make", "why"),
    [
        (lambda path: path.write_bytes(b""), "is no pack"),
        (lambda path: path.write_bytes(b"PK\x03\x04 not really"), "is no pack"),
        (lambda path: path.mkdir(), "cannot be read"),
        (lambda path: None, "cannot be read"),
    ],
    ids=["empty", "half", "folder", "absent"],
)
def test_what_is_no_pack_is_said_in_a_sentence(
    other: Store, tmp_path: Path, make: Callable[[Path], Any], why: str
) -> None:
    """Never a traceback."""
    make(tmp_path / "x.oddpack")
    with pytest.raises(PackRefused, match=why):
        Packs(other).merge(tmp_path / "x.oddpack")


def test_a_bomb_is_refused_before_it_is_unpacked(shop: Store, other: Store, tmp_path: Path) -> None:
    """A few kilobytes that stand for many megabytes."""
    Packs(shop).write(tmp_path / "a.oddpack")
    with zipfile.ZipFile(tmp_path / "a.oddpack") as archive:
        members = {name: archive.read(name) for name in archive.namelist()}
    with zipfile.ZipFile(tmp_path / "bomb.oddpack", "w", zipfile.ZIP_DEFLATED) as archive:
        for name, body in members.items():
            archive.writestr(name, body if name != "findings.jsonl" else b" " * 30_000_000)
    assert (tmp_path / "bomb.oddpack").stat().st_size < 40_000
    with pytest.raises(PackRefused, match="times its size"):
        Packs(other).merge(tmp_path / "bomb.oddpack")


@pytest.mark.parametrize(
    ("limit", "value", "why"),
    [
        ("MOST_MEMBERS", 2, "members, at most"),
        ("MOST_BYTES", 10, "it is larger than"),
        ("MOST_RECORD_BYTES", 10, "is larger than"),
        ("MOST_LINE", 10, "is longer than"),
    ],
)
def test_a_pack_over_a_limit_is_refused(
    shop: Store, other: Store, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, limit: str, value: int, why: str
) -> None:
    """Each limit by itself."""
    Packs(shop).write(tmp_path / "a.oddpack")
    monkeypatch.setattr(packrecords if limit == "MOST_LINE" else archive, limit, value)
    assert getattr(packform, limit) > 1000
    with pytest.raises(PackRefused, match=why):
        Packs(other).merge(tmp_path / "a.oddpack")


def test_a_member_that_is_there_twice_is_refused(shop: Store, other: Store, tmp_path: Path) -> None:
    """Readers of zips differ in which one they take."""
    Packs(shop).write(tmp_path / "a.oddpack")
    with (
        zipfile.ZipFile(tmp_path / "a.oddpack", "a") as archive,
        pytest.warns(UserWarning, match="Duplicate name"),
    ):
        archive.writestr("findings.jsonl", b"")
    with pytest.raises(PackRefused, match="twice"):
        Packs(other).merge(tmp_path / "a.oddpack")


def test_the_commands_pack_and_merge(run_cli: Run, tmp_path: Path) -> None:
    """One shop writes, the other reads; the hash is printed as other tools print theirs."""
    run_cli("add", "--airframe", "A", "--who", "kp", "strings")
    packed = run_cli("pack", str(tmp_path / "a.oddpack"), "--airframe", "a")
    assert packed.exit_code == 0
    assert len(packed.out.split()[0]) == 64
    dry = run_cli("--store", str(tmp_path / "o.db"), "merge", "--dry-run", str(tmp_path / "a.oddpack"))
    assert dry.out.startswith("would come: 1 new finding, 1 revision,")
    merged = run_cli("--store", str(tmp_path / "o.db"), "merge", "--json", str(tmp_path / "a.oddpack"))
    assert merged.data["taken"]["findings"] == 1
    assert run_cli("--store", str(tmp_path / "o.db"), "findings", "--json").data[0]["who"] == "kp"


def test_a_merge_names_the_commands_that_settle_what_was_changed_apart(run_cli: Run, tmp_path: Path) -> None:
    """One for each word, with what it says; the dry run names the finding only."""
    other = ("--store", str(tmp_path / "o.db"))
    added = run_cli("add", "--json", "--airframe", "A", "strings").data["id"][-8:]
    run_cli("pack", str(tmp_path / "a.oddpack"))
    run_cli(*other, "merge", str(tmp_path / "a.oddpack"))
    run_cli("revise", added, "--where", "left wing", "--who", "kp")
    run_cli(*other, "revise", added, "--where", "right wing")
    run_cli("pack", str(tmp_path / "b.oddpack"))
    dry = run_cli(*other, "merge", "--dry-run", str(tmp_path / "b.oddpack"))
    assert f"changed apart, once it is taken in: finding {added}" in dry.out
    merged = run_cli(*other, "merge", str(tmp_path / "b.oddpack"))
    settling = re.findall(rf"oddfix restore {added} (\w{{8}})", merged.out)
    assert len(settling) == 2
    assert "by kp: place: left wing" in merged.out
    assert run_cli(*other, "restore", added, settling[0]).exit_code == 0
    assert run_cli(*other, "history", "--conflicts").exit_code == 1


@pytest.mark.parametrize(
    ("arguments", "code", "said"),
    [
        (("pack", "FILE"), 2, "no findings to pack"),
        (("pack", "FILE", "nope1234"), 1, "no finding is called"),
        (("pack", "FILE", "--airframe", "zz"), 1, "no airframe with findings"),
        (("pack", "FILE", "abcd1234", "--state", "open"), 2, "not both"),
        (("merge", "FILE"), 3, "cannot be read"),
    ],
)
def test_bad_input_to_pack_and_merge_gets_a_sentence(
    run_cli: Run, tmp_path: Path, arguments: tuple[str, ...], code: int, said: str
) -> None:
    """With its exit code, and no file left behind."""
    ran = run_cli(*(str(tmp_path / "x.oddpack") if word == "FILE" else word for word in arguments))
    assert (ran.exit_code, ran.out) == (code, "")
    assert said in ran.err
    assert not (tmp_path / "x.oddpack").exists()


@pytest.mark.parametrize("text", HOSTILE_TOGETHER, ids=["many", "long"])
def test_hostile_text_travels_as_it_is_and_is_shown_tame(run_cli: Run, tmp_path: Path, text: str) -> None:
    """Between two stores and out of the second."""
    added = run_cli("add", "--json", "--airframe", f"H {text[:190]}", f"quibblefish {text}").data
    run_cli("pack", str(tmp_path / "a.oddpack"))
    other = str(tmp_path / "o.db")
    ran = run_cli("--store", other, "merge", str(tmp_path / "a.oddpack"))
    assert ran.exit_code == 0
    assert run_cli("--store", other, "findings", "--json").data[0]["text"] == added["text"]
    for arguments in (("findings",), ("history", added["id"][-8:])):
        shown = run_cli("--store", other, *arguments)
        assert not set("\x1b\x9b\u202e\u2066\x00") & set(shown.out + shown.err)


def test_a_revision_is_what_the_pack_holds(shop: Store, tmp_path: Path) -> None:
    """The documented form: one Revision a line, rising by id."""
    Packs(shop).write(tmp_path / "a.oddpack")
    with zipfile.ZipFile(tmp_path / "a.oddpack") as archive:
        lines = archive.read("findings.jsonl").splitlines()
    assert [msgspec.json.decode(line, type=Revision) for line in lines] == shop.revisions.all()
