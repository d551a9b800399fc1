"""Findings of which two shops say different things."""

from __future__ import annotations

from collections.abc import Sequence

from kb.page import one_line
from tui.screens.history import HistoryScreen
from tui.screens.listing import Line, ListScreen


class ConflictsScreen(ListScreen):
    """Enter reads the history of one, where r settles it."""

    name_on_trail = "conflicts"
    empty = "No finding is said differently by two shops."
    is_live = True

    def read(self) -> tuple[str, Sequence[Line]]:
        lines = [
            Line(
                one.id, f"shop, {one.state}", f"{one.airframe}: {one_line(one.text[:300])}", one.id[-8:], one.shop or ""
            )
            for one in self.desk.history.conflicts()
        ]
        return "Said differently by two shops. Enter reads both words; r there keeps the one that is right", lines

    def choose(self, name: str) -> None:
        self.app.push_screen(HistoryScreen(self.desk, name))
