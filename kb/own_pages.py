"""The shop's own pages: a finding that no page covers becomes one, edited as a file, checked, kept with its history."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from pathlib import Path
from typing import Literal

import msgspec

from kb.content import clean_text
from kb.errors import NotFound, UsageProblem
from kb.findings import Findings
from kb.model import Entry, OwnPage
from kb.names import nearest_names
from kb.store import Store

State = Literal["stands", "withdrawn", "displaced"]


class Standing(msgspec.Struct, frozen=True):
    """A page of the shop's own as it is now.

    `displaced`: a page that came with the program later has the same id and is shown in its place; this one is kept
    as it is and stands again once it has an id of its own.
    """

    page: OwnPage
    state: State
    records: int


class OwnPages:
    """What this shop wrote itself. Nothing here is ever removed; a page is withdrawn."""

    def __init__(self, store: Store, known_names: Callable[[], Mapping[str, Collection[str]]]) -> None:
        self._store = store
        self._findings = Findings(store)
        self._known_names = known_names

    def skeleton(self, finding: str) -> str:
        """Return the text of a page to be filled in, made from a finding; `keep` refuses it until that is done.

        Raises:
            NotFound: there is no such finding.
        """
        from kb.entries.skeleton import skeleton

        return skeleton(
            self._findings.get(finding),
            systems=self._store.entries.systems(),
            taken={*self._store.entries.ids(), *(one.page for one in self._store.pages.latest())},
            today=self._store.today(),
        )

    def keep(self, source: Path | str | bytes, *, who: str | None = None) -> OwnPage:
        """Check a page, a file or its text, and keep it, new or in front of what it said before.

        What says the same as before is not kept twice.

        Raises:
            DataProblems: it breaks a rule; all problems with line, field and remedy, and nothing was kept.
            UsageProblem: the file cannot be read.
        """
        entry = self._checked(*_read(source))
        before = self._store.pages.history(entry.id)
        if before and before[-1].body == entry:
            return before[-1]
        return self._store.pages.keep(entry, who=clean_text(who, "the initials", is_needed=False))

    def file(self, name: str) -> str:
        """Return the text of a page, to be edited and kept again.

        Raises:
            NotFound: the shop has no page of this id; it names the nearest ones.
        """
        from kb.entries.writing import as_toml

        return as_toml(self.history(name)[-1].body)

    def list(self) -> Sequence[Standing]:
        """Return the shop's own pages, by id."""
        seed = set(self._store.entries.ids(origin="seed"))
        records: dict[str, int] = {}
        for one in self._store.pages.all():
            records[one.page] = records.get(one.page, 0) + 1
        return [Standing(one, _state(one, seed), records[one.page]) for one in self._store.pages.latest()]

    def history(self, name: str) -> Sequence[OwnPage]:
        """Return all records of a page, oldest first.

        Raises:
            NotFound: the shop has no page of this id; it names the nearest ones.
        """
        records = self._store.pages.history(name)
        if not records:
            ids = [one.page for one in self._store.pages.latest()]
            raise NotFound("page of the shop's own", name, nearest_names(name, ids))
        return records

    def restore(self, name: str, record: str, *, who: str | None = None) -> OwnPage:
        """Let a page say again what one of its records says, if that still passes the check.

        Raises:
            NotFound: there is no such page or record, or there are several.
            DataProblems: see keep.
        """
        from kb.entries.writing import as_toml

        history = self.history(name)
        matches = [one for one in history if one.id.endswith(record.lower())]
        if len(matches) != 1 or len(record) < 4:
            raise NotFound("record of this page", record, [one.id[-8:] for one in (matches or history)[:3]])
        return self.keep(as_toml(matches[0].body), who=who)

    def withdraw(self, name: str, *, who: str | None = None) -> OwnPage:
        """Take a page out of search and lists; links to it still lead there, and restore brings it back.

        Raises:
            NotFound: the shop has no page of this id.
            UsageProblem: it is withdrawn already.
        """
        if self.history(name)[-1].body.is_withdrawn:
            raise UsageProblem(f"page {name} is withdrawn already")
        today = self._store.today()
        return self._store.pages.change(
            name,
            lambda entry: msgspec.structs.replace(entry, withdrawn=today),
            who=clean_text(who, "the initials", is_needed=False),
        )

    def _checked(self, body: bytes, called: str) -> Entry:
        from kb.entries.single import read_page

        names = self._known_names()
        return read_page(
            body,
            called,
            others={entry.id: entry for entry in self._store.entries.all()},
            reserved=self._store.entries.ids(origin="seed"),
            systems={system.id: system for system in self._store.entries.systems()},
            limits=names["limits"],
            keys=names["keys"],
        )


def _state(page: OwnPage, seed: Collection[str]) -> State:
    if page.page in seed:
        return "displaced"
    return "withdrawn" if page.body.is_withdrawn else "stands"


def _read(source: Path | str | bytes) -> tuple[bytes, str]:
    """Return the bytes of a page and how problems call it."""
    if isinstance(source, bytes):
        return source, "the page"
    if isinstance(source, str):
        return source.encode("utf-8", "replace"), "the page"
    try:
        from kb.entries.single import LARGEST

        if not source.is_file():
            raise UsageProblem(f"{source} is no file; name the page's file, or - to read it from another command")
        with source.open("rb") as file:
            return file.read(LARGEST + 1), source.name
    except (OSError, ValueError) as error:
        if isinstance(error, UsageProblem):
            raise
        raise UsageProblem(f"{source} cannot be read ({getattr(error, 'strerror', None) or error})") from error
