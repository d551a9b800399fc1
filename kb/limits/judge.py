"""Judges typed inputs by a limit: reads each, asks the rule, and returns the verdict with all its conditions. Pure."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from kb.display import show_safely
from kb.errors import NotFound
from kb.limits.gauge import gauge_of
from kb.limits.model import NOTHING, Given, Input, Limit, LimitInputProblem, Result, Ruling, Value
from kb.limits.reading import range_of, read_number, read_pairs
from kb.limits.ruling import margin_of
from kb.limits.units import UNITS, say
from kb.names import nearest_names

_YES_NO = {"y": "yes", "n": "no", "true": "yes", "false": "no"}


def judge(limit: Limit, typed: Mapping[str, str]) -> Result:
    """Return the result for inputs as typed, by name.

    Raises:
        LimitInputProblem: An input is missing, malformed, of the wrong unit, or out of its range.
        NotFound: A name is no input of this limit.
    """
    for name in typed:
        if name not in {item.name for item in limit.inputs}:
            raise NotFound(f"input of {limit.id}", name, nearest_names(name, [item.name for item in limit.inputs]))
    given = tuple(read_input(item, typed.get(item.name)) for item in limit.inputs)
    arguments = {item.argument: each.value for item, each in zip(limit.inputs, given, strict=True)}
    return _result(limit, given, limit.rule(**arguments))


def missing_inputs(limit: Limit, typed: Mapping[str, str]) -> list[Input]:
    """Return the inputs a face still has to ask for, in order."""
    return [item for item in limit.inputs if item.is_needed and not typed.get(item.name, "").strip()]


def read_input(item: Input, typed: str | None) -> Given:
    """Return one input as typed and as used; None or blank text means it was left out.

    Raises:
        LimitInputProblem: It is needed and missing, or cannot be used.
    """
    if typed is None or not typed.strip():
        return _left_out(item)
    if item.choices:
        choice = _choice(item, typed)
        return Given(item.name, typed, choice, choice)
    if item.paired_unit is not None:
        pairs, note = read_pairs(item, typed)
        shown = ", ".join(f"{say(first, item.unit)} @ {say(second, item.paired_unit)}" for first, second in pairs)
        return Given(item.name, typed, shown, pairs, note)
    value, note = read_number(item, typed)
    return Given(item.name, typed, say(value, item.unit), value, note)


def _left_out(item: Input) -> Given:
    if item.default is not None:
        shown = item.default if isinstance(item.default, str) else say(item.default, item.unit)
        return Given(item.name, "", shown, item.default, f"not given; taken as {shown}")
    if item.optional:
        return Given(item.name, "", "not given", None)
    raise LimitInputProblem(item.name, f"is needed ({item.help}); {range_of(item)}")


def _choice(item: Input, typed: str) -> str:
    word = "-".join(typed.strip().lower().split())
    word = _YES_NO.get(word, word) if "yes" in item.choices else word
    by_fold = {choice.lower(): choice for choice in item.choices}
    if word in by_fold:
        return by_fold[word]
    shown = show_safely(typed.strip()[:40], keep_lines=False)
    raise LimitInputProblem(item.name, f"'{shown}' is none of its words; {range_of(item)}")


def _result(limit: Limit, given: tuple[Given, ...], ruling: Ruling) -> Result:
    margin = margin_of(ruling)
    share = None
    if margin is not None and ruling.required and abs(ruling.required) > NOTHING and ruling.has_share:
        share = 100 * margin / abs(ruling.required)
    return Result(
        limit=limit.id,
        title=limit.title,
        system=limit.system,
        verdict=ruling.verdict,
        sentence=ruling.sentence,
        unit=UNITS[ruling.unit].shown,
        required=ruling.required,
        measured=ruling.measured,
        margin=margin,
        margin_percent=share,
        given=given,
        sources=(ruling.source,) if ruling.source else limit.sources,
        basis=limit.basis,
        assumes=limit.assumes,
        does_not_cover=limit.does_not_cover,
        caution=limit.caution,
        notes=tuple(dict.fromkeys((*_given_notes(given), *ruling.notes))),
        remembered=ruling.remembered,
        gauge=gauge_of(ruling),
    )


def _given_notes(given: tuple[Given, ...]) -> Iterator[str]:
    yield from (f"{each.name}: {each.note}" for each in given if each.note)


def value_of(result: Result, name: str) -> Value:
    """Return what was used for one input; KeyError when there is none of that name."""
    return {each.name: each.value for each in result.given}[name]
