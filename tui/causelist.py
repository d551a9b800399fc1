"""The causes of a narrowing as a list of bars, the current one marked. Only how it looks and which one is current."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from textual.content import Content
from textual.widgets import OptionList
from textual.widgets.option_list import Option

from kb.narrowed import Narrowed
from kb.narrowtelling import is_pressing, urgency_of
from tui.literal import URGENCY_STYLES, styled
from tui.narrowlines import SHARE, share_bar

if TYPE_CHECKING:
    from kb.narrow.records import Standing


class CauseList(OptionList):
    """The causes shown, the largest share first; in two lines each where there is room beside them."""

    def __init__(self) -> None:
        super().__init__(id="causes", markup=False)
        self.causes: Sequence[Standing] = ()
        self.is_wide = False
        self.width = 0
        self._narrowed: Narrowed | None = None

    @property
    def scale(self) -> int:
        """Cells of a bar that is the whole."""
        return 24 if self.is_wide else max(min((self.width + 3) // 5, 24), 8)

    @property
    def cause(self) -> Standing | None:
        """The cause at hand."""
        place = self.highlighted
        return self.causes[place] if place is not None and place < len(self.causes) else None

    def show(self, narrowed: Narrowed, causes: Sequence[Standing], highlighted: int | None) -> None:
        """Draw the causes anew; where None is highlighted, the current one stays so."""
        current = self.highlighted if highlighted is None else highlighted
        self.causes, self._narrowed = causes, narrowed
        self.clear_options()
        self.add_options(Option(self._row(narrowed, number, current)) for number in range(len(causes)))
        self.highlighted = current if causes else None

    def mark(self, current: int) -> None:
        """Draw each row as current or not."""
        if self._narrowed is not None:
            for number in range(len(self.causes)):
                self.replace_option_prompt_at_index(number, self._row(self._narrowed, number, current))

    def _row(self, narrowed: Narrowed, number: int, current: int | None) -> Content:
        standing, is_current = self.causes[number], number == current
        mark = styled("> " if is_current else "  ", "bold $accent")
        urgency = urgency_of(standing) if is_pressing(narrowed, standing) else ""
        edge = share_bar(standing, self.scale, urgency)
        danger = styled(urgency, URGENCY_STYLES.get(urgency, ""))
        text = styled(standing.candidate.text, "bold" if is_current else "")
        if self.is_wide:
            below = text.truncate(max(self.width - 2 - SHARE, 10), ellipsis=True)
            words = styled(f"{standing.words}   ", "dim")
            return Content.assemble(mark, edge, words, danger, "\n", " " * (SHARE + 2), below)
        room = max(self.width - 2 - edge.cell_length - danger.cell_length - 2, 10)
        fitted = text.truncate(room, ellipsis=True)
        return Content.assemble(mark, edge, fitted, " " * (room - fitted.cell_length + 2), danger)
