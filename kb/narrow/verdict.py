"""Says where the case stands: what must be settled before flight, which causes lead and why, and whether any fits."""

from __future__ import annotations

import math
from collections.abc import Sequence

from kb.model import SHORT_CAUTION
from kb.narrow.records import NONE, Answer, Case, CaseSign, Expected, Hazard, Standing, Verdict, Weight
from kb.narrow.weigh import answered, chance_of, shares
from kb.narrow.words import CLEAR, HAZARD_SHARE, SETTLED, likelihood, percent, strength

_Answered = Sequence[tuple[CaseSign, bool]]


def judge(case: Case, answers: Sequence[Answer], *, details: int = 8) -> Verdict:
    """Return the verdict on the case after these answers, the same for every order of them.

    Args:
        details: how many of the leading causes get their weights and expected signs.

    Raises:
        NotFound, ValueError: see `shares`.
    """
    held = shares(case, answers)
    known = list(answered(case, answers))
    order = sorted(range(len(held)), key=lambda place: (-held[place], case.candidates[place].id))
    standings = [_standing(case, held, known, place, with_details=rank < details) for rank, place in enumerate(order)]
    hazards = _hazards(case, held)
    lead = standings[0]
    none_share = next((one.share for one in standings if one.candidate.id == NONE), 0.0)
    is_none = lead.candidate.id == NONE
    nothing_fits = is_none and none_share >= CLEAR
    settled = lead.candidate.id if lead.share >= SETTLED and not is_none else None
    return Verdict(
        says=tuple(_sentences(hazards, standings, none_share)),
        hazards=tuple(hazards),
        standings=tuple(standings),
        none_share=none_share,
        nothing_fits=nothing_fits,
        settled=settled,
    )


def _hazards(case: Case, held: Sequence[float]) -> list[Hazard]:
    """Return the pages of urgency before-flight that hold more than HAZARD_SHARE, the largest first, ties by id.

    The page is judged, not the single cause: five causes of one page at 9 % each are no less urgent than one at 45 %.
    """
    groups: dict[str, list[int]] = {}
    for place, candidate in enumerate(case.candidates):
        if candidate.urgency == "before-flight":
            groups.setdefault(candidate.entry, []).append(place)
    found = []
    for entry, places in groups.items():
        share = math.fsum(held[place] for place in places)
        if share > HAZARD_SHARE:
            lead = max(places, key=lambda place: (held[place], -place))
            top = case.candidates[lead]
            found.append(Hazard(entry, top.title, top.urgency_why, share, top.id))
    return sorted(found, key=lambda hazard: (-hazard.share, hazard.entry))


def _standing(case: Case, held: Sequence[float], known: _Answered, place: int, *, with_details: bool) -> Standing:
    candidate, share = case.candidates[place], held[place]
    if not with_details:
        return Standing(candidate, share, likelihood(share))
    weights = _weights(held, known, place)
    return Standing(
        candidate,
        share,
        likelihood(share),
        speaks_for=tuple(sorted((w for w in weights if w.ratio > 1), key=lambda w: (-w.ratio, w.sign))),
        speaks_against=tuple(sorted((w for w in weights if w.ratio < 1), key=lambda w: (w.ratio, w.sign))),
        expected=() if candidate.id == NONE else tuple(_expected(case, known, place)),
    )


def _weights(held: Sequence[float], known: _Answered, place: int) -> list[Weight]:
    others = math.fsum(share for other, share in enumerate(held) if other != place)
    if others <= 0:
        return []
    found = []
    for sign, is_seen in known:
        ratio = chance_of(sign, place, is_seen=is_seen) / _chance_under_others(sign, is_seen, held, place, others)
        if words := strength(ratio):
            found.append(Weight(sign.id, sign.text, "seen" if is_seen else "not-seen", ratio, words))
    return found


def _chance_under_others(sign: CaseSign, is_seen: bool, held: Sequence[float], place: int, others: float) -> float:
    """Return P(answer | not this candidate), the others weighed by all answers but this one.

    A share without this answer is proportional to share / P(answer | candidate); weighed by that, the mean of
    P(answer | candidate) is the sum of shares over the sum of share / P(answer | candidate).
    """
    said = [(held[other], chance_of(sign, other, is_seen=is_seen)) for other in sign.said if other != place]
    rest = max(others - math.fsum(share for share, _ in said), 0.0)
    return others / (
        math.fsum(share / chance for share, chance in said) + rest / (sign.unsaid if is_seen else 1 - sign.unsaid)
    )


def _expected(case: Case, known: _Answered, place: int) -> list[Expected]:
    done = {sign.id for sign, _ in known}
    found = [
        Expected(sign.id, sign.text, sign.said[place])
        for sign in case.signs
        if sign.id not in done and sign.said.get(place, 0.0) > 0.5
    ]
    return sorted(found, key=lambda sign: (-sign.chance, sign.sign))


def _sentences(hazards: Sequence[Hazard], standings: Sequence[Standing], none_share: float) -> list[str]:
    lines = [
        f"Settle before further flight: {hazard.title} ({percent(hazard.share)} over its causes). {hazard.why}"
        for hazard in hazards
    ]
    lead = next((one for one in standings if one.candidate.id != NONE), standings[0])
    if standings[0].candidate.id == NONE and none_share >= CLEAR:
        lines.append(
            f"Nothing on these pages fits well: a cause they do not name holds {percent(none_share)}."
            " Look wider before anything is put right."
        )
    else:
        if lead.share < CLEAR:
            lines.append("No cause leads clearly yet.")
        lines.append(f"Foremost, {percent(lead.share)}, {lead.words}: {lead.candidate.text}")
        lines.append(f"A cause that none of these pages names: {percent(none_share)}, {likelihood(none_share)}.")
    return [*lines, SHORT_CAUTION]
