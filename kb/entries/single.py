"""Reads one page that stands in no folder, by the rules a page of the folder must keep to work among the others."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from kb.entries.places import Path
from kb.entries.reading import parse_bytes
from kb.entries.rules import check_answers, check_entry, check_links
from kb.entries.shape import shape
from kb.entries.skeleton import unsaid
from kb.errors import DataProblems, Problem
from kb.model import Entry, System

LARGEST = 1_000_000
"""Bytes of a page; the longest that came with the program has some 20,000."""


def read_page(
    body: bytes,
    name: str,
    *,
    others: Mapping[str, Entry],
    reserved: Collection[str],
    systems: Mapping[str, System],
    limits: Collection[str],
    keys: Collection[str],
) -> Entry:
    """Return the page in the bytes of a file.

    Args:
        body: the file whole.
        name: how problems call it.
        others: the pages it may link to, by id.
        reserved: ids it may not have.
        systems: the systems there are, by id.
        limits, keys: the limits and keys of identify there are.

    Raises:
        DataProblems: it cannot be read, says nothing yet somewhere, is misshapen or breaks a rule; it holds all of it.
    """
    problems: list[Problem] = []
    if len(body) > LARGEST:
        text = f"has {len(body):,} bytes, at most {LARGEST:,} are read"
        raise DataProblems([Problem(name, 1, "file", text, "keep long papers beside the store")])
    file, raw = parse_bytes(body, name, problems)
    entry: Entry | None = None
    if raw is not None:
        open_places = list(unsaid(raw))
        for flaw in open_places:
            file.report(*flaw)
        told = {path for path, _, _ in open_places}

        def report(path: Path, text: str, remedy: str) -> None:
            if path not in told and not any(one[: len(path)] == path for one in told):
                file.report(path, text, remedy)

        entry = shape(raw, Entry, report)
        if entry is not None:
            for flaw in (
                *check_entry(entry, file_id=entry.id, folder_name=entry.system),
                *check_links(entry, others, systems, {*others, entry.id}),
                *check_answers(entry, limits=limits, keys=keys),
            ):
                report(*flaw)
            if entry.id in reserved:
                text = f"'{entry.id}' is the id of a page that came with the program"
                file.report(("id",), text, "give yours an id of its own")
    if problems or entry is None:
        raise DataProblems(sorted(problems, key=lambda problem: (problem.line, problem.field)))
    return entry
