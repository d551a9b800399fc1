"""The kept narrowings, the last changed first; Enter opens one again."""

from __future__ import annotations

from collections.abc import Sequence

from tui.screens.listing import Line, ListScreen
from tui.screens.narrow import narrow_again


class SessionsScreen(ListScreen):
    """The narrowings this store keeps."""

    name_on_trail = "kept"
    empty = "No narrowing is kept yet. The first answer keeps one."

    def read(self) -> tuple[str, Sequence[Line]]:
        lines = [
            Line(
                one.id,
                one.made[:10],
                one.question,
                "1 answer" if one.answers == 1 else f"{one.answers} answers",
                f"{one.id[-8:]}  finding {one.finding[-8:]}" if one.finding else one.id[-8:],
            )
            for one in self.desk.narrow.kept()
        ]
        return "Kept narrowings, the last changed first", lines

    def choose(self, name: str) -> None:
        narrow_again(self, self.desk, name)
