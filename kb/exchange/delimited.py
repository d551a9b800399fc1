"""Reads the text of delimited files: what encoding and delimiter they are in, and their rows."""

from __future__ import annotations

import codecs
import csv
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from hashlib import sha256
from itertools import islice
from pathlib import Path
from typing import TextIO

from kb.errors import FileRefused

LINE_LIMIT = 1_000_000
"""Characters of one line at most: far beyond what one finding may say."""

LOOKED_AT = 20
"""Rows at the start from which delimiter and header are told."""

Numbered = tuple[int, list[str]]
"""A row with its number in the file; the first row of a file is 1."""

DELIMITERS = {"\t": "tabs", ";": "semicolons", ",": "commas", "|": "bars"}

_HEAD = 4096
_BOMS = ((codecs.BOM_UTF8, "utf-8-sig"), (codecs.BOM_UTF16_LE, "utf-16"), (codecs.BOM_UTF16_BE, "utf-16"))


def look_at(path: Path) -> tuple[str, str, bytes]:
    """Return encoding, SHA-256 and first bytes of a file, in one pass through it."""
    digest, decoder, is_utf8, head = sha256(), codecs.getincrementaldecoder("utf-8")(), True, b""
    with path.open("rb") as file:
        while block := file.read(1 << 20):
            head = head or block[:_HEAD]
            digest.update(block)
            is_utf8 = is_utf8 and _goes_on(decoder, block)
    if not head:
        raise FileRefused(f"{path} is empty; name a table with a header and rows below it")
    if head.startswith(b"\xd0\xcf\x11\xe0"):
        raise FileRefused(f"{path} is a workbook of the old kind; save it as XLSX or CSV first")
    is_utf8 = is_utf8 and _goes_on(decoder, b"", is_end=True)
    return _encoding(head, is_utf8=is_utf8, path=path), digest.hexdigest(), head


def delimiter_of(path: Path, encoding: str) -> str:
    """Return the character that cuts most of the first rows into the same number of cells, more than one."""
    best, chosen = (0, 0), ","
    for delimiter in DELIMITERS:
        try:
            with read_plainly(path):
                first = [cells for _, cells in islice(csv_rows(path, encoding, delimiter), LOOKED_AT) if cells]
        except FileRefused:
            continue  # a quote stands where only another delimiter makes sense of it
        columns, agreeing = Counter(map(len, first)).most_common(1)[0] if first else (0, 0)
        if columns > 1 and (agreeing, columns) > best:
            best, chosen = (agreeing, columns), delimiter
    return chosen


def csv_rows(path: Path, encoding: str, delimiter: str) -> Iterator[Numbered]:
    """Give the rows of a delimited file, empty ones too."""
    number = 0
    try:
        with path.open(encoding=encoding, newline="") as file:
            # Strict, since a quote left open would else draw the rows behind it into one finding.
            for number, cells in enumerate(csv.reader(_lines(file, path), delimiter=delimiter, strict=True), 1):
                yield number, cells
    except csv.Error as error:
        raise FileRefused(
            f"row {number + 1} of {path} cannot be read ({error}); a quote is left open or stands alone there"
        ) from None


def _lines(file: TextIO, path: Path) -> Iterator[str]:
    while line := file.readline(LINE_LIMIT):
        if len(line) == LINE_LIMIT:
            raise FileRefused(f"{path} has a line of more than {LINE_LIMIT:,} characters; that is no table of findings")
        yield line


def fingerprint(path: Path) -> str:
    """Return the SHA-256 of a file.

    Raises:
        FileRefused: it cannot be read.
    """
    with read_plainly(path), path.open("rb") as file:
        digest = sha256()
        while block := file.read(1 << 20):
            digest.update(block)
    return digest.hexdigest()


@contextmanager
def read_plainly(path: Path) -> Iterator[None]:
    """Turn what goes wrong with a file into a FileRefused that says it plainly."""
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


def _goes_on(decoder: codecs.IncrementalDecoder, block: bytes, *, is_end: bool = False) -> bool:
    try:
        decoder.decode(block, is_end)
    except UnicodeDecodeError:
        return False
    return True


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
