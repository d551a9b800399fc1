"""Checks what a finding is to say before it is kept: every field, with one sentence for what is wrong."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from kb.errors import NotFound, UsageProblem
from kb.names import nearest_names
from kb.store import Store

TEXT_LIMIT = 20_000
"""Characters of one text; more is a document and belongs beside the store. Chosen by the hostile-text tests."""

SHORT_LIMIT = 200
"""Characters of a name, a place, a number."""

LARGEST = 1_000_000
"""Hours and minutes at most."""

_SAID = {
    "text": ("the text of a finding", TEXT_LIMIT),
    "airframe": ("the airframe", SHORT_LIMIT),
    "action": ("the action", TEXT_LIMIT),
    "place": ("the place", SHORT_LIMIT),
    "part": ("the part number", SHORT_LIMIT),
    "who": ("the initials", SHORT_LIMIT),
    "shop": ("the name of the shop", SHORT_LIMIT),
}
"""How each text is called, and its characters at most."""

_NEEDED = ("text", "airframe")


def checked(values: Mapping[str, Any], store: Store, *, today: date | None = None) -> dict[str, Any]:
    """Return the values of a finding's fields cleaned and found good; only fields that are named.

    The store is read only for fields that name something in it; `today` is the day of its clock, when it is known.

    Raises:
        UsageProblem: a text is empty or too long, a day, number or cause is not written as one.
        NotFound: a page, cause, system or photo named does not exist.
    """
    good: dict[str, Any] = dict(values)
    for name, (called, limit) in _SAID.items():
        if name in good:
            good[name] = clean_text(good[name], called, limit=limit, is_needed=name in _NEEDED)
    if good.get("system"):
        _check_known("system", good["system"], [known.id for known in store.entries.systems()])
    if good.get("cause"):
        _check_cause(good["cause"], store)
    if "entries" in good:
        good["entries"] = tuple(dict.fromkeys(good["entries"]))
        if good["entries"]:
            ids = store.entries.ids()
            for entry in good["entries"]:
                _check_known("page", entry, ids)
    if good.get("photos"):
        known = store.photos.known(good["photos"])
        for photo in good["photos"]:
            _check_known("photo", photo, known)
    if good.get("found"):
        good["found"] = _day(good["found"], today or store.today())
    if good.get("hours") is not None:
        good["hours"] = _number("the hours in service", good["hours"])
    if good.get("minutes") is not None:
        good["minutes"] = round(_number("the minutes spent", good["minutes"]))
    return good


def clean_text(text: str | None, called: str, *, limit: int = SHORT_LIMIT, is_needed: bool = True) -> str | None:
    """Return text without blanks at its ends, or None when it is empty and not needed.

    Raises:
        UsageProblem: it is needed and empty, or longer than `limit`.
    """
    # Half a character, as broken input bytes arrive, cannot be stored.
    text = (text or "").encode("utf-8", "replace").decode().strip()
    if not text and is_needed:
        raise UsageProblem(f"{called} is empty; say it in a few words")
    if len(text) > limit:
        raise UsageProblem(f"{called} has {len(text)} characters, at most {limit} are kept; shorten it")
    return text or None


def _check_cause(cause: str, store: Store) -> None:
    page, _, name = cause.partition("/")
    if not name:
        raise UsageProblem(f"'{cause}' names no cause; write it as page/cause, as oddfix narrow prints it")
    _check_known("page", page, store.entries.ids())
    _check_known("cause", name, [one.id for one in store.entries.get(page).causes])


def _check_known(kind: str, name: str, known: Sequence[str]) -> None:
    if name not in known:
        raise NotFound(kind, name, nearest_names(name, known))


def _day(written: str, today: date) -> str:
    try:
        day = date.fromisoformat(written)
    except (ValueError, TypeError):
        raise UsageProblem(f"'{written}' is no day; write it as year-month-day, such as {today}") from None
    if not day.year >= 1900 or day > today:
        raise UsageProblem(f"the day of the find, {day}, is not between 1900 and today ({today})")
    return day.isoformat()


def _number(called: str, value: float | str) -> float:
    try:
        number = float(value)
    except ValueError:
        raise UsageProblem(f"{called}, '{value}', is no number") from None
    if not math.isfinite(number) or not 0 <= number <= LARGEST:
        raise UsageProblem(f"{called}, {value}, is not between 0 and {LARGEST:,}")
    return number
