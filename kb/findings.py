"""The shop's findings: keeps what was found and what was done about it, and reads it back."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

import msgspec

from kb.content import TEXT_LIMIT, checked, clean_text
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
        return self._change(name, "revised", who, lambda _: values, seen=seen)

    def add_to(self, name: str, text: str, *, entries: Sequence[str] = (), who: str | None = None) -> Finding:
        """Add what was seen now below the text of a finding that is its twin, instead of keeping it twice."""
        seen = clean_text(text, "what was seen", limit=TEXT_LIMIT)

        def make(latest: Revision) -> dict[str, Any]:
            return {"text": f"{latest.text}\n{seen}", "entries": (*latest.entries, *entries)}

        return self._change(name, "revised", who, make)

    def link(self, name: str, entries: Sequence[str], *, who: str | None = None) -> Finding:
        """Link a finding to more pages."""
        return self._change(name, "linked", who, lambda latest: {"entries": (*latest.entries, *entries)})

    def show_photos(self, name: str, photos: Sequence[str], *, who: str | None = None) -> Finding:
        """Let a finding show more photos, which the store keeps already; see kb.photos."""
        return self._change(
            name, "revised", who, lambda latest: {"photos": tuple(dict.fromkeys((*latest.photos, *photos)))}
        )

    def leave_out_photo(self, name: str, photo: str, *, who: str | None = None) -> Finding:
        """Let a finding show a photo no more; the store keeps it, and so does the history."""
        return self._change(
            name, "revised", who, lambda latest: {"photos": tuple(one for one in latest.photos if one != photo)}
        )

    def confirm(self, name: str, cause: str | None, *, who: str | None = None) -> Finding:
        """Confirm the cause, named `page/cause`, and link its page; None takes it back."""
        pages = [cause.partition("/")[0]] if cause else []
        return self._change(
            name, "confirmed", who, lambda latest: {"cause": cause, "entries": (*latest.entries, *pages)}
        )

    def defer(self, name: str, *, why: str, who: str | None = None) -> Finding:
        """Put a finding off, and say on what ground."""
        return self._close(name, "deferred", clean_text(why, "the ground for putting it off", limit=TEXT_LIMIT), who)

    def correct(self, name: str, *, action: str, minutes: float | None = None, who: str | None = None) -> Finding:
        """Say that a finding was put right, and how."""
        spent = {} if minutes is None else {"minutes": minutes}
        return self._close(name, "corrected", clean_text(action, "what was done", limit=TEXT_LIMIT), who, **spent)

    def reopen(self, name: str, *, why: str | None = None, who: str | None = None) -> Finding:
        """Open a deferred, corrected or withdrawn finding again."""
        if (finding := self.get(name)).state == "open":
            raise UsageProblem(f"finding {finding.id[-8:]} is open already")
        return self._close(name, "reopened", clean_text(why, "why", limit=TEXT_LIMIT, is_needed=False), who)

    def withdraw(self, name: str, *, who: str | None = None) -> Finding:
        """Take a finding out of lists and search; its history stays, and reopen brings it back."""
        return self._change(name, "withdrawn", who, lambda _: {"state": "withdrawn"})

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
        """Change the state, and keep the words below what stands as action."""
        state = "open" if said == "reopened" else said

        def make(latest: Revision) -> dict[str, Any]:
            action = "\n".join(part for part in (latest.action, words) if part)
            return {"state": state, "action": action or None} | values

        return self._change(name, said, who, make)

    def _change(
        self,
        name: str,
        said: Said,
        who: str | None,
        make: Callable[[Revision], Mapping[str, Any]],
        *,
        seen: str | None = None,
    ) -> Finding:
        finding = self.get(name)
        who = clean_text(who, "the initials", is_needed=False)

        def changed(latest: Revision) -> Content:
            if seen and seen != latest.id:
                by = f" by {latest.who}" if latest.who else ""
                raise UsageProblem(f"finding {finding.id[-8:]} was changed meanwhile{by}; look at it again first")
            named = {"shop": self._store.shop(), "who": who} | dict(make(latest))
            after = msgspec.structs.replace(latest, **checked(named, self._store))
            return msgspec.structs.replace(after, system=after.system or self._system_of(after.entries))

        self._store.revisions.change([finding.id], changed, said=said, who=who)
        return self.get(finding.id)

    def _system_of(self, entries: Sequence[str]) -> str | None:
        known = self._store.entries.some(entries[:1])
        return known[0].system if known else None
