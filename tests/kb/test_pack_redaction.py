"""What is left out of a pack is nowhere in it, and what is left is still one whole history."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from kb.desk import Desk
from kb.exchange.pack import Packs
from kb.exchange.redact import Hidden, Redactor
from kb.ids import new_id
from kb.model import Content, Revision
from kb.photo_files import read_photo
from kb.store import Store
from tests.conftest import HOSTILE
from tests.kb.packs import members_of, picture, said

TAPE = "thread-tape-in-fuel-fittings"
WORDS = st.text("AbÄ7- ./_*", min_size=1, max_size=6)
TEXTS = st.lists(st.one_of(WORDS, st.text(max_size=8), st.sampled_from(HOSTILE[:10])), max_size=6).map(" ".join)


@pytest.fixture
def shop(tmp_path: Path) -> Store:
    """An empty store."""
    return Store(tmp_path / "north.db")


@pytest.fixture
def other(tmp_path: Path) -> Store:
    """An empty store of another shop."""
    return Store(tmp_path / "other.db")


def held(path: Path) -> str:
    """All that a pack says, as one text."""
    return b"\n".join(members_of(path).values()).decode(errors="replace")


def is_named(name: str, text: str) -> bool:
    """True when a name stands in a text as a whole word, letters' case ignored: the plain way, sign by sign."""
    sought, read = name.lower(), text.lower()
    for start in range(len(read) - len(sought) + 1):
        end = start + len(sought)
        around = read[max(0, start - 1) : start] + read[end : end + 1]
        if read[start:end] == sought and not any(sign.isalnum() for sign in around):
            return True
    return False


@given(name=WORDS.filter(lambda name: name[0].isalnum() and name[-1].isalnum()), text=TEXTS)
def test_a_hidden_name_stands_in_no_text(name: str, text: str) -> None:
    """Whatever is around it."""
    assert not is_named(name, Hidden({name: "<>"}).out_of(f"{text} {name.upper()} {text}"))


@pytest.mark.parametrize("written", ["AB-123", "ab-123", "AB 123", "AB123", "AB/123", "ab_123", "A B 1 2 3"])
def test_a_name_is_found_however_its_parts_are_joined(written: str) -> None:
    """A mark is typed in many ways."""
    for before, behind in (("", ""), ("left wing of ", ", wet"), ("(", ")"), ("_", "_")):
        assert Hidden({"AB-123": "it"}).out_of(f"{before}{written}{behind}") == f"{before}it{behind}"


@pytest.mark.parametrize("written", ["AB-1234", "CAB-123", "AB - - 123", "12 AB", "123 AB"])
def test_a_longer_word_is_not_taken_for_a_name(written: str) -> None:
    """Part numbers stay."""
    assert Hidden({"AB-123": "it"}).out_of(written) == written


def test_names_are_taken_out_all_at_once() -> None:
    """None is found in what stands in the place of another."""
    hidden = Hidden({"Blue": "airframe 1", "Blue Two": "airframe 2", "airframe": "airframe 3"})
    assert hidden.out_of("blue two, blue, airframe") == "airframe 2, airframe 1, airframe 3"


def test_no_aircraft_of_the_shop_is_named_anywhere(desk: Desk, tmp_path: Path) -> None:
    """Not that of the finding, not others, not the one it had before; not in links, causes and own pages."""
    page = desk.library.page(TAPE)
    for name, summary in (("own-tape", "First seen on Blue 2."), ("xy-7-tape", "Said.")):
        desk.store.pages.keep(msgspec.structs.replace(page, id=name, summary=summary))
    desk.airframes.keep("Quite Else", about="of the mayor")
    first = desk.findings.add(
        "tape in XY 7, as in blue-2 and quite else", airframe="XY-7", entries=["own-tape", "xy-7-tape"],
        shop="Blue 2 hangar", who="xy-7",
    )  # fmt: skip
    desk.findings.revise(first.id, airframe="Blue 2", place="left of xy7")
    packed = desk.packs.write(tmp_path / "a.oddpack", without_airframe=True)
    assert (packed.airframes, packed.pages) == (0, 1)
    assert not re.search(r"xy.?7\b|blue.?2|quite|mayor", held(tmp_path / "a.oddpack"), re.IGNORECASE)
    assert "own-tape" in held(tmp_path / "a.oddpack")


def test_a_text_that_grows_too_long_is_cut(shop: Store, other: Store, tmp_path: Path) -> None:
    """So that the pack can be read."""
    shop.revisions.add(Content(airframe="AB", text="AB " * 6_666, place="AB," * 66))
    Packs(shop).write(tmp_path / "a.oddpack", without_airframe=True)
    Packs(other).merge(tmp_path / "a.oddpack")
    [revision] = other.revisions.all()
    assert (len(revision.text), len(revision.place or "")) == (20_000, 200)


def test_another_shop_gives_another_name_and_the_same_shop_the_same(shop: Store, other: Store) -> None:
    """Whoever tries names finds none."""
    mine, theirs = (Redactor(["airframe"], store.secret()) for store in (shop, other))
    assert mine.alias("AB-1") == mine.alias("ab-1") == Redactor(["airframe"], shop.secret()).alias("AB-1")
    assert len({mine.alias("AB-1"), theirs.alias("AB-1"), mine.alias("AB-2")}) == 3


def _with_position() -> bytes:
    exif = Image.Exif()
    exif.get_ifd(0x8825).update({1: "N", 2: (52.0, 30.0, 0.0)})
    exif[0x8825] = exif.get_ifd(0x8825)
    body = io.BytesIO()
    Image.new("RGB", (8, 6), (1, 2, 3)).save(body, "JPEG", exif=exif)
    return body.getvalue()


