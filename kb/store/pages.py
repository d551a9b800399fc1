"""The shop's own pages with their history: every change is a new record, the one with the greatest id counts."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import msgspec

from kb.ids import new_id
from kb.model import Entry, OwnPage
from kb.store.entries import stand_own_pages
from kb.store.file import StoreFile

if TYPE_CHECKING:
    from sqlite_utils import Database

_FIELDS = OwnPage.__struct_fields__
_PAGES = f"SELECT {', '.join(_FIELDS)} FROM pages"


class PageTable:
    """Keeps and reads the shop's own pages; the latest of each stands among the entries, see kb.store.entries."""

    def __init__(self, file: StoreFile) -> None:
        self._file = file

    def keep(self, entry: Entry, *, who: str | None = None) -> OwnPage:
        """Keep a page, new or in front of what it said before, and return the record."""
        return self._add(entry.id, lambda _: entry, who)

    def change(self, page: str, make: Callable[[Entry], Entry], *, who: str | None = None) -> OwnPage:
        """Keep a page made from what it says now; nobody else can write in between. It must be there."""

        def made(before: OwnPage | None) -> Entry:
            assert before is not None
            return make(before.body)

        return self._add(page, made, who)

    def history(self, page: str) -> list[OwnPage]:
        """Return all records of a page, oldest first."""
        with self._file.reading() as db:
            return [_page(row) for row in db.execute(f"{_PAGES} WHERE page = ? ORDER BY id", (page,))]

    def latest(self) -> list[OwnPage]:
        """Return the latest record of each page, by the page's id."""
        with self._file.reading() as db:
            rows = db.execute(f"{_PAGES} AS p WHERE id = (SELECT max(id) FROM pages WHERE page = p.page) ORDER BY page")
            return [_page(row) for row in rows]

    def all(self) -> list[OwnPage]:
        """Return every record, by id."""
        with self._file.reading() as db:
            return [_page(row) for row in db.execute(f"{_PAGES} ORDER BY id")]

    def _add(self, page: str, make: Callable[[OwnPage | None], Entry], who: str | None) -> OwnPage:
        with self._file.writing() as db:
            row = db.conn.execute(f"{_PAGES} WHERE page = ? ORDER BY id DESC LIMIT 1", (page,)).fetchone()
            before = _page(row) if row else None
            record = OwnPage(
                id=new_id(after=before.id if before else None),
                page=page,
                made=self._file.now(),
                body=make(before),
                who=who,
            )
            insert_page(db, record)
            stand_own_pages(db)
        return record


def _page(row: tuple[Any, ...]) -> OwnPage:
    values = dict(zip(_FIELDS, row, strict=True))
    return OwnPage(**values | {"body": msgspec.json.decode(values["body"], type=Entry)})


def insert_page(db: Database, page: OwnPage) -> None:
    """Keep a record within a transaction; see kb.store.entries for what then stands among the entries."""
    row = {name: getattr(page, name) for name in _FIELDS}
    db.table("pages").insert(row | {"body": msgspec.json.encode(page.body).decode()})
