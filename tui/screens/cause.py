"""The causes a finding may have: those of the pages it is linked to."""

from __future__ import annotations

from collections.abc import Sequence

from kb.desk import Desk
from kb.model import URGENCY_WORDS, Finding
from tui.screens.listing import Line, ListScreen


class CauseScreen(ListScreen):
    """Hands the chosen cause, named `page/cause`, back to the screen that asked; "" takes the confirmed one back."""

    name_on_trail = "cause"
    empty = "It is linked to no page, so there is no cause to choose. e and F3 link it to one."

    def __init__(self, desk: Desk, finding: Finding) -> None:
        super().__init__(desk)
        self._finding = finding

    def read(self) -> tuple[str, Sequence[Line]]:
        lines = []
        for name in self._finding.entries:
            page = self.desk.library.page(name)
            for cause in page.causes:
                said = f"{page.id}/{cause.id}"
                right = "confirmed" if said == self._finding.cause else cause.how_common
                lines.append(Line(said, URGENCY_WORDS[cause.urgency or page.urgency], cause.text, right, said))
        if self._finding.cause:
            lines.append(Line("", "no cause", "Take the confirmed cause back", "", self._finding.cause))
        return "Which cause has proved right? From then on narrowing down counts it.", lines

    def choose(self, name: str) -> None:
        self.dismiss(name)

    def keys(self) -> list[str]:
        return ["Enter confirm", "Esc back", "? keys", "q quit"]
