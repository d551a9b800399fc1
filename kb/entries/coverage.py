"""Which pages answer which published inspection item: the records, their checks, and the table for a reader."""

from __future__ import annotations

import textwrap
from collections.abc import Collection, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Annotated

from msgspec import Meta, Struct

from kb.entries.places import Path
from kb.model import Checked, Entry, Kebab, Line, Passage

if TYPE_CHECKING:
    from kb.entries.folder import Folder

Flaw = tuple[Path, str, str]

DocumentId = Annotated[str, Meta(pattern=r"^[a-z0-9]+([.-][a-z0-9]+)*$", max_length=64)]


class Document(Struct, frozen=True, forbid_unknown_fields=True):
    """A published list of what is to be inspected, and how much of it was seen as printed."""

    id: DocumentId
    name: Line
    edition: Line
    note: Passage


class Item(Struct, frozen=True, forbid_unknown_fields=True):
    """One item of a document in our words, and the pages that answer it, best first; or why none needs to."""

    document: DocumentId
    item: Line
    says: Line
    checked: Checked
    entries: tuple[Kebab, ...] = ()
    applies: bool = True
    why: Line | None = None


class Coverage(Struct, frozen=True, forbid_unknown_fields=True):
    """The file coverage.toml."""

    format: int = 1
    document: tuple[Document, ...] = ()
    row: tuple[Item, ...] = ()


class CoverageRow(Struct, frozen=True):
    """One row of the table: the item with its document's name, and (id, title) of each page that answers it."""

    document: str
    edition: str
    item: str
    says: str
    checked: str
    applies: bool
    why: str | None
    pages: tuple[tuple[str, str], ...]


def check_coverage(coverage: Coverage, entries: Mapping[str, Entry], names: Collection[str]) -> Iterator[Flaw]:
    """Yield what is wrong with the rows; `names` are the ids of all page files, even of those that are broken."""
    documents = [document.id for document in coverage.document]
    seen: set[tuple[str, str]] = set()
    for number, row in enumerate(coverage.row):
        place: Path = ("row", number)
        if row.document not in documents:
            yield (*place, "document"), f"'{row.document}' is no document here", f"use one of: {', '.join(documents)}"
        if (row.document, row.item) in seen:
            yield (*place, "item"), f"'{row.item}' stands twice", "join the two rows"
        seen.add((row.document, row.item))
        for path, text, remedy in (*_claim_flaws(row), *_page_flaws(row, entries, names)):
            yield (*place, *path), text, remedy
    for number, name in enumerate(documents):
        if name in documents[:number]:
            yield ("document", number, "id"), f"'{name}' stands twice", "one id, one document"
        if name not in {row.document for row in coverage.row}:
            yield ("document", number), f"no row speaks of '{name}'", "add its items, or leave the document out"


def coverage_table(folder: Folder) -> list[CoverageRow]:
    """Return the table in the order of the file: all items of the first document, then of the next."""
    documents = {document.id: document for document in folder.coverage.document}
    order = list(documents)
    return [
        CoverageRow(
            document=documents[row.document].name,
            edition=documents[row.document].edition,
            item=row.item,
            says=row.says,
            checked=row.checked,
            applies=row.applies,
            why=row.why,
            pages=tuple((name, folder.entries[name].title) for name in row.entries),
        )
        for row in sorted(folder.coverage.row, key=lambda row: order.index(row.document))
    ]


def coverage_lines(rows: Sequence[CoverageRow], *, width: int = 100) -> Iterator[str]:
    """Yield the table as plain text of at most `width` characters a line, a count last; ids are never broken."""
    document = ""
    for row in rows:
        if row.document != document:
            yield from [""] if document else []
            document = row.document
            yield from _wrapped(f"{document} ({row.edition})", width, 0)
        yield from _wrapped(f"{row.item}: {row.says} [{row.checked}]", width, 2)
        yield from _wrapped(f"does not apply: {row.why}", width, 6) if not row.applies else []
        for name, title in row.pages:
            yield from _wrapped(f"{name}  {title}", width, 6)
    applying = [row for row in rows if row.applies]
    empty = sum(not row.pages for row in applying)
    yield from [""] if rows else []
    yield f"{len(rows)} items, {len(applying)} apply, {empty} of these without a page"


def _wrapped(text: str, width: int, indent: int) -> list[str]:
    blanks = " " * indent
    return textwrap.wrap(text, width, initial_indent=blanks, subsequent_indent=f"{blanks}    ", break_on_hyphens=False)


def _claim_flaws(row: Item) -> Iterator[Flaw]:
    if row.applies and not row.entries:
        yield ("entries",), "names no page, though the item applies", "name the page that answers it, or write one"
    if not row.applies and not row.why:
        yield ("why",), "is missing where applies = false", "say why no page has to answer this item"
    if not row.applies and row.entries:
        yield ("entries",), "names pages, though the item does not apply", "leave out the pages or applies = false"


def _page_flaws(row: Item, entries: Mapping[str, Entry], names: Collection[str]) -> Iterator[Flaw]:
    for number, name in enumerate(row.entries):
        if name not in names:
            yield ("entries", number), f"'{name}' is no page", "name a page of this folder"
        elif name in entries and entries[name].is_withdrawn:
            yield ("entries", number), f"'{name}' is withdrawn", "name the page that replaced it"
        if name in row.entries[:number]:
            yield ("entries", number), f"'{name}' stands twice", "name each page once"
