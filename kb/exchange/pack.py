"""Writes packs, and merges what was read from one into the store."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from hashlib import sha256
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import TYPE_CHECKING, Any

import msgspec

from kb.errors import UsageProblem
from kb.exchange.packform import (
    FORMAT,
    MANIFEST,
    RECORDS,
    SUFFIXES,
    Manifest,
    Member,
    Part,
    as_bytes,
    origin_of,
    whole_hash,
)
from kb.exchange.redact import Redactor
from kb.exchange.unpack import Unpacked, read_pack
from kb.exchange.writing import written_whole
from kb.model import Airframe, OwnPage, Revision
from kb.store import Store
from kb.store.merge import Incoming, Taken

if TYPE_CHECKING:
    from zipfile import ZipFile

_DOS_EPOCH = (1980, 1, 1, 0, 0, 0)
"""The time of every member, so that the same records give the same bytes."""


class Packed(msgspec.Struct, frozen=True):
    """What was written: how much of each, what was left out, and the SHA-256 of the whole as the manifest has it."""

    path: str
    findings: int
    revisions: int
    airframes: int
    pages: int
    photos: int
    left_out: tuple[Part, ...]
    sha256: str


class Merged(msgspec.Struct, frozen=True):
    """What a merge brought, or would bring, and what the pack had left out."""

    taken: Taken
    left_out: tuple[Part, ...]
    made: str


class Packs:
    """Swaps findings between shops as files. Merging is a union by id: order and repetition change nothing."""

    def __init__(self, store: Store) -> None:
        self._store = store

    def write(
        self,
        path: Path,
        *,
        findings: Sequence[str] | None = None,
        without_who: bool = False,
        without_airframe: bool = False,
        with_photos: bool | None = None,
        overwrite: bool = False,
    ) -> Packed:
        """Write findings with their whole histories, the shop's pages they are linked to, their aircraft and photos.

        Args:
            findings: ids; all when None, withdrawn ones too, since another shop may hold them still.
            without_who: leave out initials and the name of the shop.
            without_airframe: give each aircraft another name and leave out what is known of it. Its name is taken out
                of the texts; whatever else in them tells who it is stays, so read them before the pack is sent.
            with_photos: photos too; when None, unless the aircraft is left out, since a picture may show its marks.

        Raises:
            UsageProblem: there is nothing to pack, or the file is there already.
            NotWritten: the disk is full or the place cannot be written; nothing is left behind.
        """
        has_photos = not without_airframe if with_photos is None else with_photos
        chosen = {"who": without_who, "airframe": without_airframe, "photos": not has_photos}
        parts: tuple[Part, ...] = tuple(part for part, is_out in chosen.items() if is_out)  # type: ignore[misc]
        revisions = self._store.revisions.all(findings)
        if not revisions:
            raise UsageProblem("there are no findings to pack; oddfix findings lists them")
        redactor = Redactor(parts, self._store.secret() if without_airframe else "")
        said = [redactor.revision(one) for one in revisions]
        airframes = [] if without_airframe else [redactor.record(one) for one in self._airframes(revisions)]
        pages = [redactor.record(one) for one in self._pages(revisions)]
        photos = sorted({name for one in said for name in one.photos})
        with written_whole(path, overwrite=overwrite) as file:
            manifest = self._write(file, (said, airframes, pages), photos, parts)
        return Packed(
            str(path), len({one.finding for one in said}), len(said), len(airframes), len(pages), len(photos), parts,
            manifest.sha256,
        )  # fmt: skip

    def read(self, path: Path) -> Unpacked:
        """Return what a pack holds, verified whole.

        Raises:
            PackRefused: it is no pack, damaged, too large, or holds what no pack may; the sentence says which.
        """
        unpacked = read_pack(path, now=self._store.now())
        if unpacked.manifest.left_out and unpacked.manifest.origin == origin_of(
            self._store.identity(), unpacked.manifest.members
        ):
            raise UsageProblem(
                "this pack came from this very store, with parts left out: its findings would stand here twice"
            )
        return unpacked

    def merge(self, source: Path | Unpacked, *, only_count: bool = False) -> Merged:
        """Take in what a pack holds, in one transaction; with `only_count`, say what would come and keep nothing.

        Raises:
            PackRefused: see read; or its histories and photos are whole neither by themselves nor with this store.
            Clash: a record here has the id of another one in the pack.
        """
        unpacked = self.read(source) if isinstance(source, Path) else source
        unpacked.check_with(self._known_revisions, self._store.photos.known)
        incoming = Incoming(
            revisions=unpacked.revisions, airframes=unpacked.airframes, pages=unpacked.pages, photos=unpacked.photos
        )
        taken = self._store.merge.take(incoming, only_count=only_count)
        return Merged(taken, unpacked.manifest.left_out, unpacked.manifest.made)

    def _known_revisions(self, ids: Iterable[str]) -> dict[str, str]:
        return {name: one.finding for name, one in self._store.revisions.known(ids).items()}

    def _airframes(self, revisions: Iterable[Revision]) -> list[Airframe]:
        named = {one.airframe.casefold() for one in revisions}
        return [one for one in self._store.airframes.all() if one.name.casefold() in named]

    def _pages(self, revisions: Iterable[Revision]) -> list[OwnPage]:
        linked = {page for one in revisions for page in one.entries}
        return [one for one in self._store.pages.all() if one.page in linked]

    def _write(
        self,
        file: object,
        records: tuple[Sequence[Revision], Sequence[Airframe], Sequence[OwnPage]],
        photos: Sequence[str],
        parts: tuple[Part, ...],
    ) -> Manifest:
        from zipfile import ZIP_DEFLATED, ZIP_STORED, ZipFile

        members = []
        with ZipFile(file, "w") as archive:  # type: ignore[call-overload]
            for name, listed in zip(RECORDS, records, strict=True):
                ordered: list[Any] = sorted(listed, key=lambda one: one.id)
                body = b"".join(msgspec.json.encode(one) + b"\n" for one in ordered)
                members.append(_put(archive, name, body, ZIP_DEFLATED))
            for photo in photos:
                kept = self._store.photos.get(photo)
                members.append(_put(archive, f"photos/{photo}.{SUFFIXES[kept.kind]}", kept.body, ZIP_STORED))
            manifest = Manifest(
                format=FORMAT,
                made=self._store.now(),
                program=_program(),
                origin=origin_of(self._store.identity(), tuple(members)),
                left_out=parts,
                members=tuple(members),
            )
            manifest = msgspec.structs.replace(manifest, sha256=whole_hash(manifest))
            _put(archive, MANIFEST, as_bytes(manifest), ZIP_DEFLATED)
        return manifest


def _put(archive: ZipFile, name: str, body: bytes, compression: int) -> Member:
    from zipfile import ZipInfo

    about = ZipInfo(name, _DOS_EPOCH)
    about.compress_type = compression
    about.create_system = 3
    about.external_attr = 0o644 << 16
    archive.writestr(about, body)
    return Member(name, len(body), sha256(body).hexdigest())


def _program() -> str:
    try:
        return version("oddfix")
    except PackageNotFoundError:
        return "unknown"
