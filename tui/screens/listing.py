"""A list to choose from, filled by a worker: the shape that systems, reading lists and findings share."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

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

    tips = ("Arrows move, Enter chooses.",)
    empty = "nothing here yet"
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

    def compose_body(self) -> ComposeResult:
        yield Static("", id="heading", classes="quiet")
        yield rule()
        yield OptionList(id="lines", markup=False)
        yield rule()

    def on_mount(self) -> None:
        super().on_mount()
        self.query_one("#lines").focus()
        self._fill()

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
    def _fill(self) -> None:
        heading, lines = self.read()
        if not get_current_worker().is_cancelled:
            self.post_message(self.Filled(heading, lines))

    @on(Filled)
    def _filled(self, event: Filled) -> None:
        self._lines = event.lines
        self.query_one("#heading", Static).update(plain(event.heading if event.lines else self.empty))
        self._draw(highlighted=0)

    @on(OptionList.OptionHighlighted, "#lines")
    def _moved(self, event: OptionList.OptionHighlighted) -> None:
        lines = self.query_one("#lines", OptionList)
        for number in range(len(self._lines)):
            lines.replace_option_prompt_at_index(number, self._row(number, event.option_index))

    @on(OptionList.OptionSelected, "#lines")
    def _chosen(self, event: OptionList.OptionSelected) -> None:
        self.choose(self._lines[event.option_index].name)

    def _draw(self, highlighted: int | None = None) -> None:
        lines = self.query_one("#lines", OptionList)
        current = lines.highlighted if highlighted is None else highlighted
        lines.clear_options()
        lines.add_options(Option(self._row(number, current)) for number in range(len(self._lines)))
        lines.highlighted = current if self._lines else None

    def _row(self, number: int, current: int | None) -> Content:
        line = self._lines[number]
        width = self.size.width - 3
        return row(line.edge, line.text, line.right, below=line.below, width=width, is_current=number == current)
