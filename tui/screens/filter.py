"""What the answer may be limited to, as one list to choose from."""

from __future__ import annotations

from collections.abc import Sequence

from kb.model import URGENCY_WORDS
from tui.screens.listing import Line, ListScreen


class FilterScreen(ListScreen):
    """Hands the chosen field and value back to the screen that asked; an empty field lifts the limit."""

    name_on_trail = "filter"

    def read(self) -> tuple[str, Sequence[Line]]:
        lines = [
            Line("=", "no limit", "Everything", "", "pages and the shop's own findings"),
            Line("only=pages", "kind", "Only pages", "", "what this installation came with"),
            Line("only=findings", "kind", "Only own findings", "", "what this shop found"),
        ]
        lines += [
            Line(f"urgency={key}", "urgency", said, "", "pages of this urgency") for key, said in URGENCY_WORDS.items()
        ]
        lines += [
            Line(f"system={system.id}", "system", system.title, f"{count} pages", system.about)
            for system, count in self.desk.library.systems()
        ]
        return "Limit the answer to", lines

    def choose(self, name: str) -> None:
        field, _, value = name.partition("=")
        self.dismiss((field, value))
