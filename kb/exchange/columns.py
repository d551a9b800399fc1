"""Guesses which column of a shop's table holds which field of a finding: by its name, then by what stands in it."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence

import msgspec

from kb.errors import UsageProblem
from kb.exchange.cells import STATES, is_day, is_number

SURE = 87
"""Score (0-100) from which a name is taken for that of a field. Chosen by tests/kb/test_tables.py."""

BY_CONTENT = 60
"""Score of a column that is taken for what stands in it."""

FITTING = 0.8
"""Share of the filled cells of a column that must be what the field wants."""

_WHOLE = 4
"""Letters up to which a name must be there as it is; likeness of so few tells nothing."""

NAMES: dict[str, str] = {
    "text": "discrepancy, squawk, defect, problem, snag, finding, fault, complaint, description, write up, remarks,"
    " remark, reported defect, pilot report, discrepancies, squawks, details, condition, text, trouble, notes,"
    " narrative, nature of defect",
    "airframe": "airframe, aircraft, a/c, ac, tail, tail no, tail number, reg, registration, reg mark, reg no,"
    " registration mark, n number, airplane, aeroplane, ship, acft, ident, aircraft id, aircraft reg",
    "action": "corrective action, action, action taken, rectification, rectified by doing, repair, fix, work done,"
    " work performed, resolution, remedy, maintenance action, corrective, correction, repair action, work carried out",
    "system": "system, ata, ata code, ata chapter, jasc, jasc code, ata jasc, jasc ata, chapter, sys, system code",
    "state": "state, status, open closed, open or closed",
    "place": "place, location, where, position, zone, station, area, place on aircraft",
    "found": "found, date found, date, date reported, reported on, date opened, date of defect, defect date,"
    " discovered, date discovered, date raised, entry date, day, date entered",
    "hours": "hours, total time, tt, ttaf, aftt, tach, tach time, airframe hours, aircraft hours, flight hours, hrs,"
    " total hours, time in service, tis, tsn, hours in service, airframe total time, tach hours, meter",
    "part": "part, p/n, pn, part no, part number, part nr",
    "minutes": "minutes, mins, min, minutes spent, time spent minutes, man hours, man hrs, labor hours, labour hours,"
    " labor, labour, work hours, hours spent, mh",
    "who": "who, mech, mechanic, initials, inspector, technician, tech, engineer, found by, reported by, signed,"
    " signature, by, init, entered by",
}
"""What shops head a column with, for each field in the order of search. Common practice, no source."""

_NEVER: dict[str, str] = {
    "found": "due next closed cleared corrected completed signed fixed rectified action",
    "hours": "man labor labour work spent due next",
    "who": "due date",
    "airframe": "make model type serial",
    "text": "date code by no number id",
    "action": "date by code due required",
}
"""Words that make a column another one, however like its name is."""

_FITS: dict[str, Callable[[str], bool]] = {
    "found": is_day,
    "hours": is_number,
    "minutes": is_number,
    "state": lambda cell: cell.strip().casefold() in STATES,
}


class Guess(msgspec.Struct, frozen=True):
    """The columns taken for a field, by header; `score` of 100, `why` is name, content or said.

    `factor` is 60 where hours are to become minutes, else 1.
    """

    field: str
    headers: tuple[str, ...]
    score: int
    why: str
    factor: int = 1


def guess_columns(
    headers: Sequence[str], sample: Sequence[Sequence[str]], said: Mapping[str, Sequence[str]]
) -> tuple[Guess, ...]:
    """Return the columns of each field, in the order of NAMES; fields without one left out.

    Args:
        sample: some rows, each a cell for every header.
        said: columns that are known already, by field; an empty list leaves the field out.

    Raises:
        UsageProblem: `said` names a field or a header that there is not.
    """
    chosen = {field: Guess(field, _named(field, names, headers), 100, "said") for field, names in said.items()}
    filled = {header: [row[place] for row in sample if row[place].strip()] for place, header in enumerate(headers)}
    free = [header for header in headers if not any(header in guess.headers for guess in chosen.values())]
    scored = sorted(
        ((_score(field, header, filled[header]), field, header) for field in NAMES for header in free),
        key=lambda one: (-one[0], list(NAMES).index(one[1])),
    )
    for score, field, header in scored:
        if score >= SURE and field not in chosen and header in free:
            free.remove(header)
            chosen[field] = Guess(field, (header,), score, "name")
    for field in ("found", "text"):
        if field not in chosen and (likely := _by_content(field, {name: filled[name] for name in free})):
            free.remove(likely)
            chosen[field] = Guess(field, (likely,), BY_CONTENT, "content")
    guesses = (chosen[field] for field in NAMES if field in chosen and chosen[field].headers)
    return tuple(_with_factor(guess) for guess in guesses)


def _named(field: str, names: Sequence[str], headers: Sequence[str]) -> tuple[str, ...]:
    from kb.names import nearest_names

    if field not in NAMES:
        raise UsageProblem(f"there is no field '{field}'; the fields are {', '.join(NAMES)}")
    by_fold = {header.casefold(): header for header in reversed(headers)}
    for name in names:
        if name.casefold() not in by_fold:
            near = nearest_names(name, headers)
            raise UsageProblem(f"no column is headed '{name}'" + (f"; nearest: {', '.join(near)}" if near else ""))
    return tuple(dict.fromkeys(by_fold[name.casefold()] for name in names))


def _score(field: str, header: str, cells: Sequence[str]) -> int:
    """Return how well a header names a field, 0-100; 0 where another word or the cells speak against it."""
    from rapidfuzz import fuzz

    name = _plain(header)
    if set(name.split()) & set(_NEVER.get(field, "").split()):
        return 0
    best = 0.0
    for known in (field, *map(_plain, NAMES[field].split(","))):
        if name == known or name.replace(" ", "") == known.replace(" ", ""):
            best = 100
        elif len(known) > _WHOLE:
            best = max(best, fuzz.token_sort_ratio(name, known) * 0.99)
        if set(known.split()) <= set(name.split()):
            best = max(best, 90 if len(known) > _WHOLE else 88)
    if best < SURE:
        return 0
    fits = _FITS.get(field)
    if fits and cells and sum(map(fits, cells)) < FITTING * len(cells):
        return 0
    return round(best)


def _by_content(field: str, filled: Mapping[str, Sequence[str]]) -> str | None:
    """Return the first column full of days, or the one with the longest running text."""
    if field == "found":
        return next((name for name, cells in filled.items() if cells and all(map(is_day, cells))), None)
    texts = {
        name: sum(map(len, cells)) / len(cells)
        for name, cells in filled.items()
        if cells and sum(" " in cell.strip() for cell in cells) > len(cells) / 2
    }
    longest = max(texts, key=lambda name: texts[name], default=None)
    return longest if longest and texts[longest] >= 12 else None


def _with_factor(guess: Guess) -> Guess:
    words = _plain(" ".join(guess.headers)).split()
    is_hours = guess.field == "minutes" and {"hours", "hrs", "labor", "labour", "mh"} & set(words)
    return msgspec.structs.replace(guess, factor=60) if is_hours else guess


def _plain(header: str) -> str:
    words = re.sub(r"[^\w#]+|_", " ", header.casefold()).replace("#", " no ")
    return " ".join(words.split())
