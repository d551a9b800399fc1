"""Says where a narrowing stands, in the words both faces show. Pure; it weighs nothing."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from kb.model import URGENCY_WORDS
from kb.narrow import NONE
from kb.narrow.records import Effect, Hazard, Move, NextLook, OpenSign, Outcome, Standing
from kb.narrow.words import CLEAR, likelihood, percent
from kb.narrowed import Narrowed

BAR = "█"
SLIVER = "▏"
"""Drawn for a share too small for one cell, so that no cause looks impossible."""

AT_LEAST = 4
"""Causes shown whatever they hold."""

SPEAKABLE = 0.01
"""A cause below this is told in the sum of the rest; it would read "under 1 %"."""


class Step(Struct, frozen=True):
    """One thing to find out next: a look with its minutes, or a question to whoever was there.

    `question` is the sign; `head` gives minutes, access and tool, or the sense of a sign without a look; `act` is the
    look; `tells` how much it tells; `leads` which cause would lead after either answer; `limit` is the limit whose
    verdict settles the sign. The last four may be empty.
    """

    sign: str
    question: str
    head: str
    act: str = ""
    tells: str = ""
    leads: tuple[str, ...] = ()
    limit: str = ""

    @property
    def is_look(self) -> bool:
        """False when there is nothing to do but ask."""
        return bool(self.act)


def steps(narrowed: Narrowed) -> list[Step]:
    """Return what can be found out next: the looks, most bits per minute first, then what needs no look but asking."""
    return [
        *(_look_step(narrowed, look) for look in narrowed.looks),
        *(_ask_step(narrowed, ask) for ask in narrowed.asks),
    ]


def leading(narrowed: Narrowed, limit: int) -> tuple[list[Standing], int, float]:
    """Return the causes to show, how many are left out, and the share these hold together.

    Shown are the first AT_LEAST, up to `limit` where they hold SPEAKABLE or more, and the likeliest of each hazard.
    None-of-these is never among them, since it is always shown by itself (see `none_of_these`).
    """
    named = [one for one in narrowed.verdict.standings if one.candidate.id != NONE]
    pressing = {hazard.likeliest for hazard in narrowed.verdict.hazards}
    shown: list[Standing] = []
    left: list[Standing] = []
    for place, one in enumerate(named):
        is_shown = place < min(AT_LEAST, limit) or (place < limit and one.share >= SPEAKABLE)
        (shown if is_shown or one.candidate.id in pressing else left).append(one)
    return shown, len(left), sum(one.share for one in left)


def none_of_these(narrowed: Narrowed) -> Standing:
    """Return where the causes stand that no page of the case names."""
    return next(one for one in narrowed.verdict.standings if one.candidate.id == NONE)


def is_pressing(narrowed: Narrowed, standing: Standing) -> bool:
    """Return whether the cause is one of those of a page that must be settled before further flight."""
    candidate = standing.candidate
    is_urgent = candidate.urgency == "before-flight"
    return is_urgent and any(hazard.entry == candidate.entry for hazard in narrowed.verdict.hazards)


def hazard_line(hazard: Hazard) -> str:
    """Return what must be settled before further flight and the share its causes hold, without its reason."""
    return f"settle first ({percent(hazard.share)}): {hazard.title}"


def fit_line(narrowed: Narrowed) -> str:
    """Return whether one cause leads, and how much a cause holds that no page of the case names."""
    none = narrowed.verdict.none_share
    outside = f"none of these: {percent(none)}, {likelihood(none)}"
    if narrowed.verdict.nothing_fits:
        return f"Nothing here fits well; {outside}. Look wider."
    lead = leading(narrowed, 1)[0][0]
    if lead.share < CLEAR:
        return f"No cause leads clearly yet; {outside}."
    return f"Foremost at {percent(lead.share)}, {lead.words}; {outside}."


def why(standing: Standing, *, expected: int = 3) -> list[tuple[str, str]]:
    """Return what speaks for and against a cause and what it would still show, each with its word: for, against, ..."""
    told = [("for", f"{_said(one.said)}: {one.text} ({one.words})") for one in standing.speaks_for]
    told += [("against", f"{_said(one.said)}: {one.text} ({one.words})") for one in standing.speaks_against]
    told += [("expect", f"{one.text} ({percent(one.chance)})") for one in standing.expected[:expected]]
    return told


def urgency_of(standing: Standing) -> str:
    """Return the urgency of the cause's page in words; nothing for none-of-these."""
    return "" if standing.candidate.id == NONE else URGENCY_WORDS[standing.candidate.urgency]


