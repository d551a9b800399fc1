"""Ranks the candidates of a key by partial evidence, and says no more than the evidence does."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from kb.identify.evidence import read_evidence
from kb.identify.load import key as load_key
from kb.identify.match import Sides, judge, sources_of, trust_of
from kb.identify.model import Apart, Candidate, Given, Identification, Key, NextLook, Standing, Verdict
from kb.identify.split import is_needless, next_looks, tells_apart
from kb.model import CAUTION

_Judged = tuple[Candidate, Sides]


def identify(key: str | Key, evidence: Mapping[str, str | float]) -> Identification:
    """Return where every candidate of the key stands, the best next look, and what must be kept apart.

    Candidates come best first: not contradicted before contradicted, then more marks that fit, then more hints;
    equals by id. With no evidence, or evidence that divides nothing, no candidate has a place.

    Raises:
        NotFound: no key of that id.
        EvidenceProblem: evidence this key cannot use; the sentence names the measurement and what it may be.
        KeyProblems: the key's own file is broken.
    """
    table = load_key(key) if isinstance(key, str) else key
    given = read_evidence(table, evidence)
    judged = [(candidate, judge(table, candidate, given)) for candidate in table.candidates]
    left = [candidate for candidate, sides in judged if not sides.contradicts]
    looks = next_looks(table, left, given)
    return Identification(
        key=table.id,
        title=table.title,
        claim=_claim(table, judged, given, looks),
        given=given,
        candidates=_standings(table, judged, given),
        next=looks[0] if looks else None,
        others=looks[1:],
        look_alikes=_look_alikes(table, left),
        cannot_tell=_cannot_tell(table, left),
        warnings=_warnings(table, judged, given, looks),
        caution=CAUTION,
    )


def _order(sides: Sides) -> tuple[int, int, int]:
    return (len(sides.contradicts), -len(sides.fits), sides.hints_against - sides.hints_for)


def _standings(key: Key, judged: Sequence[_Judged], given: Sequence[Given]) -> tuple[Standing, ...]:
    ordered = sorted(judged, key=lambda pair: (_order(pair[1]), pair[0].id))
    ranks = sorted({_order(sides) for _, sides in judged})
    done = {item.measurement for item in given} | {m.id for m in key.measurements if is_needless(m, given)}
    return tuple(
        Standing(
            id=candidate.id,
            title=candidate.title,
            means=candidate.means,
            verdict=verdict_of(sides),
            place=ranks.index(_order(sides)) + 1 if len(ranks) > 1 else None,
            fits=sides.fits,
            contradicts=sides.contradicts,
            undecided=sides.undecided,
            still=_still(key, candidate, done),
            sizes=tuple(size.label for size in sides.sizes),
        )
        for candidate, sides in ordered
    )


def verdict_of(sides: Sides) -> Verdict:
    """Return one word for all statements: one contradiction outweighs any number of fits."""
    if sides.contradicts:
        return "contradicts"
    return "fits" if sides.fits else "not-known"


def _still(key: Key, candidate: Candidate, done: set[str]) -> tuple[str, ...]:
    """Return the measurements this candidate has a mark or size for and that are neither taken nor needless."""
    marked = {mark.measure for mark in candidate.marks} | {name for size in candidate.sizes for name in size.at}
    return tuple(item.id for item in key.measurements if item.id in marked - done)


def _claim(key: Key, judged: Sequence[_Judged], given: Sequence[Given], looks: Sequence[NextLook]) -> str:
    left = [(candidate, sides) for candidate, sides in judged if not sides.contradicts]
    total = len(key.candidates)
    if not given:
        return f"nothing measured yet; this key knows {total} candidates"
    if not left:
        return (
            f"none of the {total} candidates of this key agrees with everything given: measure again, or it is"
            " something this key does not know"
        )
    fitting = [candidate.title for candidate, sides in left if sides.fits]
    unknown = len(left) - len(fitting)
    if len(left) == 1:
        return _only_one(key, left[0], total)
    more = "" if looks else "; nothing in this key divides them further"
    if not fitting:
        return f"{len(left)} of {total} are not contradicted, and nothing given fits any of them yet{more}"
    rest = f"; {unknown} more are not contradicted" if unknown else ""
    if len(fitting) > 4:
        return f"{len(fitting)} of {total} fit so far{rest}{more}"
    return f"{'; '.join(fitting)}: fit{'s' if len(fitting) == 1 else ''} so far{rest}{more}"


def _only_one(key: Key, pair: _Judged, total: int) -> str:
    candidate, sides = pair
    if not sides.fits:
        return f"{candidate.title} is the only one of {total} not contradicted, but nothing given fits it yet"
    weak = all(source.checked == "common-practice" for said in sides.fits for source in said.sources)
    ground = "; what fits is common practice, with no document behind it" if weak else ""
    only = f"{candidate.title} is the only one of the {total} this key knows that still fits{ground}"
    return f"{only}; something this key does not know is not excluded"


def _look_alikes(key: Key, left: Sequence[Candidate]) -> tuple[Apart, ...]:
    """Return the pairs to keep apart of which at least one may still be in hand."""
    by_id = {candidate.id: candidate for candidate in key.candidates}
    standing = {candidate.id for candidate in left}
    return tuple(
        Apart(
            first=by_id[pair.pair[0]].title,
            second=by_id[pair.pair[1]].title,
            rule=pair.rule,
            why=pair.why,
            told_by=tells_apart(key, by_id[pair.pair[0]], by_id[pair.pair[1]]),
            sources=sources_of(key, pair.sources),
        )
        for pair in key.look_alikes
        if standing & set(pair.pair)
    )


def _cannot_tell(key: Key, left: Sequence[Candidate]) -> tuple[Apart, ...]:
    titles = {candidate.id: candidate.title for candidate in left}
    return tuple(
        Apart(titles[pair.pair[0]], titles[pair.pair[1]], "cannot be told apart by these", pair.why)
        for pair in key.inseparable
        if set(pair.pair) <= titles.keys()
    )


def _warnings(
    key: Key, judged: Sequence[_Judged], given: Sequence[Given], looks: Sequence[NextLook]
) -> tuple[str, ...]:
    """Return the cautions of the tests used and of the next one, then the weak spots of the answer."""
    near = {item.measurement for item in given} | {look.measurement for look in looks[:1]}
    found = [f"{m.title}: {caution}" for m in key.measurements if m.id in near for caution in m.cautions]
    titles = {measurement.id: measurement.title for measurement in key.measurements}
    unverified = {
        titles[mark.measure]
        for candidate, sides in judged
        if not sides.contradicts
        for mark in candidate.marks
        if mark.measure in near and trust_of(key, mark.sources) == "memory"
    }
    found += [f"{title}: some marks are unverified, from memory, and decide nothing" for title in sorted(unverified)]
    return tuple(dict.fromkeys([*found, *(f"not covered: {text}" for text in key.not_covered)]))
