"""Packs spoilt at random: refused in a sentence with the store untouched, or taken in with the store whole."""

from __future__ import annotations

import io
import shutil
import sqlite3
import tempfile
import zipfile
from collections.abc import Iterator
from contextlib import closing
from hashlib import sha256
from pathlib import Path
from typing import Any

import msgspec
import pytest
from hypothesis import HealthCheck, event, given, settings
from hypothesis import strategies as st

from kb.desk import Desk
from kb.errors import KbError
from kb.exchange.pack import Packs
from kb.store import Store
from kb.store.health import examine
from tests.kb.packs import Members, counted, members_of, picture
from tests.kb.writers import FOLDER

NAMES = ("manifest.json", "findings.jsonl", "airframes.jsonl", "pages.jsonl", "photo")
PIECES = [
    b"\n",
    b"\0",
    b'"',
    b"{",
    b"]",
    b"-",
    b"9" * 30,
    b"\xff",
    b"\\ud800",
    b"PK\x05\x06",
    b"null",
    b"1e999",
    b"\\n",
]

changes = st.lists(
    st.tuples(
        st.sampled_from(["set", "cut", "double", "put"]),
        st.floats(0, 1),
        st.integers(0, 255),
        st.sampled_from(PIECES),
    ),
    min_size=1,
    max_size=5,
)
values: st.SearchStrategy[Any] = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False) | st.text(max_size=8)
    | st.sampled_from(["2024-02-31", "2024-01-01T00:00:00Z", "0" * 64, "01a22338-e959-765e-b79a-4ac601070070"]),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=4), inner, max_size=2),
    max_leaves=4,
)  # fmt: skip
spoilings = st.one_of(
    st.tuples(st.just("file"), changes),
    st.tuples(st.just("member"), st.sampled_from(NAMES), changes),
    st.tuples(st.just("field"), st.sampled_from(NAMES[:-1]), st.integers(0, 3), st.integers(0, 30), values),
    st.tuples(st.just("swap"), st.sampled_from(NAMES), st.sampled_from(NAMES)),
    st.tuples(st.just("lines"), st.sampled_from(NAMES[1:4]), st.permutations(range(3)), st.integers(0, 3)),
)


@pytest.fixture(scope="module")
def folder() -> Iterator[Path]:
    """A pack with something of everything, and an empty store of another shop to put it in."""
    with tempfile.TemporaryDirectory() as made:
        folder = Path(made)
        desk = Desk.open(folder / "north.db", entries=FOLDER)
        page = desk.store.entries.all()[0]
        desk.store.pages.keep(msgspec.structs.replace(page, id="own-page"))
        desk.airframes.keep("Red", built=1946)
        first = desk.findings.add("rib cracked", airframe="Red", entries=["own-page"], hours=12.5, found="2024-02-03")
        desk.photos.add(first.id, [picture()])
        desk.findings.correct(first.id, action="spliced")
        desk.packs.write(folder / "whole.oddpack")
        Desk.open(folder / "empty.db", entries=FOLDER)
        shutil.copy(folder / "empty.db", folder / "other.db")
        yield folder


def dumped(path: Path) -> str:
    """All that a store holds."""
    with closing(sqlite3.connect(path)) as db:
        return sha256("\n".join(db.iterdump()).encode()).hexdigest()


def mutated(body: bytes, listed: list[tuple[str, float, int, bytes]]) -> bytes:
    """The bytes with some changed, cut, doubled or put in."""
    changed = bytearray(body)
    for kind, where, number, piece in listed:
        place = round(where * max(len(changed) - 1, 0))
        if kind == "set" and changed:
            changed[place] = number
        elif kind == "cut":
            del changed[place : place + number % 30 + 1]
        elif kind == "double":
            changed[place:place] = changed[place : place + number]
        else:
            changed[place:place] = piece
    return bytes(changed)


def sealed(members: Members) -> Members:
    """The members with a manifest that fits them, as far as it can still be read."""
    try:
        manifest = msgspec.json.decode(members["manifest.json"])
        manifest["members"] = [
            {"name": name, "size": len(body), "sha256": sha256(body).hexdigest()}
            for name, body in members.items()
            if name != "manifest.json"
        ]
        manifest["counts"] = counted(members)
        empty = msgspec.json.encode(manifest | {"sha256": ""})
    except (msgspec.DecodeError, UnicodeDecodeError, TypeError):
        return members
    seal = sha256(empty).hexdigest().encode()
    return members | {"manifest.json": empty.replace(b'"sha256":""', b'"sha256":"' + seal + b'"')}


def spoilt(whole: Path, spoiling: tuple[Any, ...]) -> bytes:
    """The bytes of a pack that was spoilt; all but those of the first kind have hashes that fit."""
    kind, *how = spoiling
    if kind == "file":
        return mutated(whole.read_bytes(), *how)
    members = members_of(whole)
    photo = next(name for name in members if name.startswith("photos/"))
    names = [photo if name == "photo" else name for name in how if isinstance(name, str)]
    if kind == "member":
        members[names[0]] = mutated(members[names[0]], how[1])
    elif kind == "swap":
        members[names[0]], members[names[1]] = members[names[1]], members[names[0]]
    elif kind == "lines":
        lines = members[names[0]].splitlines(keepends=True)
        members[names[0]] = b"".join(lines[place] for place in how[1][: how[2]] if place < len(lines))
    else:
        members[names[0]] = _with_field(members[names[0]], *how[1:])
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w") as archive:
        for name, body in sealed(members).items():
            archive.writestr(name, body)
    return made.getvalue()


def _with_field(body: bytes, line: int, field: int, value: Any) -> bytes:
    lines = [body] if body.startswith(b"{\n") else body.splitlines()
    record = msgspec.json.decode(lines[line % len(lines)])
    known = [*record, "previous", "joins", "photos", "minutes", "withdrawn"]
    record[known[field % len(known)]] = value
    lines[line % len(lines)] = msgspec.json.encode(record)
    return b"\n".join(lines) + b"\n"


def try_out(folder: Path, spoiling: tuple[Any, ...]) -> None:
    """Merge a spoilt pack, and see what came of it."""
    path, store = folder / "spoilt.oddpack", folder / "other.db"
    path.write_bytes(spoilt(folder / "whole.oddpack", spoiling))
    before = dumped(store)
    try:
        Packs(Store(store)).merge(path)
    except KbError:
        event("refused")
        assert dumped(store) == before
        return
    event("taken in")
    assert examine(store).problems == ()
    for suffix in ("", "-wal", "-shm"):
        store.with_name(store.name + suffix).unlink(missing_ok=True)
    shutil.copy(folder / "empty.db", store)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=150, deadline=None)
@given(spoiling=spoilings)
def test_a_spoilt_pack_is_refused_whole_or_taken_in_whole(folder: Path, spoiling: tuple[Any, ...]) -> None:
    """No other end, and no half merge."""
    try_out(folder, spoiling)


@pytest.mark.slow
@settings(
    suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=50_000, deadline=None, database=None
)
@given(spoiling=spoilings)
def test_fifty_thousand_spoilt_packs_meet_no_other_error(folder: Path, spoiling: tuple[Any, ...]) -> None:
    """The same for a long run."""
    try_out(folder, spoiling)
