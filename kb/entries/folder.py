"""Reads a folder of entry files whole: all records, or all problems of all files at once."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, TypeVar

from msgspec import Struct

from kb.entries.files import entry_files, fingerprint
from kb.entries.places import Path as FieldPath
from kb.entries.places import find_lines, line_of
from kb.entries.rules import check_entry, check_links
from kb.entries.shape import shape
from kb.errors import DataProblems, Problem
from kb.model import Entry, System, Term

SYSTEMS_FILE = "systems.toml"
WORDS_FILE = "words.toml"
COVERAGE_FILE = "coverage.toml"


_Table = TypeVar("_Table", bound=Struct)


class _SystemsFile(Struct, frozen=True, forbid_unknown_fields=True):
    format: int
    system: tuple[System, ...]


class _WordsFile(Struct, frozen=True, forbid_unknown_fields=True):
    format: int
    term: tuple[Term, ...]


@dataclass(frozen=True, slots=True)
class Folder:
    """Everything a folder holds: entries by id, systems in reading order, the words of the trade."""

    entries: dict[str, Entry]
    systems: dict[str, System]
    words: tuple[Term, ...]
    fingerprint: str


@dataclass(slots=True)
class _File:
    """One file being read: its text, the lines of its fields, and the problems found so far."""

    name: str
    text: str
    problems: list[Problem]
    lines: dict[FieldPath, int] = field(default_factory=dict)

    def report(self, path: FieldPath, text: str, remedy: str) -> None:
        dotted = ".".join(str(part + 1) if isinstance(part, int) else part for part in path)
        self.problems.append(Problem(self.name, line_of(self.lines, path), dotted or "file", text, remedy))


def load_folder(folder: Path) -> Folder:
    """Return the folder's records.

    Raises:
        DataProblems: any file is unreadable, misshapen or breaks a rule; it holds the problems of all files.
    """
    if not folder.is_dir():
        raise DataProblems([Problem(str(folder), 1, "folder", "is not there", "name a folder of entry files")])
    problems: list[Problem] = []
    systems = _load_table(folder / SYSTEMS_FILE, _SystemsFile, problems)
    words = _load_table(folder / WORDS_FILE, _WordsFile, problems)
    read = list(_load_entries(folder, problems))
    entries = {entry.id: entry for _, entry in read}
    by_system = {system.id: system for system in systems.system} if systems else {}
    names = {path.stem for path in entry_files(folder)}  # a link to a page that is itself broken is no second fault
    for file, entry in read:
        for flaw in check_links(entry, entries, by_system, names):
            file.report(*flaw)
    if problems:
        raise DataProblems(sorted(problems, key=lambda problem: (problem.path, problem.line, problem.field)))
    return Folder(entries, by_system, words.term if words else (), fingerprint(folder))


def _load_entries(folder: Path, problems: list[Problem]) -> Iterator[tuple[_File, Entry]]:
    seen: dict[str, str] = {}
    for path in entry_files(folder):
        if path.parent == folder:
            if path.name not in (SYSTEMS_FILE, WORDS_FILE, COVERAGE_FILE):
                name = path.name
                problems.append(Problem(name, 1, "file", "stands outside a system", "move it to SYSTEM/ID.toml"))
            continue
        file, raw = _parse(path, path.relative_to(folder).as_posix(), problems)
        entry = shape(raw, Entry, file.report) if raw is not None else None
        if entry is None:
            continue
        for flaw in check_entry(entry, file_id=path.stem, folder_name=path.parent.name):
            file.report(*flaw)
        if entry.id in seen:
            file.report(("id",), f"'{entry.id}' is also the id of {seen[entry.id]}", "one id, one page")
        seen.setdefault(entry.id, file.name)
        yield file, entry


def _load_table(path: Path, kind: type[_Table], problems: list[Problem]) -> _Table | None:
    file, raw = _parse(path, path.name, problems)
    return shape(raw, kind, file.report) if raw is not None else None


def _parse(path: Path, name: str, problems: list[Problem]) -> tuple[_File, dict[str, Any] | None]:
    file = _File(name, "", problems)
    try:
        file.text = path.read_bytes().decode("utf-8")
        raw = tomllib.loads(file.text)
    except OSError as error:
        file.report((), f"cannot be read ({error.strerror})", "put it there and make it readable")
    except UnicodeDecodeError:
        file.report((), "is not UTF-8 text", "save it as UTF-8")
    except tomllib.TOMLDecodeError as error:
        text, line = _decode_place(error)
        problems.append(Problem(name, line, "file", f"is not TOML: {text}", "mend the syntax on this line"))
    else:
        file.lines = find_lines(file.text)
        return file, raw
    return file, None


def _decode_place(error: tomllib.TOMLDecodeError) -> tuple[str, int]:
    text, _, place = str(error).partition(" (at ")
    digits = "".join(character if character.isdigit() else " " for character in place).split()
    return text[:1].lower() + text[1:], int(digits[0]) if digits else 1
