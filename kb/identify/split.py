"""Which measurement, taken next, would divide the candidates left best. Pure arithmetic on what each accepts.

Every candidate left is held equally likely, and each of the outcomes it accepts equally likely; a candidate with
nothing recorded may give any outcome. The gain is the drop of entropy in bits that the answer brings on average.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from itertools import pairwise

from kb.identify.match import EDGE, Accepted, accepted, meets, sizes_left, span_of
from kb.identify.model import Candidate, Given, Key, Measurement, NextLook

LEAST_GAIN = 1e-6
"""Bits below which a look tells nothing."""

_Accepts = Callable[[Candidate, Measurement], Accepted | None]


def next_looks(key: Key, left: Sequence[Candidate], given: Sequence[Given]) -> tuple[NextLook, ...]:
    """Return the looks not yet taken that divide `left`: gentle ones first, then most bits, fewest minutes, id.

    A look that comes after a milder one is left out while that one would still divide `left`, and for good once that
    one has shown what ends the matter.
    """
    answered = {item.measurement: item for item in given}

    def accepts(candidate: Candidate, measurement: Measurement) -> Accepted | None:
        return _accepted_by_sizes_left(key, candidate, measurement, answered)

    looks = [
        (measurement, look)
        for measurement in key.measurements
        if measurement.id not in answered and (look := _look(measurement, left, accepts)) is not None
    ]
    open_ids = {measurement.id for measurement, _ in looks}
    offered = [
        look
        for measurement, look in looks
        if open_ids.isdisjoint(measurement.after) and not is_needless(measurement, given)
    ]
    return tuple(sorted(offered, key=_rank))


def is_needless(measurement: Measurement, given: Sequence[Given]) -> bool:
    """Return whether a milder measurement has shown already what this stronger one would be taken for."""
    return any(not set(item.choices).isdisjoint(measurement.after.get(item.measurement, ())) for item in given)


def _rank(look: NextLook) -> tuple[bool, float, int, str]:
    return look.last_resort, -round(look.gain_bits, 9), look.minutes, look.measurement


def tells_apart(key: Key, first: Candidate, second: Candidate) -> tuple[str, ...]:
    """Return the measurements of which no outcome fits both, in the key's order."""
    found = []
    for measurement in key.measurements:
        one, other = accepted(key, first, measurement), accepted(key, second, measurement)
        if one is not None and other is not None and not _overlap(one, other):
            found.append(measurement.id)
    return tuple(found)


def _accepted_by_sizes_left(
    key: Key, candidate: Candidate, measurement: Measurement, answered: dict[str, Given]
) -> Accepted | None:
    wanted = accepted(key, candidate, measurement)
    if wanted is None or not candidate.sizes or any(mark.measure == measurement.id for mark in candidate.marks):
        return wanted
    rows = sizes_left(key, candidate, answered)
    return tuple(span_of(size, measurement) for size in rows if measurement.id in size.at) or wanted


def _look(measurement: Measurement, left: Sequence[Candidate], accepts: _Accepts) -> NextLook | None:
    wanted = [accepts(candidate, measurement) for candidate in left]
    if all(one is None for one in wanted):
        return None
    outcomes = _outcomes(measurement, wanted)
    shares = [_shares(measurement, outcomes, one) for one in wanted]
    gain, expected_left = _gain(shares, len(outcomes))
    if gain < LEAST_GAIN:
        return None
    minutes = f"{measurement.minutes} minute{'s' if measurement.minutes > 1 else ''}"
    lead = "last resort: " if measurement.last else ""
    sentence = (
        f"{lead}{measurement.title} ({minutes}): of {len(left)} left about {expected_left:.1f} would still fit"
        f" ({gain:.2f} of {math.log2(len(left)):.2f} bits)"
    )
    return NextLook(
        measurement.id, measurement.title, measurement.how, measurement.minutes, measurement.cautions,
        gain, expected_left, measurement.last, sentence,
    )  # fmt: skip


def _outcomes(measurement: Measurement, wanted: Sequence[Accepted | None]) -> list[str | float]:
    """Return what may be found: the choices, or for a figure the middle of each piece the spans cut the scale into."""
    if measurement.kind == "choice":
        return [choice.id for choice in measurement.choices if choice.id not in measurement.silent]
    ends = sorted({end for one in wanted if isinstance(one, tuple) for span in one for end in span})
    middles: list[str | float] = [(low + high) / 2 for low, high in pairwise(ends) if high - low > 2 * EDGE]
    points: list[str | float] = [low for one in wanted if isinstance(one, tuple) for low, high in one if low == high]
    spans = [span for one in wanted if isinstance(one, tuple) for span in one]
    inside = [middle for middle in middles if any(low <= float(middle) <= high for low, high in spans)]
    return sorted({*inside, *points}, key=float)


def _shares(measurement: Measurement, outcomes: Sequence[str | float], wanted: Accepted | None) -> list[float]:
    """Return how likely each outcome is for one candidate."""
    fits = [wanted is None or _is_accepted(measurement, outcome, wanted) for outcome in outcomes]
    return [fit / sum(fits) if any(fits) else 0.0 for fit in fits]


def _is_accepted(measurement: Measurement, outcome: str | float, wanted: Accepted) -> bool:
    if isinstance(outcome, str):
        return meets(Given(measurement.id, "", "", choices=(outcome,)), wanted)
    return meets(Given(measurement.id, "", "", value=outcome), wanted)


def _gain(shares: Sequence[Sequence[float]], outcomes: int) -> tuple[float, float]:
    """Return the expected drop of entropy in bits, and how many candidates would still fit, on average."""
    if len(shares) < 2:
        return 0.0, float(len(shares))
    before, after, fitting = math.log2(len(shares)), 0.0, 0.0
    for column in range(outcomes):
        weights = [row[column] / len(shares) for row in shares]
        total = sum(weights)
        if total > 0:
            after += total * _entropy([weight / total for weight in weights])
            fitting += total * sum(weight > 0 for weight in weights)
    return before - after, fitting


def _entropy(parts: Sequence[float]) -> float:
    return -sum(part * math.log2(part) for part in parts if part > 0)


def _overlap(one: Accepted, other: Accepted) -> bool:
    if isinstance(one, frozenset) or isinstance(other, frozenset):
        return isinstance(one, frozenset) and isinstance(other, frozenset) and not one.isdisjoint(other)
    return any(low <= top + EDGE and bottom <= high + EDGE for low, high in one for bottom, top in other)
