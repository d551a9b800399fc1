"""By system: the systems, and the reading list of one, as a student goes through them."""

from __future__ import annotations

from collections.abc import Sequence

from kb.desk import Desk
from kb.model import URGENCY_WORDS
from kb.page import one_line
from tui.screens.listing import Line, ListScreen
from tui.screens.page import open_page


class SystemsScreen(ListScreen):
    """The systems of an old light aircraft, in reading order."""

    name_on_trail = "systems"

    def read(self) -> tuple[str, Sequence[Line]]:
        lines = [
            Line(system.id, "1 page" if count == 1 else f"{count} pages", system.title, "", system.about)
            for system, count in self.desk.library.systems()
        ]
        return "Pitfalls by system", lines

    def choose(self, name: str) -> None:
        self.app.push_screen(ReadingScreen(self.desk, name))


class ReadingScreen(ListScreen):
    """The pages of one system, the most pressing first."""

    name_on_trail = "reading"
    empty = "no page yet on this system"

    def __init__(self, desk: Desk, system: str) -> None:
        super().__init__(desk)
        self._system = system

    def read(self) -> tuple[str, Sequence[Line]]:
        system, entries = self.desk.library.reading_list(self._system)
        lines = [
            Line(entry.id, URGENCY_WORDS[entry.urgency], entry.title, "", one_line(entry.hazard)) for entry in entries
        ]
        return f"{system.title}. {system.about}", lines

    def choose(self, name: str) -> None:
        open_page(self, self.desk, name)
