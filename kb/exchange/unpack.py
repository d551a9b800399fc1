"""Reads a pack and verifies the whole of it before anything is handed on. What it holds came from somebody else."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import msgspec

from kb.exchange.archive import Archive, hash_of, opened
from kb.exchange.packform import (
    FORMAT,
    MANIFEST,
    PHOTO,
    RECORDS,
    SUFFIXES,
    Counts,
    Manifest,
    PackRefused,
    is_sealed,
)
from kb.exchange.packrecords import PageJudge, airframes_in, pages_in, parents_of, revisions_in
from kb.model import Airframe, OwnPage, Revision
from kb.store.photos import Photo

__all__ = ["Judges", "PackRefused", "Unpacked", "read_pack"]

AHEAD = timedelta(days=1)
"""How far the clock of another shop may be ahead; a later record would stand above every change made here."""


class Judges(msgspec.Struct, frozen=True, kw_only=True):
    """What reading a pack must know of the store that is to take it in.

    `now` is the store's time; `known_photos` returns those photos it has, which are not decoded again; `page` yields
    what keeps a page from standing among the others.
    """

    now: str
    known_photos: Callable[[Iterable[str]], Sequence[str]]
    page: PageJudge


class PackedPhoto(msgspec.Struct, frozen=True):
    """A photo of a pack: its member, and what is known of it but its bytes; nothing when the store has it already."""

    member: str
    facts: dict[str, Any]

    def read(self, archive: Archive) -> Photo:
        """Return the photo.

        Raises:
            PackRefused: the file is not the one that was verified.
        """
        body = archive.body(self.member)
        photo = Photo(body=body, **(self.facts or _facts(self.member, body)))
        if photo.sha256 != _called(self.member):
            raise PackRefused("the pack was changed while it was read; nothing was kept")
        return photo


class Unpacked(msgspec.Struct, frozen=True, kw_only=True):
    """What a verified pack holds; records rise by id.

    `photos` are named by their SHA-256; their bytes stay in the file until they are kept, since together they may be
    larger than the memory. `sha256` is of the file.
    """

    path: Path
    manifest: Manifest
    revisions: Sequence[Revision]
    airframes: Sequence[Airframe]
    pages: Sequence[OwnPage]
    photos: Mapping[str, PackedPhoto]
    sha256: str

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
        named = {name for one in self.revisions for name in parents_of(one)}
        known = here | known_revisions(named - here.keys())
        for revision in self.revisions:
            for parent in parents_of(revision):
                if known.get(parent) != revision.finding:
                    raise PackRefused(f"the history of finding {revision.finding[-8:]} is cut off: {parent} is missing")
        missing = _photos_of(self.revisions) - self.photos.keys() - set(self.manifest.absent)
        if absent := missing - set(known_photos(missing)):
            raise PackRefused(f"{len(absent)} photos that findings show are missing, such as {min(absent)[:12]}")


def read_pack(path: Path, judges: Judges) -> Unpacked:
    """Return what a pack holds.

    Raises:
        PackRefused: it is no pack, damaged, too large, of a newer form, or holds what no pack may.
    """
    try:
        with opened(path) as archive:
            return _read(path, archive, judges)
    except PackRefused as error:
        raise PackRefused(f"{path} is refused: {error}; nothing was kept") from error.__cause__


def _read(path: Path, archive: Archive, judges: Judges) -> Unpacked:
    manifest = _manifest(archive.body(MANIFEST))
    listed = {member.name for member in manifest.members}
    if len(listed) != len(manifest.members) or listed != archive.names() - {MANIFEST}:
        raise PackRefused("its list of members is not what it holds")
    for member in manifest.members:
        archive.verify(member)
    findings, airframes, pages = RECORDS
    latest = datetime.fromisoformat(judges.now) + AHEAD
    unpacked = Unpacked(
        path=path,
        manifest=manifest,
        revisions=list(revisions_in(archive, findings, latest)),
        airframes=list(airframes_in(archive, airframes, latest)),
        pages=list(pages_in(archive, pages, latest, judges.page)),
        photos=_photos(archive, judges.known_photos),
        sha256=hash_of(path),
    )
    _check_sums(unpacked)
    return unpacked


def _manifest(body: bytes) -> Manifest:
    class Form(msgspec.Struct):
        pack: str = ""
        format: int = 0

    try:
        form = msgspec.json.decode(body, type=Form)
        if form.pack == "oddfix" and form.format > FORMAT:
            raise PackRefused(f"it is of form {form.format}, newer than this program; update oddfix")
        manifest = msgspec.json.decode(body, type=Manifest)
    except (msgspec.DecodeError, UnicodeDecodeError, RecursionError) as error:
        raise PackRefused(f"its {MANIFEST} cannot be read ({error})") from error
    if manifest.format != FORMAT:
        raise PackRefused(f"it is of form {manifest.format}, which there is not")
    if not is_sealed(body, manifest.sha256):
        raise PackRefused("its list of members was changed")
    return manifest


def _photos(archive: Archive, known_photos: Callable[[Iterable[str]], Sequence[str]]) -> dict[str, PackedPhoto]:
    names = sorted(name for name in archive.names() if PHOTO.fullmatch(name))
    known = set(known_photos([_called(name) for name in names]))
    found: dict[str, PackedPhoto] = {}
    for name in names:
        photo = _called(name)
        if photo in found:
            raise PackRefused(f"it holds photo {photo[:12]} twice")
        found[photo] = PackedPhoto(name, {} if photo in known else _facts(name, archive.body(name)))
    return found


def _facts(name: str, body: bytes) -> dict[str, Any]:
    """Return what is known of a picture that is decoded whole, but not its bytes."""
    from kb.photo_files import NoPhoto, read_photo

    try:
        photo = read_photo(body, keep_position=True).photo
    except NoPhoto as error:
        raise PackRefused(f"{name} {error}") from error
    if photo.sha256 != _called(name) or SUFFIXES[photo.kind] != name.rpartition(".")[2]:
        raise PackRefused(f"{name} holds another picture than its name says")
    return {field: value for field, value in msgspec.structs.asdict(photo).items() if field != "body"}


def _called(name: str) -> str:
    return name.partition("/")[2].partition(".")[0]


def _check_sums(unpacked: Unpacked) -> None:
    revisions = unpacked.revisions
    counts = Counts(
        findings=len({one.finding for one in revisions}),
        revisions=len(revisions),
        airframes=len(unpacked.airframes),
        pages=len(unpacked.pages),
        photos=len(unpacked.photos),
    )
    if counts != unpacked.manifest.counts:
        raise PackRefused("its counts are not those of what it holds")
    if foreign := unpacked.photos.keys() - _photos_of(revisions):
        raise PackRefused(f"it holds photo {min(foreign)[:12]}, which no finding shows")


def _photos_of(revisions: Collection[Revision]) -> set[str]:
    return {name for one in revisions for name in one.photos}
