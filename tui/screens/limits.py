"""The limits to choose from, by system; a page's own stand first."""

from __future__ import annotations

from collections.abc import Sequence

from kb.desk import Desk
from tui.screens.limit import LimitScreen
from tui.screens.listing import Line, ListScreen


class LimitsScreen(ListScreen):
    """All limits by system; those of the page it was opened from stand first."""

    name_on_trail = "limits"
    tips = ("Arrows and Page Down move, Enter opens the limit at hand.",)

    def __init__(self, desk: Desk, *, entry: str | None = None) -> None:
        super().__init__(desk)
        self._entry = entry

    def read(self) -> tuple[str, Sequence[Line]]:
        limits = self.desk.limits
        own = limits.known(self.desk.library.page(self._entry).limits) if self._entry else ()
        edged = [("THIS PAGE", one) for one in own]
        for system, found in limits.by_system(list(self.desk.library.system_titles())).items():
            edged += [(system, one) for one in found if one not in own]
        lines = [
            Line(one.id, edge, one.title, "", f"{one.id}: {', '.join(item.name for item in one.inputs)}")
            for edge, one in edged
        ]
        none = "This page names no limit; all by system. " if self._entry and not own else ""
        return f"{none}A measured number gets its verdict from a printed table.", lines

    def choose(self, name: str) -> None:
        self.app.push_screen(LimitScreen(self.desk, name, entry=self._entry))
