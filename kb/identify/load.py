"""Reads the key files that come with this package, each only when asked for; all problems of a file at once."""

from __future__ import annotations

import tomllib
from functools import lru_cache
from pathlib import Path

from kb.entries.places import Path as FieldPath
from kb.entries.places import find_lines, line_of
from kb.entries.shape import shape
from kb.errors import NotFound, Problem
from kb.identify.check import check_key
from kb.identify.errors import KeyProblems
from kb.identify.model import Key, KeyName
from kb.names import nearest_names

FOLDER = Path(__file__).resolve().parent / "data"


@lru_cache(maxsize=1)
def keys() -> tuple[KeyName, ...]:
    """Return every key by id and title, in the order of the ids; only the head of each file is read."""
    return tuple(_head(path) for path in sorted(FOLDER.glob("*.toml")))


@lru_cache(maxsize=64)
def key(key_id: str) -> Key:
    """Return one key.

    Raises:
        NotFound: no key of that id; the nearest are named.
        KeyProblems: its file is unreadable, misshapen or breaks a rule.
    """
    names = [name.id for name in keys()]
    if key_id not in names:
        raise NotFound("key", key_id[:60], nearest_names(key_id, names))
    return load_key(FOLDER / f"{key_id}.toml")


def load_key(path: Path) -> Key:
    """Return the key of one file, checked whole.

    Raises:
        KeyProblems: with every problem of the file, in line order.
    """
    problems: list[Problem] = []
    lines: dict[FieldPath, int] = {}

    def report(field: FieldPath, text: str, remedy: str) -> None:
        dotted = ".".join(str(part + 1) if isinstance(part, int) else part for part in field)
        problems.append(Problem(path.name, line_of(lines, field), dotted or "file", text, remedy))

    try:
        text = path.read_text(encoding="utf-8")
        lines = find_lines(text)
        raw = tomllib.loads(text)
    except OSError as error:
        raise KeyProblems([_whole(path, f"cannot be read ({error.strerror})", "put the file back")]) from error
    except UnicodeDecodeError as error:
        raise KeyProblems([_whole(path, "is not UTF-8 text", "save it as UTF-8")]) from error
    except tomllib.TOMLDecodeError as error:
        raise KeyProblems([_whole(path, f"is not TOML: {error}", "correct that line")]) from error
    record = shape(raw, Key, report)
    if record is not None:
        for flaw in check_key(record, file_id=path.stem):
            report(*flaw)
    if problems or record is None:
        raise KeyProblems(sorted(problems, key=lambda problem: (problem.line, problem.field)))
    return record


def _head(path: Path) -> KeyName:
    head = path.read_text(encoding="utf-8").partition("\n[[")[0]
    try:
        raw = tomllib.loads(head)
        return KeyName(str(raw["id"]), str(raw["title"]))
    except (tomllib.TOMLDecodeError, KeyError) as error:
        raise KeyProblems([_whole(path, "has no id and title at its head", "write them above the tables")]) from error


def _whole(path: Path, text: str, remedy: str) -> Problem:
    return Problem(path.name, 1, "file", text, remedy)
