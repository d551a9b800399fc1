"""Where a narrowing stands: a session with its case and all that the case says after its answers. It weighs nothing."""

from __future__ import annotations

from msgspec import Struct
from msgspec.structs import replace

from kb.narrow import Answer, Case, CaseSign, Session, effects, judge, next_looks, open_signs, with_nature
from kb.narrow.records import Effect, NextLook, OpenSign, Verdict

LOOKS = 5
"""Looks, and signs to ask about, that are offered at most."""


class Narrowed(Struct, frozen=True):
    """A session with its case and what the case says now.

    `id` names the session, whether it is kept yet or not. `touched` are the signs answered or passed over, in the order
    of doing so. `looks` and `asks` leave out signs passed over; `asks` are signs that no look of the case settles.
    `effects` are those of the answers, in order. `forgotten` are kept answers about signs the pages no longer have.
    `note` says what the last act did; empty before any.
    """

    id: str
    session: Session
    case: Case
    verdict: Verdict
    looks: tuple[NextLook, ...]
    asks: tuple[OpenSign, ...]
    effects: tuple[Effect, ...] = ()
    touched: tuple[str, ...] = ()
    finding: str | None = None
    forgotten: tuple[Answer, ...] = ()
    note: str = ""

    @property
    def passed(self) -> tuple[str, ...]:
        """Signs that could not be looked at."""
        done = {answer.sign for answer in self.session.answers}
        return tuple(sign for sign in self.touched if sign not in done)

    @property
    def handle(self) -> str:
        """The end of the id, as people type it."""
        return self.id[-8:]

    def sign_text(self, sign: str) -> str:
        """Return the text of a sign of the case."""
        return self.sign(sign).text

    def sign(self, name: str) -> CaseSign:
        """Return the sign of the case with this id."""
        return next(one for one in self.case.signs if one.id == name)

    def cause_text(self, candidate: str) -> str:
        """Return the text of a candidate of the case."""
        return next(one.text for one in self.case.candidates if one.id == candidate)


def with_answers(narrowed: Narrowed, answers: tuple[Answer, ...], touched: tuple[str, ...]) -> Narrowed:
    """Return where the same case stands after other answers."""
    session = replace(narrowed.session, answers=answers)
    moved = stand(narrowed.id, narrowed.case, session, touched)
    return replace(moved, finding=narrowed.finding, forgotten=narrowed.forgotten)


def stand(identifier: str, case: Case, session: Session, touched: tuple[str, ...]) -> Narrowed:
    """Return where a session stands on its case; signs passed over are offered no more."""
    passed = set(touched) - {answer.sign for answer in session.answers}
    answers = with_nature(case, session.answers, session.nature)
    looks = next_looks(case, answers, limit=LOOKS + len(passed))
    unasked = passed | {look.sign for look in case.looks}
    asks = open_signs(case, answers, limit=LOOKS, leave_out=unasked)
    return Narrowed(
        id=identifier,
        session=session,
        case=case,
        verdict=judge(case, answers),
        looks=tuple(look for look in looks if look.look.sign not in passed)[:LOOKS],
        asks=tuple(asks),
        effects=tuple(effects(case, answers, limit=3)),
        touched=touched,
    )
