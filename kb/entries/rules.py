"""What a well-formed entry must still satisfy: on its own, and among all the others of its folder."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from itertools import combinations
from typing import Any

from kb.entries.places import Path
from kb.model import Entry, System

Flaw = tuple[Path, str, str]

_LEAST = {"signs": 2, "causes": 2, "looks": 1, "look_also": 1, "sources": 2, "words": 1, "jasc": 1, "construction": 1}
_LEAST_IN_REMEDY = {"before": 1, "steps": 1, "never": 1, "prove": 1}
_VERDICT = re.compile(r"\b(?:is|are|now|still|remains?|stays?|considered)\s+airworthy\b", re.IGNORECASE)
_MARKUP = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u200b-\u200f\u202a-\u202e\u2066-\u2069]")


def check_entry(entry: Entry, *, file_id: str, folder_name: str) -> Iterator[Flaw]:
    """Yield what is wrong with one entry taken alone."""
    if entry.id != file_id:
        yield ("id",), f"'{entry.id}' is not the file name '{file_id}'", "make the two equal; ids never change"
    if entry.system != folder_name:
        yield ("system",), f"'{entry.system}' is not the folder '{folder_name}'", "move the file or correct the system"
    yield from _too_few(entry)
    yield from _doubled_ids(entry)
    yield from _sign_links(entry)
    yield from _links_and_sources(entry)
    yield from _wording(entry)


def check_links(
    entry: Entry, entries: Mapping[str, Entry], systems: Mapping[str, System], names: Collection[str]
) -> Iterator[Flaw]:
    """Yield what is wrong with an entry's links to other entries, by their `names`, and to the systems table."""
    system = systems.get(entry.system)
    if system is None:
        yield ("system",), f"'{entry.system}' is not in systems.toml", f"use one of: {', '.join(systems)}"
    else:
        yield from _code_flaws(entry, system)
    for path, target in _targets(entry):
        if target == entry.id:
            yield path, "points to its own page", "name the other page, or leave the link out"
        elif target not in names:
            yield path, f"'{target}' is no page", "name a page of this folder"
        elif target in entries and entries[target].is_withdrawn:
            yield path, f"'{target}' is withdrawn", "point to the page that replaced it"


def _too_few(entry: Entry) -> Iterator[Flaw]:
    for holder, path, least in ((entry, (), _LEAST), (entry.remedy, ("remedy",), _LEAST_IN_REMEDY)):
        for name, wanted in least.items():
            have = len(getattr(holder, name))
            if have < wanted:
                yield (*path, name), f"holds {have}, at least {wanted} are needed", "complete the page"


def _doubled_ids(entry: Entry) -> Iterator[Flaw]:
    for name in ("signs", "causes"):
        seen: set[str] = set()
        for number, item in enumerate(getattr(entry, name)):
            if item.id in seen:
                yield (name, number, "id"), f"'{item.id}' stands twice", "give each its own id"
            seen.add(item.id)


def _sign_links(entry: Entry) -> Iterator[Flaw]:
    signs = [sign.id for sign in entry.signs]
    for number, cause in enumerate(entry.causes):
        for unknown in sorted(cause.signs.keys() - set(signs)):
            yield ("causes", number, "signs"), f"'{unknown}' is no sign of this page", f"use: {', '.join(signs)}"
        if missing := [sign for sign in signs if sign not in cause.signs]:
            yield ("causes", number, "signs"), f"says nothing of {', '.join(missing)}", "say how often each sign shows"
    for (_, first), (second_number, second) in combinations(enumerate(entry.causes), 2):
        if first.signs == second.signs:
            text = f"no sign tells '{second.id}' from '{first.id}'"
            yield ("causes", second_number, "signs"), text, "add a sign that differs, or make them one cause"
    for number, look in enumerate(entry.looks):
        if look.settles not in signs:
            yield ("looks", number, "settles"), f"'{look.settles}' is no sign of this page", f"use: {', '.join(signs)}"


def _links_and_sources(entry: Entry) -> Iterator[Flaw]:
    for number, link in enumerate(entry.look_also):
        if (link.entry is None) == (link.place is None):
            yield ("look_also", number), "needs either entry or place", "give exactly one of the two"
    for number, source in enumerate(entry.sources):
        if not source.where and source.checked != "common-practice":
            yield ("sources", number, "where"), "names no paragraph", "name it, or mark the source common-practice"
    if entry.replaced_by and not entry.is_withdrawn:
        yield ("replaced_by",), "stands without withdrawn", "add the date of withdrawal"


def _wording(entry: Entry) -> Iterator[Flaw]:
    for path, text in texts_of(entry):
        if _VERDICT.search(text):
            yield (
                path,
                "gives a verdict that only the signer may give",
                "say what a source requires and what was measured",
            )
        if _MARKUP.search(text):
            yield path, "holds a control or direction character", "retype the text"


def texts_of(entry: Entry) -> Iterator[tuple[Path, str]]:
    """Yield every piece of prose of the entry with its path, in the order of the file."""
    yield from (((name,), getattr(entry, name)) for name in ("title", "urgency_why", "summary", "hazard"))
    for name, attribute in (("signs", "text"), ("causes", "text"), ("looks", "text"), ("look_also", "why")):
        for number, item in enumerate(getattr(entry, name)):
            yield (name, number, attribute), getattr(item, attribute)
    for name in ("before", "steps", "never", "materials", "prove"):
        yield from ((("remedy", name, n), text) for n, text in enumerate(getattr(entry.remedy, name)))
    yield ("paper", "why"), entry.paper.why
    yield from ((("sources", n, "says"), source.says) for n, source in enumerate(entry.sources))


def _code_flaws(entry: Entry, system: System) -> Iterator[Flaw]:
    for number, code in enumerate(entry.jasc):
        known = code in system.chapters if len(code) == 2 else code in system.codes
        if not known:
            allowed: Sequence[Any] = [*system.chapters, *system.codes]
            yield ("jasc", number), f"'{code}' is no code of system {system.id}", f"use: {', '.join(allowed)}"


def _targets(entry: Entry) -> Iterator[tuple[Path, str]]:
    for number, cause in enumerate(entry.causes):
        if cause.entry:
            yield ("causes", number, "entry"), cause.entry
    for number, link in enumerate(entry.look_also):
        if link.entry:
            yield ("look_also", number, "entry"), link.entry
    if entry.replaced_by:
        yield ("replaced_by",), entry.replaced_by
