"""Drafts: what was typed into the form of a finding and is not kept yet, so that a killed program loses nothing."""

from __future__ import annotations

from typing import Any

import msgspec

from kb.ids import new_id
from kb.model import Content
from kb.store import Store

LABELS: dict[str, str] = {
    "place": "where",
    "found": "found",
    "hours": "at hours",
    "part": "part",
    "action": "done",
    "minutes": "minutes",
}
"""How the fields beside the text are called where they stand as text."""


TYPED = ("text", "airframe", "place", "found", "hours", "part", "action", "minutes", "who")
"""The fields that are typed."""


class Draft(msgspec.Struct, frozen=True, omit_defaults=True):
    """The form of a finding as it stands, each field as it was typed.

    `finding` is the one that is being changed and `seen` the revision the change was made from; None in a new one.
    """

    text: str = ""
    airframe: str = ""
    place: str = ""
    found: str = ""
    hours: str = ""
    part: str = ""
    action: str = ""
    minutes: str = ""
    who: str = ""
    entries: tuple[str, ...] = ()
    system: str | None = None
    finding: str | None = None
    seen: str | None = None

    @classmethod
    def of(cls, content: Content, *, finding: str, seen: str) -> Draft:
        """Return the form of a finding that is to be changed, filled with what it says; the initials are anew."""
        typed = {name: _written(getattr(content, name)) for name in TYPED if name != "who"}
        return cls(**typed, entries=content.entries, system=content.system, finding=finding, seen=seen)

    def values(self) -> dict[str, Any]:
        """Return the fields as a finding takes them; what is blank is None."""
        typed = {name: getattr(self, name).strip() or None for name in TYPED}
        return typed | {"entries": self.entries, "system": self.system}

    def changes(self, before: Draft) -> dict[str, Any]:
        """Return those of the values that another form of the same finding did not have; initials are no change."""
        old = before.values()
        return {name: value for name, value in self.values().items() if value != old[name] and name != "who"}

    def onto(self, before: Draft, now: Draft) -> Draft:
        """Return what a finding says now with what this form changed in `before`, where this form began."""
        changed = {name: value or "" for name, value in self.changes(before).items() if name in TYPED}
        added = tuple(entry for entry in self.entries if entry not in before.entries)
        left_out = set(before.entries) - set(self.entries)
        entries = dict.fromkeys(entry for entry in (*now.entries, *added) if entry not in left_out)
        return msgspec.structs.replace(now, **changed, who=self.who, entries=tuple(entries))

    def as_words(self) -> str:
        """Return all that was typed as one text, to be added to another finding."""
        beside = [f"{label}: {value}" for name, label in LABELS.items() if (value := getattr(self, name).strip())]
        return "\n".join([self.text.strip(), *beside])


class KeptDraft(msgspec.Struct, frozen=True):
    """A draft with the name it is kept under and when it was (UTC, ISO 8601)."""

    name: str
    made: str
    draft: Draft


class Drafts:
    """Keeps one draft for each open form, under a name the form is given."""

    def __init__(self, store: Store) -> None:
        self._store = store

    def new_name(self) -> str:
        """Return a name for the draft of a form that opens."""
        return new_id()

    def keep(self, name: str, draft: Draft) -> None:
        """Keep what a form holds now, instead of what it held before."""
        # Half a character, as broken input bytes arrive, cannot be stored.
        typed = {field: value for field, value in msgspec.structs.asdict(draft).items() if isinstance(value, str)}
        whole = {field: value.encode("utf-8", "replace").decode() for field, value in typed.items()}
        self._store.drafts.put(name, msgspec.json.encode(msgspec.structs.replace(draft, **whole)))

    def drop(self, name: str) -> None:
        """Forget the draft of a form: it was kept as a finding, or is not wanted."""
        self._store.drafts.drop(name)

    def all(self, *, finding: str | None = None) -> list[KeptDraft]:
        """Return the drafts of new findings, or of changes of one finding, newest first; unreadable ones left out."""
        kept = []
        for name, made, body in self._store.drafts.all():
            try:
                draft = msgspec.json.decode(body, type=Draft)
            except msgspec.DecodeError:  # of another form, or of a newer program
                continue
            if draft.finding == finding:
                kept.append(KeptDraft(name, made, draft))
        return kept


def _written(value: Any) -> str:
    return "" if value is None else f"{value:.10g}" if isinstance(value, float) else str(value)
