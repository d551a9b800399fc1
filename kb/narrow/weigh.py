"""Exact inference: the share of each candidate given the answers, and the doubt a sign is expected to remove.

The model: exactly one candidate is true; given it, signs are independent. So a share is prior x product of
P(answer | candidate), divided by the sum over all candidates; a sign without an answer sums to 1 and drops out.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import lru_cache

from kb.errors import NotFound
from kb.narrow.records import Answer, Case, CaseSign


def shares(case: Case, answers: Sequence[Answer]) -> tuple[float, ...]:
    """Return the share of each candidate of the case, in the case's order; 0 to 1, together 1.

    The order of answers makes no difference, to the last bit: they are taken in the order of the case's signs.

    Raises:
        NotFound: an answer is about a sign this case does not have.
        ValueError: a sign is answered twice.
    """
    # Logarithms, since some hundred answers would leave the range of floats.
    logs = [math.log(candidate.prior) for candidate in case.candidates]
    for sign, is_seen in answered(case, answers):
        elsewhere = _log_chance(sign.unsaid, is_seen)
        for place, chance in sign.said.items():
            logs[place] += _log_chance(chance, is_seen) - elsewhere
    highest = max(logs)
    weights = [math.exp(log - highest) for log in logs]
    total = math.fsum(weights)
    return tuple(weight / total for weight in weights)


def answered(case: Case, answers: Sequence[Answer]) -> Iterator[tuple[CaseSign, bool]]:
    """Yield each answered sign of the case, in the case's order, and whether it was seen.

    Raises:
        NotFound, ValueError: see `shares`.
    """
    seen = {answer.sign: answer.said == "seen" for answer in answers}
    if len(seen) < len(answers):
        raise ValueError("a sign is answered twice; put() replaces an answer")
    found = [(sign, seen.pop(sign.id)) for sign in case.signs if sign.id in seen]
    if seen:
        raise NotFound("sign of this case", min(seen))
    yield from found


def chance_of(sign: CaseSign, place: int, *, is_seen: bool = True) -> float:
    """Return P(sign seen, or not seen | the candidate at `place`)."""
    chance = sign.said.get(place, sign.unsaid)
    return chance if is_seen else 1 - chance


def chance_seen(sign: CaseSign, held: Sequence[float]) -> float:
    """Return P(sign seen) while the candidates hold the shares `held`."""
    return _means(sign, held)[0]


def expected_drop(sign: CaseSign, held: Sequence[float]) -> float:
    """Return the bits by which the entropy over the candidates is expected to fall when the sign is answered.

    It is the mutual information of sign and cause: H(sign) - sum of share x H(sign | candidate). That is the entropy
    now less the mean entropy after, without working out either; only rounding could take it below 0.
    """
    seen, doubt = _means(sign, held)
    return max(_entropy_of(seen) - doubt, 0.0)


def _means(sign: CaseSign, held: Sequence[float]) -> tuple[float, float]:
    """Return the means over the candidates of P(seen | candidate) and of the entropy of that yes-or-no, bits."""
    spoken_of = seen = doubt = 0.0
    for place, chance in sign.said.items():
        share = held[place]
        spoken_of += share
        seen += share * chance
        doubt += share * _entropy_of_word(chance)
    if len(sign.said) == len(held):
        return seen, doubt
    rest = max(1 - spoken_of, 0.0)
    return seen + rest * sign.unsaid, doubt + rest * _entropy_of_word(sign.unsaid)


def _entropy_of(chance: float) -> float:
    """Return the entropy of a yes-or-no of this chance, bits."""
    if not 0 < chance < 1:
        return 0.0
    return -chance * math.log2(chance) - (1 - chance) * math.log2(1 - chance)


_entropy_of_word = lru_cache(maxsize=1024)(_entropy_of)  # the pages use five chances and their means


def _log_chance(chance: float, is_seen: bool) -> float:
    return math.log(chance if is_seen else 1 - chance)
