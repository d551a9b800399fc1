"""Every key of the screen it was asked from, read from the bindings themselves so that it cannot be wrong."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from kb.model import CAUTION
from tui.literal import plain, styled
from tui.screens.base import TrailScreen, rule


class HelpScreen(TrailScreen):
    """Help for one screen."""

    name_on_trail = "keys"

    def __init__(self, asked_from: TrailScreen) -> None:
        super().__init__(asked_from.desk)
        self._asked_from = asked_from

    def compose_body(self) -> ComposeResult:
        yield rule()
        with VerticalScroll(id="all-keys"):
            for tip in self._asked_from.tips:
                yield Static(plain(tip))
            yield Static("")
            for key, said in self._keys():
                yield Static(Content.assemble(styled(f"{key:<14}", "bold $accent"), styled(said, "")))
            yield Static("")
            yield Static(styled(CAUTION, "dim"))
        yield rule()

    def on_mount(self) -> None:
        super().on_mount()
        self.query_one("#all-keys").focus()

    def keys(self) -> list[str]:
        return ["Esc back", "q quit"]

    def _keys(self) -> list[tuple[str, str]]:
        declared = [*self._asked_from.BINDINGS, *TrailScreen.BINDINGS, *self.app.BINDINGS]
        bindings = [binding for binding in declared if isinstance(binding, Binding)]
        seen = {binding.id: (self.app.get_key_display(binding), binding.description) for binding in bindings}
        return list(seen.values())
