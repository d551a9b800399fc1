"""What to look at next: the looks by the doubt they are expected to remove per minute, and signs worth asking about."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from kb.narrow.records import Answer, Case, CaseSign, NextLook, OpenSign, Outcome
from kb.narrow.weigh import chance_of, chance_seen, expected_drop, shares

TELLS_NOTHING = 1e-9
"""Bits below which a sign is not worth naming; rounding alone gives about 1e-16."""


def next_looks(case: Case, answers: Sequence[Answer], limit: int | None = 5) -> list[NextLook]:
    """Return the looks at signs not answered yet, most bits per minute first; ties by sign id, then as written.

    Raises:
        NotFound, ValueError: see `shares`.
    """
    held = shares(case, answers)
    signs = {sign.id: sign for sign in _unanswered(case, answers)}
    bits = {look.sign: expected_drop(signs[look.sign], held) for look in case.looks if look.sign in signs}
    ranked = [
        (-bits[look.sign] / look.minutes, look.sign, number)
        for number, look in enumerate(case.looks)
        if bits.get(look.sign, 0.0) > TELLS_NOTHING
    ]
    return [
        _next_look(case, held, signs[sign], number, bits[sign], -rate) for rate, sign, number in sorted(ranked)[:limit]
    ]


def open_signs(
    case: Case, answers: Sequence[Answer], limit: int | None = 10, *, leave_out: Collection[str] = ()
) -> list[OpenSign]:
    """Return the signs not answered yet, most bits first, ties by id: what to ask, at no minutes, who was there.

    Args:
        leave_out: ids of signs that are not asked about.

    Raises:
        NotFound, ValueError: see `shares`.
    """
    held = shares(case, answers)
    asked = [sign for sign in _unanswered(case, answers) if sign.id not in leave_out]
    found = [OpenSign(sign.id, sign.sense, sign.text, expected_drop(sign, held)) for sign in asked]
    telling = [sign for sign in found if sign.bits > TELLS_NOTHING]
    return sorted(telling, key=lambda sign: (-sign.bits, sign.sign))[:limit]


def _unanswered(case: Case, answers: Sequence[Answer]) -> list[CaseSign]:
    done = {answer.sign for answer in answers}
    return [sign for sign in case.signs if sign.id not in done]


def _next_look(case: Case, held: Sequence[float], sign: CaseSign, number: int, bits: float, rate: float) -> NextLook:
    return NextLook(
        look=case.looks[number],
        sign_text=sign.text,
        bits=bits,
        bits_per_minute=rate,
        chance_seen=chance_seen(sign, held),
        if_seen=_outcome(case, held, sign, is_seen=True),
        if_not_seen=_outcome(case, held, sign, is_seen=False),
    )


def _outcome(case: Case, held: Sequence[float], sign: CaseSign, *, is_seen: bool) -> Outcome:
    after = [share * chance_of(sign, place, is_seen=is_seen) for place, share in enumerate(held)]
    best = max(range(len(after)), key=lambda place: (after[place], -place))
    return Outcome(case.candidates[best].id, after[best] / sum(after))
