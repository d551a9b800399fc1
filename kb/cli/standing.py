"""Prints where a narrowing stands: hazards first, the causes, what to look at next; as text or as a record."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

import msgspec

from kb.cli import output
from kb.model import CAUTION, SHORT_CAUTION
from kb.narrow.records import Standing
from kb.narrow.words import percent
from kb.narrowed import Narrowed
from kb.narrowtelling import (
    Step,
    bar,
    fit_line,
    hazard_line,
    leading,
    none_of_these,
    pages_line,
    short,
    steps,
    urgency_of,
    why,
)

if TYPE_CHECKING:
    from kb.limits.model import Result

EDGE = 17
"""Columns of the left edge, as on every printed page."""

SHARE = 11
"""Columns in which a share is printed."""

SCALE = 30
"""Columns of the whole: a bar this long is 100 %."""

CAUSES, CAUSES_IN_TALK = 8, 3
STEPS, STEPS_IN_TALK = 10, 2
"""Lines printed at most. In a talk few, so that the hazards on top still stand on a terminal of 24 lines."""


def whole(narrowed: Narrowed) -> None:
    """Print everything in plain lines, without bars: for reading, reading aloud and keeping."""
    _hazards(narrowed)
    output.wrapped(pages_line(narrowed))
    _causes(narrowed)
    _effects(narrowed)
    _steps(narrowed, STEPS)
    output.data()
    _confirm_line(narrowed)
    output.wrapped(CAUTION)


def brief(narrowed: Narrowed) -> None:
    """Print what a person in a terminal needs for the next answer: hazards, leading causes as bars, next looks."""
    if narrowed.touched:
        for hazard in narrowed.verdict.hazards:
            output.data(f"{'BEFORE FLIGHT':<{EDGE}}{_one_line(hazard_line(hazard), EDGE).strip()}")
    else:
        _hazards(narrowed)
    for line in (narrowed.note or pages_line(narrowed)).splitlines():
        output.wrapped(line)
    output.data(fit_line(narrowed))
    shown, left, share = leading(narrowed, CAUSES_IN_TALK)
    for place, standing in enumerate(shown):
        output.data(_share_line(standing, with_bar=True))
        output.data(_one_line(standing.candidate.text, SHARE))
        for word, text in why(standing, expected=1)[:2] if place == 0 else ():
            output.data(_one_line(f"{word:<8}{text}", SHARE))
    rest = f"; {left} more causes, {percent(share)}" if left else ""
    none = none_of_these(narrowed).share
    output.data(f"{percent(none):<{SHARE}}{bar(none, SCALE):<{SCALE + 2}}none of these{rest}")
    _brief_steps(narrowed)
    _confirm_line(narrowed)
    output.wrapped(SHORT_CAUTION)


def verdict(result: Result, unsettled: str) -> None:
    """Print a limit's verdict with every condition it stands on, and why it settled nothing if so."""
    from kb.limits.telling import tell_result

    output.data(f"{result.title}  ({result.limit}, {result.system})")
    output.wrapped(result.sentence)
    for row in tell_result(result):
        output.wrapped(row.text, mark=row.mark, indent=EDGE)
    if unsettled:
        output.data()
        output.wrapped(unsettled)
    output.data()


def as_record(narrowed: Narrowed, *, is_kept: bool, measured: Sequence[Result] = ()) -> dict[str, Any]:
    """Return all of it as plain values: causes by share, looks and signs with the names that answers use."""
    stands = narrowed.verdict
    record = {
        "session": narrowed.id if is_kept else None,
        "finding": narrowed.finding,
        "question": narrowed.session.question,
        "pages": narrowed.session.pages,
        "constructions": narrowed.session.constructions,
        "years": narrowed.session.years,
        "outdoors": narrowed.session.outdoors,
        "measured": measured,
        "says": stands.says,
        "hazards": stands.hazards,
        "nothing_fits": stands.nothing_fits,
        "none_share": stands.none_share,
        "settled": stands.settled,
        "causes": stands.standings,
        "answers": narrowed.session.answers,
        "passed": narrowed.passed,
        "forgotten": narrowed.forgotten,
        "effects": narrowed.effects,
        "looks": narrowed.looks,
        "asks": narrowed.asks,
        "signs": [
            {"id": sign.id, "sense": sign.sense, "text": sign.text, "limit": sign.limit and sign.limit.id}
            for sign in narrowed.case.signs
        ],
    }
    plain: dict[str, Any] = msgspec.to_builtins(record)
    return plain


