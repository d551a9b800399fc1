"""Leaves out who wrote and which aircraft it was. Pure: the same record and choice always give the same."""

from __future__ import annotations

import re
import uuid
from collections.abc import Collection
from hashlib import sha256
from typing import TypeVar

import msgspec

from kb.exchange.packform import Part
from kb.model import Airframe, OwnPage, Revision

_Record = TypeVar("_Record", Airframe, OwnPage)

_RANDOM = (1 << 62) - 1
"""The random bits at the end of a UUIDv7; those before them are version, time and variant."""


class Redactor:
    """Makes records that say less. They get other ids, since one id must mean one content everywhere.

    An id keeps its time, so that the order of a history stays. What depends on the secret of the store differs from
    store to store: nobody can find the name of an aircraft by trying names.
    """

    def __init__(self, parts: Collection[Part], secret: str) -> None:
        self._parts = frozenset(parts)
        self._secret = secret
        salt = secret if "airframe" in self._parts else ""
        self._key = f"{','.join(sorted(self._parts))}\n{salt}\n"

    def revision(self, revision: Revision) -> Revision:
        """Return the revision without what is left out; itself when nothing is."""
        if not self._parts:
            return revision
        said = revision
        if "who" in self._parts:
            said = msgspec.structs.replace(said, who=None, shop=None)
        if "photos" in self._parts:
            said = msgspec.structs.replace(said, photos=())
        if "airframe" in self._parts:
            said = self._nameless(said)
        return msgspec.structs.replace(
            said,
            id=self._other(revision.id),
            finding=self._other(revision.finding),
            previous=revision.previous and self._other(revision.previous),
            joins=tuple(map(self._other, revision.joins)),
        )

    def record(self, record: _Record) -> _Record:
        """Return an airframe or a page without who wrote it."""
        if "who" not in self._parts:
            return record
        without = msgspec.structs.replace(record, id=self._other(record.id), who=None)
        return msgspec.structs.replace(without, shop=None) if isinstance(without, Airframe) else without

    def _nameless(self, revision: Revision) -> Revision:
        name = revision.airframe
        other = f"airframe {sha256(f'{self._secret}{name.casefold()}'.encode()).hexdigest()[:8]}"
        is_named = re.compile(rf"(?<!\w){re.escape(name)}(?!\w)", re.IGNORECASE)
        texts = {
            field: is_named.sub("this aircraft", text)
            for field in ("text", "action", "place", "part")
            if (text := getattr(revision, field))
        }
        return msgspec.structs.replace(revision, airframe=other, **texts)

    def _other(self, identifier: str) -> str:
        value = uuid.UUID(identifier).int
        mixed = int.from_bytes(sha256(f"{self._key}{identifier}".encode()).digest()[:8], "big")
        return str(uuid.UUID(int=value & ~_RANDOM | mixed & _RANDOM))