@pytest.mark.parametrize("part", ["without_who", "without_airframe"])
def test_a_photo_that_goes_along_says_no_place(desk: Desk, other: Store, tmp_path: Path, part: str) -> None:
    """Even if the shop keeps it with its position; the whole pack leaves it as it is."""
    finding = desk.findings.add("strings", airframe="Red")
    kept = desk.photos.add(finding.id, [_with_position()], keep_position=True).finding.photos[0]
    desk.packs.write(tmp_path / "a.oddpack", with_photos=True, **{part: True})  # type: ignore[arg-type]
    Packs(other).merge(tmp_path / "a.oddpack")
    [name] = other.photos.all()
    assert name != kept
    assert other.findings.all()[0].finding.photos == (name,)
    assert not Image.open(io.BytesIO(other.photos.get(name).body)).getexif().get_ifd(0x8825)
    assert Image.open(io.BytesIO(desk.store.photos.get(kept).body)).getexif().get_ifd(0x8825)


def test_a_photo_with_nothing_beside_its_picture_stays_the_same(desk: Desk, tmp_path: Path) -> None:
    """One picture is one photo in every shop."""
    finding = desk.findings.add("strings", airframe="Red")
    desk.photos.add(finding.id, [picture(), picture(kind="PNG")])
    desk.packs.write(tmp_path / "a.oddpack", without_who=True)
    assert (
        sum(name.partition("/")[2][:64] in desk.store.photos.all() for name in members_of(tmp_path / "a.oddpack")) == 2
    )
    assert read_photo(picture()).photo.body == picture()


def test_without_the_aircraft_photos_go_along_only_when_asked_for(desk: Desk, other: Store, tmp_path: Path) -> None:
    """A picture may show its marks; findings then show none."""
    finding = desk.findings.add("strings", airframe="Red")
    desk.photos.add(finding.id, [picture()])
    assert desk.packs.write(tmp_path / "a.oddpack", without_airframe=True).photos == 0
    assert desk.packs.write(tmp_path / "b.oddpack", without_airframe=True, with_photos=True).photos == 1
    assert Packs(other).merge(tmp_path / "a.oddpack").left_out == ("airframe", "photos")
    assert [row.finding.photos for row in other.findings.all()] == [()]


def test_a_name_that_becomes_known_later_makes_no_pack_that_is_refused(
    shop: Store, other: Store, tmp_path: Path
) -> None:
    """What is said otherwise now is another record, and not the same one that says two things."""
    first = shop.revisions.add(Content(airframe="Red", text="rib"))
    shop.revisions.change([first.finding], lambda one: msgspec.structs.replace(one, text="as on Green"), said="revised")
    Packs(shop).write(tmp_path / "a.oddpack", without_airframe=True)
    shop.revisions.add(Content(airframe="Green", text="oil"))
    Packs(shop).write(tmp_path / "b.oddpack", without_airframe=True)
    Packs(other).merge(tmp_path / "a.oddpack")
    assert Packs(other).merge(tmp_path / "b.oddpack").taken.revisions == 2
    assert len(other.revisions.split()) == 1


def _chain(contents: list[Content]) -> Iterator[Revision]:
    before: Revision | None = None
    for content in contents:
        identifier = new_id(after=before.id if before else None)
        before = Revision(
            id=identifier,
            finding=before.finding if before else identifier,
            said="revised" if before else "added",
            made="2026-01-02T03:04:05Z",
            previous=before.id if before else None,
            **{name: getattr(content, name) for name in Content.__struct_fields__},
        )
        yield before


CONTENTS = st.builds(
    Content,
    airframe=WORDS,
    text=TEXTS.map(lambda text: text[:200] or "-"),
    place=st.none() | WORDS,
    who=st.none() | WORDS,
    shop=st.none() | WORDS,
)
PARTS = st.sets(st.sampled_from(["who", "airframe", "photos"]), min_size=1)


@settings(deadline=None)
@given(contents=st.lists(CONTENTS, min_size=1, max_size=5), parts=PARTS, others=st.sets(WORDS, max_size=2))
def test_one_id_means_one_content_and_the_order_stays(contents: list[Content], parts: Any, others: set[str]) -> None:
    """Whatever is left out, in whichever order names become known."""
    whole = list(_chain(contents))
    names = {one.airframe for one in whole}
    seen: dict[str, Revision] = {one.id: one for one in whole}
    for known in (names, names | others):
        less = Redactor(parts, "secret", names=known).revisions(whole)
        assert [one.id[:13] for one in less] == [one.id[:13] for one in whole]
        assert [one.previous for one in less] == [None, *(one.id for one in less[:-1])]
        assert {one.finding for one in less} == {less[0].id}
        assert all(seen.setdefault(one.id, one) == one for one in less)
        assert not {one.id for one in less} & {one.id for one in whole}


def test_what_is_sent_without_who_is_the_same_from_every_shop_that_has_it(
    shop: Store, other: Store, tmp_path: Path
) -> None:
    """A third shop that gets it from both has it once."""
    shop.revisions.add(Content(airframe="Red", text="rib", who="kp", shop="North"))
    Packs(shop).write(tmp_path / "a.oddpack")
    Packs(other).merge(tmp_path / "a.oddpack")
    third = Store(tmp_path / "third.db")
    for number, store in enumerate((shop, other)):
        Packs(store).write(tmp_path / f"{number}.oddpack", without_who=True)
        Packs(third).merge(tmp_path / f"{number}.oddpack")
    assert len(said(third)[0]) == 1
