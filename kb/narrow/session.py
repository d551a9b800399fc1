"""Answers as a session keeps them: put, undo, find the sign a person means, and show what each answer did."""

from __future__ import annotations

import heapq
from collections.abc import Sequence

from kb.errors import NotFound
from kb.names import nearest_names
from kb.narrow.records import Answer, Case, CaseSign, Effect, Move
from kb.narrow.weigh import shares

Answers = tuple[Answer, ...]


def put(answers: Sequence[Answer], answer: Answer) -> Answers:
    """Return the answers with this one last; an earlier answer about the same sign is replaced."""
    return (*(kept for kept in answers if kept.sign != answer.sign), answer)


def undo(answers: Sequence[Answer], sign: str | None = None) -> Answers:
    """Return the answers without the last one, or without the one about `sign`; the same when there is none."""
    if sign is None:
        return tuple(answers[:-1])
    return tuple(kept for kept in answers if kept.sign != sign)


def find_sign(case: Case, name: str) -> CaseSign:
    """Return the sign called `page/sign`, or `sign` alone where only one page of the case has it.

    Raises:
        NotFound: none or several are called so; it names the nearest, or all of them.
    """
    found = [sign for sign in case.signs if name in (sign.id, sign.id.partition("/")[2])]
    if len(found) == 1:
        return found[0]
    every = [sign.id for sign in case.signs]
    short = {sign_id.partition("/")[2]: sign_id for sign_id in every}
    near = [sign.id for sign in found] or [short.get(near, near) for near in nearest_names(name, [*short, *every])]
    raise NotFound("sign of this case", name, tuple(dict.fromkeys(near)))


def fitting(case: Case, answers: Sequence[Answer]) -> tuple[Answers, Answers]:
    """Return the answers about signs of this case, and those about signs it no longer has; for a kept session."""
    known = {sign.id for sign in case.signs}
    return (
        tuple(answer for answer in answers if answer.sign in known),
        tuple(answer for answer in answers if answer.sign not in known),
    )


def effects(case: Case, answers: Sequence[Answer], *, limit: int | None = None) -> list[Effect]:
    """Return what each answer did to the shares, in the order given, each on top of those before it.

    Args:
        limit: how many moves to keep of each answer, the largest; all when None.

    Raises:
        NotFound, ValueError: see `shares`.
    """
    texts = {sign.id: sign.text for sign in case.signs}
    before = shares(case, ())
    found = []
    for number, answer in enumerate(answers, start=1):
        after = shares(case, answers[:number])
        found.append(Effect(answer, texts[answer.sign], _moves(case, before, after, limit)))
        before = after
    return found


def _moves(case: Case, before: Sequence[float], after: Sequence[float], limit: int | None) -> tuple[Move, ...]:
    sizes = [
        (-abs(later - earlier), candidate.id, place)
        for place, (candidate, earlier, later) in enumerate(zip(case.candidates, before, after, strict=True))
    ]
    largest = sorted(sizes) if limit is None else heapq.nsmallest(limit, sizes)
    return tuple(Move(name, before[place], after[place]) for _, name, place in largest)
