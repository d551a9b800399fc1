"""What a well-formed entry must still satisfy: on its own, and among all the others of its folder."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from datetime import date
from typing import Any, get_args

from kb.entries.places import Path
from kb.entries.telling import check_signs
from kb.entries.wording import check_wording
from kb.model import Entry, System, Urgency
from kb.names import nearest_names

Flaw = tuple[Path, str, str]

_LEAST = {"signs": 2, "causes": 2, "looks": 1, "look_also": 1, "sources": 2, "words": 1, "jasc": 1, "construction": 1}
YEARS = 3
"""Age in years at which a page wants a new reading; chosen, since circulars and rules change about so often."""

_PRESSING = get_args(Urgency)
"""The urgencies, the most pressing first."""

_UNREAD = ("memory", "common-practice")
_LEAST_IN_REMEDY = {"before": 1, "steps": 1, "never": 1, "prove": 1}


def check_entry(entry: Entry, *, file_id: str, folder_name: str) -> Iterator[Flaw]:
    """Yield what is wrong with one entry taken alone."""
    if entry.id != file_id:
        yield ("id",), f"'{entry.id}' is not the file name '{file_id}'", "make the two equal; ids never change"
    if entry.system != folder_name:
        yield ("system",), f"'{entry.system}' is not the folder '{folder_name}'", "move the file or correct the system"
    yield from _too_few(entry)
    yield from _doubled_ids(entry)
    yield from check_signs(entry)
    yield from _causes(entry)
    yield from _links_and_sources(entry)
    yield from check_wording(entry)


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


def check_answers(entry: Entry, *, limits: Collection[str] | None, keys: Collection[str] | None) -> Iterator[Flaw]:
    """Yield each limit and each key of identify that the page names and the program has not; None asks nothing."""
    yield from _measured_signs(entry, limits)
    for field, known, has in (("limits", limits, entry.limits), ("keys", keys, entry.keys)):
        for number, name in enumerate(has):
            if known is not None and name not in known:
                near = ", ".join(nearest_names(name, sorted(known)))
                hint = f"did you mean {near}?" if near else "name one there is, or leave it out"
                yield (field, number), f"'{name}' is none of the {field} there are", hint
            if name in has[:number]:
                yield (field, number), f"'{name}' stands twice", "name it once"


def check_age(entry: Entry, *, as_of: date, years: int = YEARS) -> Iterator[Flaw]:
    """Yield a review that is `years` years old or older on the day `as_of`, or that lies after it."""
    if entry.reviewed > as_of:
        yield (
            ("reviewed",),
            f"{entry.reviewed} has not come yet",
            "give the day the page was last read against its sources",
        )
    elif (
        as_of.year - entry.reviewed.year - ((as_of.month, as_of.day) < (entry.reviewed.month, entry.reviewed.day))
        >= years
    ):
        text = f"last reviewed {entry.reviewed}, {years} years ago or more"
        yield ("reviewed",), text, "read the page against its sources again, then set the date"


def _too_few(entry: Entry) -> Iterator[Flaw]:
    for holder, path, least in ((entry, (), _LEAST), (entry.remedy, ("remedy",), _LEAST_IN_REMEDY)):
        for name, wanted in least.items():
            have = len(getattr(holder, name))
            if have < wanted:
                yield (*path, name), f"holds {have}, at least {wanted} are needed", "complete the page"


def _measured_signs(entry: Entry, limits: Collection[str] | None) -> Iterator[Flaw]:
    for number, sign in enumerate(entry.signs):
        path: Path = ("signs", number, "limit")
        if sign.limit is None:
            continue
        name = sign.limit.id
        if sign.sense != "measured":
            yield path, f"stands on a sign that is {sign.sense}", "let a limit settle only what is measured"
        if limits is not None and name not in limits:
            near = ", ".join(nearest_names(name, sorted(limits)))
            hint = f"did you mean {near}?" if near else "name one there is, or leave it out"
            yield path, f"'{name}' is none of the limits there are", hint
        elif name not in entry.limits:
            yield path, f"'{name}' is not among the limits of this page", "name it under limits, or leave it out"


def _causes(entry: Entry) -> Iterator[Flaw]:
    for number, cause in enumerate(entry.causes):
        is_elsewhere = cause.entry not in (None, entry.id)
        if cause.urgency and is_elsewhere:
            yield ("causes", number, "urgency"), "stands on a cause of another page", "that page says how it presses"
        elif cause.urgency and _PRESSING.index(cause.urgency) <= _PRESSING.index(entry.urgency):
            text = f"'{cause.urgency}' presses no less than the page, {entry.urgency}"
            yield ("causes", number, "urgency"), text, "leave it out; a page is as urgent as its worst cause"
        if sum(trait.startswith("years-") for trait in cause.airframe) > 1:
            yield ("causes", number, "airframe"), "names two numbers of years", "name the one that matters"


def _doubled_ids(entry: Entry) -> Iterator[Flaw]:
    for name in ("signs", "causes"):
        seen: set[str] = set()
        for number, item in enumerate(getattr(entry, name)):
            if item.id in seen:
                yield (name, number, "id"), f"'{item.id}' stands twice", "give each its own id"
            seen.add(item.id)


def _links_and_sources(entry: Entry) -> Iterator[Flaw]:
    for number, link in enumerate(entry.look_also):
        if (link.entry is None) == (link.place is None):
            yield ("look_also", number), "needs either entry or place", "give exactly one of the two"
        if link.entry and link.entry in [other.entry for other in entry.look_also[:number]]:
            yield ("look_also", number, "entry"), f"'{link.entry}' is linked twice", "make the two links one"
    for number, source in enumerate(entry.sources):
        if not source.where and source.checked != "common-practice":
            yield ("sources", number, "where"), "names no paragraph", "name it, or mark the source common-practice"
        if (source.document, source.where) in {(other.document, other.where) for other in entry.sources[:number]}:
            yield ("sources", number), "stands twice", "put what it says into one source"
    if entry.sources and all(source.checked in _UNREAD for source in entry.sources):
        yield ("sources",), "holds no document that anybody read", "add the document this page rests on"
    if entry.replaced_by and not entry.is_withdrawn:
        yield ("replaced_by",), "stands without withdrawn", "add the date of withdrawal"


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
