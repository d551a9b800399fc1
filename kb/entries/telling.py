"""Whether the signs, causes and looks of one page tell anything apart: what narrowing a find lives on."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from typing import get_args

from kb.entries.places import Path
from kb.model import Cause, Entry, HowOften

Flaw = tuple[Path, str, str]

CLEAR = 2
"""Steps between two of the five words from which a sign tells two causes apart clearly: usually and seldom, say."""

_STEP: dict[str, int] = {word: step for step, word in enumerate(get_args(HowOften))}
_SHOWS = _STEP["sometimes"]


def check_signs(entry: Entry) -> Iterator[Flaw]:
    """Yield unknown, missing and unused signs, causes that are not told apart, and looks that settle nothing."""
    signs = [sign.id for sign in entry.signs]
    broken = False
    for number, cause in enumerate(entry.causes):
        for unknown in sorted(cause.signs.keys() - set(signs)):
            yield ("causes", number, "signs"), f"'{unknown}' is no sign of this page", f"use: {', '.join(signs)}"
        if missing := [sign for sign in signs if sign not in cause.signs]:
            yield ("causes", number, "signs"), f"says nothing of {', '.join(missing)}", "say how often each sign shows"
            broken = True
    if not broken:
        yield from _unused(entry)
        yield from _not_told_apart(entry)
    for number, look in enumerate(entry.looks):
        if look.settles not in signs:
            yield ("looks", number, "settles"), f"'{look.settles}' is no sign of this page", f"use: {', '.join(signs)}"
        elif not broken and len(entry.causes) > 1 and spread(entry, look.settles) == 0:
            text = f"settles nothing: every cause says the same of '{look.settles}'"
            yield ("looks", number, "settles"), text, "name a sign that differs, or correct the causes"


def spread(entry: Entry, sign: str) -> int:
    """Return the steps (0 to 4) between the causes that show `sign` most and least often."""
    steps = [_STEP[cause.signs[sign]] for cause in entry.causes]
    return max(steps) - min(steps)


def steps_apart(first: Cause, second: Cause) -> int:
    """Return the most steps (0 to 4) by which one sign tells two causes of a page apart."""
    return max((abs(_STEP[first.signs[sign]] - _STEP[second.signs[sign]]) for sign in first.signs), default=0)


def _unused(entry: Entry) -> Iterator[Flaw]:
    for number, sign in enumerate(entry.signs):
        if all(_STEP[cause.signs[sign.id]] > _SHOWS for cause in entry.causes):
            text = f"unused sign: no cause shows '{sign.id}' as sometimes or more often"
            yield ("signs", number), text, "correct the causes, or leave the sign out"


def _not_told_apart(entry: Entry) -> Iterator[Flaw]:
    for (_, first), (number, second) in combinations(enumerate(entry.causes), 2):
        apart = steps_apart(first, second)
        if apart == 0:
            text = f"no sign tells '{second.id}' from '{first.id}'"
            yield ("causes", number, "signs"), text, "add a sign that differs, or make them one cause"
        elif apart < CLEAR:
            text = f"no sign tells '{second.id}' clearly from '{first.id}'"
            yield ("causes", number, "signs"), text, "add a sign whose two words are two steps apart or more"
