"""What one candidate accepts for each measurement, and what the evidence therefore says about it. Pure.

Only marks of status read, secondary or common-practice decide. A hint, or a mark known from memory alone, is told and
may order candidates that are otherwise equal; it never fits or contradicts.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from msgspec import Struct

from kb.identify.model import Candidate, Given, Key, Mark, Measurement, Size, Statement
from kb.identify.quantity import spell
from kb.model import Checked, Source

EDGE = 1e-9
"""Slack of a comparison, in the unit of the measurement, so that a figure typed at the limit is at the limit."""

Span = tuple[float, float]
Accepted = frozenset[str] | tuple[Span, ...]
_TRUST: tuple[Checked, ...] = ("read", "secondary", "common-practice", "memory")


class Sides(Struct, frozen=True):
    """The statements about one candidate by side, its sizes left, and the hints and memories for and against it."""

    fits: tuple[Statement, ...]
    contradicts: tuple[Statement, ...]
    undecided: tuple[Statement, ...]
    sizes: tuple[Size, ...]
    hints_for: int
    hints_against: int


def trust_of(key: Key, sources: Iterable[str]) -> Checked:
    """Return the best status among the named sources."""
    known = {source.id: source.checked for source in key.sources}
    return min((known[name] for name in sources), key=_TRUST.index)


def sources_of(key: Key, names: Iterable[str]) -> tuple[Source, ...]:
    """Return the named sources as records, in the order named."""
    known = {source.id: source for source in key.sources}
    return tuple(known[name].as_source() for name in names)


def decides(key: Key, mark: Mark) -> bool:
    """True when the mark may fit or contradict."""
    return not mark.hint and trust_of(key, mark.sources) != "memory"


def accepted(key: Key, candidate: Candidate, measurement: Measurement) -> Accepted | None:
    """Return what decides for the candidate: choice ids, or spans with their tolerance; None when nothing does."""
    for mark in candidate.marks:
        if mark.measure == measurement.id and decides(key, mark):
            return _accepts(mark, measurement)
    if _sizes_decide(key, candidate):
        return tuple(span_of(size, measurement) for size in candidate.sizes if measurement.id in size.at) or None
    return None


def span_of(size: Size, measurement: Measurement) -> Span:
    """Return the ends of one figure of a size, with the tolerance of its measurement."""
    figure = size.at[measurement.id]
    low, high = figure if isinstance(figure, tuple) else (figure, figure)
    return low - measurement.within, high + measurement.within


def meets(given: Given, wanted: Accepted) -> bool:
    """True when the evidence may be one of the accepted."""
    if isinstance(wanted, frozenset):
        return not wanted.isdisjoint(given.choices)
    value = given.value
    return value is not None and any(low - EDGE <= value <= high + EDGE for low, high in wanted)


def sizes_left(key: Key, candidate: Candidate, given: Mapping[str, Given]) -> tuple[Size, ...]:
    """Return the sizes that no figure given contradicts."""
    measurements = {item.id: item for item in key.measurements}

    def agrees(size: Size) -> bool:
        return all(meets(given[name], (span_of(size, measurements[name]),)) for name in size.at if name in given)

    return tuple(size for size in candidate.sizes if agrees(size))


def judge(key: Key, candidate: Candidate, given: Sequence[Given]) -> Sides:
    """Return everything the evidence says about one candidate, in the order of the key's measurements."""
    by_name = {item.measurement: item for item in given}
    left = sizes_left(key, candidate, by_name)
    told = [_statement(key, candidate, by_name[m.id], m) for m in key.measurements if m.id in by_name]
    statements = [statement for statement, _ in told]
    joint = _joint(key, candidate, by_name, left, statements)
    return Sides(
        fits=tuple(s for s in statements if s.verdict == "fits"),
        contradicts=(*(s for s in statements if s.verdict == "contradicts"), *joint),
        undecided=tuple(s for s in statements if s.verdict == "not-known"),
        sizes=left,
        hints_for=sum(side > 0 for _, side in told),
        hints_against=sum(side < 0 for _, side in told),
    )


def _statement(key: Key, candidate: Candidate, given: Given, measurement: Measurement) -> tuple[Statement, int]:
    """Say one thing about the candidate; the number is +1 or -1 for a hint or memory for or against it, else 0."""
    if not set(measurement.silent).isdisjoint(given.choices):
        return Statement(measurement.id, "not-known", f"{measurement.title}: {given.used} says nothing either way"), 0
    wanted = accepted(key, candidate, measurement)
    mark = next((mark for mark in candidate.marks if mark.measure == measurement.id), None)
    names = mark.sources if mark else candidate.size_sources
    if wanted is None and mark is None:
        sentence = f"{measurement.title}: nothing is recorded here for this one"
        return Statement(measurement.id, "not-known", sentence), 0
    if wanted is not None:
        agrees = meets(given, wanted)
        sentence = f"{measurement.title}: {given.used}{_expected(agrees, wanted, measurement)}{_standing(key, names)}"
        sentence += f" ({mark.note})" if mark and mark.note else ""
        return Statement(measurement.id, "fits" if agrees else "contradicts", sentence, sources_of(key, names)), 0
    assert mark is not None
    agrees = meets(given, _accepts(mark, measurement))
    kind = "a hint only" if mark.hint else "unverified, from memory"
    way = "agrees" if agrees else "differs"
    sentence = f"{measurement.title}: {given.used} {way} ({kind}{', ' + mark.note if mark.note else ''})"
    return Statement(measurement.id, "not-known", sentence, sources_of(key, names)), 1 if agrees else -1


def _joint(
    key: Key, candidate: Candidate, given: Mapping[str, Given], left: Sequence[Size], said: Sequence[Statement]
) -> tuple[Statement, ...]:
    """Say that figures which are each in the size table do not stand in one row of it."""
    if not candidate.sizes or left or not _sizes_decide(key, candidate):
        return ()
    figures = {name for size in candidate.sizes for name in size.at if name in given}
    if any(statement.verdict == "contradicts" and statement.measurement in figures for statement in said):
        return ()
    names = [measurement.id for measurement in key.measurements if measurement.id in figures]
    used = " with ".join(given[name].used for name in names)
    sentence = f"no size of it has {used} together"
    return (Statement("+".join(names), "contradicts", sentence, sources_of(key, candidate.size_sources)),)


def _sizes_decide(key: Key, candidate: Candidate) -> bool:
    return bool(candidate.sizes) and trust_of(key, candidate.size_sources) != "memory"


def _accepts(mark: Mark, measurement: Measurement) -> Accepted:
    if mark.any_of:
        return frozenset(mark.any_of)
    slack = measurement.within if mark.within is None else mark.within
    spans = [(value - slack, value + slack) for value in mark.at]
    if mark.low is not None or mark.high is not None:
        low = measurement.low if mark.low is None else mark.low - slack
        high = measurement.high if mark.high is None else mark.high + slack
        spans.append((low, high))
    return tuple(spans)


def _expected(agrees: bool, wanted: Accepted, measurement: Measurement) -> str:
    if agrees:
        return ", as it should be"
    if isinstance(wanted, frozenset):
        return f", expected {' or '.join(choice.text for choice in measurement.choices if choice.id in wanted)}"
    spans = [f"{spell(low, None)} to {spell(high, None)}" for low, high in wanted[:4]]
    more = f" or {len(wanted) - 4} more" if len(wanted) > 4 else ""
    return f", expected {', '.join(spans)}{more} ({measurement.unit})"


def _standing(key: Key, names: Iterable[str]) -> str:
    return " (common practice, no source)" if trust_of(key, names) == "common-practice" else ""
