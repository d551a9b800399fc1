"""One file being read: its text, the lines of its fields, and the problems found so far."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeVar

from msgspec import Struct

from kb.entries.places import Path as FieldPath
from kb.entries.places import find_lines, line_of
from kb.entries.shape import shape
from kb.errors import Problem

Table = TypeVar("Table", bound=Struct)


@dataclass(slots=True)
class ReadFile:
    """A file by its name within the folder; `problems` is shared by all files of one reading."""

    name: str
    text: str
    problems: list[Problem]
    lines: dict[FieldPath, int] | None = None

    def report(self, path: FieldPath, text: str, remedy: str) -> None:
        """Add a problem at the line of the field; lines are looked for only now, since most files have none."""
        if self.lines is None:
            self.lines = find_lines(self.text)
        dotted = ".".join(str(part + 1) if isinstance(part, int) else part for part in path)
        self.problems.append(Problem(self.name, line_of(self.lines, path), dotted or "file", text, remedy))


def read_table(path: Path, kind: type[Table], problems: list[Problem]) -> tuple[ReadFile, Table | None]:
    """Return a table file of the folder as a record, or None after its problems were added."""
    file, raw = parse(path, path.name, problems)
    return file, shape(raw, kind, file.report) if raw is not None else None


def parse(path: Path, name: str, problems: list[Problem]) -> tuple[ReadFile, dict[str, Any] | None]:
    """Return the parsed file, or None for its content after the problem was added."""
    try:
        body = path.read_bytes()
    except OSError as error:
        file = ReadFile(name, "", problems)
        file.report((), f"cannot be read ({error.strerror})", "put it there and make it readable")
        return file, None
    return parse_bytes(body, name, problems)


def parse_bytes(body: bytes, name: str, problems: list[Problem]) -> tuple[ReadFile, dict[str, Any] | None]:
    """Return what the bytes of a file hold, or None for it after the problem was added."""
    file = ReadFile(name, "", problems)
    try:
        file.text = body.decode("utf-8")
        return file, tomllib.loads(file.text)
    except UnicodeDecodeError:
        file.report((), "is not UTF-8 text", "save it as UTF-8")
    except tomllib.TOMLDecodeError as error:
        text, line = _decode_place(error)
        problems.append(Problem(name, line, "file", f"is not TOML: {text}", "mend the syntax on this line"))
    except (ValueError, RecursionError):  # a number of thousands of figures, brackets by the thousand
        problems.append(Problem(name, 1, "file", "holds what no page holds", "copy a page that is right, and fill it"))
    return file, None


def _decode_place(error: tomllib.TOMLDecodeError) -> tuple[str, int]:
    text, _, place = str(error).partition(" (at ")
    digits = "".join(character if character.isdigit() else " " for character in place).split()
    return text[:1].lower() + text[1:], int(digits[0]) if digits else 1
