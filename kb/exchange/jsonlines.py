"""Reads JSON Lines: one value a line, of oddfix or of others."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

import msgspec

from kb.errors import FileRefused
from kb.exchange.delimited import LINE_LIMIT, Numbered


def json_rows(path: Path, headers: Sequence[str]) -> Iterator[Numbered]:
    """Give a row for each line, a cell for each key; a line that is no object becomes a row that is too long."""
    for number, value in json_objects(path):
        if isinstance(value, dict):
            yield number, [_as_cell(value.get(name)) for name in headers]
        else:
            yield number, ["this line is no JSON object"] * (len(headers) + 1)


def json_objects(path: Path) -> Iterator[tuple[int, Any]]:
    """Give what stands in each line; None for a line that is no JSON."""
    for number, line in json_lines(path):
        try:
            yield number, msgspec.json.decode(line)
        except (msgspec.DecodeError, RecursionError):
            yield number, None


def json_lines(path: Path) -> Iterator[tuple[int, str]]:
    """Give the lines that hold anything, with their numbers."""
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
