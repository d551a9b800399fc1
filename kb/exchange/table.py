"""Reads a table in a file of CSV, JSON Lines or XLSX: its headers, then row after row of text. It never judges."""

from __future__ import annotations

import codecs
from collections import Counter
from collections.abc import Iterable, Iterator
from itertools import islice
from pathlib import Path

import msgspec

from kb.errors import FileRefused
from kb.exchange.delimited import (
    DELIMITERS,
    LOOKED_AT,
    Numbered,
    csv_rows,
    delimiter_of,
    look_at,
    read_plainly,
)
from kb.exchange.form import FIELDS, unguard
from kb.exchange.jsonlines import json_lines, json_objects, json_rows

COLUMN_LIMIT = 500
"""Columns of a table at most; chosen as far beyond what a shop keeps."""

REFUSED = ("row", "why it was refused")
"""The first two columns of a table of refused rows; the cells behind them are guarded (kb.exchange.form)."""

JSON_LINE = "finding as one line of JSON"
"""The only column of a table whose rows are findings in JSON Lines."""


class Table(msgspec.Struct, frozen=True, kw_only=True):
    """A table as it was found in a file; `told` says how it was read."""

    path: Path
    kind: str
    told: str
    headers: tuple[str, ...]
    sha256: str
    start: int = 0
    encoding: str = ""
    delimiter: str = ","
    is_refused: bool = False

    @property
    def is_own(self) -> bool:
        """True when oddfix wrote it: every row is a finding."""
        return self.headers == (JSON_LINE,) or set(self.headers) >= set(FIELDS)

    def rows(self) -> Iterator[Numbered]:
        """Give the rows below the header that hold anything, each as long as it is in the file.

        Raises:
            FileRefused: the file cannot be read to its end.
        """
        skipped = len(REFUSED) if self.is_refused else 0
        for number, cells in _raw(self):
            if number > self.start and any(map(str.strip, cells)):
                yield number, [unguard(cell) for cell in cells[skipped:]] if skipped else cells


def open_table(path: Path) -> Table:
    """Find out what a file is, and where its table begins.

    Raises:
        FileRefused: it cannot be read, is no table, or is larger than any table of findings.
    """
    with read_plainly(path):
        return _open(path)


def _open(path: Path) -> Table:
    if not path.is_file():
        raise FileRefused(f"{path} is no file; name a table in CSV, XLSX or JSON Lines")
    encoding, digest, head = look_at(path)
    if head.startswith(b"PK\x03\x04"):
        from kb.exchange.workbook import check_workbook

        sheet, others = check_workbook(path)
        more = f"; not read: {', '.join(others)}" if others else ""
        found = Table(path=path, kind="xlsx", told=f"XLSX, sheet {sheet}{more}", headers=(), sha256=digest)
    elif head.lstrip(codecs.BOM_UTF8 + b" \t\r\n").startswith(b"{"):
        return _json_lines(Table(path=path, kind="jsonl", told="JSON Lines", headers=(), sha256=digest))
    else:
        delimiter = delimiter_of(path, encoding)
        told = f"{encoding}, separated by {DELIMITERS[delimiter]}"
        found = Table(
            path=path, kind="csv", told=told, headers=(), sha256=digest, encoding=encoding, delimiter=delimiter
        )
    return _headed(found)


def _headed(table: Table) -> Table:
    """Return the table with its header: the first row with at least half as many filled cells as any near the top."""
    first = [(number, cells) for number, cells in islice(_raw(table), LOOKED_AT) if any(map(str.strip, cells))]
    if not first:
        raise FileRefused(f"{table.path} holds no row; name a table with a header and rows below it")
    filled = [sum(1 for cell in cells if cell.strip()) for _, cells in first]
    start, header = next(row for row, count in zip(first, filled, strict=True) if 2 * count >= max(filled))
    is_refused = tuple(header[: len(REFUSED)]) == REFUSED and len(header) > len(REFUSED)
    names = [unguard(cell) for cell in header[len(REFUSED) :]] if is_refused else header
    return msgspec.structs.replace(table, start=start, headers=_distinct(names), is_refused=is_refused)


def _json_lines(table: Table) -> Table:
    names: dict[str, None] = {}
    for _, value in json_objects(table.path):
        if isinstance(value, dict):
            if not names and {"id", "revision", "airframe", "text"} <= set(value):
                return msgspec.structs.replace(table, headers=(JSON_LINE,), told="JSON Lines of oddfix")
            names |= dict.fromkeys(value)
            if len(names) > COLUMN_LIMIT:
                raise FileRefused(
                    f"{table.path} has more than {COLUMN_LIMIT} columns; keep those that tell of findings"
                )
    return msgspec.structs.replace(table, headers=tuple(names))


def _raw(table: Table) -> Iterator[Numbered]:
    with read_plainly(table.path):
        if table.kind == "xlsx":
            from kb.exchange.workbook import sheet_rows

            rows: Iterable[Numbered] = sheet_rows(table.path)
        elif table.headers == (JSON_LINE,) and table.kind == "jsonl":
            rows = ((number, [line]) for number, line in json_lines(table.path))
        elif table.kind == "jsonl":
            rows = json_rows(table.path, table.headers)
        else:
            rows = csv_rows(table.path, table.encoding, table.delimiter)
        for number, cells in rows:
            if len(cells) > COLUMN_LIMIT:
                raise _too_wide(table.path)
            yield number, cells


def _too_wide(path: Path) -> FileRefused:
    return FileRefused(f"{path} has more than {COLUMN_LIMIT} columns; keep those that tell of findings")


def _distinct(headers: list[str]) -> tuple[str, ...]:
    """Return the headers on one line each, numbered where they are empty or the same."""
    seen: Counter[str] = Counter()
    names = []
    for place, header in enumerate(headers, 1):
        name = " ".join(header.split())[:80] or f"column {place}"
        seen[name] += 1
        names.append(name if seen[name] == 1 else f"{name} ({seen[name]})")
    return tuple(names)
