"""The records of a limit: its description, what a rule answers, the result a face shows. Pure data."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Literal

import msgspec
from msgspec import Struct

from kb.errors import UsageProblem
from kb.model import CAUTION, Kebab, Line, Source

Verdict = Literal["within", "at", "beyond", "not-covered", "required"]
"""`required`: nothing was measured, so the answer is only what the source asks for."""

VERDICT_WORDS: dict[Verdict, str] = {
    "within": "within",
    "at": "at the limit",
    "beyond": "beyond",
    "not-covered": "not covered",
    "required": "required",
}
"""How each verdict is said to a reader."""

Sense = Literal["floor", "ceiling", "none"]
"""Whether the measured value must not fall under the required one, or must not pass it."""

Pairs = tuple[tuple[float, float], ...]
Value = float | str | Pairs | None
"""What a rule receives for one input: a number in its unit, a choice, pairs of numbers, or None when left out."""

SAME = 1e-9
"""Two values closer than this share of the larger are one value, so that a change of unit never changes a verdict."""

NOTHING = 1e-9
"""A value this small, in any unit of the shop, is nothing: no share is taken of it and no scale drawn to it."""


class LimitInputProblem(UsageProblem):
    """One input cannot be used as given; the sentence names the input and its range."""

    def __init__(self, name: str, text: str) -> None:
        self.name = name
        super().__init__(f"{name}: {text}")


class Input(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """One input of a limit: a number with unit and range, or one of `choices`.

    `lowest` and `highest` (both included) say what can be believed at all; what the table covers is the rule's
    business. `unit` is a name of `kb.limits.units.UNITS`; empty for a count or a ratio. `default` stands for an input
    left out, and the result says so; an `optional` input left out reaches the rule as None. With `paired_unit` the
    input is a list of pairs, `170@16, 83@22`: each first number in `unit` and range, each second in `paired_unit`.
    """

    name: Kebab
    help: Line
    unit: str = ""
    lowest: float | None = None
    highest: float | None = None
    choices: tuple[str, ...] = ()
    whole: bool = False
    paired_unit: str | None = None
    default: float | str | None = None
    optional: bool = False

    @property
    def argument(self) -> str:
        """The name of the rule's argument."""
        return self.name.replace("-", "_")

    @property
    def is_needed(self) -> bool:
        """True when a face must ask for it."""
        return self.default is None and not self.optional


class Ruling(Struct, frozen=True, omit_defaults=True):
    """What a rule answers; make it with `kb.limits.ruling`. Numbers stand in `unit`.

    `has_share` is False where a margin in per cent would mean nothing: arms from a datum, values already in per cent.
    """

    verdict: Verdict
    sentence: str
    unit: str = ""
    required: float | None = None
    measured: float | None = None
    sense: Sense = "none"
    source: Source | None = None
    notes: tuple[str, ...] = ()
    remembered: str | None = None
    scale: tuple[float, float] | None = None
    scale_end: str = ""
    has_share: bool = True
    others: tuple[Ruling, ...] = ()


class Example(Struct, frozen=True, forbid_unknown_fields=True):
    """Inputs as typed and what must come out; `printed_in` names document and paragraph, or is "computed"."""

    inputs: dict[str, str]
    verdict: Verdict
    printed_in: Line
    required: float | None = None


class Limit(Struct, frozen=True, forbid_unknown_fields=True):
    """One limit, described well enough that command, form and documentation are made from this alone.

    `rule` takes one argument per input, named as the input with underscores, and returns a Ruling. `basis` says how
    the rule depends on the certification basis, or that it does not.
    """

    id: Kebab
    title: Line
    system: Kebab
    inputs: tuple[Input, ...]
    sources: tuple[Source, ...]
    basis: Line
    assumes: tuple[Line, ...]
    does_not_cover: tuple[Line, ...]
    caution: Line
    examples: tuple[Example, ...]
    rule: Callable[..., Ruling]

    def input(self, name: str) -> Input:
        """Return the input called `name`; KeyError when there is none."""
        return {item.name: item for item in self.inputs}[name]


class Given(Struct, frozen=True):
    """One input as typed and as used; `note` says when a unit was supposed or a default taken."""

    name: str
    typed: str
    used: str
    value: Value
    note: str = ""


class Gauge(Struct, frozen=True):
    """What the one-line drawing shows, all in `unit`; `low` < `high`."""

    low: float
    high: float
    limit: float
    measured: float | None
    unit: str
    verdict: Verdict
    end_word: str = ""


class Result(Struct, frozen=True):
    """The verdict with every condition it stands on; nothing of it may be shown without the rest.

    `margin` is positive while there is room, in `unit`; `margin_percent` is its share of the required value.
    """

    limit: str
    title: str
    system: str
    verdict: Verdict
    sentence: str
    unit: str
    required: float | None
    measured: float | None
    margin: float | None
    margin_percent: float | None
    given: tuple[Given, ...]
    sources: tuple[Source, ...]
    basis: str
    assumes: tuple[str, ...]
    does_not_cover: tuple[str, ...]
    caution: str
    notes: tuple[str, ...]
    remembered: str | None
    gauge: Gauge | None
    guidance: str = CAUTION


def compare(first: float, second: float) -> int:
    """Return -1, 0 or 1 as `first` is under, the same as, or over `second`."""
    if math.isclose(first, second, rel_tol=SAME, abs_tol=1e-12):
        return 0
    return -1 if first < second else 1


def to_plain(record: Struct) -> dict[str, object]:
    """Return a result or a limit's description as plain data for JSON; a limit's rule is left out."""
    if isinstance(record, Limit):
        names = [name for name in record.__struct_fields__ if name != "rule"]
        return {name: msgspec.to_builtins(getattr(record, name)) for name in names}
    plain: dict[str, object] = msgspec.to_builtins(record)
    return plain
