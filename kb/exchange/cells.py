"""Reads what shops write in cells: days, numbers, states and chapter numbers."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from datetime import date
from typing import Literal

from kb.errors import UsageProblem
from kb.model import State, System

Order = Literal["day-first", "month-first"]
"""Whether 3/4/1962 is the third of April or the fourth of March."""

_CALLED: dict[State, str] = {
    "open": "open, o, outstanding, active, new, pending, in work, in progress, unresolved, not fixed, to do",
    "deferred": "deferred, defer, d, carried forward, c/f, on hold, monitor, postponed, put off",
    "corrected": "corrected, closed, c, fixed, done, complete, completed, repaired, rectified, resolved, cleared, c/w,"
    " signed off, complied with, finished",
    "withdrawn": "withdrawn, cancelled, canceled, void, duplicate, entered in error",
}
STATES = {word.strip(): state for state, words in _CALLED.items() for word in words.split(",")}
"""What shops call the states. Common practice, no source."""

_MONTHS = {name: number for number, name in enumerate("jan feb mar apr may jun jul aug sep oct nov dec".split(), 1)}
_TIME = r"(?:[Tt ]\d{1,2}:\d{2}(?::\d{2}(?:[.,]\d+)?)?(?: ?[AaPp][Mm])?[Zz]?)?"
_YEAR_FIRST = re.compile(rf"(\d{{4}})[-/.](\d{{1,2}})[-/.](\d{{1,2}}){_TIME}|(\d{{4}})(\d{{2}})(\d{{2}})")
_YEAR_LAST = re.compile(rf"(\d{{1,2}})[-/. ](\d{{1,2}})[-/. ](\d{{4}}|\d{{2}}){_TIME}")
_NAMED = re.compile(
    rf"(?:(?P<day>\d{{1,2}})(?:st|nd|rd|th)?[-/. ,]*(?P<month>[a-z]{{3,9}})\.?|(?P<month2>[a-z]{{3,9}})\.?[-/. ]*"
    rf"(?P<day2>\d{{1,2}})(?:st|nd|rd|th)?)[-/. ,]*(?P<year>\d{{4}}|\d{{2}}){_TIME}"
)
_NUMBER = re.compile(r"([+-]?[\d., ']*\d)\s*(?:h|hr|hrs|hours?|m|min|mins|minutes?)?\.?", re.IGNORECASE)
_THOUSANDS = re.compile(r"\d{1,3}(?:[, ']\d{3})+(?:\.\d+)?")
_CODE = re.compile(r"(?:ata|jasc|chapter|ch)?[ .:#-]*(\d{2})(?:[ .-]?(\d{2}))?(?:[ .-]?\d{2})?(?:\D.*)?", re.IGNORECASE)


def is_day(cell: str) -> bool:
    """True for a day in any form that is read, whichever of day and month comes first."""
    return any(_day(cell, is_day_first=first) for first in (True, False))


def is_number(cell: str) -> bool:
    """True for a number of hours or minutes as written."""
    return _NUMBER.fullmatch(cell.strip()) is not None


def order_of(cells: Iterable[str]) -> tuple[Order | None, str]:
    """Return in which order a column writes day and month, and how that is known; None when it must be asked."""
    firsts = seconds = undecided = 0
    for cell in cells:
        if found := _YEAR_LAST.fullmatch(cell.strip()):
            one, other = int(found[1]), int(found[2])
            firsts += one > 12
            seconds += other > 12
            undecided += one <= 12 and other <= 12 and one != other
    if firsts and seconds:
        return None, f"{firsts:,} rows write the day first and {seconds:,} the month first"
    if firsts or seconds:
        said = "day" if firsts else "month"
        return "day-first" if firsts else "month-first", f"the {said} comes first, as {firsts + seconds:,} rows show"
    if undecided:
        return None, f"all {undecided:,} rows can be read with the day or the month first"
    return "day-first", ""


def read_day(cell: str, order: Order | None) -> str:
    """Return the day in a cell, ISO 8601.

    Raises:
        UsageProblem: there is none in it.
    """
    found = _day(cell, is_day_first=order != "month-first")
    if not found:
        raise UsageProblem(f"'{cell[:40]}' is no day; write it as year-month-day")
    return found.isoformat()


def read_number(cell: str) -> float:
    """Return the number in a cell; thousands may be set off, and a comma may stand before the last one or two figures.

    Raises:
        UsageProblem: there is none in it.
    """
    found = _NUMBER.fullmatch(cell.strip())
    text = found[1].strip() if found else ""
    if _THOUSANDS.fullmatch(text):
        text = re.sub(r"[, ']", "", text)
    elif re.fullmatch(r"\d+,\d{1,2}", text):
        text = text.replace(",", ".")
    try:
        return float(text)
    except ValueError:
        raise UsageProblem(f"'{cell[:40]}' is no number") from None


def read_state(cell: str) -> State:
    """Return the state that a word stands for.

    Raises:
        UsageProblem: none is known to be called so.
    """
    state = STATES.get(" ".join(cell.casefold().split()))
    if not state:
        raise UsageProblem(f"'{cell[:40]}' is no state; write open, deferred, corrected or withdrawn")
    return state


class Systems:
    """Finds the system that a name or a chapter number of the JASC table stands for."""

    def __init__(self, systems: Sequence[System]) -> None:
        self._named = {name.casefold(): system.id for system in systems for name in (system.title, system.id)}
        self._codes = {code: ids[0] for code, ids in _owners(systems, "codes").items() if len(ids) == 1}
        # A chapter of several systems is that one's which has no other chapter: fuel lines are fuel before hardware.
        self._chapters: dict[str, str] = {}
        for chapter, ids in _owners(systems, "chapters").items():
            alone = [system.id for system in systems if list(system.chapters) == [chapter]]
            if len(ids) == 1 or len(alone) == 1:
                self._chapters[chapter] = ids[0] if len(ids) == 1 else alone[0]
        self._read: dict[str, str | None] = {}

    def find(self, cell: str) -> str | None:
        """Return the system's id, or None when the cell tells of none or of several."""
        if cell not in self._read:
            self._read[cell] = self._find(" ".join(cell.casefold().split()))
        return self._read[cell]

    def _find(self, cell: str) -> str | None:
        if cell in self._named:
            return self._named[cell]
        found = _CODE.fullmatch(cell)
        if not found:
            return None
        chapter, rest = found[1], found[2] or ""
        return self._codes.get(chapter + rest) or self._chapters.get(chapter)


def _owners(systems: Sequence[System], field: Literal["codes", "chapters"]) -> dict[str, list[str]]:
    owners: dict[str, list[str]] = {}
    for system in systems:
        for code in getattr(system, field):
            owners.setdefault(code, []).append(system.id)
    return owners


def _day(cell: str, *, is_day_first: bool) -> date | None:
    text = cell.strip()
    if found := _YEAR_FIRST.fullmatch(text):
        year, month, day = (part for part in found.groups() if part)
    elif found := _YEAR_LAST.fullmatch(text):
        one, other, year = found.groups()
        day, month = (one, other) if is_day_first else (other, one)
    elif found := _NAMED.fullmatch(text.casefold()):
        day, year = found["day"] or found["day2"], found["year"]
        month = str(_MONTHS.get((found["month"] or found["month2"])[:3], 0))
    else:
        return None
    try:
        return date(_full_year(year), int(month), int(day))
    except ValueError:
        return None


def _full_year(year: str) -> int:
    """Return a year of four figures; of two, 69 to 99 are of the last century. Source: POSIX, strptime, %y."""
    short = int(year)
    return short if len(year) > 2 else short + (1900 if short >= 69 else 2000)
