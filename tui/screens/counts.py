"""What this shop finds most, as plain bars of equal scale; one key steps through what is counted by."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, ClassVar

from textual.binding import Binding, BindingType

from kb.counts import Count
from kb.desk import Desk
from kb.narrowtelling import bar
from tui.screens.listing import Line, ListScreen
from tui.screens.page import open_page

BY = ("system", "nature", "cause", "page", "airframe", "state", "year")
MOST = 100
"""Lines drawn at most."""

CELLS = 50
"""Cells of the longest bar; a narrow screen has shorter ones."""


class CountsScreen(ListScreen):
    """Counts of all findings, or of those on one aircraft."""

    name_on_trail = "counts"
    empty = "No findings to count yet."
    is_live = True
    tips: ClassVar[tuple[str, ...]] = (
        "All bars of one list have the same scale. A finding on several pages counts for each.",
        "Enter lists the findings of a system, state or aircraft, and reads the page of a page or cause.",
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("b,right", "step(1)", "count by the next", id="counts.next"),
        Binding("left", "step(-1)", "count by the one before", id="counts.before", show=False),
        Binding("f", "airframe", "of one aircraft", id="counts.airframe"),
    ]

    def __init__(self, desk: Desk, *, airframe: str | None = None) -> None:
        super().__init__(desk)
        self._airframe = airframe
        self._by = 0

    def read(self) -> tuple[str, Sequence[Line]]:
        by: Any = BY[self._by]
        counted = self.desk.counts.most(by, airframe=self._airframe)
        of = f" on {self._airframe}" if self._airframe else ""
        more = f", the first {MOST} of {len(counted):,}" if len(counted) > MOST else ""
        longest = max((one.count for one in counted), default=1)
        return f"What this shop finds most, by {by}{of}{more}", [self._bar(one, longest) for one in counted[:MOST]]

    def keys(self) -> list[str]:
        after = BY[(self._by + 1) % len(BY)]
        leads = {"page": "its page", "cause": "its page", "nature": "", "year": ""}.get(BY[self._by], "findings of it")
        enter = [f"Enter {leads}"] if leads else []
        return [*enter, f"b by {after}", "f aircraft", "Esc back", "? keys", "q quit"]

    def choose(self, name: str) -> None:
        from tui.screens.findings import FindingsScreen

        by: Any = BY[self._by]
        if not name or by in ("nature", "year"):
            self.notify("these cannot be listed; ask for them, or count by system, state or aircraft", markup=False)
        elif by in ("page", "cause"):
            open_page(self, self.desk, name.partition("/")[0])
        else:
            chosen: dict[str, Any] = {"airframe": self._airframe, by: name}
            self.app.push_screen(FindingsScreen(self.desk, **chosen))

    def action_step(self, by: int) -> None:
        """Count by something else."""
        self._by = (self._by + by) % len(BY)
        self._current = None
        self.show_keys()
        self.fill()

    def action_airframe(self) -> None:
        """Choose an aircraft, or all."""
        from tui.screens.findings import ChooseAirframe

        def chosen(name: str | None) -> None:
            if name is not None:
                self._airframe = name or None
                self.fill()

        self.app.push_screen(ChooseAirframe(self.desk), chosen)

    def _bar(self, one: Count, longest: int) -> Line:
        cells = min(CELLS, max(self.size.width - 24, 10))
        return Line(
            one.value or "", f"{one.count:>7,}  {one.share:>4.0%}", one.title, "", bar(one.count / longest, cells)
        )
