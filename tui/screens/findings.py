"""The shop's own findings: newest first, or the open ones by urgency; of one aircraft, state or system if wanted."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, ClassVar

from textual.binding import Binding, BindingType

from kb.desk import Desk
from kb.errors import NotFound
from kb.model import URGENCY_WORDS, Finding, State
from kb.page import one_line
from tui.screens.aircraft import facts_of
from tui.screens.finding import FindingScreen
from tui.screens.listing import Line, ListScreen
from tui.screens.page import open_page

MOST = 300
"""Findings read at most; nobody goes through more by arrow keys."""

NOT_JUDGED = "NOT JUDGED"
"""At the edge of a finding that is linked to no page, which alone would say how pressing it is."""


class FindingsScreen(ListScreen):
    """Findings of this store."""

    name_on_trail = "own findings"
    is_live = True
    empty = "No findings of that kind yet. a adds one."
    tips: ClassVar[tuple[str, ...]] = (
        "b changes between newest first and the open ones by urgency; the urgency is that of the page linked to.",
        f"At most {MOST} are listed; f, s and the question find the others.",
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("a", "add", "add finding", id="findings.add"),
        Binding("b", "by_urgency", "by urgency, or newest first", id="findings.by_urgency"),
        Binding("f", "airframe", "of one aircraft", id="findings.airframe"),
        Binding("s", "state", "of one state", id="findings.state"),
        Binding("u", "undo", "undo the last act", id="findings.undo"),
    ]

    def __init__(
        self,
        desk: Desk,
        *,
        airframe: str | None = None,
        state: State | None = None,
        system: str | None = None,
        by_urgency: bool = False,
    ) -> None:
        super().__init__(desk)
        self._airframe = airframe
        self._state = state
        self._system = system
        self._by_urgency = by_urgency

    def read(self) -> tuple[str, Sequence[Line]]:
        if self._by_urgency:
            pressing = self.desk.counts.open(airframe=self._airframe, limit=MOST + 1)
            lines = [_line(one.finding, URGENCY_WORDS.get(one.urgency or "", NOT_JUDGED)) for one in pressing]
        else:
            lines = [_line(one, f"shop, {one.state}") for one in self._newest()]
        return self._heading(len(lines)), lines[:MOST]

    def keys(self) -> list[str]:
        order = "b newest first" if self._by_urgency else "b by urgency"
        return ["Enter read", order, "f aircraft", "s state", "a add", "u undo", "Esc back", "? keys", "q quit"]

    def choose(self, name: str) -> None:
        open_page(self, self.desk, name, is_finding=True)

    def _newest(self) -> list[Finding]:
        chosen: dict[str, Any] = {"airframe": self._airframe, "state": self._state, "system": self._system}
        try:
            return self.desk.findings.all(**chosen, limit=MOST + 1)
        except NotFound:  # an aircraft of which nothing was found yet
            return []

    def _heading(self, lines: int) -> str:
        which = [part for part in (self._airframe, self._system, None if self._by_urgency else self._state) if part]
        what = "Open findings, most pressing first" if self._by_urgency else "What this shop found, newest first"
        of = f": {', '.join(which)}" if which else ""
        if lines <= MOST:
            return f"{what}{of}"
        whole = "" if which or self._by_urgency else f" of {self.desk.findings.count():,}"
        return f"{what}{of}. The first {MOST}{whole or ', there are more'}"

    def action_add(self) -> None:
        """Add a finding, on the aircraft of the list."""
        self.app.push_screen(FindingScreen(self.desk, airframe=self._airframe or "", system=self._system))

    def action_by_urgency(self) -> None:
        """Change between newest first and by urgency."""
        self._by_urgency = not self._by_urgency
        self._current = None  # another order is read from its top
        self.show_keys()
        self.fill()

    def action_airframe(self) -> None:
        """Choose an aircraft, or all."""

        def chosen(name: str | None) -> None:
            if name is not None:
                self._airframe = name or None
                self.fill()

        self.app.push_screen(ChooseAirframe(self.desk), chosen)

    def action_state(self) -> None:
        """Choose a state, or all."""

        def chosen(name: State | None) -> None:
            if name is not None:
                self._state, self._by_urgency = name or None, False
                self.show_keys()
                self.fill()

        self.app.push_screen(ChooseState(self.desk), chosen)

    def action_undo(self) -> None:
        """Take the last act back."""
        from tui.screens.undo import ask_undo

        ask_undo(self)


class ChooseAirframe(ListScreen):
    """Hands the name of an aircraft back, or "" for all."""

    name_on_trail = "aircraft"

    def read(self) -> tuple[str, Sequence[Line]]:
        known = [
            Line(one.name, f"{one.open} open", one.name, f"{one.findings} in all", one_line(facts_of(one.record)))
            for one in self.desk.airframes.all()
        ]
        return "Findings of which aircraft?", [Line("", "all", "All aircraft", "", ""), *known]

    def keys(self) -> list[str]:
        return ["Enter choose", "Esc back", "? keys", "q quit"]

    def choose(self, name: str) -> None:
        self.dismiss(name)


class ChooseState(ListScreen):
    """Hands a state back, or "" for all that are not withdrawn."""

    name_on_trail = "state"

    def read(self) -> tuple[str, Sequence[Line]]:
        about = {
            "open": "nothing settled yet",
            "deferred": "put off, with the ground for it",
            "corrected": "put right, and how",
            "withdrawn": "taken out of lists and search; open again brings one back",
        }
        lines = [Line(state, "state", state, "", said) for state, said in about.items()]
        return "Findings in which state?", [Line("", "all", "All but withdrawn", "", ""), *lines]

    def keys(self) -> list[str]:
        return ["Enter choose", "Esc back", "? keys", "q quit"]

    def choose(self, name: str) -> None:
        self.dismiss(name)


def _line(one: Finding, edge: str) -> Line:
    below = (one.system or "", ", ".join(one.entries), one.cause or "", (one.action or "")[:200])
    return Line(
        one.id,
        edge,
        f"{one.airframe}: {one_line(one.text[:300])}",
        one.found or one.created[:10],
        "  ".join(one_line(part) for part in below if part),
    )
