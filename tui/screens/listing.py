"""A list to choose from, filled by a worker: the shape that systems, reading lists and findings share."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from textual import on, work
from textual.app import ComposeResult
from textual.content import Content
from textual.message import Message
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option
from textual.worker import get_current_worker

from kb.desk import Desk
from tui.literal import plain, row
from tui.screens.base import TrailScreen, rule


@dataclass(frozen=True)
class Line:
    """One line of a list: what stands at the edge, the text, a word at the right, what stands below, and its name."""

    name: str
    edge: str
    text: str
    right: str
    below: str


class ListScreen(TrailScreen):
    """A list on the trail. Children say what is in it and what choosing does."""

    tips: ClassVar[tuple[str, ...]] = ("Arrows move, Enter chooses.",)
    empty = "nothing here yet"
    is_live = False
    """True when the list is read again whenever the screen above it closes."""
    DEFAULT_CSS = """
    ListScreen {
        #heading { padding: 0 1; }
        #lines { height: 1fr; }
    }
    """

    @dataclass
    class Filled(Message):
        """The lines have been read."""

        heading: str
        lines: Sequence[Line]

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self._lines: Sequence[Line] = ()
        self._current: int | None = None
        self._is_filled = False

    def compose_body(self) -> ComposeResult:
        yield Static("reading …", id="heading", classes="quiet")
        yield rule()
        yield OptionList(id="lines", markup=False)
        yield rule()

    def on_mount(self) -> None:
        super().on_mount()
        self.query_one("#lines").focus()
        self.fill()

    def on_screen_resume(self) -> None:
        if self.is_live and self._is_filled:
            self.fill()

    def on_resize(self) -> None:
        super().on_resize()
        self._draw()

    def read(self) -> tuple[str, Sequence[Line]]:
        """Return heading and lines; runs in a worker."""
        raise NotImplementedError

    def choose(self, name: str) -> None:
        """Go where the chosen line leads."""
        raise NotImplementedError

    def keys(self) -> list[str]:
        return ["Enter read", "Esc back", "? keys", "q quit"]

    @work(thread=True, exclusive=True, group="list", exit_on_error=False)
    def fill(self) -> None:
        """Read the lines, and show them once they are read."""
        heading, lines = self.read()
        if not get_current_worker().is_cancelled:
            self.post_message(self.Filled(heading, lines))

    @on(Filled)
    def _filled(self, event: Filled) -> None:
        at_hand, place = self.at_hand(), self._current or 0
        names = [line.name for line in event.lines]
        self._lines, self._is_filled = event.lines, True
        self.query_one("#heading", Static).update(plain(event.heading if event.lines else self.empty))
        self._draw(highlighted=names.index(at_hand) if at_hand in names else min(place, max(len(names) - 1, 0)))

    def at_hand(self) -> str | None:
        """Return the name of the line at hand."""
        return self._lines[self._current].name if self._current is not None and self._lines else None

    @on(OptionList.OptionHighlighted, "#lines")
    def _moved(self, event: OptionList.OptionHighlighted) -> None:
        # Only the row that was current and the one that is now look different; a long list must not be slow.
        lines = self.query_one("#lines", OptionList)
        for number in {self._current, event.option_index}:
            if number is not None and number < len(self._lines):
                lines.replace_option_prompt_at_index(number, self._row(number, event.option_index))
        self._current = event.option_index

    @on(OptionList.OptionSelected, "#lines")
    def _chosen(self, event: OptionList.OptionSelected) -> None:
        self.choose(self._lines[event.option_index].name)

    def _draw(self, highlighted: int | None = None) -> None:
        lines = self.query_one("#lines", OptionList)
        current = lines.highlighted if highlighted is None else highlighted
        lines.clear_options()
        lines.add_options(Option(self._row(number, current)) for number in range(len(self._lines)))
        lines.highlighted = self._current = current if self._lines else None

    def _row(self, number: int, current: int | None) -> Content:
        line = self._lines[number]
        width = self.size.width - 3
        return row(line.edge, line.text, line.right, below=line.below, width=width, is_current=number == current)
