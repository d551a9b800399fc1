"""Reads a table in a file of CSV, JSON Lines or XLSX: its headers, then row after row of text. It never judges."""

from __future__ import annotations

import codecs
import csv
import json
from collections import Counter
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from hashlib import sha256
from itertools import islice
from pathlib import Path
from typing import Any, TextIO

import msgspec

from kb.errors import FileRefused
from kb.exchange.form import FIELDS, unguard

COLUMN_LIMIT = 500
"""Columns of a table at most; chosen as far beyond what a shop keeps."""

LINE_LIMIT = 1_000_000
"""Characters of one line at most: far beyond what one finding may say."""

REFUSED = ("row", "why it was refused")
"""The first two columns of a table of refused rows; the cells behind them are guarded (kb.exchange.form)."""

JSON_LINE = "finding as one line of JSON"
"""The only column of a table whose rows are findings in JSON Lines."""

_LOOKED_AT = 20
"""Rows at the start from which delimiter and header are told."""

_HEAD = 4096
_DELIMITERS = "\t;,|"
_BOMS = ((codecs.BOM_UTF8, "utf-8-sig"), (codecs.BOM_UTF16_LE, "utf-16"), (codecs.BOM_UTF16_BE, "utf-16"))

Numbered = tuple[int, list[str]]
"""A row with its number in the file; the first row of a file is 1."""


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
    with _read_plainly(path):
        return _open(path)


def fingerprint(path: Path) -> str:
    """Return the SHA-256 of a file.

    Raises:
        FileRefused: it cannot be read.
    """
    with _read_plainly(path), path.open("rb") as file:
        digest = sha256()
        while block := file.read(1 << 20):
            digest.update(block)
    return digest.hexdigest()


def _open(path: Path) -> Table:
    if not path.is_file():
        raise FileRefused(f"{path} is no file; name a table in CSV, XLSX or JSON Lines")
    encoding, digest, head = _look(path)
    if head.startswith(b"PK\x03\x04"):
        from kb.exchange.workbook import check_workbook

        sheet, others = check_workbook(path)
        more = f"; not read: {', '.join(others)}" if others else ""
        found = Table(path=path, kind="xlsx", told=f"XLSX, sheet {sheet}{more}", headers=(), sha256=digest)
    elif head.lstrip(codecs.BOM_UTF8 + b" \t\r\n").startswith(b"{"):
        return _json_lines(Table(path=path, kind="jsonl", told="JSON Lines", headers=(), sha256=digest))
    else:
        delimiter = _delimiter(path, encoding)
        named = {"\t": "tabs", ";": "semicolons", ",": "commas", "|": "bars"}[delimiter]
        told = f"{encoding}, separated by {named}"
        found = Table(
            path=path, kind="csv", told=told, headers=(), sha256=digest, encoding=encoding, delimiter=delimiter
        )
    return _headed(found)


def _headed(table: Table) -> Table:
    """Return the table with its header: the first row with at least half as many filled cells as any near the top."""
    first = [(number, cells) for number, cells in islice(_raw(table), _LOOKED_AT) if any(map(str.strip, cells))]
    if not first:
        raise FileRefused(f"{table.path} holds no row; name a table with a header and rows below it")
    filled = [sum(1 for cell in cells if cell.strip()) for _, cells in first]
    start, header = next(row for row, count in zip(first, filled, strict=True) if 2 * count >= max(filled))
    is_refused = tuple(header[: len(REFUSED)]) == REFUSED and len(header) > len(REFUSED)
    names = [unguard(cell) for cell in header[len(REFUSED) :]] if is_refused else header
    return msgspec.structs.replace(table, start=start, headers=_distinct(names), is_refused=is_refused)


def _json_lines(table: Table) -> Table:
    objects = [value for _, value in islice(_objects(table.path), 1000) if isinstance(value, dict)]
    names = list(dict.fromkeys(name for value in objects for name in value))
    if objects and {"id", "revision", "airframe", "text"} <= set(objects[0]):
        return msgspec.structs.replace(table, headers=(JSON_LINE,), told="JSON Lines of oddfix")
    if len(names) > COLUMN_LIMIT:
        raise FileRefused(f"{table.path} has more than {COLUMN_LIMIT} columns; keep those that tell of findings")
    return msgspec.structs.replace(table, headers=tuple(names))


def _raw(table: Table) -> Iterator[Numbered]:
    with _read_plainly(table.path):
        if table.kind == "xlsx":
            from kb.exchange.workbook import sheet_rows

            rows: Iterable[Numbered] = sheet_rows(table.path)
        elif table.kind == "jsonl":
            rows = _json_rows(table)
        else:
            rows = _csv_rows(table.path, table.encoding, table.delimiter)
        for number, cells in rows:
            if len(cells) > COLUMN_LIMIT:
                raise FileRefused(
                    f"row {number} of {table.path} has more than {COLUMN_LIMIT} cells; keep those that tell of findings"
                )
            yield number, cells


