"""Photos of findings: reads files in, shows, writes out; what a picture file may hold is kb.photo_files' business."""

from __future__ import annotations

import os
import re
import stat
from collections.abc import Sequence
from pathlib import Path

import msgspec

from kb.errors import NotFound, PhotosRefused, UsageProblem
from kb.findings import Findings
from kb.model import Finding
from kb.photo_files import MOST_BYTES, NoPhoto, ReadPhoto, read_photo, read_thumbnail
from kb.store import Store
from kb.store.photos import AboutPhoto, Photo

MOST_AT_ONCE = 50
"""Files of one act: all of them are in memory until the last one has proved good. Chosen."""

_SUFFIXES = {"jpeg": ".jpg", "png": ".png", "heic": ".heic"}

Cell = tuple[str, str]
"""Two colours, #rrggbb: of the upper and of the lower half of a character cell."""


class Added(msgspec.Struct, frozen=True):
    """What came of adding: the finding as it is now, its new photos, and what is to be said of each file."""

    finding: Finding
    photos: tuple[AboutPhoto, ...]
    notes: tuple[str, ...]


class Photos:
    """The photos of the shop's findings. Bytes once kept stay; which photos a finding shows is in its revisions."""

    def __init__(self, store: Store) -> None:
        self._store = store
        self._findings = Findings(store)

    def add(
        self,
        finding: str,
        files: Sequence[Path | str | bytes],
        *,
        keep_position: bool = False,
        who: str | None = None,
    ) -> Added:
        """Keep pictures, files or their bytes, and let the finding show them: all of them, or none.

        The position is left out, with all else a file says beside the picture, how it is turned and when it was
        taken; `keep_position` keeps each file as it is.

        Raises:
            NotFound: there is no such finding.
            PhotosRefused: some are no pictures, damaged or too large; it names each of them.
        """
        before = self._findings.get(finding)
        if not 0 < len(files) <= MOST_AT_ONCE:
            raise UsageProblem(f"name 1 to {MOST_AT_ONCE} pictures at once, not {len(files)}")
        read, bad = _read_all(files, keep_position)
        if bad:
            raise PhotosRefused(bad, len(files))
        names = self._store.photos.put(one.photo for _, one in read)
        notes = [f"{called}: {note}" for called, one in read for note in one.notes]
        notes += [f"{called}: shown already" for called, one in read if one.photo.sha256 in before.photos]
        new = [name for name in names if name not in before.photos]
        after = self._findings.show_photos(before.id, new, who=who) if new else before
        return Added(after, tuple(self._store.photos.about(new)), tuple(notes))

    def list(self, finding: str) -> Sequence[AboutPhoto]:
        """Return what is known of the photos of a finding, in its order."""
        return self._store.photos.about(self._findings.get(finding).photos)

    def get(self, name: str) -> Photo:
        """Return a photo by its name or the first four characters of it, or more.

        Raises:
            NotFound: there is none, or more than one.
        """
        return self._store.photos.get(name)

    def about(self, name: str) -> AboutPhoto:
        """Return what is known of a photo by its name or the beginning of it; see get."""
        return self._store.photos.about([self.get(name).sha256])[0]

    def save(self, name: str, where: Path) -> Path:
        """Write a photo to a folder, under a safe name, or to a file that is not there yet; return the file.

        Raises:
            UsageProblem: the file is there already, or cannot be written.
        """
        photo = self.get(name)
        path = where / safe_name(photo) if where.is_dir() else where
        try:
            with path.open("xb") as file:
                try:
                    file.write(photo.body)
                except BaseException:
                    path.unlink()
                    raise
        except FileExistsError:
            raise UsageProblem(f"{path} is there already and is left as it is; name another file") from None
        except (OSError, ValueError) as error:
            reason = getattr(error, "strerror", None) or error
            raise UsageProblem(f"{path} cannot be written ({reason}); name another place") from error
        return path

    def remove(self, finding: str, name: str, *, who: str | None = None) -> Finding:
        """Let a finding show a photo no more, by a revision; the bytes stay, since earlier revisions show it.

        Raises:
            NotFound: the finding shows none of that name, or several.
        """
        shown = self._findings.get(finding)
        matches = [photo for photo in shown.photos if photo.startswith(name.lower())] if len(name) >= 4 else []
        if len(matches) != 1:
            raise NotFound("photo of this finding", name, [photo[:8] for photo in shown.photos[:3]])
        return self._findings.leave_out_photo(shown.id, matches[0], who=who)

    def cells(self, name: str, *, columns: int, rows: int) -> Sequence[Sequence[Cell]]:
        """Return a photo drawn roughly: rows of cells for the character ▀ in one colour upon the other.

        Empty when its thumbnail, which may have come from elsewhere, cannot be read.
        """
        try:
            small = read_thumbnail(self.get(name).thumbnail)
        except NoPhoto:
            return []
        small.thumbnail((max(columns, 1), max(rows, 1) * 2))
        width, height = small.size
        dots = [[_colour(small.getpixel((x, y))) for x in range(width)] for y in range(height)]
        if height % 2:
            dots.append(dots[-1])
        return [tuple(zip(upper, lower, strict=True)) for upper, lower in zip(dots[::2], dots[1::2], strict=True)]


def safe_name(photo: Photo) -> str:
    """Return a file name made of the photo's own one, harmless on any system, and of the name it has here.

    >>> safe_name(Photo(kind="png", body=b"", width=1, height=1, thumbnail=b"", name="../a b.jpg"))
    'a-b-e3b0c442.png'
    """
    stem = Path((photo.name or "").replace("\\", "/")).stem
    words = re.sub(r"[^\w-]+", "-", stem).encode()[:120].decode(errors="ignore").strip("-_")
    return f"{words or 'photo'}-{photo.sha256[:8]}{_SUFFIXES.get(photo.kind, '')}"


def _read_all(
    files: Sequence[Path | str | bytes], keep_position: bool
) -> tuple[list[tuple[str, ReadPhoto]], list[str]]:
    read: list[tuple[str, ReadPhoto]] = []
    bad: list[str] = []
    for number, file in enumerate(files, start=1):
        called = f"picture {number}" if isinstance(file, bytes) else Path(file).name or str(file)
        try:
            body = file if isinstance(file, bytes) else _bytes_of(Path(file))
            name = None if isinstance(file, bytes) else called
            read.append((called, read_photo(body, name=name, keep_position=keep_position)))
        except NoPhoto as error:
            bad.append(f"{called} {error}")
    return read, bad


def _bytes_of(path: Path) -> bytes:
    try:
        with open(path, "rb", opener=_without_waiting) as file:
            if not stat.S_ISREG(os.fstat(file.fileno()).st_mode):
                raise NoPhoto("is no file but something else")
            return file.read(MOST_BYTES + 1)  # one more than is kept tells that it is too large
    except (OSError, ValueError) as error:
        if isinstance(error, NoPhoto):
            raise
        raise NoPhoto(f"cannot be read ({getattr(error, 'strerror', None) or error})") from error


def _without_waiting(path: str, flags: int) -> int:
    # A pipe would keep the reader waiting for a writer.
    return os.open(path, flags | getattr(os, "O_NONBLOCK", 0))


def _colour(pixel: object) -> str:
    assert isinstance(pixel, tuple)  # the picture is RGB
    return "#{:02x}{:02x}{:02x}".format(*pixel)
