"""Builds a case: the causes of all pages that matched, as candidates that compete, with their signs and looks.

Prior: P(candidate) = sum over pages of P(page) x P(cause | page) x P(candidate | cause), the law of total probability.
P(page) is the page's match to the power words.MATCH_POWER, all pages together 1 - words.NONE_SHARE. P(cause | page) is
the mean of a Dirichlet distribution: the page's shares as pseudo-counts plus the shop's confirmed causes.

One physical cause is one candidate. A cause of page A with `entry = X` says "it is not A's own fault but X's". So:
- X is in the case: the cause stands for X's own causes (those without `entry`). Its share is handed to them in
  proportion to their shares on page X, and each of them shows A's signs as A's cause says. It is no candidate itself.
- X is not in the case, or owns none of its causes: the cause is one candidate, named `X`. All pages that name X name
  this one candidate; their shares add up, and each page's signs keep that page's words.
- One page names X in several causes: their words are averaged by their shares (no seed page does).

Signs of different pages are different signs, even when their ids are equal: only the pages' own words link them.
A trait of the airframe is one sign for all pages (see kb.narrow.airframe). What a page says of it for a cause that
another page of the case owns is left to that page.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Mapping, Sequence

from kb.errors import UsageProblem
from kb.model import Cause, Construction, Entry
from kb.narrow.airframe import trait_sign
from kb.narrow.records import NONE, Candidate, Case, CaseLook, CaseSign, Page
from kb.narrow.words import HOW_COMMON, HOW_OFTEN, MATCH_POWER, NONE_SHARE, NONE_SIGN, TALLY_STRENGTH, UNFIT

_Bearers = dict[str, list[tuple[str, float]]]
"""For each cause `page/cause`: the candidates that stand for it, and the part of its share each takes."""

_LEAST_WEIGHT = 1e-12
"""Of a page beside the best one, so that no share is ever 0, which no evidence could raise again."""


def build_case(
    pages: Sequence[Page],
    tallies: Mapping[str, int] | None = None,
    *,
    constructions: Collection[Construction] = (),
    owners: Mapping[str, Entry] | None = None,
) -> Case:
    """Return the case of these pages, whatever their order. Withdrawn pages are left out.

    Args:
        pages: entries with their match; each entry once.
        tallies: how often the shop confirmed each cause, by `page/cause`; causes not named count 0.
        constructions: what the airframe is built of; empty when not known.
        owners: entries by id that are not in the case but own causes of it, for their titles and urgency; where one
            is missing, the urgency of the page that names it stands.

    Raises:
        UsageProblem: no page is left to narrow.
        ValueError: a page stands twice, or a match or tally is out of range.
    """
    kept = _checked(pages)
    entries = {page.entry.id: page.entry for page in kept}
    parts = {entry.id: _cause_shares(entry, tallies or {}) for entry in entries.values()}
    bearers = {name: found for entry in entries.values() for name, found in _bearers(entry, entries, parts)}
    priors: dict[str, float] = {}
    names: dict[str, list[str]] = {}
    for page_id, weight in _page_weights(kept, constructions).items():
        for cause_name, part in parts[page_id].items():
            for candidate, fraction in bearers[cause_name]:
                priors[candidate] = priors.get(candidate, 0.0) + weight * part * fraction
                names.setdefault(candidate, []).append(cause_name)
    known = {**(owners or {}), **entries}
    candidates = [_candidate(key, priors[key], names[key], entries, known) for key in sorted(priors)]
    places = {candidate.id: place for place, candidate in enumerate(candidates)}
    signs = [sign for entry in entries.values() for sign in _signs(entry, parts[entry.id], bearers, places)]
    return Case(
        candidates=(*candidates, _none_of_these()),
        signs=(*signs, *_traits(entries, parts, places)),
        looks=tuple(look for entry in entries.values() for look in _looks(entry)),
    )


def _checked(pages: Sequence[Page]) -> list[Page]:
    if len({page.entry.id for page in pages}) < len(pages):
        raise ValueError("a page stands twice in the case")
    if not all(0 < page.match <= 1 for page in pages):
        raise ValueError("a match is above 0 and at most 1")
    kept = [page for page in pages if not page.entry.is_withdrawn]
    if not kept:
        raise UsageProblem("there is no page to narrow; ask in other words, or name a page")
    return sorted(kept, key=lambda page: (-page.match, page.entry.id))


def _page_weights(pages: Sequence[Page], constructions: Collection[Construction]) -> dict[str, float]:
    best = max(page.match for page in pages)
    weights = {
        page.entry.id: max((page.match / best) ** MATCH_POWER, _LEAST_WEIGHT) * _fit(page.entry, constructions)
        for page in pages
    }
    total = math.fsum(weights.values())
    return {page_id: (1 - NONE_SHARE) * weight / total for page_id, weight in weights.items()}


def _fit(entry: Entry, constructions: Collection[Construction]) -> float:
    written_for = set(entry.construction)
    is_fit = not constructions or "any" in constructions or "any" in written_for or written_for & set(constructions)
    return 1.0 if is_fit else UNFIT


def _cause_shares(entry: Entry, tallies: Mapping[str, int]) -> dict[str, float]:
    """Return P(cause | page) by `page/cause`."""
    whole = math.fsum(HOW_COMMON[cause.how_common] for cause in entry.causes)
    counts = {}
    for cause in entry.causes:
        confirmed = tallies.get(name := _name(entry, cause), 0)
        if confirmed < 0:
            raise ValueError(f"the tally of {name} is below 0")
        counts[name] = TALLY_STRENGTH * HOW_COMMON[cause.how_common] / whole + confirmed
    total = math.fsum(counts.values())
    return {name: count / total for name, count in counts.items()}


def _bearers(
    entry: Entry, entries: Mapping[str, Entry], parts: Mapping[str, Mapping[str, float]]
) -> Iterator[tuple[str, list[tuple[str, float]]]]:
    for cause in entry.causes:
        if _is_own(entry, cause):
            yield _name(entry, cause), [(_name(entry, cause), 1.0)]
            continue
        owner = entries.get(cause.entry or "")
        own = {name: parts[owner.id][name] for name in _own_names(owner)} if owner else {}
        whole = math.fsum(own.values())
        taken = [(name, part / whole) for name, part in own.items()]
        yield _name(entry, cause), taken or [(cause.entry or "", 1.0)]


def _own_names(entry: Entry) -> list[str]:
    return [_name(entry, cause) for cause in entry.causes if _is_own(entry, cause)]


def _is_own(entry: Entry, cause: Cause) -> bool:
    return cause.entry is None or cause.entry == entry.id


def _name(entry: Entry, cause: Cause) -> str:
    return f"{entry.id}/{cause.id}"


def _candidate(
    key: str, prior: float, names: Sequence[str], entries: Mapping[str, Entry], known: Mapping[str, Entry]
) -> Candidate:
    ordered = sorted(names, key=lambda name: (name != key, names.index(name)))
    page_id, _, cause_id = ordered[0].partition("/")
    cause = next(cause for cause in entries[page_id].causes if cause.id == cause_id)
    owner_id = key.partition("/")[0]
    speaker = known.get(owner_id, entries[page_id])
    title = known[owner_id].title if owner_id in known else owner_id
    urgency, reason = (cause.urgency, "") if cause.urgency else (speaker.urgency, speaker.urgency_why)
    return Candidate(key, cause.text, owner_id, title, urgency, reason, tuple(ordered), prior)


def _none_of_these() -> Candidate:
    text = "None of these: a cause that none of these pages names."
    return Candidate(NONE, text, "", "", "information", "", (), NONE_SHARE)


def _signs(
    entry: Entry, parts: Mapping[str, float], bearers: _Bearers, places: Mapping[str, int]
) -> Iterator[CaseSign]:
    for sign in entry.signs:
        told: dict[int, list[tuple[float, float]]] = {}
        for cause in entry.causes:
            if sign.id not in cause.signs:
                continue
            chance = HOW_OFTEN[cause.signs[sign.id]]
            for candidate, _ in bearers[name := _name(entry, cause)]:
                told.setdefault(places[candidate], []).append((parts[name], chance))
        said = {place: _mean(told[place]) for place in sorted(told)}
        said[len(places)] = NONE_SIGN
        name = f"{entry.id}/{sign.id}"
        yield CaseSign(name, sign.sense, sign.text, said, limit=sign.limit)


def _traits(
    entries: Mapping[str, Entry], parts: Mapping[str, Mapping[str, float]], places: Mapping[str, int]
) -> Iterator[CaseSign]:
    told: dict[str, dict[int, list[tuple[float, float]]]] = {}
    for entry in entries.values():
        for cause in entry.causes:
            place = places.get(_name(entry, cause) if _is_own(entry, cause) else cause.entry or "")
            if place is None:
                continue  # another page of the case owns it
            for trait, word in cause.airframe.items():
                said = told.setdefault(trait, {}).setdefault(place, [])
                said.append((parts[entry.id][_name(entry, cause)], HOW_OFTEN[word]))
    for trait in sorted(told):
        yield trait_sign(trait, {place: _mean(told[trait][place]) for place in sorted(told[trait])})


def _mean(told: Sequence[tuple[float, float]]) -> float:
    if len(told) == 1:
        return told[0][1]
    return math.fsum(part * chance for part, chance in told) / math.fsum(part for part, _ in told)


def _looks(entry: Entry) -> Iterator[CaseLook]:
    for look in entry.looks:
        yield CaseLook(f"{entry.id}/{look.settles}", look.text, look.minutes, look.access, look.tool)
