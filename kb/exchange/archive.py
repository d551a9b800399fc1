"""Opens the zip of a pack with care: nothing in it is believed before its shape, sizes and hashes have proved good."""

from __future__ import annotations

import stat
import struct
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO

from kb.exchange.packform import (
    MANIFEST,
    MOST_BYTES,
    MOST_DIRECTORY_BYTES,
    MOST_MANIFEST_BYTES,
    MOST_MEMBERS,
    MOST_PHOTO_BYTES,
    MOST_RATIO,
    MOST_RECORD_BYTES,
    PHOTO,
    RATIO_FROM,
    RECORDS,
    Member,
    PackRefused,
)

if TYPE_CHECKING:
    from zipfile import ZipFile, ZipInfo

_END = struct.Struct("<4s4H2LH")
_END_MARK, _LARGE_MARK, _LARGE_LOCATOR = b"PK\x05\x06", b"PK\x06\x07", 20
_HEADER = 30
"""The end of a zip, the mark of one with 64-bit sizes, and the bytes of a header before its name.

Source: PKWARE, "APPNOTE.TXT", sections 4.3.7 and 4.3.14 to 4.3.16, from memory; the tests hold them against zipfile.
"""

_CHUNK = 1 << 20


class Archive:
    """The members of an open pack, by name."""

    def __init__(self, archive: ZipFile) -> None:
        self._archive = archive
        self._members = _members(archive)

    def names(self) -> set[str]:
        """Return the names of the members."""
        return set(self._members)

    def body(self, name: str) -> bytes:
        """Return a member whole."""
        return b"".join(self.chunks(name))

    def chunks(self, name: str) -> Iterator[bytes]:
        """Give a member piece by piece; its declared size, which was found good, bounds what is unpacked."""
        with _plainly(), self._archive.open(self._members[name]) as member:
            while chunk := member.read(_CHUNK):
                yield chunk

    def verify(self, member: Member) -> None:
        """See that a member is what the manifest says.

        Raises:
            PackRefused: its size or its hash is another one.
        """
        digest, size = sha256(), 0
        for chunk in self.chunks(member.name):
            digest.update(chunk)
            size += len(chunk)
        if (size, digest.hexdigest()) != (member.size, member.sha256):
            raise PackRefused(f"{member.name} was changed or damaged")


@contextmanager
def opened(path: Path) -> Iterator[Archive]:
    """Give a pack to read.

    Raises:
        PackRefused: it is no zip, or not of the shape that a pack has.
    """
    from zipfile import ZipFile

    with ExitStack() as files:
        with _plainly():
            if path.exists() and not path.is_file():
                raise PackRefused("it cannot be read, since it is no file")
            file = files.enter_context(path.open("rb"))
            _check_end(file)
            archive = Archive(files.enter_context(ZipFile(file)))
        yield archive


@contextmanager
def _plainly() -> Iterator[None]:
    """Turn whatever is wrong with a zip into one sentence."""
    import zlib
    from zipfile import BadZipFile

    try:
        yield
    except PackRefused:
        raise
    except OSError as error:
        raise PackRefused(f"it cannot be read ({(error.strerror or str(error)).lower()})") from error
    except (BadZipFile, zlib.error, struct.error, EOFError, RuntimeError, ValueError, OverflowError) as error:
        raise PackRefused("it is no pack, or is damaged") from error


def hash_of(path: Path) -> str:
    """Return the SHA-256 of a file."""
    digest = sha256()
    with path.open("rb") as file:
        while chunk := file.read(_CHUNK):
            digest.update(chunk)
    return digest.hexdigest()


def _check_end(file: BinaryIO) -> None:
    """See that the zip fills its file, and that its list of members is not too long to be read at all."""
    from zipfile import BadZipFile

    size = file.seek(0, 2)
    file.seek(max(0, size - _END.size - _LARGE_LOCATOR))
    tail = file.read()
    if not tail[-_END.size :].startswith(_END_MARK):
        raise BadZipFile("no end")
    _, _, _, _, count, length, start, comment = _END.unpack(tail[-_END.size :])
    if size > MOST_BYTES or tail.startswith(_LARGE_MARK):
        raise PackRefused(f"it is larger than {MOST_BYTES:,} bytes")
    if count > MOST_MEMBERS or length > MOST_DIRECTORY_BYTES:
        raise PackRefused(f"it has {count:,} members, at most {MOST_MEMBERS:,} are read")
    if comment or start + length + _END.size != size:
        raise PackRefused("it holds more than its members")
    file.seek(0)


def _members(archive: ZipFile) -> dict[str, ZipInfo]:
    from zipfile import ZIP_DEFLATED, ZIP_STORED

    members: dict[str, ZipInfo] = {}
    for about in archive.infolist():
        name = about.filename
        if name != about.orig_filename or not (name in (MANIFEST, *RECORDS) or PHOTO.fullmatch(name)):
            raise PackRefused(f"it holds {name[:100]!r}, which is not part of a pack")
        if name in members:
            raise PackRefused(f"it holds {name} twice")
        if about.flag_bits & 0x1 or stat.S_IFMT(about.external_attr >> 16) not in (0, stat.S_IFREG):
            raise PackRefused(f"{name} is encrypted or no plain file")
        if about.compress_type not in (ZIP_STORED, ZIP_DEFLATED):
            raise PackRefused(f"{name} is packed in a way that is not read")
        _check_size(about)
        members[name] = about
    if len(members) > MOST_MEMBERS:
        raise PackRefused(f"it has {len(members):,} members, at most {MOST_MEMBERS:,} are read")
    if missing := {MANIFEST, *RECORDS} - members.keys():
        raise PackRefused(f"it has no {min(missing)}")
    if sum(about.file_size for about in members.values()) > MOST_BYTES:
        raise PackRefused(f"it unpacks to more than {MOST_BYTES:,} bytes")
    _check_places(archive, list(members.values()))
    return members


def _check_size(about: ZipInfo) -> None:
    name = about.filename
    most = MOST_MANIFEST_BYTES if name == MANIFEST else MOST_RECORD_BYTES if name in RECORDS else MOST_PHOTO_BYTES
    if about.file_size > most:
        raise PackRefused(f"{name} is larger than {most:,} bytes")
    if is_too_tight(about.file_size, about.compress_size):
        raise PackRefused(f"{name} unpacks to more than {MOST_RATIO} times its size")


def is_too_tight(size: int, packed: int) -> bool:
    """True when so few packed bytes stand for so many that a reader takes the member for a bomb."""
    return size > RATIO_FROM and size > MOST_RATIO * max(packed, 1)


def _check_places(archive: ZipFile, members: list[ZipInfo]) -> None:
    """See that the members stand one behind the other from the beginning: none inside another, nothing before them."""
    free = 0
    for about in sorted(members, key=lambda one: one.header_offset):
        if about.header_offset < free or (not free and about.header_offset):
            raise PackRefused("its members stand one inside another")
        free = about.header_offset + _HEADER + len(about.filename) + about.compress_size
    if free > archive.start_dir:
        raise PackRefused("its members stand one inside another")
