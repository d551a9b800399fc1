"""The zip of a pack: whatever its bytes claim, it is one of ours or it is refused in a sentence."""

from __future__ import annotations

import os
import struct
import zipfile
from collections.abc import Callable
from datetime import date
from hashlib import sha256
from pathlib import Path
from typing import Any

import msgspec
import pytest

from kb.desk import Desk
from kb.errors import KbError, UsageProblem
from kb.exchange import packing
from kb.exchange.pack import Packs
from kb.exchange.packform import MOST_RATIO, RATIO_FROM, Manifest, PackRefused, as_bytes, sealed
from kb.model import Content, OwnPage
from kb.store import Store
from kb.store.photos import Photo
from tests.kb.packs import Members, members_of, picture, rewritten, said

EMPTY: tuple[list[Any], ...] = ([], [], [], [])
TAPE = "thread-tape-in-fuel-fittings"


@pytest.fixture
def shop(tmp_path: Path) -> Store:
    """A store with a finding that shows a photo."""
    store = Store(tmp_path / "north.db")
    [photo] = store.photos.put([Photo(kind="jpeg", body=picture(), width=8, height=6, thumbnail=picture())])
    store.revisions.add(Content(airframe="Red", text="rib cracked", photos=(photo,)))
    return store


@pytest.fixture
def other(tmp_path: Path) -> Store:
    """An empty store of another shop."""
    return Store(tmp_path / "other.db")


@pytest.fixture
def pack(shop: Store, tmp_path: Path) -> Path:
    """What the shop packs."""
    Packs(shop).write(tmp_path / "a.oddpack")
    return tmp_path / "a.oddpack"


def refused(store: Store, path: Path) -> str:
    """What is said of a pack that is not taken in, of which nothing is kept."""
    before = said(store)
    with pytest.raises(PackRefused) as caught:
        Packs(store).merge(path)
    assert said(store) == before
    return str(caught.value)


def ended(body: bytes, **changed: int) -> bytes:
    """The bytes of a zip whose end says something else."""
    names = ("mark", "disk", "first", "here", "count", "length", "start", "comment")
    values = dict(zip(names, struct.unpack("<4s4H2LH", body[-22:]), strict=True)) | changed
    return body[:-22] + struct.pack("<4s4H2LH", *values.values())


