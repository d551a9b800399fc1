"""The few ways a rule answers: at least, at most, a bare requirement, not covered, and the worst of several."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from kb.limits.model import NOTHING, Ruling, Verdict, compare
from kb.limits.units import say
from kb.model import Source

_WORST_FIRST: tuple[Verdict, ...] = ("beyond", "not-covered", "required", "at", "within")
"""A part not measured keeps the whole from being within."""


def at_least(
    what: str, measured: float | None, required: float, unit: str, *, equal_is_enough: bool = True, **more: Any
) -> Ruling:
    """Judge a floor: `measured` may not be under `required`; None measured gives the bare requirement.

    Args:
        what: The thing judged, as it starts a sentence ("strength of the covering").
        equal_is_enough: False where the source says "more than": the limit itself then fails.
        more: Further fields of the Ruling (source, notes, scale, scale_end, has_share).
    """
    return _judge(what, measured, required, unit, room=1, equal_is_enough=equal_is_enough, more=more)


def at_most(
    what: str, measured: float | None, required: float, unit: str, *, equal_is_enough: bool = True, **more: Any
) -> Ruling:
    """Judge a ceiling: `measured` may not pass `required`. Arguments as in `at_least`."""
    return _judge(what, measured, required, unit, room=-1, equal_is_enough=equal_is_enough, more=more)


def between(what: str, measured: float | None, low: float, high: float, unit: str, **more: Any) -> Ruling:
    """Judge a range with both ends allowed; the nearer end is the one reported as required."""
    if measured is None:
        text = f"{what}: {say(low, unit)} to {say(high, unit)} required"
        return Ruling("required", text, unit=unit, required=high, **more)
    span = f"the range is {say(low, unit)} to {say(high, unit)}"
    notes = (*more.pop("notes", ()), span)
    judge = at_least if measured - low < high - measured else at_most
    return judge(what, measured, low if judge is at_least else high, unit, notes=notes, **more)


def needed(sentence: str, required: float | None = None, unit: str = "", **more: Any) -> Ruling:
    """Answer with a requirement where there is nothing to measure against it."""
    return Ruling("required", sentence, unit=unit, required=required, **more)


def passes(sentence: str, *, is_fit: bool, **more: Any) -> Ruling:
    """Judge a yes-or-no rule that has no number of its own: within or beyond."""
    return Ruling("within" if is_fit else "beyond", sentence, **more)


def all_met(items: Mapping[str, str], answers: Sequence[str], source: Source) -> Ruling:
    """Judge a list of conditions, `items` by their names: within when no answer is no, else beyond and what fails.

    An answer "not-asked" leaves its condition out: the source does not ask for it here.
    """
    asked = [(text, answer) for text, answer in zip(items.values(), answers, strict=True) if answer != "not-asked"]
    failing = [text for text, answer in asked if answer == "no"]
    if failing:
        return passes(f"beyond: not met: {'; '.join(failing)}", is_fit=False, source=source)
    return passes(f"within: all {len(asked)} conditions are met", is_fit=True, source=source)


def not_covered(why: str, source: Source, *, remembered: str | None = None, notes: Sequence[str] = ()) -> Ruling:
    """Refuse a verdict: say why and where to read; a remembered value is named as remembered, and never judges."""
    return Ruling(
        "not-covered",
        f"not covered: {why}; see {source.document} {source.where}".rstrip(),
        source=source,
        remembered=remembered,
        notes=tuple(notes),
    )


def worst(*rulings: Ruling) -> Ruling:
    """Return the gravest of several rulings (the first of equals), the others kept in `others` and told as notes."""
    first = min(rulings, key=lambda ruling: _WORST_FIRST.index(ruling.verdict))
    others = tuple(ruling for ruling in rulings if ruling is not first)
    told = tuple(text for ruling in others for text in (ruling.sentence, *ruling.notes))
    changes: dict[str, Any] = {"others": others, "notes": (*first.notes, *told)}
    return Ruling(**({name: getattr(first, name) for name in first.__struct_fields__} | changes))


def with_notes(ruling: Ruling, *notes: str) -> Ruling:
    """Return the ruling with notes added."""
    fields = {name: getattr(ruling, name) for name in ruling.__struct_fields__}
    return Ruling(**(fields | {"notes": (*ruling.notes, *notes)}))


def unmeasured(*conditions: tuple[float | None, str]) -> tuple[str, ...]:
    """Return a note for each condition whose value was left out, so that no verdict seems to stand on it."""
    return tuple(f"not measured: {text}" for value, text in conditions if value is None)


def margin_of(ruling: Ruling) -> float | None:
    """Return the room left, negative when passed, in the ruling's unit; None where nothing was measured."""
    if ruling.measured is None or ruling.required is None or ruling.sense == "none":
        return None
    room = ruling.measured - ruling.required
    return room if ruling.sense == "floor" else -room


def _judge(
    what: str,
    measured: float | None,
    required: float,
    unit: str,
    *,
    room: int,
    equal_is_enough: bool,
    more: dict[str, Any],
) -> Ruling:
    bound = {(1, True): "at least", (-1, True): "at most", (1, False): "more than", (-1, False): "less than"}[
        room, equal_is_enough
    ]
    asked = "required" if room > 0 else "allowed"
    more["has_share"] = more.get("has_share", True) and unit != "%"
    if measured is None:
        text = f"{what}: {bound} {say(required, unit)} {asked}"
        return Ruling("required", text, unit=unit, required=required, **more)
    order = compare(measured, required) * room
    verdict: Verdict = "within" if order > 0 else "beyond"
    if order == 0 and equal_is_enough:
        verdict = "at"
    found = f"{_led(verdict, measured, required, unit, has_share=more['has_share'])}: {what} {say(measured, unit)}"
    text = f"{found}, {bound} {say(required, unit)} {asked}"
    return Ruling(
        verdict, text, unit=unit, required=required, measured=measured, sense="floor" if room > 0 else "ceiling", **more
    )


def _led(verdict: Verdict, measured: float, required: float, unit: str, *, has_share: bool) -> str:
    gap = abs(measured - required)
    if verdict == "at":
        return "at the limit"
    if compare(measured, required) == 0:
        return "beyond (the limit itself is not allowed)"
    return f"{verdict}, by {say(gap, unit, is_difference=True)}{_share(gap, required) if has_share else ''}"


def _share(gap: float, required: float) -> str:
    if abs(required) <= NOTHING:
        return ""
    percent = 100 * gap / abs(required)
    return f" ({percent:.2g} %)" if percent < 10 else f" ({percent:,.0f} %)"
