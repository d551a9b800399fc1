"""Writes the zip of a pack: members one after another, each with its hash, the manifest last."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from hashlib import sha256
from typing import TYPE_CHECKING, BinaryIO

import msgspec

from kb.errors import UsageProblem
from kb.exchange.archive import is_too_tight
from kb.exchange.packform import (
    MANIFEST,
    MOST_BYTES,
    MOST_LINE,
    MOST_MEMBERS,
    MOST_PHOTO_BYTES,
    MOST_RECORD_BYTES,
    RATIO_FROM,
    RECORDS,
    SUFFIXES,
    Manifest,
    Member,
    as_bytes,
)
from kb.model import Airframe, OwnPage, Revision
from kb.store.photos import Photo

if TYPE_CHECKING:
    from zipfile import ZipFile

_DOS_EPOCH = (1980, 1, 1, 0, 0, 0)
"""The time of every member, so that the same records give the same bytes."""

_LEVEL = 6
_FEWER = "pack fewer findings at once, such as those of one aircraft"


class Held(msgspec.Struct, frozen=True):
    """What a pack is to hold: records rising by id; photos by SHA-256, each read when it is called.

    `absent` names the photos that findings show and the store has not.
    """

    revisions: Sequence[Revision]
    airframes: Sequence[Airframe]
    pages: Sequence[OwnPage]
    photos: Mapping[str, Callable[[], Photo]]
    absent: tuple[str, ...] = ()


def write_pack(file: BinaryIO, held: Held, manifest_of: Callable[[tuple[Member, ...]], Manifest]) -> Manifest:
    """Write a pack and return its manifest.

    Raises:
        UsageProblem: it is more than a reader takes.
    """
    from zipfile import ZIP_DEFLATED, ZIP_STORED, ZipFile

    most_photos = MOST_MEMBERS - len(RECORDS) - 1
    if len(held.photos) > most_photos:
        raise UsageProblem(f"a pack holds at most {most_photos:,} photos, not {len(held.photos):,}; {_FEWER}")
    with ZipFile(file, "w", allowZip64=False, compresslevel=_LEVEL) as archive:
        members: list[Member] = []
        for name, records in zip(RECORDS, (held.revisions, held.airframes, held.pages), strict=True):
            members.append(_put(archive, name, _lines(records), _method(name, records)))
        for photo in sorted(held.photos):
            kept = held.photos[photo]()
            if len(kept.body) > MOST_PHOTO_BYTES:
                raise UsageProblem(f"photo {photo[:8]} is larger than a pack holds; {_FEWER}, or without photos")
            members.append(_put(archive, f"photos/{photo}.{SUFFIXES[kept.kind]}", [kept.body], ZIP_STORED))
            if file.tell() > MOST_BYTES or sum(member.size for member in members) > MOST_BYTES:
                raise UsageProblem(f"a pack holds at most {MOST_BYTES:,} bytes; {_FEWER}")
        manifest = manifest_of(tuple(members))
        _put(archive, MANIFEST, [as_bytes(manifest)], ZIP_DEFLATED)
    return manifest


def _method(name: str, records: Sequence[msgspec.Struct]) -> int:
    """Return how records are packed: those that deflate so well that a reader would take them for a bomb are not."""
    import zlib
    from zipfile import ZIP_DEFLATED, ZIP_STORED

    size = sum(map(len, _lines(records)))
    if size > MOST_RECORD_BYTES:
        raise UsageProblem(f"a pack holds at most {MOST_RECORD_BYTES:,} bytes of {name}; {_FEWER}")
    if size <= RATIO_FROM:
        return ZIP_DEFLATED
    packing = zlib.compressobj(_LEVEL, zlib.DEFLATED, -zlib.MAX_WBITS)
    packed = sum(len(packing.compress(line)) for line in _lines(records)) + len(packing.flush())
    return ZIP_STORED if is_too_tight(size, packed) else ZIP_DEFLATED


def _lines(records: Sequence[msgspec.Struct]) -> Iterator[bytes]:
    for record in records:
        line = msgspec.json.encode(record) + b"\n"
        if len(line) > MOST_LINE:
            raise UsageProblem(f"one record has more than {MOST_LINE:,} bytes, which no pack holds")
        yield line


def _put(archive: ZipFile, name: str, pieces: Iterable[bytes], method: int) -> Member:
    from zipfile import ZipInfo

    about = ZipInfo(name, _DOS_EPOCH)
    about.compress_type = method
    about.create_system = 3
    about.external_attr = 0o100644 << 16
    digest, size = sha256(), 0
    with archive.open(about, "w") as member:
        for piece in pieces:
            member.write(piece)
            digest.update(piece)
            size += len(piece)
    return Member(name, size, digest.hexdigest())
