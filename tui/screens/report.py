"""What a long act found or would do, as lines to read; one key may go on from there."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.widgets import Static

from kb.desk import Desk
from tui.literal import plain, styled
from tui.screens.base import TrailScreen, rule


class ReportScreen(TrailScreen):
    """Lines of text below a heading; with `go_on`, F2 does what the heading tells of."""

    name_on_trail = "report"
    BINDINGS: ClassVar[list[BindingType]] = [Binding("f2", "go_on", "go on", id="report.go_on")]
    DEFAULT_CSS = """
    ReportScreen {
        #heading { padding: 0 1; }
        #report { height: 1fr; padding: 0 1; }
        #report Static { height: auto; }
    }
    """

    def __init__(
        self,
        desk: Desk,
        heading: str,
        lines: Sequence[str],
        *,
        go_on: Callable[[], None] | None = None,
        go_on_words: str = "",
    ) -> None:
        super().__init__(desk)
        self._heading = heading
        self._report = lines
        self._go_on = go_on
        self._go_on_words = go_on_words

    def compose_body(self) -> ComposeResult:
        yield Static(styled(self._heading, "bold"), id="heading")
        yield rule()
        with VerticalScroll(id="report"):
            yield Static(plain("\n".join(self._report)))
        yield rule()

    def on_mount(self) -> None:
        super().on_mount()
        self.query_one("#report").focus()

    def keys(self) -> list[str]:
        return [*([f"F2 {self._go_on_words}"] if self._go_on else []), "Esc back", "? keys", "q quit"]

    def action_go_on(self) -> None:
        """Do what the report tells of."""
        if self._go_on:
            go_on, self._go_on = self._go_on, None
            self.dismiss(None)
            go_on()
