"""What the airframe is, as evidence: its traits stand in a case as signs, answered by what is known of it. Pure."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from kb.display import show_safely
from kb.errors import UsageProblem
from kb.model import Construction
from kb.narrow.records import AIRFRAME, Answer, Case, CaseSign, Nature
from kb.narrow.words import TRAIT_UNSAID

_BUILT: tuple[Construction, ...] = ("tube-and-fabric", "wood", "sheet-metal")

_SAID = {
    "outdoors": "The aircraft is kept outdoors, or was for years.",
    "tube-and-fabric": "The aircraft is built of tube and fabric.",
    "wood": "The aircraft is built of wood, or its wing is.",
    "sheet-metal": "The aircraft is built of sheet metal.",
}


MOST_YEARS = 120
"""Years of service that can be believed."""


def read_nature(*, built: str, years: str, kept: str) -> Nature:
    """Return what is known of the airframe from words as typed; an empty one is not known.

    Raises:
        UsageProblem: one of them cannot be read; the sentence names what can.
    """
    words = built.lower().replace(",", " ").split()
    for word in words:
        if word not in _BUILT:
            raise UsageProblem(f"'{show_safely(word, keep_lines=False)}' is no construction; use: {', '.join(_BUILT)}")
    years, kept = years.strip(), kept.strip().lower()
    if years and not (re.fullmatch(r"[0-9]{1,3}", years) and int(years) <= MOST_YEARS):
        raise UsageProblem(f"'{show_safely(years, keep_lines=False)}' are no years; give 0 to {MOST_YEARS}")
    if kept not in ("", "outdoors", "indoors"):
        raise UsageProblem(f"'{show_safely(kept, keep_lines=False)}' is no place; use: outdoors, indoors")
    constructions = tuple(name for name in _BUILT if name in words)
    return Nature(constructions, int(years) if years else None, kept == "outdoors" if kept else None)


def trait_sign(trait: str, said: Mapping[int, float]) -> CaseSign:
    """Return a trait of the airframe as a sign; causes that say nothing of it are not moved by it."""
    text = _SAID.get(trait) or f"In service {_years(trait)} years or more since it was built or last rebuilt."
    return CaseSign(f"{AIRFRAME}/{trait}", "in-records", text, dict(said), unsaid=TRAIT_UNSAID)


def with_nature(case: Case, answers: Sequence[Answer], nature: Nature) -> tuple[Answer, ...]:
    """Return the answers after those that the nature of the airframe gives; one given by hand stands before it."""
    done = {answer.sign for answer in answers}
    found = []
    for sign in case.signs:
        is_open = is_trait(sign.id) and sign.id not in done
        if is_open and (holds := _holds(_trait(sign.id), nature)) is not None:
            found.append(Answer(sign.id, "seen" if holds else "not-seen", by="what is known of the aircraft"))
    return (*found, *answers)


def without_nature(answers: Sequence[Answer], nature: Nature) -> tuple[Answer, ...]:
    """Return the answers without those about traits that `nature` says itself."""
    return tuple(one for one in answers if not is_trait(one.sign) or _holds(_trait(one.sign), nature) is None)


def is_trait(sign: str) -> bool:
    """Return whether the id of a sign names a trait of the airframe."""
    return sign.startswith(f"{AIRFRAME}/")


def _trait(sign: str) -> str:
    return sign.partition("/")[2]


def _holds(trait: str, nature: Nature) -> bool | None:
    """Return whether the airframe is so; None when that is not known."""
    if trait == "outdoors":
        return nature.outdoors
    if trait.startswith("years-"):
        return None if nature.years is None else nature.years >= _years(trait)
    known = [built for built in nature.constructions if built != "any"]
    return trait in known if known else None


def _years(trait: str) -> int:
    return int(trait.partition("-")[2])
