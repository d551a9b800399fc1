"""What a camera says of a picture and is worth keeping: how it is turned, and when it was taken. Nothing else is."""

from __future__ import annotations

import re
from datetime import datetime
from typing import TYPE_CHECKING, Any

import msgspec

if TYPE_CHECKING:
    from PIL.Image import Image

_ORIENTATION, _COLOUR_SPACE, _PLACE, _DETAILS = 0x0112, 0xA001, 0x8825, 0x8769
_CHANGED, _TAKEN, _STORED = 0x0132, 0x9003, 0x9004
_ZONES = (0x9010, 0x9011, 0x9012)
"""Tags by number. Source: Exif 2.32, tables of tags, from memory; the tests write and read them."""

_TIME = re.compile(r"\d{4}:\d{2}:\d{2} \d{2}:\d{2}:\d{2}", re.ASCII)
_ZONE = re.compile(r"[+-]\d{2}:\d{2}", re.ASCII)


class Facts(msgspec.Struct, frozen=True):
    """Facts found good: `orientation` 1 to 8, `times` and `zones` by tag as the camera wrote them."""

    orientation: int = 1
    times: dict[int, str] = {}
    zones: dict[int, str] = {}
    colour_space: int | None = None
    has_position: bool = False

    @property
    def taken(self) -> str | None:
        """The camera's own time, ISO 8601 without a zone."""
        found = self.times.get(_TAKEN) or self.times.get(_STORED) or self.times.get(_CHANGED)
        return datetime.strptime(found, "%Y:%m:%d %H:%M:%S").isoformat() if found else None

    def exif(self) -> bytes:
        """Return these facts, without the position, as an Exif block; empty when there are none."""
        from PIL import Image

        exif = Image.Exif()
        if self.orientation != 1:
            exif[_ORIENTATION] = self.orientation
        details: dict[int, Any] = {**self.times, **self.zones}
        if _CHANGED in details:
            exif[_CHANGED] = details.pop(_CHANGED)
        if self.colour_space is not None:
            details[_COLOUR_SPACE] = self.colour_space
        if details:
            exif.get_ifd(_DETAILS).update(details)
            exif[_DETAILS] = exif.get_ifd(_DETAILS)
        return exif.tobytes() if len(exif) else b""


def read_facts(image: Image) -> Facts:
    """Return the facts in an image's Exif block; those that cannot be read, or make no sense, are left out."""
    top, details, place = _tables(image)
    said = {**details, **{tag: top[tag] for tag in (_ORIENTATION, _CHANGED) if tag in top}}
    orientation, colours = said.get(_ORIENTATION), said.get(_COLOUR_SPACE)
    return Facts(
        orientation=orientation if isinstance(orientation, int) and 1 <= orientation <= 8 else 1,
        times={tag: time for tag in (_CHANGED, _TAKEN, _STORED) if (time := _time(said.get(tag)))},
        zones={tag: zone for tag in _ZONES if (zone := _zone(said.get(tag)))},
        colour_space=colours if colours in (1, 0xFFFF) else None,
        has_position=bool(place),
    )


def _tables(image: Image) -> tuple[dict[int, Any], dict[int, Any], bool]:
    try:
        exif = image.getexif()
    except Exception:  # a block that cannot be read says nothing, and is left out with all it holds
        return {}, {}, False
    tables: list[dict[int, Any]] = []
    for number in (_DETAILS, _PLACE):
        try:
            tables.append(dict(exif.get_ifd(number)))
        except Exception:  # as above
            tables.append({})
    return dict(exif), tables[0], bool(tables[1])


def _time(value: Any) -> str | None:
    if not isinstance(value, str) or not _TIME.fullmatch(value := value.strip("\0 ")):
        return None
    try:
        datetime.strptime(value, "%Y:%m:%d %H:%M:%S")
    except ValueError:
        return None
    return value


def _zone(value: Any) -> str | None:
    return value.strip("\0 ") if isinstance(value, str) and _ZONE.fullmatch(value.strip("\0 ")) else None
