"""The shop's aircraft: what is open on each, and what is known of it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.binding import Binding, BindingType

from kb.desk import Desk
from kb.model import Airframe
from kb.page import one_line
from tui.screens.aircraft_form import AircraftScreen
from tui.screens.listing import Line, ListScreen


class AircraftListScreen(ListScreen):
    """All aircraft with findings or facts."""

    name_on_trail = "aircraft"
    is_live = True
    empty = "No aircraft is known yet. n says what is known of one; a finding brings its own."
    tips: ClassVar[tuple[str, ...]] = ("Enter lists what is open on the aircraft, most pressing first.",)
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("e", "edit", "say what is known of it", id="aircraft.edit"),
        Binding("n", "new", "a new aircraft", id="aircraft.new"),
        Binding("v", "history", "what was said of it before", id="aircraft.history"),
        Binding("b", "counts", "what is found most on it", id="aircraft.counts"),
    ]

    def read(self) -> tuple[str, Sequence[Line]]:
        lines = [
            Line(one.name, f"{one.open} open", one.name, f"{one.findings} in all", one_line(facts_of(one.record)))
            for one in self.desk.airframes.all()
        ]
        return "The shop's aircraft", lines

    def keys(self) -> list[str]:
        return ["Enter what is open", "e say what is known", "n new", "b counts", "Esc back", "? keys", "q quit"]

    def choose(self, name: str) -> None:
        from tui.screens.findings import FindingsScreen

        self.app.push_screen(FindingsScreen(self.desk, airframe=name, by_urgency=True))

    def action_edit(self) -> None:
        """Say what is known of the aircraft at hand."""
        if name := self.at_hand():
            self.app.push_screen(AircraftScreen(self.desk, name))

    def action_new(self) -> None:
        """Say what is known of another aircraft."""
        self.app.push_screen(AircraftScreen(self.desk))

    def action_history(self) -> None:
        """List what was said of the aircraft at hand."""
        if name := self.at_hand():
            self.app.push_screen(AircraftHistoryScreen(self.desk, name))

    def action_counts(self) -> None:
        """Count what is found on the aircraft at hand."""
        from tui.screens.counts import CountsScreen

        if name := self.at_hand():
            self.app.push_screen(CountsScreen(self.desk, airframe=name))


class AircraftHistoryScreen(ListScreen):
    """The records of one aircraft, oldest first."""

    name_on_trail = "history"
    empty = "Nothing was ever said of it but its findings."

    def __init__(self, desk: Desk, name: str) -> None:
        super().__init__(desk)
        self._called = name

    def read(self) -> tuple[str, Sequence[Line]]:
        lines = [
            Line(one.id, one.made[:10], one_line(facts_of(one)) or "nothing", f"by {one.who}" if one.who else "", "")
            for one in self.desk.airframes.history(self._called)
        ]
        return f"What was said of {self._called}, oldest first", lines

    def choose(self, name: str) -> None:
        self.action_back()


def facts_of(record: Airframe | None) -> str:
    """Return what is known of an aircraft in one line."""
    if record is None:
        return ""
    kept = {True: "kept outdoors", False: "kept indoors", None: ""}[record.outdoors]
    facts = (record.construction, f"built {record.built}" if record.built else "", kept, record.about)
    return "; ".join(fact for fact in facts if fact)