def bar(share: float, cells: int) -> str:
    """Return a share of 0 to 1 as a bar; `cells` is the length of the whole, for every bar the same.

    >>> bar(0.5, 8), bar(0.001, 8)
    ('████', '▏')
    """
    return BAR * round(share * cells) or SLIVER


def short(text: str, most: int) -> str:
    """Return text of at most `most` characters, cut between words and marked where it is cut.

    >>> short("Tape was wrapped on tapered threads", 20)
    'Tape was wrapped on…'
    """
    text = " ".join(text.split())
    if len(text) <= most:
        return text
    whole_words = text[:most].rpartition(" ")[0]
    return (whole_words or text[: most - 1]) + "…"


def effect_words(narrowed: Narrowed, effect: Effect) -> str:
    """Return what an answer did: the answer, the causes it moved most, from share to share, and what settled it."""
    by = f"\n{effect.answer.by}" if effect.answer.by else ""
    return f"{_said(effect.answer.said)}: {short(effect.text, 66)}\n{_moved(narrowed, effect.moves)}{by}"


def nature_line(narrowed: Narrowed) -> str:
    """Return what is known of the airframe, in one line; empty when nothing is."""
    session = narrowed.session
    told = [", ".join(session.constructions).replace("-", " ")] if session.constructions else []
    if session.years is not None:
        told.append(f"{session.years} {'year' if session.years == 1 else 'years'} in service")
    if session.outdoors is not None:
        told.append("kept outdoors" if session.outdoors else "kept indoors")
    return "; ".join(told)


def nature_words(before: Narrowed, after: Narrowed) -> str:
    """Return what is known of the airframe, and what knowing it did, in two lines."""
    earlier = {one.candidate.id: one.share for one in before.verdict.standings}
    moves = [Move(one.candidate.id, earlier[one.candidate.id], one.share) for one in after.verdict.standings]
    moves.sort(key=lambda move: (-abs(move.after - move.before), move.candidate))
    return f"the aircraft: {nature_line(after) or 'not known'}\n{_moved(after, moves)}"


def undo_words(narrowed: Narrowed, sign: str, effect: Effect | None) -> str:
    """Return what taking back the last act did, in two lines; `effect` is that of the answer, None for a pass."""
    moved = _moved(narrowed, effect.moves, is_back=True) if effect else "No cause moves."
    return f"taken back: {short(narrowed.sign_text(sign), 64)}\n{moved}"


def _moved(narrowed: Narrowed, largest: Sequence[Move], *, is_back: bool = False) -> str:
    moves = []
    for move in largest[:2]:
        before, after = (move.after, move.before) if is_back else (move.before, move.after)
        if percent(before) != percent(after):
            name = "none of these" if move.candidate == NONE else short(narrowed.cause_text(move.candidate), 24)
            moves.append(f"{percent(before)} to {percent(after)}: {name}")
    return "; ".join(moves) or "It moves no cause by a whole per cent."


def _said(said: str) -> str:
    return said.replace("-", " ")


def _look_step(narrowed: Narrowed, found: NextLook) -> Step:
    look = found.look
    return Step(
        look.sign,
        found.sign_text,
        head=", ".join([f"{look.minutes} min", look.access, *([look.tool] if look.tool else [])]),
        act=look.text,
        tells=f"tells {found.bits:.2f} bit, {found.bits_per_minute:.3f} a minute",
        leads=(f"seen: {_lead(narrowed, found.if_seen)}", f"not seen: {_lead(narrowed, found.if_not_seen)}"),
        limit=_limit_of(narrowed, look.sign),
    )


def _lead(narrowed: Narrowed, outcome: Outcome) -> str:
    name = "none of these" if outcome.candidate == NONE else short(narrowed.cause_text(outcome.candidate), 46)
    return f"{percent(outcome.share)} {name}"


def _limit_of(narrowed: Narrowed, sign: str) -> str:
    limit = narrowed.sign(sign).limit
    return limit.id if limit else ""


def _ask_step(narrowed: Narrowed, ask: OpenSign) -> Step:
    limit = _limit_of(narrowed, ask.sign)
    return Step(ask.sign, ask.text, head=ask.sense.replace("-", " "), tells=f"tells {ask.bits:.2f} bit", limit=limit)


def pages_line(narrowed: Narrowed) -> str:
    """Return what is being narrowed, in one line."""
    count = len(narrowed.session.pages)
    pages = "1 page" if count == 1 else f"{count} pages"
    known = f"; {nature}" if (nature := nature_line(narrowed)) else ""
    return f"{short(narrowed.session.question, 60)} ({pages}, {len(narrowed.case.candidates) - 1} causes){known}"
