"""Says a limit and its verdict in short rows that both faces show, and as the text of a finding. Pure.

A verdict is never told without its conditions: `tell_result` and `finding_text` hold all of them.
"""

from __future__ import annotations

import shlex
from collections.abc import Iterator
from typing import Literal

from msgspec import Struct

from kb.limits.model import VERDICT_WORDS, Example, Given, Input, Limit, Result, compare
from kb.limits.reading import range_of
from kb.limits.units import say
from kb.model import Source

Tone = Literal["plain", "caution", "quiet"]


class Row(Struct, frozen=True):
    """A word for the left edge and the text beside it; an empty mark goes on with the row above."""

    mark: str
    text: str
    tone: Tone = "plain"


def tell_result(result: Result) -> tuple[Row, ...]:
    """Return all that stands under the verdict's sentence, the caution first."""
    return (
        Row("caution", result.caution, "caution"),
        *_figures(result),
        *(Row("source", source_text(source)) for source in result.sources),
        *([Row("remembered", f"{result.remembered}; not read in a source, so it decides nothing")] * bool(
            result.remembered
        )),
        *_marked("note", [note for note in result.notes if note not in _given_notes(result)]),
        *_marked("given", [_given(each) for each in result.given]),
        Row("basis", result.basis),
        *_marked("assumes", result.assumes),
        *_marked("not covered", result.does_not_cover),
        Row("", result.guidance, "quiet"),
    )  # fmt: skip


def tell_limit(limit: Limit, *, with_inputs: bool = True) -> tuple[Row, ...]:
    """Return the description: the caution first, inputs with unit and range, sources, conditions, examples."""
    inputs = [f"{item.name}: {item.help}; {taken_by(item)}" for item in limit.inputs] if with_inputs else []
    return (
        Row("caution", limit.caution, "caution"),
        *_marked("inputs", inputs),
        *(Row("source", source_text(source)) for source in limit.sources),
        Row("basis", limit.basis),
        *_marked("assumes", limit.assumes),
        *_marked("not covered", limit.does_not_cover),
        *_marked("example", [example_text(limit, example) for example in limit.examples]),
    )


def taken_by(item: Input) -> str:
    """Say what an input takes, and what happens when it is left out."""
    if item.default is not None:
        return f"{range_of(item)} ({when_left_out(item)} when left out)"
    return range_of(item) + (" (may be left out)" if item.optional else "")


def when_left_out(item: Input) -> str:
    """Return what stands for an input that is left out, in its unit; empty when nothing does."""
    return item.default if isinstance(item.default, str) else say(item.default, item.unit) if item.default else ""


def range_in_short(item: Input) -> str:
    """Return the same without the verb, for the narrow side of a form."""
    said = range_of(item)
    for verb in ("give one of: ", "give a value from ", "give a whole number from ", "give "):
        said = said.removeprefix(verb)
    kept = item.default is not None or item.optional
    return ("optional; " if kept else "") + said


def source_text(source: Source) -> str:
    """Return document, paragraph, how well it was checked, and what it says."""
    return f"{source.document} {source.where}".strip() + f" ({source.checked}): {source.says}"


def example_text(limit: Limit, example: Example) -> str:
    """Return an example as it would be typed, with its verdict and where it is printed.

    >>> from kb.limits import get_limit
    >>> limit = get_limit("propeller-track")
    >>> example_text(limit, limit.examples[0]).startswith("oddfix limit propeller-track ")
    True
    """
    typed = " ".join(shlex.quote(f"{name}={value}") for name, value in example.inputs.items())
    return f"oddfix limit {limit.id} {typed}: {VERDICT_WORDS[example.verdict]} ({example.printed_in})"


def finding_text(result: Result) -> str:
    """Return the verdict as the text of a finding: the sentence with its source first, then every condition."""
    where = "; ".join(f"{source.document} {source.where}".strip() for source in result.sources)
    lines = [f"{result.title}: {result.sentence}. Source: {where}."]
    lines += [f"{row.mark or 'guidance'}: {row.text}" for row in _named(tell_result(result)) if row.mark != "source"]
    return "\n".join([*lines, f"limit: {result.limit}"])


def _figures(result: Result) -> Iterator[Row]:
    if result.required is not None:
        yield Row("required", _amount(result.required, result.unit))
    if result.measured is not None:
        yield Row("measured", _amount(result.measured, result.unit))
    if result.margin is not None:
        share = f" ({_percent(abs(result.margin_percent))} %)" if result.margin_percent is not None else ""
        room = ("past the limit", "no room left", "room left")[1 + compare(1 + result.margin, 1)]
        yield Row("margin", f"{_amount(abs(result.margin), result.unit)}{share}, {room}")


def _amount(value: float, shown_unit: str) -> str:
    number = say(value, "")
    return f"{number}°" if shown_unit == "°" else f"{number} {shown_unit}".rstrip()


def _percent(share: float) -> str:
    """Return a share rounded as the verdict's own sentence rounds it."""
    return f"{share:.2g}" if share < 10 else f"{share:,.0f}"


def _given_notes(result: Result) -> set[str]:
    """Return the notes that the rows of the inputs say already."""
    return {f"{each.name}: {each.note}" for each in result.given if each.note}


def _given(each: Given) -> str:
    note = f" ({each.note})" if each.note else ""
    if not each.typed.strip():
        return f"{each.name}: {each.note or each.used}"
    same = each.typed.strip().lower() == each.used.lower()
    return f"{each.name}: {each.typed.strip()}" + ("" if same else f" as typed, {each.used} as used") + note


def _marked(mark: str, texts: tuple[str, ...] | list[str]) -> Iterator[Row]:
    yield from (Row(mark if not number else "", text) for number, text in enumerate(texts))


def _named(rows: tuple[Row, ...]) -> Iterator[Row]:
    """Yield the rows with the mark of the row above where their own is empty."""
    mark = ""
    for row in rows:
        mark = row.mark if row.mark or row.tone == "quiet" else mark
        yield Row(mark, row.text, row.tone)
