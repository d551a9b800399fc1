"""The records: what an entry and a finding hold. Frozen, typed, unknown keys refused; no I/O."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Literal

import msgspec
from msgspec import Meta, Struct

Nature = Literal[
    "improper-repair",
    "wrong-part",
    "wrong-material",
    "wrong-compound",
    "wrong-assembly",
    "wear-or-decay",
    "missing-paper",
]
Urgency = Literal["before-flight", "before-return", "next-inspection", "information"]
Construction = Literal["any", "tube-and-fabric", "wood", "sheet-metal"]
Sense = Literal["seen", "felt", "heard", "smelt", "measured", "in-flight", "in-records"]
HowCommon = Literal["common", "occasional", "rare"]
HowOften = Literal["always", "usually", "sometimes", "seldom", "never"]
Access = Literal["open", "panel", "disassembly"]
PaperClass = Literal["minor", "major", "depends"]
Checked = Literal["read", "secondary", "memory", "common-practice"]
State = Literal["open", "deferred", "corrected", "withdrawn"]
Said = Literal[
    "added",
    "revised",
    "linked",
    "confirmed",
    "deferred",
    "corrected",
    "reopened",
    "withdrawn",
    "restored",
    "undone",
    "imported",
]

URGENCY_WORDS: dict[str, str] = {
    "before-flight": "BEFORE FLIGHT",
    "before-return": "BEFORE RETURN",
    "next-inspection": "NEXT INSPECTION",
    "information": "INFORMATION",
}
"""How each urgency is said to a reader, in order of pressing."""

CAUTION = (
    "Guidance, not approved data. Follow the holder's current instructions, airworthiness directives"
    " and local rules; a certificated person decides and signs."
)
"""Stands on every page, answer and sheet."""

SHORT_CAUTION = "Guidance, not approved data; a certificated person decides and signs."
"""The same in one line, where there is room for no more; the page behind it says the whole."""

Kebab = Annotated[str, Meta(pattern=r"^[a-z0-9]+(-[a-z0-9]+)*$", max_length=64)]
Line = Annotated[str, Meta(min_length=1, max_length=600)]
Passage = Annotated[str, Meta(min_length=1, max_length=1200)]


Trait = Annotated[str, Meta(pattern=r"^(tube-and-fabric|wood|sheet-metal|outdoors|years-[1-9][0-9]?)$")]
"""What an airframe may be: built so, kept outdoors, or so many years or more in service since built or last rebuilt."""


class SignLimit(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """The limit that settles a sign: the sign is seen when the limit's verdict is `verdict`, else not seen.

    `over` and `under` are the two sides of beyond. `given` are inputs that the sign itself says, such as the part it
    is about: another value measures something else.
    """

    id: Kebab
    verdict: Literal["beyond", "over", "under", "within"] = "beyond"
    given: dict[Kebab, str] = {}


class Sign(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """One thing that can be observed, and with which sense; a measured sign may be settled by a limit."""

    id: Kebab
    sense: Sense
    text: Line
    limit: SignLimit | None = None


class Cause(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """What may explain the signs; `signs` says how often each shows, `entry` the page that owns the cause.

    `airframe` says, where it matters, how often the airframe is so when this is the cause. `urgency` stands where the
    cause presses less than its page.
    """

    id: Kebab
    text: Line
    how_common: HowCommon
    signs: dict[str, HowOften]
    entry: Kebab | None = None
    airframe: dict[Trait, HowOften] = {}
    urgency: Urgency | None = None


class Look(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """An inspection act that settles one sign."""

    text: Line
    settles: Kebab
    minutes: Annotated[int, Meta(ge=1, le=2400)]
    access: Access
    tool: Line | None = None


class Remedy(Struct, frozen=True, forbid_unknown_fields=True):
    """How to put it right: cautions first, then steps, the tempting mistakes, and the proof."""

    before: tuple[Line, ...]
    steps: tuple[Line, ...]
    never: tuple[Line, ...]
    prove: tuple[Line, ...]
    materials: tuple[Line, ...] = ()


class Paper(Struct, frozen=True, forbid_unknown_fields=True):
    """A pointer to the class of the repair, for the signer to decide."""

    class_: PaperClass = msgspec.field(name="class")
    why: Line
    source: Line


class LookAlso(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """Where the same hand or the same fault is likely to be met: another page, or a place."""

    why: Line
    entry: Kebab | None = None
    place: Line | None = None


class Source(Struct, frozen=True, forbid_unknown_fields=True):
    """A document and paragraph, what it says in our words, and how well that was checked."""

    document: Line
    where: Annotated[str, Meta(max_length=300)]
    says: Line
    checked: Checked


class Entry(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """One curated page of knowledge. The classes above and the annotations are its schema."""

    format: Literal[1]
    id: Kebab
    title: Annotated[str, Meta(min_length=8, max_length=80)]
    system: Kebab
    jasc: tuple[Annotated[str, Meta(pattern=r"^\d{2}(\d{2})?$")], ...]
    nature: Nature
    urgency: Urgency
    urgency_why: Line
    construction: tuple[Construction, ...]
    reviewed: date
    summary: Passage
    hazard: Passage
    words: tuple[Line, ...]
    signs: tuple[Sign, ...]
    causes: tuple[Cause, ...]
    looks: tuple[Look, ...]
    remedy: Remedy
    paper: Paper
    look_also: tuple[LookAlso, ...]
    sources: tuple[Source, ...]
    limits: tuple[Kebab, ...] = ()
    keys: tuple[Kebab, ...] = ()
    withdrawn: date | None = None
    replaced_by: Kebab | None = None

    @property
    def is_withdrawn(self) -> bool:
        """True when the page is kept only so that old links still lead somewhere."""
        return self.withdrawn is not None


class ShopEntry(Entry, frozen=True, forbid_unknown_fields=True, omit_defaults=True, kw_only=True):
    """A page that the shop wrote itself; no file may say so of a page, it is where the page was kept that does."""

    origin: Literal["shop"]


class System(Struct, frozen=True, forbid_unknown_fields=True):
    """One system of the aircraft with its chapters of the public JASC table."""

    id: Kebab
    title: Line
    chapters: dict[str, str]
    about: Line
    codes: dict[str, str] = {}


TermKind = Literal["shorthand", "slang", "synonym", "spelling", "confusion"]


class Term(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """One word of the trade as people type it, with what it stands for on the pages."""

    say: Annotated[str, Meta(min_length=1, max_length=60)]
    means: tuple[Annotated[str, Meta(min_length=1, max_length=60)], ...]
    kind: TermKind
    both_ways: bool = False
    note: str | None = None


Id = Annotated[str, Meta(pattern=r"^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$")]
"""A UUID version 7 (RFC 9562) in lower case, so that ids sort by the time of making."""
Sha256 = Annotated[str, Meta(pattern=r"^[0-9a-f]{64}$")]
Time = Annotated[str, Meta(pattern=r"^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}Z$")]
Day = Annotated[str, Meta(pattern=r"^\d{4}-\d{2}-\d{2}$")]
Words = Annotated[str, Meta(min_length=1, max_length=20_000)]
Short = Annotated[str, Meta(min_length=1, max_length=200)]


class Content(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True, kw_only=True):
    """What a finding says at one moment.

    `cause` is the cause once confirmed, named `page/cause`; `found` the day of the find;
    `hours` the aircraft's hours in service then; `part` a part number; `minutes` the time spent; `photos` are named by
    SHA-256.
    """

    airframe: Short
    text: Words
    state: State = "open"
    system: Short | None = None
    entries: tuple[Short, ...] = ()
    place: Short | None = None
    found: Day | None = None
    hours: Annotated[float, Meta(ge=0, le=1_000_000)] | None = None
    part: Short | None = None
    action: Words | None = None
    cause: Short | None = None
    minutes: Annotated[int, Meta(ge=0, le=1_000_000)] | None = None
    photos: tuple[Sha256, ...] = ()
    who: Short | None = None
    shop: Short | None = None


class Revision(Content, frozen=True, forbid_unknown_fields=True, omit_defaults=True, kw_only=True):
    """One step in the history of a finding, never changed once kept.

    `previous` is the revision it was made from; `joins` names others of the same finding that it settles too. A
    revision's id is always greater than those it was made from, so the greatest id of a finding is its latest word.
    """

    id: Id
    finding: Id
    said: Said
    made: Time
    previous: Id | None = None
    joins: tuple[Id, ...] = ()


class Finding(Content, frozen=True, forbid_unknown_fields=True, omit_defaults=True, kw_only=True):
    """What this shop found on one airframe, as its latest revision says; times are UTC, ISO 8601."""

    id: Id
    revision: Id
    said: Said = "added"
    created: Time
    revised: Time


class Airframe(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True, kw_only=True):
    """What the shop knows of one aircraft; each change is kept as a new record of the same name.

    `built` is the year; `outdoors` whether it is, or long was, kept outdoors.
    """

    id: Id
    name: Short
    made: Time
    construction: Construction | None = None
    built: Annotated[int, Meta(ge=1900, le=2100)] | None = None
    outdoors: bool | None = None
    about: Words | None = None
    who: Short | None = None
    shop: Short | None = None


class OwnPage(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True, kw_only=True):
    """One step in the history of a page of the shop's own: the page whole; the one with the greatest id counts."""

    id: Id
    page: Kebab
    made: Time
    body: Entry
    who: Short | None = None
