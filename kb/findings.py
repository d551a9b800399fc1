"""The shop's findings: keeps what was found and what was done about it, and reads it back."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import msgspec

from kb.content import checked
from kb.errors import NotFound, UsageProblem
from kb.model import Content, Finding, Revision, Said, State
from kb.names import nearest_names
from kb.store import Store


class Findings:
    """What this shop found, newest first. Every change is a revision; kb.history reads and restores them."""

    def __init__(self, store: Store) -> None:
        self._store = store

    def add(
        self,
        text: str,
        *,
        airframe: str,
        entries: Sequence[str] = (),
        cause: str | None = None,
        system: str | None = None,
        state: State = "open",
        **values: Any,
    ) -> Finding:
        """Keep a finding and return it as stored; the system is that of its first page unless given.

        Args:
            values: other fields of Content, by name.

        Raises:
            UsageProblem: a text is empty or too long, a day, number or cause is not written as one.
            NotFound: a page, cause, system or photo named does not exist.
        """
        entries = [*entries, cause.partition("/")[0]] if cause else list(entries)
        named = values | {"text": text, "airframe": airframe, "entries": entries, "cause": cause, "system": system}
        good = checked({"shop": self._store.shop()} | named, self._store)
        good["system"] = good["system"] or self._system_of(good["entries"])
        revision = self._store.revisions.add(Content(state=state, **good))
        return self.get(revision.finding)

    def revise(self, name: str, *, who: str | None = None, seen: str | None = None, **values: Any) -> Finding:
        """Change fields of a finding, named as in Content; None empties one.

        Args:
            seen: the revision the change was made from; refused when somebody has changed it since.

        Raises:
            UsageProblem, NotFound: see add.
        """
        return self._change(name, "revised", who, seen=seen, **values)

    def link(self, name: str, entries: Sequence[str], *, who: str | None = None) -> Finding:
        """Link a finding to more pages."""
        linked = (*self.get(name).entries, *entries)
        return self._change(name, "linked", who, entries=linked)

    def confirm(self, name: str, cause: str | None, *, who: str | None = None) -> Finding:
        """Confirm the cause, named `page/cause`, and link its page; None takes it back."""
        entries = (*self.get(name).entries, *([cause.partition("/")[0]] if cause else []))
        return self._change(name, "confirmed", who, cause=cause, entries=entries)

    def defer(self, name: str, *, why: str, who: str | None = None) -> Finding:
        """Put a finding off, and say on what ground."""
        return self._close(name, "deferred", why, who)

    def correct(self, name: str, *, action: str, minutes: float | None = None, who: str | None = None) -> Finding:
        """Say that a finding was put right, and how."""
        return self._close(name, "corrected", action, who, **({} if minutes is None else {"minutes": minutes}))

    def reopen(self, name: str, *, why: str | None = None, who: str | None = None) -> Finding:
        """Open a deferred, corrected or withdrawn finding again."""
        finding = self.get(name)
        if finding.state == "open":
            raise UsageProblem(f"finding {finding.id[-8:]} is open already")
        return self._close(name, "reopened", why, who, state="open")

    def withdraw(self, name: str, *, who: str | None = None) -> Finding:
        """Take a finding out of lists and search; its history stays, and reopen brings it back."""
        return self._change(name, "withdrawn", who, state="withdrawn")

    def all(
        self, *, airframe: str | None = None, state: State | None = None, system: str | None = None, limit: int = -1
    ) -> list[Finding]:
        """Return the findings that have the values named, newest first; withdrawn ones only when asked for.

        Raises:
            NotFound: the airframe named has none; it names the nearest airframes.
        """
        rows = self._store.findings.all(airframe=airframe, state=state, system=system, limit=limit)
        if airframe and not rows and airframe.casefold() not in map(str.casefold, self.airframes()):
            raise NotFound("airframe with findings", airframe, nearest_names(airframe, self.airframes()))
        return [row.finding for row in rows]

    def get(self, name: str) -> Finding:
        """Return the finding whose id is, or ends in, `name` (four characters or more).

        Raises:
            NotFound: none or more than one does.
        """
        matches = self._store.findings.ending(name.lower()) if len(name) >= 4 else []
        if len(matches) != 1:
            raise NotFound("finding", name, [finding.id for finding in matches[:3]])
        return matches[0]

    def count(self) -> int:
        """Return how many findings there are."""
        return self._store.findings.count()

    def airframes(self) -> list[str]:
        """Return the airframes that have findings, by name."""
        return self._store.findings.airframes()

    def _close(self, name: str, said: Said, words: str | None, who: str | None, **values: Any) -> Finding:
        """Change the state and add what is said to the action, below what stands there."""
        action = self.get(name).action
        if words and words.strip():
            values["action"] = f"{action}\n{words}" if action else words
        elif said != "reopened":
            raise UsageProblem(f"say in a few words why it is {said}, or what was done")
        return self._change(name, said, who, **{"state": said} | values)

    def _change(self, name: str, said: Said, who: str | None, *, seen: str | None = None, **values: Any) -> Finding:
        finding = self.get(name)
        values = checked({"shop": self._store.shop(), "who": who} | values, self._store)

        def make(latest: Revision) -> Content:
            if seen and seen != latest.id:
                by = f" by {latest.who}" if latest.who else ""
                raise UsageProblem(f"finding {finding.id[-8:]} was changed meanwhile{by}; look at it again first")
            changed = msgspec.structs.replace(latest, **values)
            system = changed.system or self._system_of(changed.entries)
            return msgspec.structs.replace(changed, system=system)

        self._store.revisions.change([finding.id], make, said=said, who=values["who"])
        return self.get(finding.id)

    def _system_of(self, entries: Sequence[str]) -> str | None:
        known = self._store.entries.some(entries[:1])
        return known[0].system if known else None