def _csv_rows(path: Path, encoding: str, delimiter: str) -> Iterator[Numbered]:
    number = 0
    try:
        with path.open(encoding=encoding, newline="") as file:
            for number, cells in enumerate(csv.reader(_lines(file, path), delimiter=delimiter), 1):
                yield number, cells
    except csv.Error as error:
        raise FileRefused(
            f"row {number + 1} of {path} cannot be read ({error}); a quote may have been left open there"
        ) from None


def _lines(file: TextIO, path: Path) -> Iterator[str]:
    while line := file.readline(LINE_LIMIT):
        if len(line) == LINE_LIMIT:
            raise FileRefused(f"{path} has a line of more than {LINE_LIMIT:,} characters; that is no table of findings")
        yield line


def _json_rows(table: Table) -> Iterator[Numbered]:
    if table.headers == (JSON_LINE,):
        yield from ((number, [line]) for number, line in _json_texts(table.path))
        return
    for number, value in _objects(table.path):
        if isinstance(value, dict):
            yield number, [_as_cell(value.get(name)) for name in table.headers]
        else:
            yield number, ["this line is no JSON object"] * (len(table.headers) + 1)


def _objects(path: Path) -> Iterator[tuple[int, Any]]:
    for number, line in _json_texts(path):
        try:
            yield number, msgspec.json.decode(line)
        except (msgspec.DecodeError, RecursionError):
            yield number, None


def _json_texts(path: Path) -> Iterator[tuple[int, str]]:
    # Only a line feed ends a line here; text may hold whatever else other readers break lines at.
    with path.open("rb") as file:
        number = 0
        while line := file.readline(LINE_LIMIT):
            number += 1
            if len(line) == LINE_LIMIT:
                raise FileRefused(f"line {number} of {path} has more than {LINE_LIMIT:,} bytes; that is no finding")
            if text := line.decode("utf-8-sig" if number == 1 else "utf-8").strip(" \t\r\n"):
                yield number, text


def _as_cell(value: Any) -> str:
    if value is None:
        return ""
    return value if isinstance(value, str) else json.dumps(value, ensure_ascii=False)


def _look(path: Path) -> tuple[str, str, bytes]:
    """Return encoding, SHA-256 and first bytes of a file, in one pass through it."""
    digest, decoder, is_utf8, head = sha256(), codecs.getincrementaldecoder("utf-8")(), True, b""
    with path.open("rb") as file:
        while block := file.read(1 << 20):
            head = head or block[:_HEAD]
            digest.update(block)
            try:
                is_utf8 = is_utf8 and bool(decoder.decode(block) or True)
            except UnicodeDecodeError:
                is_utf8 = False
    if not head:
        raise FileRefused(f"{path} is empty; name a table with a header and rows below it")
    if head.startswith(b"\xd0\xcf\x11\xe0"):
        raise FileRefused(f"{path} is a workbook of the old kind; save it as XLSX or CSV first")
    return _encoding(head, is_utf8=is_utf8, path=path), digest.hexdigest(), head


def _encoding(head: bytes, *, is_utf8: bool, path: Path) -> str:
    if named := next((name for bom, name in _BOMS if head.startswith(bom)), None):
        return named
    odd, even = head[1::2].count(0), head[::2].count(0)
    if max(odd, even) * 3 > len(head) and not min(odd, even):  # mostly letters below 256, each with a zero byte
        return "utf-16-le" if odd else "utf-16-be"
    if is_utf8:
        return "utf-8"
    if 0 in head and not head.startswith(b"PK"):
        raise FileRefused(f"{path} is no table but holds bytes of something else; name a CSV, XLSX or JSON Lines file")
    return "cp1252"


def _delimiter(path: Path, encoding: str) -> str:
    """Return the character that cuts most of the first rows into the same number of cells, more than one."""
    best, chosen = (0, 0), ","
    for delimiter in _DELIMITERS:
        try:
            with _read_plainly(path):
                first = [cells for _, cells in islice(_csv_rows(path, encoding, delimiter), _LOOKED_AT) if cells]
        except FileRefused:
            if delimiter != ",":
                continue
            raise
        columns, agreeing = Counter(map(len, first)).most_common(1)[0] if first else (0, 0)
        if columns > 1 and (agreeing, columns) > best:
            best, chosen = (agreeing, columns), delimiter
    return chosen


def _distinct(headers: list[str]) -> tuple[str, ...]:
    """Return the headers on one line each, numbered where they are empty or the same."""
    seen: Counter[str] = Counter()
    names = []
    for place, header in enumerate(headers, 1):
        name = " ".join(header.split())[:80] or f"column {place}"
        seen[name] += 1
        names.append(name if seen[name] == 1 else f"{name} ({seen[name]})")
    return tuple(names)


@contextmanager
def _read_plainly(path: Path) -> Iterator[None]:
    try:
        yield
    except UnicodeError:
        raise FileRefused(f"{path} is not written in UTF-8, UTF-16 or Windows-1252; save it as UTF-8") from None
    except FileRefused:
        raise
    except OSError as error:
        raise FileRefused(f"{path} cannot be read ({(error.strerror or str(error)).lower()})") from error
    except ValueError as error:  # a path with a zero byte
        raise FileRefused(f"{str(path)!r} cannot be read ({error})") from None
