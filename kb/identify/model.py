"""The records of a key and of an answer: frozen, unknown fields refused, no I/O.

A key is a table: measurements a person can take, and candidates with the marks each must show. A mark is a list of
choices that fit, or figures in the unit of its measurement. Figures that belong together (a diameter with its thread
count) stand in the sizes of a candidate, and are judged together.
"""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import Meta, Struct

from kb.model import Kebab, Line, Passage, Source

Unit = Literal["in", "deg", "per in", "count", "year"]
"""Length, angle, threads or meshes per inch, a plain count, a calendar year."""

Kind = Literal["choice", "number"]
Verdict = Literal["fits", "contradicts", "not-known"]
Rule = Literal["must-not-be-mated", "must-not-be-mixed", "must-not-be-taken-for"]
Minutes = Annotated[int, Meta(ge=1, le=600)]


class Choice(Struct, frozen=True, forbid_unknown_fields=True):
    """One thing that may be seen when a measurement is taken."""

    id: Kebab
    text: Line


class Measurement(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """Something that can be measured or looked at: how, in how many minutes, and what to beware of.

    `low` and `high` are the ends of what can be meant at all; `within` is the tolerance of a figure, in `unit`.
    `silent` choices (no stamp found, worn off) are answers that say nothing about any candidate. A `last` measurement
    (flame, acid, fumes) is proposed only when nothing gentler divides the candidates left. `after` names milder
    measurements that come before it, each with the choices that end the matter: once one of these was found, the
    stronger is proposed no more.
    """

    id: Kebab
    kind: Kind
    title: Line
    how: Line
    minutes: Minutes
    cautions: tuple[Line, ...] = ()
    choices: tuple[Choice, ...] = ()
    silent: tuple[Kebab, ...] = ()
    last: bool = False
    after: dict[Kebab, tuple[Kebab, ...]] = {}
    unit: Unit | None = None
    within: float = 0.0
    low: float = 0.0
    high: float = 0.0


class Mark(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """What one candidate shows for one measurement. A hint (a colour that may be painted over) never decides."""

    measure: Kebab
    sources: tuple[Kebab, ...]
    any_of: tuple[Kebab, ...] = ()
    at: tuple[float, ...] = ()
    low: float | None = None
    high: float | None = None
    within: float | None = None
    hint: bool = False
    note: str = ""


class Size(Struct, frozen=True, forbid_unknown_fields=True):
    """One row of a size table: figures by measurement, each a value or the two ends of a range."""

    label: Line
    at: dict[Kebab, float | tuple[float, float]]


class Candidate(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """One thing it may be, what that means for the work, and the marks that prove or disprove it."""

    id: Kebab
    title: Line
    means: Passage
    marks: tuple[Mark, ...] = ()
    sizes: tuple[Size, ...] = ()
    size_sources: tuple[Kebab, ...] = ()


class LookAlike(Struct, frozen=True, forbid_unknown_fields=True):
    """Two candidates that look alike and must be kept apart, and why."""

    pair: tuple[Kebab, Kebab]
    rule: Rule
    why: Line
    sources: tuple[Kebab, ...]


class Inseparable(Struct, frozen=True, forbid_unknown_fields=True):
    """Two candidates that no measurement of this key tells apart in every case, and what would."""

    pair: tuple[Kebab, Kebab]
    why: Line


class KeySource(Struct, frozen=True, forbid_unknown_fields=True):
    """A source with the short name the marks of its file use for it."""

    id: Kebab
    document: Line
    where: Annotated[str, Meta(max_length=300)]
    says: Line
    checked: Literal["read", "secondary", "memory", "common-practice"]

    def as_source(self) -> Source:
        """Return it as the record every page shows."""
        return Source(document=self.document, where=self.where, says=self.says, checked=self.checked)


class Key(Struct, frozen=True, forbid_unknown_fields=True):
    """One key file."""

    format: Literal[1]
    id: Kebab
    title: Annotated[str, Meta(min_length=4, max_length=80)]
    about: Passage
    not_covered: tuple[Line, ...]
    entries: tuple[Kebab, ...]
    measurements: tuple[Measurement, ...]
    candidates: tuple[Candidate, ...]
    sources: tuple[KeySource, ...]
    look_alikes: tuple[LookAlike, ...] = ()
    inseparable: tuple[Inseparable, ...] = ()


class KeyName(Struct, frozen=True):
    """A key by its id and title, for lists."""

    id: str
    title: str


class Given(Struct, frozen=True):
    """One piece of evidence, as typed and as used: choice ids (any of them may be meant) or a figure in the unit."""

    measurement: str
    typed: str
    used: str
    choices: tuple[str, ...] = ()
    value: float | None = None


class Statement(Struct, frozen=True):
    """What one piece of evidence says about one candidate, in a sentence, with the sources of the mark."""

    measurement: str
    verdict: Verdict
    sentence: str
    sources: tuple[Source, ...] = ()


class Standing(Struct, frozen=True):
    """Where one candidate stands. `place` is 1 for the best, equal for equals, None while nothing tells any apart."""

    id: str
    title: str
    means: str
    verdict: Verdict
    place: int | None
    fits: tuple[Statement, ...]
    contradicts: tuple[Statement, ...]
    undecided: tuple[Statement, ...]
    still: tuple[str, ...]
    sizes: tuple[str, ...]


class NextLook(Struct, frozen=True):
    """A measurement still to be taken: expected bits of doubt removed, and how many would be left, on average.

    `last_resort` looks harm the piece or the person and stand after all gentler ones.
    """

    measurement: str
    title: str
    how: str
    minutes: int
    cautions: tuple[str, ...]
    gain_bits: float
    expected_left: float
    last_resort: bool
    sentence: str


class Apart(Struct, frozen=True):
    """A pair that must be kept apart, or that cannot be told apart, in words."""

    first: str
    second: str
    rule: str
    why: str
    told_by: tuple[str, ...] = ()
    sources: tuple[Source, ...] = ()


class Identification(Struct, frozen=True):
    """The whole answer of one key to one set of evidence.

    `next` is the look that divides the candidates left best, `others` the rest of the useful ones, best first.
    """

    key: str
    title: str
    claim: str
    given: tuple[Given, ...]
    candidates: tuple[Standing, ...]
    next: NextLook | None
    others: tuple[NextLook, ...]
    look_alikes: tuple[Apart, ...]
    cannot_tell: tuple[Apart, ...]
    warnings: tuple[str, ...]
    caution: str
