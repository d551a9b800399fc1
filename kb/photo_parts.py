"""Walks the parts of JPEG and PNG files and leaves out those that are not the picture. Pure: bytes in, bytes out.

What stays is named here, so that a part nobody has thought of is left out. Sources, from memory: ITU-T T.81, annex B
(JPEG); PNG specification, 3rd edition, sections 5 and 11; APP1, APP2 and APP14 by their own documents.
"""

from __future__ import annotations

import struct
import zlib
from collections.abc import Iterator

import msgspec

MOST_SCANS = 100
"""Passes of a progressive JPEG: cameras make some ten; thousands would keep the decoder busy for minutes. Chosen."""

_SOF = {0xC0, 0xC1, 0xC2, 0xC3, 0xC5, 0xC6, 0xC7, 0xC9, 0xCA, 0xCB, 0xCD, 0xCE, 0xCF}
_SOS, _EOI, _DNL = 0xDA, 0xD9, 0xDC
_TABLES = {0xC4, 0xCC, 0xDB, 0xDD, _DNL}
_APP0, _COM = 0xE0, 0xFE
_PICTURE_CHUNKS = {
    *(b"IHDR", b"PLTE", b"IDAT", b"IEND", b"tRNS"),
    *(b"gAMA", b"cHRM", b"sRGB", b"iCCP", b"sBIT", b"cICP", b"pHYs", b"bKGD"),
}
_TEXT_CHUNKS = {b"tEXt", b"zTXt", b"iTXt"}
_EXIF = b"Exif\0\0"


class Broken(ValueError):
    """The parts do not fit together; the text goes on from the file's name."""


class Stripped(msgspec.Struct, frozen=True):
    """A file without what was left out, that in words, and how many bytes stood behind the picture."""

    body: bytes
    left_out: tuple[str, ...]
    behind: int


class _Part(msgspec.Struct, frozen=True):
    """One segment with its marker, or one chunk with its type; `data` without frame, `raw` with it."""

    kind: int
    data: bytes
    raw: bytes


def jpeg_size(body: bytes) -> tuple[int, int]:
    """Return width and height in pixels as the frame header says."""
    frames = [part for part in _segments(body)[0] if part.kind in _SOF]
    if len(frames) != 1 or len(frames[0].data) < 6:
        raise Broken("is damaged: it has no picture or several")
    height, width = struct.unpack(">HH", frames[0].data[1:5])
    if not width or not height:
        raise Broken("is damaged: it says that it has no pixels")
    return width, height


def strip_jpeg(body: bytes, exif: bytes) -> Stripped:
    """Return a JPEG of the same pixels with `exif` (empty for none) as all that is said of it."""
    parts, end = _segments(body)
    kept, out = [b"\xff\xd8"], []
    said = [_segment(0xE1, exif)] if exif else []
    for part in parts:
        if part.kind == _APP0 and part.data.startswith(b"JFIF\0") and len(part.data) >= 14 and len(kept) == 1:
            kept.append(_segment(_APP0, part.data[:12] + b"\0\0"))  # without the thumbnail it may hold
        elif _is_picture(part):
            kept += [*said, part.raw]
            said = []
        else:
            out.append(_named(part))
    return Stripped(b"".join(kept), tuple(dict.fromkeys(filter(None, out))), len(body) - end)


def png_size(body: bytes) -> tuple[int, int]:
    """Return width and height in pixels as the header says."""
    width, height = struct.unpack(">II", _chunks(body)[0][0][1][:8])
    if not width or not height:
        raise Broken("is damaged: it says that it has no pixels")
    return width, height


def strip_png(body: bytes, exif: bytes) -> Stripped:
    """Return a PNG of the same pixels with `exif` (empty for none) as all that is said of it."""
    chunks, end = _chunks(body)
    kept, out = [body[:8]], []
    for kind, data in chunks:
        if kind in _PICTURE_CHUNKS:
            kept.append(_chunk(kind, data))
            if kind == b"IHDR" and exif:
                kept.append(_chunk(b"eXIf", exif.removeprefix(_EXIF)))
        elif kind != b"eXIf":
            out.append("texts" if kind in _TEXT_CHUNKS else "other parts")
    return Stripped(b"".join(kept), tuple(dict.fromkeys(out)), len(body) - end)