def _hazards(narrowed: Narrowed) -> None:
    for hazard in narrowed.verdict.hazards:
        output.wrapped(f"{hazard_line(hazard)}. {hazard.why}", mark="BEFORE FLIGHT", indent=EDGE)
    if narrowed.verdict.hazards:
        output.data()


def _causes(narrowed: Narrowed) -> None:
    shown, left, share = leading(narrowed, CAUSES)
    output.wrapped(fit_line(narrowed))
    for standing in shown:
        _cause(standing)
        for word, text in why(standing):
            output.wrapped(text, mark=f"{'':<{SHARE}}{word}", indent=SHARE + 8)
    _cause(none_of_these(narrowed))
    if left:
        output.wrapped(f"{left} more causes, together {percent(share)}", indent=SHARE)


def _cause(standing: Standing) -> None:
    output.data()
    output.data(_share_line(standing, with_bar=False))
    output.wrapped(standing.candidate.text, indent=SHARE)
    if standing.candidate.names:
        output.data(f"{'':<{SHARE}}{standing.candidate.names[0]}")


def _share_line(standing: Standing, *, with_bar: bool) -> str:
    words = [standing.words, *([urgency] if (urgency := urgency_of(standing)) else [])]
    drawn = f"{bar(standing.share, SCALE):<{SCALE + 2}}" if with_bar else ""
    return f"{percent(standing.share):<{SHARE}}{drawn}{', '.join(words)}"


def _one_line(text: str, indent: int) -> str:
    return " " * indent + short(text, output.width() - indent)


def _effects(narrowed: Narrowed) -> None:
    if not narrowed.effects:
        return
    output.data("\nWhat each answer did")
    for effect in narrowed.effects:
        output.wrapped(f"{effect.answer.said.replace('-', ' ')}: {effect.text}", indent=2)
        for move in effect.moves:
            name = narrowed.cause_text(move.candidate)
            output.wrapped(f"{percent(move.before)} to {percent(move.after)}: {short(name, 60)}", indent=SHARE)
        if effect.answer.by:
            output.wrapped(effect.answer.by, mark=f"{'':<{SHARE}}by", indent=SHARE + 8)


def _steps(narrowed: Narrowed, limit: int) -> None:
    offered = steps(narrowed)
    output.data(f"\n{_headline(offered)}")
    asked = False
    for number, step in enumerate(offered[:limit], start=1):
        if not step.is_look and not asked:
            asked = True
            output.data("Or ask whoever was there")
        _step(number, step, f"{step.question}  [{step.sign}]")


def _brief_steps(narrowed: Narrowed) -> None:
    """Print the first step whole, the others in one line each."""
    offered = steps(narrowed)
    more = f"  (1 to {len(offered)} can be answered; w shows all)" if len(offered) > STEPS_IN_TALK else ""
    output.data(_headline(offered) + more)
    for number, step in enumerate(offered[:STEPS_IN_TALK], start=1):
        if number == 1:
            _step(number, step, step.question, with_leads=False)
        else:
            minutes = step.head.partition(",")[0] if step.is_look else "ask"
            output.data(f"{number:>2}  {short(f'{minutes}: {step.question}', output.width() - 4)}")


def _step(number: int, step: Step, question: str, *, with_leads: bool = True) -> None:
    output.wrapped(question, mark=f"{number:>2}", indent=4)
    output.wrapped(f"{step.head}: {step.act}" if step.act else step.head, indent=4)
    output.wrapped("; ".join([step.tells, *(step.leads if with_leads else ())]), indent=4)
    if step.limit:
        how = f"--measured '{step.limit} INPUT=VALUE ...'" if with_leads else f"m INPUT=VALUE ..., limit {step.limit}"
        output.wrapped(f"a measurement answers it: {how}", indent=4)


def _headline(offered: Sequence[Step]) -> str:
    return "Look next" if offered else "There is nothing left to look at that would tell these causes apart."


def _confirm_line(narrowed: Narrowed) -> None:
    if narrowed.verdict.settled:
        cause = narrowed.verdict.standings[0].candidate.names[0]
        output.wrapped(f'Once it is confirmed: oddfix add --airframe NAME --cause {cause} "what was found"')
