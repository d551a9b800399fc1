"""Leaves out who wrote and which aircraft it was. Pure: the same records and choice always give the same."""

from __future__ import annotations

import hmac
import re
import uuid
from collections.abc import Collection, Mapping, Sequence
from typing import Any, TypeVar

import msgspec

from kb.exchange.packform import Part
from kb.model import Airframe, OwnPage, Revision

_Record = TypeVar("_Record", Revision, Airframe, OwnPage)

_RANDOM = (1 << 62) - 1
"""The random bits at the end of a UUIDv7; those before them are time, version and variant."""

_TEXTS = {"text": 20_000, "action": 20_000, "place": 200, "part": 200, "who": 200, "shop": 200}
"""Fields in which a name may stand, and the characters they hold; see Content."""


class Redactor:
    """Makes records that say less. They get other ids, since one id must mean one content everywhere.

    An id keeps its time, so that the order of a history stays; the rest of it depends on what the record says now.
    Without the aircraft it depends on the secret of the store too: nobody can find a name by trying names.
    """

    def __init__(
        self,
        parts: Collection[Part],
        secret: str,
        *,
        names: Collection[str] = (),
        photos: Mapping[str, str] | None = None,
    ) -> None:
        """Leave out these parts.

        Args:
            secret: known to this store alone.
            names: every name of an aircraft; none of them stays in any text.
            photos: the name of each photo once what its file says beside the picture is out; others are left out.
        """
        self._parts = frozenset(parts)
        self._key = (secret if "airframe" in self._parts else "").encode()
        self._hidden = Hidden({name: self.alias(name) for name in names if "airframe" in self._parts})
        self._photos = photos or {}

    def alias(self, name: str) -> str:
        """Return what an aircraft is called instead; letters' case is ignored as the store does."""
        return f"airframe {self._digest(b'airframe', name.encode().lower()).hex()[:8]}"

    def revisions(self, revisions: Sequence[Revision]) -> list[Revision]:
        """Return whole histories, rising by id, without what is left out, rising by id again."""
        others: dict[str, str] = {}
        redacted = []
        for revision in revisions:
            is_first = revision.finding == revision.id
            if not is_first and revision.finding not in others:  # its beginning is not here: it came from a table
                others[revision.finding] = self._other(revision.finding, None)
            linked = msgspec.structs.replace(
                self._less(revision),
                id="",
                finding="" if is_first else others[revision.finding],
                previous=revision.previous and others.get(revision.previous),
                joins=tuple(others[name] for name in revision.joins if name in others),
            )
            # What it was made from counts too: that may say something else, and so be called otherwise, another time.
            other = others[revision.id] = self._other(revision.id, linked)
            redacted.append(msgspec.structs.replace(linked, id=other, finding=linked.finding or other))
        return sorted(redacted, key=lambda one: one.id)

    def airframe(self, record: Airframe) -> Airframe:
        """Return what is known of an aircraft, without who wrote it."""
        return self._renamed(msgspec.structs.replace(record, **dict.fromkeys(self._unsaid())))

    def page(self, record: OwnPage) -> OwnPage | None:
        """Return a page without names; None when it cannot do without them, as when its own id holds one."""
        body: Any = self._hidden.everywhere(msgspec.to_builtins(record.body))
        try:
            said = msgspec.structs.replace(record, body=msgspec.convert(body, type(record.body)))
        except msgspec.ValidationError:
            return None
        who = None if "who" in self._parts else record.who and self._hidden.out_of(record.who)[:200]
        return self._renamed(msgspec.structs.replace(said, who=who))

    def _less(self, revision: Revision) -> Revision:
        said: dict[str, Any] = dict.fromkeys(self._unsaid())
        said["photos"] = tuple(
            self._photos[name] for name in revision.photos if "photos" not in self._parts and name in self._photos
        )
        revision = msgspec.structs.replace(revision, **said)
        if "airframe" not in self._parts:
            return revision
        texts = {
            field: self._hidden.out_of(text)[:limit]
            for field, limit in _TEXTS.items()
            if (text := getattr(revision, field))
        }
        return msgspec.structs.replace(
            revision,
            airframe=self.alias(revision.airframe),
            entries=tuple(name for name in revision.entries if self._is_nameless(name)),
            cause=revision.cause if self._is_nameless(revision.cause) else None,
            system=revision.system if self._is_nameless(revision.system) else None,
            **texts,
        )

    def _is_nameless(self, text: str | None) -> bool:
        return text is None or self._hidden.out_of(text) == text

    def _unsaid(self) -> tuple[str, ...]:
        return ("who", "shop") if "who" in self._parts else ()

    def _renamed(self, record: _Record) -> _Record:
        return msgspec.structs.replace(record, id=self._other(record.id, msgspec.structs.replace(record, id="")))

    def _other(self, identifier: str, said: msgspec.Struct | None) -> str:
        value = uuid.UUID(identifier).int
        parts = ",".join(sorted(self._parts)).encode()
        mixed = int.from_bytes(self._digest(b"id", parts, identifier.encode(), msgspec.json.encode(said))[:8], "big")
        return str(uuid.UUID(int=value & ~_RANDOM | mixed & _RANDOM))

    def _digest(self, *said: bytes) -> bytes:
        return hmac.digest(self._key, b"\0".join(said), "sha256")


_SIGNS = re.compile(r"([\W_]*)([^\W_])")
"""A letter or figure of a name, with what stands before it."""


class Hidden:
    """Names that are not to stand in any text, each with what stands there instead."""

    def __init__(self, names: Mapping[str, str]) -> None:
        self._bare = {name: _bare(name) or name.casefold() for name in names}
        self._names = names
        self._patterns: dict[tuple[str, ...], re.Pattern[str]] = {}

    def out_of(self, text: str) -> str:
        """Return a text without the names, as whole words, in whatever case, their parts written together or apart."""
        bare, folded = _bare(text), text.casefold()
        present = tuple(name for name, sought in self._bare.items() if sought in bare or sought in folded)
        if not present:
            return text
        if present not in self._patterns:
            self._patterns[present] = _pattern(present)
        ordered = _ordered(present)
        # All at once: a name must not be found in what was put in the place of another.
        return self._patterns[present].sub(lambda found: self._names[ordered[(found.lastindex or 1) - 1]], text)

    def everywhere(self, value: Any) -> Any:
        """Return JSON-like data without the names in any of its texts."""
        if isinstance(value, str):
            return self.out_of(value)
        if isinstance(value, dict):
            return {self.everywhere(key): self.everywhere(one) for key, one in value.items()}
        return [self.everywhere(one) for one in value] if isinstance(value, list) else value


def _ordered(names: Collection[str]) -> list[str]:
    return sorted(names, key=lambda name: (-len(name), name))


def _pattern(names: Collection[str]) -> re.Pattern[str]:
    return re.compile("|".join(f"({_word(name)})" for name in _ordered(names)), re.IGNORECASE)


def _word(name: str) -> str:
    """Return a pattern for a name: its letters and figures with at most one blank or sign, or its own, in between."""
    signs: list[tuple[str, str]] = _SIGNS.findall(name)
    first, *rest = signs or [("", "")]
    if not first[1]:
        return re.escape(name)
    parts = "".join(f"(?:{re.escape(between)}|[\\s._/-])?{re.escape(sign)}" for between, sign in rest)
    return r"(?<![^\W_])" + re.escape(first[1]) + parts + r"(?![^\W_])"


def _bare(text: str) -> str:
    return "".join(sign for sign in text.casefold() if sign.isalnum())
