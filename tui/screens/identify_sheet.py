"""What the form of a key opens: the answer as a sheet, the list of measurements, the question before leaving."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.screen import ModalScreen
from textual.widgets import Static

from kb.desk import Desk
from kb.identified import minutes
from kb.page import Page
from tui.literal import plain
from tui.pageview import Link, PageView
from tui.screens.base import TrailScreen, rule
from tui.screens.listing import Line, ListScreen
from tui.screens.page import open_page

if TYPE_CHECKING:
    from kb.identify import Key


class SheetScreen(TrailScreen):
    """An answer laid out in numbered parts, with its sources."""

    name_on_trail = "answer"
    CSS_PATH = "identify.tcss"
    tips = ("Digits jump to the numbered parts.", "Tab goes from link to link; Enter follows the one marked >.")
    BINDINGS: ClassVar[list[BindingType]] = [
        *(Binding(str(n), f"part({n})", f"to part {n}", id=f"sheet.part{n}", show=False) for n in range(1, 10)),
        Binding("tab", "app.focus_next", "next link", id="sheet.next", show=False),
    ]

    def __init__(self, desk: Desk, page: Page) -> None:
        super().__init__(desk)
        self._page = page

    def compose_body(self) -> ComposeResult:
        yield rule()
        yield PageView(id="sheet")
        yield rule()

    def on_mount(self) -> None:
        super().on_mount()
        self.call_later(self._show)

    async def _show(self) -> None:
        view = self.query_one("#sheet", PageView)
        await view.show(self._page)
        view.focus()

    def keys(self) -> list[str]:
        return ["1-9 part", "Tab link", "Enter follow", "Esc back", "? keys", "q quit"]

    def action_part(self, number: int) -> None:
        """Jump to a numbered part."""
        self.query_one("#sheet", PageView).go_to_part(number)

    @on(Link.Followed)
    def _follow(self, event: Link.Followed) -> None:
        open_page(self, self.desk, event.entry_id)


class MeasurementsScreen(ListScreen):
    """Every measurement of a key; hands the chosen one back to the form."""

    name_on_trail = "measurements"

    def __init__(self, desk: Desk, key: Key, done: Mapping[str, str | None]) -> None:
        super().__init__(desk)
        self._key = key
        self._done = done

    def read(self) -> tuple[str, Sequence[Line]]:
        lines = [
            Line(item.id, self._state(item.id), item.title, minutes(item), "; ".join((*item.cautions, item.how)))
            for item in self._key.measurements
        ]
        return "Which one can be taken?", lines

    def choose(self, name: str) -> None:
        self.dismiss(name)

    def keys(self) -> list[str]:
        return ["Enter choose", "Esc back", "? keys", "q quit"]

    def _state(self, name: str) -> str:
        if name not in self._done:
            return "open"
        return "left out" if self._done[name] is None else "given"


class LeaveAnswers(ModalScreen[bool]):
    """Asks before answers are thrown away."""

    CSS_PATH = "identify.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("t", "answer(True)", "throw them away", id="leave_answers.throw"),
        Binding("escape,enter", "answer(False)", "go on measuring", id="leave_answers.stay"),
    ]

    def compose(self) -> ComposeResult:
        yield Static(plain("The answers given are kept only here.\n\nEsc go on    t throw them away"), id="asked-first")

    def action_answer(self, is_sure: bool) -> None:
        """Close with the answer."""
        self.dismiss(is_sure)
