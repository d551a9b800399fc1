"""The shop's own findings, newest first."""

from __future__ import annotations

from collections.abc import Sequence

from kb.page import one_line
from tui.screens.listing import Line, ListScreen
from tui.screens.page import open_page


class FindingsScreen(ListScreen):
    """All findings of this store."""

    name_on_trail = "own findings"
    empty = "No findings yet. Press a on a page to add the first."

    def read(self) -> tuple[str, Sequence[Line]]:
        found = self.desk.findings.all()
        lines = [
            Line(
                one.id,
                f"shop, {one.state}",
                f"{one.airframe}: {one_line(one.text)}",
                one.created[:10],
                "  ".join(part for part in (one.system or "", ", ".join(one.entries), one.action or "") if part),
            )
            for one in found
        ]
        return "What this shop found, newest first", lines

    def choose(self, name: str) -> None:
        open_page(self, self.desk, name, is_finding=True)
