"""The records of narrowing: what goes in (Page, Answer), what is weighed (Case), what is kept (Session). No logic."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

from kb.model import Access, Construction, Entry, Sense, SignLimit, Urgency
from kb.narrow.words import UNSAID

AIRFRAME = "airframe"
"""In the place of a page in the id of a sign: what the airframe is, not what one page's sign is."""

NONE = "none-of-these"
"""Id of the candidate that stands for every cause the pages do not name."""

Said = Literal["seen", "not-seen"]


class Page(Struct, frozen=True):
    """An entry that may be the right page, and how well it matched: a search score above 0, at most 1."""

    entry: Entry
    match: float


class Candidate(Struct, frozen=True):
    """One physical cause that competes.

    `id` is `page/cause`; or `page` alone where the cause is another page's fault and that page is not in the case.
    `entry` is the page to read. `names` are all the places `page/cause` that name it, its own first: a confirmed
    cause is kept under `names[0]`. `prior` is its share before any answer, 0 to 1.
    """

    id: str
    text: str
    entry: str
    title: str
    urgency: Urgency
    urgency_why: str
    names: tuple[str, ...]
    prior: float


class CaseSign(Struct, frozen=True):
    """One sign of one page: `id` is `page/sign`; or one trait of the airframe: `airframe/trait`.

    `said` gives P(seen | candidate) by the candidate's place in the case; `unsaid` holds for the others. `limit` is
    the limit whose verdict settles the sign.
    """

    id: str
    sense: Sense
    text: str
    said: dict[int, float]
    unsaid: float = UNSAID
    limit: SignLimit | None = None


class CaseLook(Struct, frozen=True):
    """A look of a page with the id (`page/sign`) of the sign it settles."""

    sign: str
    text: str
    minutes: int
    access: Access
    tool: str | None


class Case(Struct, frozen=True):
    """Everything that is weighed: candidates by id with none-of-these last, signs and looks in written order."""

    candidates: tuple[Candidate, ...]
    signs: tuple[CaseSign, ...]
    looks: tuple[CaseLook, ...]


class Answer(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """What was found about one sign, `page/sign`; a sign not looked at has no answer.

    `by` says what settled it where that was not the eye: a limit and its verdict, a record, a test.
    """

    sign: str
    said: Said
    by: str | None = None


class Nature(Struct, frozen=True):
    """What is known of the airframe: what it is built of, years in service since built or last rebuilt, where kept.

    Empty and None stand for not known, which moves no cause.
    """

    constructions: tuple[Construction, ...] = ()
    years: int | None = None
    outdoors: bool | None = None


class Matched(Struct, frozen=True, forbid_unknown_fields=True):
    """The id of a page of a kept session with its match."""

    entry: str
    match: float


class Session(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """A narrowing that can be kept and opened again: the question, the pages it brought, the answers in order."""

    format: Literal[1]
    question: str
    pages: tuple[Matched, ...]
    answers: tuple[Answer, ...] = ()
    constructions: tuple[Construction, ...] = ()
    years: int | None = None
    outdoors: bool | None = None

    @property
    def nature(self) -> Nature:
        """What is known of the airframe."""
        return Nature(self.constructions, self.years, self.outdoors)


class Weight(Struct, frozen=True):
    """How one answer speaks for or against one cause.

    `ratio` is P(answer | this cause) / P(answer | the other causes, weighed by all other answers): posterior odds are
    the odds without this answer times `ratio`, whatever the order of answers.
    """

    sign: str
    text: str
    said: Said
    ratio: float
    words: str


class Expected(Struct, frozen=True):
    """A sign not looked at yet that this cause should show, and how surely (P above one half)."""

    sign: str
    text: str
    chance: float


class Standing(Struct, frozen=True):
    """A cause with its share now (0 to 1), in words, and why. Details are empty beyond the causes asked for."""

    candidate: Candidate
    share: float
    words: str
    speaks_for: tuple[Weight, ...] = ()
    speaks_against: tuple[Weight, ...] = ()
    expected: tuple[Expected, ...] = ()


class Hazard(Struct, frozen=True):
    """A page to settle before further flight: the share all its causes hold together, and the likeliest of them."""

    entry: str
    title: str
    why: str
    share: float
    likeliest: str


class Verdict(Struct, frozen=True):
    """The causes by share (ties by id), what comes before them, and all of it said in sentences, hazards first.

    `settled` is the id of a cause that holds words.SETTLED or more, never that of none-of-these.
    `nothing_fits` is True while none-of-these is the likeliest and holds words.CLEAR or more: before any answer it may
    be the likeliest only because many causes share the rest.
    """

    says: tuple[str, ...]
    hazards: tuple[Hazard, ...]
    standings: tuple[Standing, ...]
    none_share: float
    nothing_fits: bool
    settled: str | None


class Outcome(Struct, frozen=True):
    """Which cause would lead after a look, and with which share."""

    candidate: str
    share: float


class NextLook(Struct, frozen=True):
    """A look worth taking: bits of doubt it is expected to remove, and bits per minute, by which looks are ranked."""

    look: CaseLook
    sign_text: str
    bits: float
    bits_per_minute: float
    chance_seen: float
    if_seen: Outcome
    if_not_seen: Outcome


class OpenSign(Struct, frozen=True):
    """A sign nobody has answered yet and the bits its answer is expected to remove; for asking, not for looking."""

    sign: str
    sense: Sense
    text: str
    bits: float


class Move(Struct, frozen=True):
    """A cause's share before and after one answer."""

    candidate: str
    before: float
    after: float


class Effect(Struct, frozen=True):
    """What one answer did, given those before it: the moves of the causes, the largest first, ties by id."""

    answer: Answer
    text: str
    moves: tuple[Move, ...]
