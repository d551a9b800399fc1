"""The photos of findings, each kept once, by the SHA-256 of its bytes."""

from __future__ import annotations

from collections.abc import Iterable
from hashlib import sha256
from typing import TYPE_CHECKING

import msgspec

from kb.errors import NotFound
from kb.store.file import StoreFile

if TYPE_CHECKING:
    from sqlite_utils import Database


class Photo(msgspec.Struct, frozen=True, kw_only=True):
    """A picture as kept; `kind` is jpeg, png or heic, `taken` the camera's own time, `name` the file's name."""

    kind: str
    body: bytes
    width: int
    height: int
    thumbnail: bytes
    taken: str | None = None
    name: str | None = None

    @property
    def sha256(self) -> str:
        """What it is called."""
        return sha256(self.body).hexdigest()


_FIELDS = Photo.__struct_fields__
_ABOUT = ("sha256", "kind", "width", "height", "taken", "name", "length(body)")


class AboutPhoto(msgspec.Struct, frozen=True):
    """What is known of a photo without its bytes; `size` in bytes."""

    sha256: str
    kind: str
    width: int
    height: int
    taken: str | None
    name: str | None
    size: int


class PhotoTable:
    """Keeps and reads photos."""

    def __init__(self, file: StoreFile) -> None:
        self._file = file

    def put(self, photos: Iterable[Photo]) -> list[str]:
        """Keep photos in one transaction, those already here left out, and return what they are called."""
        named = {photo.sha256: photo for photo in photos}
        with self._file.writing() as db:
            for name, photo in named.items():
                if not db.conn.execute("SELECT 1 FROM photos WHERE sha256 = ?", (name,)).fetchone():
                    insert_photo(db, photo, made=self._file.now())
        return list(named)

    def get(self, name: str) -> Photo:
        """Return the photo whose SHA-256 is, or starts with, `name`.

        Raises:
            NotFound: none or more than one does.
        """
        with self._file.reading() as db:
            rows = db.execute(
                f"SELECT {', '.join(_FIELDS)} FROM photos WHERE substr(sha256, 1, length(:name)) = :name LIMIT 2",
                {"name": name.lower()},
            ).fetchall()
        if len(rows) != 1 or len(name) < 4:
            raise NotFound("photo", name)
        return Photo(**dict(zip(_FIELDS, rows[0], strict=True)))

    def about(self, names: Iterable[str]) -> list[AboutPhoto]:
        """Return what is known of these photos, in their order; absent ones left out."""
        with self._file.reading() as db:
            rows = (
                db.execute(f"SELECT {', '.join(_ABOUT)} FROM photos WHERE sha256 = ?", (name,)).fetchone()
                for name in names
            )
            return [AboutPhoto(*row) for row in rows if row]

    def known(self, names: Iterable[str]) -> list[str]:
        """Return those of these names that are kept."""
        return [about.sha256 for about in self.about(names)]

    def all(self) -> list[str]:
        """Return the names of all photos, sorted."""
        with self._file.reading() as db:
            return [name for (name,) in db.execute("SELECT sha256 FROM photos ORDER BY 1")]


def insert_photo(db: Database, photo: Photo, *, made: str) -> None:
    """Keep a photo within a transaction."""
    db.table("photos").insert(msgspec.structs.asdict(photo) | {"sha256": photo.sha256, "made": made})
