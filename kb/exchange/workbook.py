"""Reads the first sheet of an XLSX workbook that has rows; values only: no formulas, macros or links are followed.

A workbook is a zip of XML files: what it would unpack to is looked at before any of it is.
"""

from __future__ import annotations

import warnings
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date, datetime, time
from pathlib import Path
from typing import Any

from kb.errors import FileRefused, KbError

SHEET_LIMIT = 1 << 30
"""Bytes all members unpack to at most: some more than a full sheet of a million rows."""

PART_LIMIT = 200 << 20
"""Bytes one member that is held in memory as a whole unpacks to at most."""

RATIO_LIMIT = 200
"""Times a member may be larger unpacked than packed; tables of real rows are ten to thirty. Chosen by the tests."""

MEMBER_LIMIT = 10_000
ROW_LIMIT = 1_048_576
"""Rows of a sheet at most. Source: ECMA-376 leaves it open; the programs that write it stop here (from memory)."""


def check_workbook(path: Path) -> tuple[str, list[str]]:
    """Return the name of the sheet that is read, and the names of the others.

    Raises:
        FileRefused: the file is no workbook, is damaged, or would unpack to more than a table of findings.
    """
    with _explained(path):
        with zipfile.ZipFile(path) as archive:
            _check_members(path, archive.infolist())
        with _opened(path) as book:
            names = [sheet.title for sheet in book.worksheets]
            chosen = _first_with_rows(book)
    if chosen is None:
        raise FileRefused(f"{path} has no sheet with rows")
    return names[chosen], names[:chosen] + names[chosen + 1 :]


def sheet_rows(path: Path) -> Iterator[tuple[int, list[str]]]:
    """Give the rows of that sheet that hold anything as text, with their numbers."""
    with _explained(path), _opened(path) as book:
        chosen = _first_with_rows(book)
        if chosen is None:
            return
        sheet = book.worksheets[chosen]
        sheet.reset_dimensions()  # what the file says of its own size may be anything
        for number, values in enumerate(sheet.iter_rows(max_row=ROW_LIMIT, values_only=True), 1):
            cells = [_text(value) for value in values]
            while cells and not cells[-1]:
                cells.pop()
            if cells:
                yield number, cells


def _check_members(path: Path, members: list[zipfile.ZipInfo]) -> None:
    if not any(member.filename == "xl/workbook.xml" for member in members):
        raise FileRefused(f"{path} is a zip file, but no XLSX workbook; name a CSV, XLSX or JSON Lines file")
    whole = sum(member.file_size for member in members)
    swollen = [m for m in members if m.file_size > max(RATIO_LIMIT * m.compress_size, 10_000_000)]
    held = [m for m in members if m.file_size > PART_LIMIT and not m.filename.startswith("xl/worksheets/")]
    if len(members) > MEMBER_LIMIT or whole > SHEET_LIMIT or swollen or held:
        raise FileRefused(f"{path} would unpack to far more than a table of findings; it was not opened")


def _first_with_rows(book: Any) -> int | None:
    for place, sheet in enumerate(book.worksheets):
        sheet.reset_dimensions()
        rows = sheet.iter_rows(max_row=100, values_only=True)
        if any(value is not None for row in rows for value in row):
            return place
    return None


@contextmanager
def _opened(path: Path) -> Iterator[Any]:
    from openpyxl import load_workbook

    warnings.filterwarnings("ignore", category=UserWarning, module="openpyxl")  # styles and links it leaves out
    book = load_workbook(path, read_only=True, data_only=True, keep_links=False)
    try:
        yield book
    finally:
        book.close()


@contextmanager
def _explained(path: Path) -> Iterator[None]:
    try:
        yield
    except (KbError, MemoryError, GeneratorExit):
        raise
    except Exception as error:  # a damaged workbook ends its reader in any way there is
        raise FileRefused(f"{path} is damaged or no XLSX workbook; save it anew, or as CSV") from error


def _text(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, datetime):
        return value.date().isoformat() if value.time() == time() else value.isoformat(sep=" ")
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, float) and value.is_integer() and abs(value) < 1e15:
        return str(int(value))
    return str(value)
