"""Drafts: what was typed into the form of a finding and is not kept yet, so that a killed program loses nothing."""

from __future__ import annotations

import msgspec

from kb.ids import new_id
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
