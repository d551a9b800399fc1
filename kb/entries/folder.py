"""Reads a folder of entry files whole: all records, or all problems of all files at once.

`load_folder` asks what the program needs to work; `check_folder` asks besides what a page must be to be shipped: its
wording, its age, and that it is no near-copy of another.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path

from msgspec import Struct

from kb.entries.coverage import Coverage, check_coverage
from kb.entries.files import entry_files, fingerprint
from kb.entries.likeness import check_likeness
from kb.entries.names import load_names
from kb.entries.reading import ReadFile, parse, read_table
from kb.entries.rules import check_age, check_answers, check_entry, check_links
from kb.entries.shape import shape
from kb.entries.wording import check_names, check_term_names, check_units
from kb.errors import DataProblems, Problem
from kb.model import Entry, System, Term

SYSTEMS_FILE = "systems.toml"
WORDS_FILE = "words.toml"
COVERAGE_FILE = "coverage.toml"


class _SystemsFile(Struct, frozen=True, forbid_unknown_fields=True):
    format: int
    system: tuple[System, ...]


class _WordsFile(Struct, frozen=True, forbid_unknown_fields=True):
    format: int
    term: tuple[Term, ...]


@dataclass(frozen=True, slots=True)
class Folder:
    """Everything a folder holds: entries by id, systems in reading order, the words of the trade, what is covered."""

    entries: dict[str, Entry]
    systems: dict[str, System]
    words: tuple[Term, ...]
    fingerprint: str
    coverage: Coverage = field(default_factory=Coverage)


@dataclass(slots=True)
class _Reading:
    """What was read so far, good or not, with the file of each part and all problems."""

    problems: list[Problem]
    pages: list[tuple[ReadFile, Entry]] = field(default_factory=list)
    systems: dict[str, System] = field(default_factory=dict)
    words: tuple[Term, ...] = ()
    words_file: ReadFile | None = None
    coverage: Coverage = field(default_factory=Coverage)


def load_folder(folder: Path, *, limits: Collection[str] | None = None, keys: Collection[str] | None = None) -> Folder:
    """Return the folder's records.

    Args:
        folder: a folder of entry files.
        limits: the limits there are, so that a page naming another is refused; None leaves them unchecked.
        keys: the keys of identify there are, likewise.

    Raises:
        DataProblems: any file is unreadable, misshapen or breaks a rule; it holds the problems of all files.
    """
    return _finish(folder, _read(folder, limits, keys))


def check_folder(
    folder: Path,
    *,
    as_of: date | None = None,
    limits: Collection[str] | None = None,
    keys: Collection[str] | None = None,
) -> Folder:
    """Return the folder's records after every check there is; takes some seconds for hundreds of pages.

    Args:
        folder: a folder of entry files.
        as_of: the day on which the reviews must not be too old; None leaves their age alone.
        limits, keys: as for `load_folder`.

    Raises:
        DataProblems: as `load_folder`, and for wording, names, age and near-copies.
    """
    reading = _read(folder, limits, keys)
    names = load_names()
    files = {entry.id: file for file, entry in reading.pages}
    for file, entry in reading.pages:
        for flaw in (*check_units(entry), *check_names(entry, names)):
            file.report(*flaw)
        for flaw in check_age(entry, as_of=as_of) if as_of else ():
            file.report(*flaw)
    if reading.words_file:
        for number, term in enumerate(reading.words):
            for flaw in check_term_names(term, number, names):
                reading.words_file.report(*flaw)
    check_likeness(
        {entry.id: entry for _, entry in reading.pages},
        lambda page, path, text, remedy: files[page].report(path, text, remedy),
    )
    return _finish(folder, reading)


def _read(folder: Path, limits: Collection[str] | None, keys: Collection[str] | None) -> _Reading:
    if not folder.is_dir():
        raise DataProblems([Problem(str(folder), 1, "folder", "is not there", "name a folder of entry files")])
    problems: list[Problem] = []
    reading = _Reading(problems)
    _, systems = read_table(folder / SYSTEMS_FILE, _SystemsFile, problems)
    reading.words_file, words = read_table(folder / WORDS_FILE, _WordsFile, problems)
    reading.systems = {system.id: system for system in systems.system} if systems else {}
    reading.words = words.term if words else ()
    reading.pages = list(_read_pages(folder, problems))
    entries = {entry.id: entry for _, entry in reading.pages}
    names = {path.stem for path in entry_files(folder)}  # a link to a page that is itself broken is no second fault
    for file, entry in reading.pages:
        links = check_links(entry, entries, reading.systems, names)
        for flaw in (*links, *check_answers(entry, limits=limits, keys=keys)):
            file.report(*flaw)
    if (folder / COVERAGE_FILE).exists():
        file, coverage = read_table(folder / COVERAGE_FILE, Coverage, problems)
        for flaw in check_coverage(coverage, entries, names) if coverage else ():
            file.report(*flaw)
        reading.coverage = coverage or Coverage()
    return reading


def _finish(folder: Path, reading: _Reading) -> Folder:
    if reading.problems:
        raise DataProblems(sorted(reading.problems, key=lambda problem: (problem.path, problem.line, problem.field)))
    entries = {entry.id: entry for _, entry in reading.pages}
    return Folder(entries, reading.systems, reading.words, fingerprint(folder), reading.coverage)


def _read_pages(folder: Path, problems: list[Problem]) -> Iterator[tuple[ReadFile, Entry]]:
    seen: dict[str, str] = {}
    for path in entry_files(folder):
        if path.parent == folder:
            if path.name not in (SYSTEMS_FILE, WORDS_FILE, COVERAGE_FILE):
                name = path.name
                problems.append(Problem(name, 1, "file", "stands outside a system", "move it to SYSTEM/ID.toml"))
            continue
        file, raw = parse(path, path.relative_to(folder).as_posix(), problems)
        entry = shape(raw, Entry, file.report) if raw is not None else None
        if entry is None:
            continue
        for flaw in check_entry(entry, file_id=path.stem, folder_name=path.parent.name):
            file.report(*flaw)
        if entry.id in seen:
            file.report(("id",), f"'{entry.id}' is also the id of {seen[entry.id]}", "one id, one page")
        seen.setdefault(entry.id, file.name)
        yield file, entry
