"""A limit's verdict as the answer about a measured sign. It knows limits and signs; it judges and weighs nothing."""

from __future__ import annotations

from kb.errors import UsageProblem
from kb.limits.model import VERDICT_WORDS, Result
from kb.model import SignLimit
from kb.narrow.records import Case, CaseSign, Said
from kb.narrow.session import find_sign


def measured_sign(case: Case, name: str) -> tuple[CaseSign, SignLimit]:
    """Return the sign that a limit settles, called by the limit's name or by its own, with the limit.

    Raises:
        UsageProblem: no sign of the case is settled by that limit, or several are, or the sign has no limit.
        NotFound: the name is neither a limit of the case nor a sign of it.
    """
    found = [(sign, sign.limit) for sign in case.signs if sign.limit and sign.limit.id == name]
    if len(found) == 1:
        return found[0]
    if found:
        several = ", ".join(sign.id for sign, _ in found)
        raise UsageProblem(f"{name} settles several signs here; name the one that was measured: {several}")
    sign = find_sign(case, name)
    if sign.limit is None:
        raise UsageProblem(f"the sign {sign.id} has no limit that settles it; answer it as seen or not seen")
    return sign, sign.limit


def said_by(sign: CaseSign, result: Result) -> Said | None:
    """Return what the verdict says of the sign; None when it settles nothing.

    A value at the limit is one the limit permits: it counts as within. Where the sides of beyond matter and the result
    does not tell them, nothing is settled.
    """
    limit = sign.limit
    if limit is None or limit.id != result.limit:
        raise ValueError(f"{result.limit} does not settle {sign.id}")
    if result.verdict not in ("within", "at", "beyond") or _other_inputs(limit, result):
        return None
    if limit.verdict in ("over", "under") and result.verdict == "beyond":
        if result.required is None or result.measured is None or result.required == result.measured:
            return None
        return "seen" if (result.measured > result.required) == (limit.verdict == "over") else "not-seen"
    return "seen" if (result.verdict == "beyond") == (limit.verdict != "within") else "not-seen"


def verdict_words(result: Result) -> str:
    """Return the verdict with the inputs it stands on and its caution, as an answer keeps it."""
    typed = ", ".join(f"{each.name} {each.used}" for each in result.given if each.used != "not given")
    sentence = result.sentence.rstrip(".")
    return f"limit {result.limit}, {VERDICT_WORDS[result.verdict]}: {sentence}. Measured: {typed}. {result.caution}"


def unsettled_words(sign: CaseSign, result: Result) -> str:
    """Return why a verdict sets no sign."""
    if sign.limit and (other := _other_inputs(sign.limit, result)):
        why = f"The sign is about {', '.join(other)}; something else was measured. No cause moves."
    else:
        why = f"{VERDICT_WORDS[result.verdict]}: that settles no sign. No cause moves."
    return f"{why}\n{verdict_words(result)}"


def _other_inputs(limit: SignLimit, result: Result) -> list[str]:
    """Return the inputs that the sign says itself and the result has otherwise, as the sign says them."""
    used = {each.name: each.value for each in result.given}
    return [f"{name} {value}" for name, value in limit.given.items() if used.get(name) != value]
