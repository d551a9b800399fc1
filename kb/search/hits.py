"""What a search answers with."""

from __future__ import annotations

from typing import Literal

import msgspec


class Hit(msgspec.Struct, frozen=True, omit_defaults=True):
    """An entry or a finding that fits the question.

    `score` is 0 to 1: the share of what the question's words could have earned; it compares hits of one answer only.
    `why` says which words matched in which part. A finding carries its airframe and state; an entry its urgency,
    and `origin` "shop" when it is the shop's own.
    """

    kind: Literal["entry", "finding"]
    id: str
    title: str
    system: str | None
    urgency: str | None
    score: float
    why: tuple[str, ...]
    airframe: str | None = None
    state: str | None = None
    created: str | None = None
    origin: str | None = None


class Answer(msgspec.Struct, frozen=True):
    """Hits, best first (ties: entries first, then by id), and how the question was read."""

    hits: tuple[Hit, ...]
    read_as: tuple[str, ...] = ()
    unknown: tuple[str, ...] = ()
