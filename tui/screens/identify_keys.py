"""The keys: what can be named from measurements and marks."""

from __future__ import annotations

from collections.abc import Sequence

from kb.desk import Desk
from kb.page import one_line
from tui.screens.identify import KeyScreen
from tui.screens.listing import Line, ListScreen


class KeysScreen(ListScreen):
    """All keys, or those that belong to one page."""

    name_on_trail = "identify"

    def __init__(self, desk: Desk, page: str | None = None) -> None:
        super().__init__(desk)
        self._page = page

    def read(self) -> tuple[str, Sequence[Line]]:
        ring = self.desk.identify
        names, heading = ring.names(), "What do you have in hand?"
        if self._page is not None:
            listed = ring.names_for(self._page, self.desk.library.page(self._page).keys)
            names = listed or names
            heading = "Keys for this page" if listed else "No key belongs to this page; these are all of them"
        keys = [ring.key(name.id) for name in names]
        lines = [Line(key.id, f"{len(key.candidates)} candidates", key.title, "", one_line(key.about)) for key in keys]
        return heading, lines

    def choose(self, name: str) -> None:
        self.app.push_screen(KeyScreen(self.desk, name))
