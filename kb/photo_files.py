"""Reads a picture file by its content: what it is, whether it is whole, and the picture without what tells a place.

Pure: bytes in, a Photo out. The pixels of a JPEG or PNG are never compressed again: parts of the file are left out.
"""

from __future__ import annotations

import warnings
from hashlib import sha256
from io import BytesIO
from typing import TYPE_CHECKING, Literal

import msgspec

from kb.photo_facts import Facts, read_facts
from kb.photo_parts import Broken, Stripped, jpeg_size, png_size, strip_jpeg, strip_png
from kb.store.photos import Photo

if TYPE_CHECKING:
    from PIL.Image import Image

Kind = Literal["jpeg", "png", "heic"]

MOST_BYTES = 20_000_000
MOST_PIXELS = 60_000_000
"""Above what a telephone makes by itself; decoded it takes some 200 MB. Chosen."""

THUMBNAIL = 320
"""Pixels of a thumbnail on its long side."""

HEIC_QUALITY = 95
"""Of the JPEG that a HEIC picture is kept as: its own form cannot be rid of its position without a new picture."""

_HEIC_BRANDS = {b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1"}
"""Major brands of HEIC. Source: ISO/IEC 23008-12, annex B, from memory; the decoder has the last word."""


_TURNS = {
    2: "FLIP_LEFT_RIGHT",
    3: "ROTATE_180",
    4: "FLIP_TOP_BOTTOM",
    5: "TRANSPOSE",
    6: "ROTATE_270",
    7: "TRANSVERSE",
    8: "ROTATE_90",
}
"""How a picture of each orientation is turned to be seen. Source: Exif 2.32, tag Orientation, from memory."""


class NoPhoto(ValueError):
    """The bytes are no picture that is kept; the text goes on from the file's name."""


class ReadPhoto(msgspec.Struct, frozen=True):
    """A picture ready to be kept, and what was done to it in words."""

    photo: Photo
    notes: tuple[str, ...]


def read_photo(body: bytes, *, name: str | None = None, keep_position: bool = False) -> ReadPhoto:
    """Return the picture in a file's bytes.

    Args:
        body: the file whole; JPEG, PNG or HEIC whatever its name says.
        name: the file's name, kept as it is.
        keep_position: keep the bytes as they are, with the position and all else that stands in them.

    Raises:
        NoPhoto: it is something else, damaged, cut short or too large.
    """
    if not body:
        raise NoPhoto("is empty")
    if len(body) > MOST_BYTES:
        raise NoPhoto(f"has {len(body) / 1e6:.1f} MB, at most {MOST_BYTES // 1_000_000} MB are kept")
    kind = kind_of(body)
    if kind is None:
        raise NoPhoto("is no JPEG, PNG or HEIC picture by its content")
    try:
        with warnings.catch_warnings(action="ignore"):  # of odd parts; what matters of them is an error here
            return _read_heic(body, name, keep_position) if kind == "heic" else _read(body, kind, name, keep_position)
    except Broken as error:
        raise NoPhoto(str(error)) from error


def kind_of(body: bytes) -> Kind | None:
    """Return what a file is by its first bytes, or None."""
    if body.startswith(b"\xff\xd8\xff"):
        return "jpeg"
    if body.startswith(b"\x89PNG\r\n\x1a\n"):
        return "png"
    return "heic" if body[4:8] == b"ftyp" and body[8:12] in _HEIC_BRANDS else None


def read_thumbnail(body: bytes) -> Image:
    """Return a thumbnail decoded; it may have come from elsewhere.

    Raises:
        NoPhoto: it is no whole JPEG, or larger than a thumbnail is.
    """
    try:
        size = jpeg_size(body)
    except Broken as error:
        raise NoPhoto(str(error)) from error
    if max(size) > THUMBNAIL:
        raise NoPhoto(f"is larger than {THUMBNAIL} pixels")
    with warnings.catch_warnings(action="ignore"):
        return _decoded(body, "jpeg").convert("RGB")


def _read(body: bytes, kind: Literal["jpeg", "png"], name: str | None, keep_position: bool) -> ReadPhoto:
    _check_size((jpeg_size if kind == "jpeg" else png_size)(body))
    image = _decoded(body, kind)
    facts = read_facts(image)
    notes: tuple[str, ...] = ()
    if not keep_position:
        stripped = (strip_jpeg if kind == "jpeg" else strip_png)(body, facts.exif())
        before = _pixels(image)
        del image  # a large picture is in memory once only
        image = _decoded(stripped.body, kind)
        if _pixels(image) != before:  # what is kept replaces the file for good, so it must prove to be the same
            raise NoPhoto("is built so that its position cannot be left out without harm to the picture")
        body, notes = stripped.body, _left_out(stripped, has_position=facts.has_position)
    return ReadPhoto(_photo(body, kind, image, facts, name), notes)


def _read_heic(body: bytes, name: str | None, keep_position: bool) -> ReadPhoto:
    import pillow_heif

    try:
        opened = pillow_heif.open_heif(BytesIO(body))
        _check_size(opened.size)
        image = opened.to_pillow()  # turned already, as the file says
    except (NoPhoto, MemoryError):
        raise
    except Exception as error:  # a decoder of damaged bytes raises almost anything
        raise NoPhoto("is damaged or cut short: it cannot be decoded whole") from error
    facts = msgspec.structs.replace(read_facts(image), orientation=1)
    if keep_position:
        return ReadPhoto(_photo(body, "heic", image, facts, name), ())
    file = BytesIO()
    profile = image.info.get("icc_profile")
    plain = image.convert("RGB")
    plain.info.clear()
    plain.save(file, "JPEG", quality=HEIC_QUALITY, subsampling=0, icc_profile=profile, exif=facts.exif())
    note = f"kept as JPEG of quality {HEIC_QUALITY}, without what else the HEIC file held"
    return ReadPhoto(_photo(file.getvalue(), "jpeg", plain, facts, name), (note,))


def _check_size(size: tuple[int, int]) -> None:
    width, height = size
    if width * height > MOST_PIXELS:
        raise NoPhoto(f"has {width} x {height} pixels, at most {MOST_PIXELS // 1_000_000} million are kept")


def _decoded(body: bytes, kind: str) -> Image:
    from PIL import Image

    try:
        image = Image.open(BytesIO(body), formats=[kind.upper()])  # no other decoder is let near the bytes
        image.load()
    except MemoryError:
        raise
    except Exception as error:  # a decoder of damaged bytes raises almost anything
        raise NoPhoto("is damaged or cut short: it cannot be decoded whole") from error
    return image


def _pixels(image: Image) -> tuple[str, tuple[int, int], bytes]:
    return image.mode, image.size, sha256(image.tobytes()).digest()


def _photo(body: bytes, kind: str, image: Image, facts: Facts, name: str | None) -> Photo:
    width, height = image.size
    if facts.orientation > 4:
        width, height = height, width
    name = (name or "").encode("utf-8", "replace").decode()[:200] or None
    thumbnail = _thumbnail(image, facts.orientation)
    return Photo(kind=kind, body=body, width=width, height=height, thumbnail=thumbnail, taken=facts.taken, name=name)


def _thumbnail(image: Image, orientation: int) -> bytes:
    from PIL import Image as Images

    if image.mode.startswith("I"):  # 16 bits of grey
        image = image.convert("I").point(lambda value: value / 256).convert("L")
    if image.mode in ("P", "LA", "PA") or "transparency" in image.info:
        image = image.convert("RGBA")
    if image.mode == "RGBA":
        image = Images.alpha_composite(Images.new("RGBA", image.size, "white"), image)
    small = image if image.mode == "RGB" else image.convert("RGB")
    small.thumbnail((THUMBNAIL, THUMBNAIL))
    if orientation in _TURNS:
        small = small.transpose(Images.Transpose[_TURNS[orientation]])
    small.info.clear()
    file = BytesIO()
    small.save(file, "JPEG", quality=80)
    return file.getvalue()


def _left_out(stripped: Stripped, *, has_position: bool) -> tuple[str, ...]:
    out = ["position"] if has_position else []
    out += stripped.left_out
    if stripped.behind:
        out.append(f"{stripped.behind:,} bytes behind the picture")
    return (f"left out: {', '.join(out)}",) if out else ()