BYTES: list[tuple[str, Callable[[bytes], bytes], str]] = [
    ("something before it", lambda body: b"#!/bin/sh\n" + body, "holds more than its members"),
    ("something behind it", lambda body: body + b"more", "is no pack, or is damaged"),
    ("a comment", lambda body: ended(body, comment=4) + b"note", "is no pack, or is damaged"),
    ("a comment that is not there", lambda body: ended(body, comment=4), "holds more than its members"),
    ("more members than are read", lambda body: ended(body, here=60_000, count=60_000), "60,000 members, at most"),
    ("a list longer than is read", lambda body: ended(body, length=100_000_000), "members, at most"),
    ("64-bit sizes", lambda body: body[:-22] + b"PK\x06\x07" + bytes(16) + body[-22:], "is larger than"),
    ("half of it", lambda body: body[: len(body) // 2], "is no pack, or is damaged"),
    ("another zip inside", lambda body: body + body, "holds more than its members"),
]


@pytest.mark.parametrize(("change", "why"), [row[1:] for row in BYTES], ids=[row[0] for row in BYTES])
def test_a_file_that_is_more_or_less_than_a_zip_of_ours_is_refused(
    pack: Path, other: Store, change: Callable[[bytes], bytes], why: str
) -> None:
    """Before its list of members is read."""
    pack.write_bytes(change(pack.read_bytes()))
    assert why in refused(other, pack)


def _with(pack: Path, name: str, change: Callable[[zipfile.ZipInfo], Any], method: int = zipfile.ZIP_STORED) -> None:
    """Write a pack anew with what is said about one member changed."""
    members = members_of(pack)
    with zipfile.ZipFile(pack, "w") as archive:
        for one, body in members.items():
            about = zipfile.ZipInfo(one)
            if one == name:
                about.compress_type = method
                change(about)
            archive.writestr(about, body)


def test_a_link_is_no_member(pack: Path, other: Store) -> None:
    """It would lead out of the pack wherever it was unpacked."""
    _with(pack, "findings.jsonl", lambda about: setattr(about, "external_attr", 0o120777 << 16))
    assert "no plain file" in refused(other, pack)


def test_only_the_two_plain_ways_of_packing_are_read(pack: Path, other: Store) -> None:
    """Others unpack slowly or into more memory."""
    _with(pack, "findings.jsonl", lambda _: None, zipfile.ZIP_LZMA)
    assert "packed in a way that is not read" in refused(other, pack)


def test_an_encrypted_member_is_refused(pack: Path, other: Store) -> None:
    """Nobody can verify it."""
    body = bytearray(pack.read_bytes())
    directory = body.index(b"PK\x01\x02")
    body[6] |= 1
    body[directory + 8] |= 1
    pack.write_bytes(body)
    assert "encrypted" in refused(other, pack)


def test_members_that_share_bytes_are_refused(pack: Path, other: Store) -> None:
    """A small file could stand for any number of large ones."""
    body = bytearray(pack.read_bytes())
    second = body.index(b"PK\x01\x02", body.index(b"PK\x01\x02") + 4)
    body[second + 42 : second + 46] = bytes(4)  # where its header is: at the first one's
    pack.write_bytes(body)
    assert "one inside another" in refused(other, pack)


@pytest.mark.parametrize("make", [os.mkfifo, Path.mkdir], ids=["pipe", "folder"])
def test_what_is_no_file_is_refused_without_waiting(other: Store, tmp_path: Path, make: Callable[[Path], None]) -> None:
    """A pipe would keep the reader waiting for a writer."""
    make(tmp_path / "x")
    assert "it is no file" in refused(other, tmp_path / "x")


def _line(**changed: Any) -> Callable[[Members], None]:
    def change(members: Members) -> None:
        record = msgspec.json.decode(members["findings.jsonl"])
        members["findings.jsonl"] = msgspec.json.encode(record | changed) + b"\n"

    return change


def _photo(name: str, body: bytes) -> Callable[[Members], None]:
    return lambda members: members.update({f"photos/{sha256(body).hexdigest()}{name}": body})


def _as_png(members: Members) -> None:
    name = next(name for name in members if name.startswith("photos/"))
    members[name.replace(".jpg", ".png")] = members.pop(name)


SEALED: list[tuple[str, Callable[[Members], Any], str]] = [
    ("a day that no calendar has", _line(found="2024-02-31"), "is no day"),
    ("a line feed behind a day", _line(found="2024-02-03\n"), "is no day"),
    ("a time that no clock shows", _line(made="2024-02-03T25:00:00Z"), "is no time"),
    ("a time to come", _line(made="2999-02-03T05:00:00Z"), "made in the future"),
    ("a line feed behind a photo's name", _line(photos=["0" * 64 + "\n"]), "not named as a revision is"),
    ("joins of what was made from none", _line(joins=["01a22338-e959-765e-b79a-4ac601070070"]), "made from none"),
    ("a photo that no finding shows", _photo(".jpg", picture(7)), "which no finding shows"),
    ("a JPEG that is called PNG", _as_png, "another picture than its name says"),
]  # fmt: skip


@pytest.mark.parametrize(("change", "why"), [row[1:] for row in SEALED], ids=[row[0] for row in SEALED])
def test_a_record_that_fits_its_hash_and_nothing_else_is_refused(
    pack: Path, other: Store, tmp_path: Path, change: Callable[[Members], Any], why: str
) -> None:
    """The hashes prove only that nothing was damaged."""
    bad = rewritten(pack, tmp_path / "bad.oddpack", change)
    assert why in refused(other, bad)


def test_an_id_with_a_line_feed_is_refused(pack: Path, other: Store, tmp_path: Path) -> None:
    """It would look like another finding's."""
    identifier = msgspec.json.decode(members_of(pack)["findings.jsonl"])["id"]
    bad = rewritten(pack, tmp_path / "bad.oddpack", _line(id=f"{identifier}\n"))
    assert "is no id" in refused(other, bad)


def test_counts_that_are_not_those_of_the_members_are_refused(pack: Path, other: Store, tmp_path: Path) -> None:
    """They are what a reader is told first."""

    def change(members: Members) -> None:
        manifest = msgspec.json.decode(members["manifest.json"], type=Manifest)
        counts = msgspec.structs.replace(manifest.counts, findings=2)
        members["manifest.json"] = as_bytes(sealed(msgspec.structs.replace(manifest, counts=counts)))

    bad = rewritten(pack, tmp_path / "bad.oddpack", change, is_sealed=False)
    assert "its counts are not those" in refused(other, bad)


def test_a_manifest_that_another_program_wrote_otherwise_is_read(pack: Path, other: Store, tmp_path: Path) -> None:
    """Its hash is over its bytes, in whatever order and with whatever blanks."""

    def change(members: Members) -> None:
        values = dict(reversed(msgspec.json.decode(members["manifest.json"]).items())) | {"sha256": ""}
        empty = msgspec.json.encode(values).replace(b",", b" ,\t")
        seal = sha256(empty).hexdigest().encode()
        members["manifest.json"] = empty.replace(b'"sha256":""', b'"sha256":"' + seal + b'"')

    Packs(other).merge(rewritten(pack, tmp_path / "b.oddpack", change, is_sealed=False))
    assert len(other.photos.all()) == 1


def test_a_pack_that_changes_between_the_look_and_the_merge_brings_nothing(pack: Path, other: Store) -> None:
    """What was verified is what is kept."""
    unpacked = Packs(other).read(pack)
    name = next(name for name in members_of(pack) if name.startswith("photos/"))
    rewritten(pack, pack, lambda members: members.update({name: picture(8)}), is_sealed=False)
    with pytest.raises(PackRefused, match="was changed while it was read"):
        Packs(other).merge(unpacked)
    assert said(other) == EMPTY


def test_a_photo_that_is_here_already_is_not_decoded_again(
    pack: Path, shop: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Its name says that its bytes are the same."""
    monkeypatch.setattr("kb.photo_files.read_photo", None)
    assert Packs(shop).merge(pack).taken.already == 2


def test_texts_that_pack_as_tightly_as_a_bomb_still_travel(shop: Store, other: Store, tmp_path: Path) -> None:
    """They are stored as they are, since a reader would refuse them otherwise."""
    text = "\x01" * 20_000
    for _ in range(RATIO_FROM // 240_000 + 1):
        shop.revisions.add(Content(airframe="Red", text=text, action=text))
    Packs(shop).write(tmp_path / "a.oddpack")
    with zipfile.ZipFile(tmp_path / "a.oddpack") as archive:
        about = archive.getinfo("findings.jsonl")
    assert (about.compress_type, about.file_size > RATIO_FROM) == (zipfile.ZIP_STORED, True)
    Packs(other).merge(tmp_path / "a.oddpack")
    assert said(other) == said(shop)
    assert len(text) * 6 > MOST_RATIO


@pytest.mark.parametrize("limit", ["MOST_RECORD_BYTES", "MOST_LINE", "MOST_MEMBERS", "MOST_BYTES", "MOST_PHOTO_BYTES"])
def test_what_no_reader_takes_is_not_written(
    shop: Store, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, limit: str
) -> None:
    """A sentence, and no file."""
    monkeypatch.setattr(packing, limit, 4)
    with pytest.raises(UsageProblem, match=r"no pack holds|a pack holds"):
        Packs(shop).write(tmp_path / "a.oddpack")
    assert not list(tmp_path.glob("*oddpack")) + list(tmp_path.glob("*.new"))


def test_withdrawn_findings_of_an_aircraft_travel_with_the_others(shop: Store, other: Store, tmp_path: Path) -> None:
    """Other shops learn of it; a state that is named leaves them out."""
    gone = shop.revisions.add(Content(airframe="Red", text="no fault", state="withdrawn"))
    shop.revisions.add(Content(airframe="Green", text="oil"))
    assert Packs(shop).write(tmp_path / "all", airframe="red").findings == 2
    assert Packs(shop).write(tmp_path / "open", airframe="red", state="open").findings == 1
    assert Packs(shop).write(tmp_path / "one", findings=[gone.id[-8:]]).findings == 1
    with pytest.raises(KbError, match="not both"):
        Packs(shop).write(tmp_path / "none", findings=[gone.id], airframe="red")


def _own(desk: Desk, **changed: Any) -> OwnPage:
    page = desk.library.page(TAPE)
    return desk.store.pages.keep(msgspec.structs.replace(page, **{"id": "own-tape", **changed}), who="kp")


def test_the_shops_own_pages_travel_with_their_history_and_what_they_lead_to(
    desk: Desk, other: Store, tmp_path: Path
) -> None:
    """A page that no finding leads to stays."""
    _own(desk, id="own-second")
    _own(desk, id="own-third")
    _own(desk)
    _own(desk, summary="Said better.", withdrawn=date(2026, 1, 2), replaced_by="own-second")
    desk.findings.add("strings", airframe="Red", entries=["own-tape"])
    assert desk.packs.write(tmp_path / "a.oddpack").pages == 3
    Packs(other).merge(tmp_path / "a.oddpack")
    assert {page.page for page in other.pages.all()} == {"own-tape", "own-second"}
    assert all(page in desk.store.pages.all() for page in other.pages.all())
    assert other.pages.latest()[-1].body.summary == "Said better."


@pytest.mark.parametrize(
    ("changed", "why"),
    [
        ({"system": "hydraulics-of-tomorrow"}, "is no system that is known here"),
        ({"limits": ("limit-of-tomorrow",)}, "is none of the limits there are"),
        ({"signs": ()}, "signs"),
    ],
    ids=["system", "limit", "signs"],
)
def test_a_page_that_could_not_stand_among_the_others_is_refused(
    desk: Desk, tmp_path: Path, store_path: Path, changed: dict[str, Any], why: str
) -> None:
    """Pages are read by everything that weighs and shows; a broken one would stop it."""
    other = Desk.open(tmp_path / "other.db")
    _own(desk, **changed)
    desk.findings.add("strings", airframe="Red", entries=["own-tape"])
    desk.packs.write(tmp_path / "a.oddpack")
    with pytest.raises(PackRefused, match=why):
        other.packs.merge(tmp_path / "a.oddpack")
    assert said(other.store) == EMPTY
