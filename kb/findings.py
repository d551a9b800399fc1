"""The shop's findings: checks what is to be kept, keeps it, and reads it back."""

from __future__ import annotations

from collections.abc import Sequence

from kb.errors import NotFound, UsageProblem
from kb.model import Finding, State
from kb.names import nearest_names
from kb.store import Store

TEXT_LIMIT = 20_000
"""Characters of one text; more is a document and belongs beside the store. Chosen by the hostile-text tests."""


class Findings:
    """What this shop found, newest first."""

    def __init__(self, store: Store) -> None:
        self._store = store

    def add(
        self,
        text: str,
        *,
        airframe: str,
        entries: Sequence[str] = (),
        action: str | None = None,
        cause: str | None = None,
        system: str | None = None,
        state: State = "open",
        who: str | None = None,
    ) -> Finding:
        """Keep a finding and return it as stored; the system is that of its first page unless given.

        Raises:
            UsageProblem: text or airframe is empty or too long, or a cause is not named `page/cause`.
            NotFound: a page, cause or system named does not exist.
        """
        text = _clean(text, "the text of a finding")
        airframe = _clean(airframe, "the airframe")
        for entry_id in entries:
            self._check_known("page", entry_id, self._store.entries.ids())
        if cause is not None:
            self._check_cause(cause)
            entries = [*entries, cause.partition("/")[0]]
        if system is not None:
            self._check_known("system", system, [known.id for known in self._store.entries.systems()])
        elif entries:
            system = self._store.entries.get(entries[0]).system
        row = self._store.findings.add(
            airframe=airframe,
            text=text,
            system=system,
            entries=tuple(dict.fromkeys(entries)),
            action=_clean(action, "the action") if action and action.strip() else None,
            cause=cause,
            state=state,
            who=_clean(who, "the initials") if who and who.strip() else None,
        )
        return row.finding

    def all(self, *, airframe: str | None = None) -> list[Finding]:
        """Return all findings, or those of one airframe, newest first.

        Raises:
            NotFound: the airframe named has none; it names the nearest airframes.
        """
        found = [row.finding for row in self._store.findings.all(airframe=airframe)]
        if airframe and not found:
            raise NotFound(
                "airframe with findings", airframe, nearest_names(airframe, self._store.findings.airframes())
            )
        return found

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

    def _check_cause(self, cause: str) -> None:
        page, _, name = cause.partition("/")
        if not name:
            raise UsageProblem(f"'{cause}' names no cause; write it as page/cause, as oddfix narrow prints it")
        self._check_known("page", page, self._store.entries.ids())
        self._check_known("cause", name, [one.id for one in self._store.entries.get(page).causes])

    @staticmethod
    def _check_known(kind: str, name: str, known: Sequence[str]) -> None:
        if name not in known:
            raise NotFound(kind, name, nearest_names(name, known))


def _clean(text: str, what: str) -> str:
    # Half a character, as broken input bytes arrive, cannot be stored.
    text = text.encode("utf-8", "replace").decode().strip()
    if not text:
        raise UsageProblem(f"{what} is empty; say it in a few words")
    if len(text) > TEXT_LIMIT:
        raise UsageProblem(f"{what} has {len(text)} characters, at most {TEXT_LIMIT} are kept; shorten it")
    return text