def _segments(body: bytes) -> tuple[list[_Part], int]:
    """Return the segments behind the start of a JPEG, each scan with its coded data, and where the file ends."""
    parts = list(_walk(body))
    if sum(part.kind == _SOS for part in parts) > MOST_SCANS:
        raise Broken(f"is built of more than {MOST_SCANS} passes, which no camera makes")
    return parts, 2 + sum(len(part.raw) for part in parts)


def _walk(body: bytes) -> Iterator[_Part]:
    at = 2
    while True:
        start = at
        if body[at : at + 1] != b"\xff":
            raise Broken("is damaged or cut short: its parts do not follow one another")
        while body[at : at + 1] == b"\xff":  # fill bytes may stand before a marker
            at += 1
        kind = body[at] if at < len(body) else 0
        if kind == _EOI:
            yield _Part(kind, b"", body[start : at + 1])
            return
        length = int.from_bytes(body[at + 1 : at + 3], "big")
        stop = at + 1 + length
        if not 0xC0 <= kind <= 0xFE or 0xD0 <= kind <= 0xD8 or length < 2 or stop > len(body):
            raise Broken("is damaged or cut short: its parts do not follow one another")
        data = body[at + 3 : stop]
        at = _end_of_coded(body, stop) if kind == _SOS else stop
        yield _Part(kind, data, body[start:at])


def _end_of_coded(body: bytes, at: int) -> int:
    # A marker ends the coded data; 0xFF followed by zero is data, and restart markers belong to it.
    while (at := body.find(b"\xff", at)) >= 0:
        after = body[at + 1] if at + 1 < len(body) else None
        if after is None:
            break
        if after == 0xFF:
            at += 1
        elif after == 0 or 0xD0 <= after <= 0xD7:
            at += 2
        else:
            return at
    raise Broken("is cut short: its end is missing")


def _is_picture(part: _Part) -> bool:
    if part.kind == 0xE2:
        return part.data.startswith(b"ICC_PROFILE\0")
    if part.kind == 0xEE:
        return part.data.startswith(b"Adobe")
    return part.kind in _SOF or part.kind in _TABLES or part.kind in (_SOS, _EOI)


def _named(part: _Part) -> str:
    if part.kind == 0xE1:
        # What the camera said of the picture is written anew; the rest of it goes without a word.
        return "" if part.data.startswith(_EXIF) else "XMP"
    return {_APP0: "", _COM: "comments", 0xED: "captions"}.get(part.kind, "other parts")


def _segment(kind: int, data: bytes) -> bytes:
    return bytes((0xFF, kind)) + (len(data) + 2).to_bytes(2, "big") + data


def _chunks(body: bytes) -> tuple[list[tuple[bytes, bytes]], int]:
    """Return the chunks of a PNG and where the file ends."""
    chunks: list[tuple[bytes, bytes]] = []
    at = 8
    while not chunks or chunks[-1][0] != b"IEND":
        length, kind, data = int.from_bytes(body[at : at + 4], "big"), body[at + 4 : at + 8], b""
        stop = at + 12 + length
        if stop > len(body):
            raise Broken("is cut short: its end is missing")
        data = body[at + 8 : stop - 4]
        if zlib.crc32(kind + data) != int.from_bytes(body[stop - 4 : stop], "big"):
            raise Broken("is damaged: a check sum does not fit")
        if (kind == b"IHDR") != (not chunks) or (kind == b"IHDR" and length != 13):
            raise Broken("is damaged: its header is not where it belongs")
        chunks.append((kind, data))
        at = stop
    return chunks, at


def _chunk(kind: bytes, data: bytes) -> bytes:
    return len(data).to_bytes(4, "big") + kind + data + zlib.crc32(kind + data).to_bytes(4, "big")
