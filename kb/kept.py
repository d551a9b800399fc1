"""Sessions as the store keeps them: written, read and listed. What is weighed in one is the narrowing's business."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

import msgspec
from msgspec import Struct

from kb.errors import KbError
from kb.ids import handle
from kb.narrow.records import Session
from kb.store.sessions import SessionTable


class SessionUnreadable(KbError, ValueError):
    """A kept session that this program cannot read."""

    def __init__(self, name: str, reason: str) -> None:
        self.name = name
        super().__init__(f"the session {name} cannot be read ({reason}); start anew from its question or page")


class KeptSession(Struct, frozen=True):
    """One line of the list of kept sessions; `made` is when it was last changed, UTC, ISO 8601."""

    id: str
    made: str
    finding: str | None
    question: str
    answers: int


class _Body(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """A session as the store holds it; see Narrowed.touched."""

    format: Literal[1]
    session: Session
    touched: tuple[str, ...] = ()


def body_of(session: Session, touched: Sequence[str]) -> bytes:
    """Return a session as the store keeps it."""
    return msgspec.json.encode(_Body(1, session, tuple(touched)))


def read_body(identifier: str, body: bytes) -> tuple[Session, tuple[str, ...]]:
    """Return a kept session and the signs touched in it.

    Raises:
        SessionUnreadable: it was written by another version.
    """
    try:
        kept = msgspec.json.decode(body, type=_Body)
    except (msgspec.DecodeError, msgspec.ValidationError) as error:
        raise SessionUnreadable(handle(identifier), str(error)) from error
    return kept.session, kept.touched


def kept_sessions(table: SessionTable, limit: int) -> list[KeptSession]:
    """Return the kept sessions, the last changed first; those this program cannot read are left out."""
    found = []
    for identifier, made, finding in table.all()[:limit]:
        try:
            session, _ = read_body(identifier, table.get(identifier)[2])
        except SessionUnreadable:
            continue
        found.append(KeptSession(identifier, made, finding, session.question, len(session.answers)))
    return found
