"""The history of findings: what each revision changed, what stands against what, and how to go back."""

from __future__ import annotations

from typing import Any

import msgspec

from kb.content import clean_text
from kb.errors import NotFound
from kb.model import Content, Finding, Revision, Said
from kb.store import Store
from kb.store.revisions import heads_of


class Change(msgspec.Struct, frozen=True):
    """One field of a finding before and after; None where it was or is empty."""

    field: str
    before: Any
    after: Any


class Step(msgspec.Struct, frozen=True):
    """One revision with what it changed; `is_head` when no other was made from it."""

    revision: Revision
    changes: tuple[Change, ...]
    is_head: bool


class Act(msgspec.Struct, frozen=True):
    """One user action with the revisions it made; `number` tells it from others of this store."""

    number: int
    said: Said
    revisions: tuple[Revision, ...]


class History:
    """Reads and restores revisions. Nothing here removes one."""

    def __init__(self, store: Store) -> None:
        self._store = store

    def of(self, finding: str) -> list[Step]:
        """Return the steps of a finding, oldest first; more than one head is a conflict, made by a merge.

        Raises:
            NotFound: no finding has this id.
        """
        revisions = self._store.revisions.of(finding)
        if not revisions:
            raise NotFound("finding", finding)
        known = {revision.id: revision for revision in revisions}
        heads = {revision.id for revision in heads_of(revisions)}
        return [
            Step(revision, compare(known.get(revision.previous or ""), revision), is_head=revision.id in heads)
            for revision in revisions
        ]

    def get(self, finding: str, name: str) -> Revision:
        """Return the revision of a finding whose id is, or ends in, `name`.

        Raises:
            NotFound: none or more than one does.
        """
        matches = [revision for revision in self._store.revisions.of(finding) if revision.id.endswith(name.lower())]
        if len(matches) != 1 or len(name) < 4:
            raise NotFound("revision", name, [revision.id for revision in matches[:3]])
        return matches[0]

    def restore(self, finding: str, name: str, *, who: str | None = None) -> list[Revision]:
        """Make the finding say again what one of its revisions says; settles a conflict, since one word is chosen."""
        chosen = self.get(finding, name)
        return self._store.revisions.change(
            [finding],
            lambda _: chosen,
            said="restored",
            who=clean_text(who, "the initials", is_needed=False),
            joins=True,
        )

    def last_act(self) -> Act:
        """Return what undo would take back.

        Raises:
            UsageProblem: there is nothing.
        """
        number, said, revisions = self._store.revisions.last_act()
        return Act(number, said, tuple(revisions))

    def undo(self, *, who: str | None = None, act: int | None = None) -> tuple[Said, list[Revision]]:
        """Take back the last act that is not taken back yet; return its word and the new revisions.

        Args:
            act: the number of the act that is meant, so that no later one is taken back instead.

        Raises:
            UsageProblem: there is none, what it changed was changed since, or another act is the last by now.
        """
        good = clean_text(who, "the initials", is_needed=False)
        return self._store.revisions.undo(who=good, act=act)

    def conflicts(self) -> list[Finding]:
        """Return the findings of which two shops say different things, by id."""
        return [self._store.findings.ending(finding)[0] for finding in self._store.revisions.split()]


def compare(before: Content | None, after: Content) -> tuple[Change, ...]:
    """Return the fields that differ, in the order of Content; against nothing, those that are filled.

    Who made a revision, and in which shop, is no change of what it says.
    """
    names = (name for name in Content.__struct_fields__ if name not in ("who", "shop"))
    pairs = ((name, _filled(before, name), _filled(after, name)) for name in names)
    return tuple(Change(name, old, new) for name, old, new in pairs if old != new)


def _filled(content: Content | None, name: str) -> Any:
    value = getattr(content, name, None)
    return None if value == () else value
