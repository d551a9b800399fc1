"""Reads a pack and verifies the whole of it before anything is handed on. What it holds came from somebody else."""

from __future__ import annotations

import stat
from collections.abc import Callable, Iterable, Sequence
from datetime import datetime, timedelta
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import msgspec

from kb.errors import FileRefused
from kb.exchange.packform import (
    FORMAT,
    MANIFEST,
    MOST_BYTES,
    MOST_LINE,
    MOST_MANIFEST_BYTES,
    MOST_MEMBERS,
    MOST_PHOTO_BYTES,
    MOST_RATIO,
    MOST_RECORD_BYTES,
    PHOTO,
    RECORDS,
    Manifest,
    whole_hash,
)
from kb.ids import milliseconds_of
from kb.model import Airframe, OwnPage, Revision
from kb.store.photos import Photo

if TYPE_CHECKING:
    from zipfile import ZipFile, ZipInfo

_Record = TypeVar("_Record", Revision, Airframe, OwnPage)

AHEAD = timedelta(days=1)
"""How far the clock of another shop may be ahead; a later record would stand above every change made here."""


class PackRefused(FileRefused):
    """A pack that is not taken in; nothing of it was kept."""


class Unpacked(msgspec.Struct, frozen=True, kw_only=True):
    """What a verified pack holds; records rise by id."""

    manifest: Manifest
    revisions: Sequence[Revision]
    airframes: Sequence[Airframe]
    pages: Sequence[OwnPage]
    photos: Sequence[Photo]

    def check_with(
        self,
        known_revisions: Callable[[Iterable[str]], dict[str, str]],
        known_photos: Callable[[Iterable[str]], Sequence[str]],
    ) -> None:
        """See that, with what a store holds, every history is whole and every photo is there.

        Args:
            known_revisions: returns those ids that a store holds, with their finding.

        Raises:
            PackRefused: something is missing.
        """
        here = {one.id: one.finding for one in self.revisions}
        named = {name for one in self.revisions for name in _parents(one)}
        known = here | known_revisions(named - here.keys())
        for revision in self.revisions:
            for parent in _parents(revision):
                if known.get(parent) != revision.finding:
                    raise PackRefused(f"the history of finding {revision.finding[-8:]} is cut off: {parent} is missing")
        brought = {photo.sha256 for photo in self.photos}
        missing = {name for one in self.revisions for name in one.photos} - brought
        if absent := missing - set(known_photos(missing)):
            raise PackRefused(f"{len(absent)} photos that findings show are missing, such as {min(absent)[:12]}")


def read_pack(path: Path, *, now: str) -> Unpacked:
    """Return what a pack holds.

    Raises:
        PackRefused: it is no pack, damaged, too large, of a newer form, or holds what no pack may.
    """
    import zlib
    from zipfile import BadZipFile, LargeZipFile, ZipFile

    try:
        with path.open("rb") as file, ZipFile(file) as archive:
            return _read(archive, _checked_names(archive), now)
    except OSError as error:
        raise PackRefused(f"{path} cannot be read ({(error.strerror or str(error)).lower()})") from error
    except PackRefused as error:
        raise PackRefused(f"{path} is refused: {error}; nothing was kept") from None
    except (BadZipFile, LargeZipFile, zlib.error, NotImplementedError, EOFError, RuntimeError, ValueError) as error:
        raise PackRefused(f"{path} is no pack, or is damaged; nothing was kept") from error


def _read(archive: ZipFile, members: dict[str, ZipInfo], now: str) -> Unpacked:
    manifest = _manifest(_body(archive, members[MANIFEST], MOST_MANIFEST_BYTES))
    listed = {member.name: member for member in manifest.members}
    if len(listed) != len(manifest.members) or listed.keys() != members.keys() - {MANIFEST}:
        raise PackRefused("its list of members is not what it holds")
    if manifest.sha256 != whole_hash(manifest):
        raise PackRefused("its list of members was changed")
    bodies = {}
    for name, member in listed.items():
        most = MOST_RECORD_BYTES if name in RECORDS else MOST_PHOTO_BYTES
        bodies[name] = _body(archive, members[name], most)
        if len(bodies[name]) != member.size or sha256(bodies[name]).hexdigest() != member.sha256:
            raise PackRefused(f"{name} was changed or damaged")
    latest = datetime.fromisoformat(now) + AHEAD
    findings, airframes, pages = RECORDS
    return Unpacked(
        manifest=manifest,
        revisions=_histories(_records(bodies[findings], Revision, findings, latest)),
        airframes=_records(bodies[airframes], Airframe, airframes, latest),
        pages=_pages(_records(bodies[pages], OwnPage, pages, latest)),
        photos=[_photo(name, body) for name, body in bodies.items() if name not in RECORDS],
    )


