"""Finds the line on which a field of a TOML file stands, since the parser keeps no places."""

from __future__ import annotations

import re

Path = tuple[str | int, ...]

_TABLE = re.compile(r"^\s*\[(\[)?\s*([A-Za-z0-9_.-]+)\s*\]")
_KEY = re.compile(r"^\s*([A-Za-z0-9_-]+)\s*=\s*(.*)$")


def find_lines(text: str) -> dict[Path, int]:
    """Return the line (from 1) of each table and key: `("signs", 2, "text")`, `("remedy", "steps")`.

    Lines inside multi-line strings and arrays belong to the key that opened them.
    """
    lines: dict[Path, int] = {}
    counts: dict[str, int] = {}
    table: Path = ()
    fence = ""
    depth = 0
    for number, line in enumerate(text.splitlines(), start=1):
        if fence:
            fence = "" if fence in line else fence
            continue
        if depth > 0:
            depth += _bracket_change(line)
            continue
        if header := _TABLE.match(line):
            table = _table_path(header, counts)
            lines[table] = number
        elif key := _KEY.match(line):
            lines[(*table, key.group(1))] = number
            fence = _open_fence(key.group(2))
            depth = 0 if fence else _bracket_change(key.group(2))
    return lines


def line_of(lines: dict[Path, int], path: Path) -> int:
    """Return the line of `path`, or of the nearest thing that holds it; 1 when nothing does."""
    for length in range(len(path), 0, -1):
        if path[:length] in lines:
            return lines[path[:length]]
    return 1


def _table_path(header: re.Match[str], counts: dict[str, int]) -> Path:
    name = header.group(2)
    if not header.group(1):
        return tuple(name.split("."))
    counts[name] = counts.get(name, -1) + 1
    return (*name.split("."), counts[name])


def _open_fence(value: str) -> str:
    """Return the fence of a string that starts here and does not end here."""
    for fence in ('"""', "'''"):
        if value.startswith(fence) and fence not in value[3:]:
            return fence
    return ""


def _bracket_change(line: str) -> int:
    bare = re.sub(r'"(?:\\.|[^"\\])*"|\'[^\']*\'', "", line).split("#")[0]
    return bare.count("[") + bare.count("{") - bare.count("]") - bare.count("}")