def _checked_names(archive: ZipFile) -> dict[str, ZipInfo]:
    listed = archive.infolist()
    if len(listed) > MOST_MEMBERS:
        raise PackRefused(f"it has {len(listed):,} members, at most {MOST_MEMBERS:,} are read")
    members: dict[str, ZipInfo] = {}
    for about in listed:
        name = about.filename
        if name != about.orig_filename or not (name in (MANIFEST, *RECORDS) or PHOTO.fullmatch(name)):
            raise PackRefused(f"it holds {name[:100]!r}, which is not part of a pack")
        if name in members:
            raise PackRefused(f"it holds {name} twice")
        if about.flag_bits & 0x1 or stat.S_ISLNK(about.external_attr >> 16):
            raise PackRefused(f"{name} is encrypted or a link")
        members[name] = about
    if missing := {MANIFEST, *RECORDS} - members.keys():
        raise PackRefused(f"it has no {min(missing)}")
    if sum(about.file_size for about in listed) > MOST_BYTES:
        raise PackRefused(f"it unpacks to more than {MOST_BYTES:,} bytes")
    return members


def _body(archive: ZipFile, about: ZipInfo, most: int) -> bytes:
    """Return the bytes of a member; its declared size bounds what is unpacked, whatever is in it."""
    if about.file_size > most:
        raise PackRefused(f"{about.filename} is larger than {most:,} bytes")
    if about.file_size > 1_000_000 and about.file_size > MOST_RATIO * max(about.compress_size, 1):
        raise PackRefused(f"{about.filename} unpacks to {MOST_RATIO} times its size or more")
    with archive.open(about) as member:
        return member.read(about.file_size + 1)


def _manifest(body: bytes) -> Manifest:
    class Form(msgspec.Struct):
        pack: str = ""
        format: int = 0

    try:
        form = msgspec.json.decode(body, type=Form)
        if form.pack == "oddfix" and form.format > FORMAT:
            raise PackRefused(f"it is of form {form.format}, newer than this program; update oddfix")
        manifest = msgspec.json.decode(body, type=Manifest)
    except (msgspec.DecodeError, UnicodeDecodeError) as error:
        raise PackRefused(f"its {MANIFEST} cannot be read ({error})") from error
    if manifest.format != FORMAT:
        raise PackRefused(f"it is of form {manifest.format}, which there is not")
    return manifest


def _records(body: bytes, kind: type[_Record], name: str, latest: datetime) -> list[_Record]:
    decoder: Any = msgspec.json.Decoder(kind)
    records: list[_Record] = []
    before = ""
    if body and not body.endswith(b"\n"):
        raise PackRefused(f"{name} ends in half a line")
    for number, line in enumerate(body.split(b"\n")[:-1], start=1):
        if len(line) > MOST_LINE:
            raise PackRefused(f"{name}:{number} is longer than {MOST_LINE:,} bytes")
        try:
            record: _Record = decoder.decode(line)
        except (msgspec.DecodeError, UnicodeDecodeError, RecursionError) as error:
            raise PackRefused(f"{name}:{number} {error}") from error
        if record.id <= before:
            raise PackRefused(f"{name}:{number} does not rise by id")
        if milliseconds_of(record.id) > latest.timestamp() * 1000:
            raise PackRefused(f"{name}:{number} was made in the future; one of the clocks is wrong")
        before = record.id
        records.append(record)
    return records


def _histories(revisions: list[Revision]) -> list[Revision]:
    for revision in revisions:
        if any(parent >= revision.id for parent in _parents(revision)) or revision.finding > revision.id:
            raise PackRefused(f"revision {revision.id} comes before what it was made from")
    return revisions


def _pages(pages: list[OwnPage]) -> list[OwnPage]:
    for page in pages:
        if page.body.id != page.page:
            raise PackRefused(f"page {page.page} holds another page, {page.body.id}")
    return pages


def _photo(name: str, body: bytes) -> Photo:
    from kb.photo_files import NoPhoto, read_photo

    matched = PHOTO.fullmatch(name)
    assert matched is not None  # names were checked
    try:
        photo = read_photo(body, keep_position=True).photo
    except NoPhoto as error:
        raise PackRefused(f"{name} {error}") from error
    if photo.sha256 != matched[1]:
        raise PackRefused(f"{name} holds another picture than its name says")
    return photo


def _parents(revision: Revision) -> tuple[str, ...]:
    return tuple(name for name in (revision.previous, *revision.joins) if name)
