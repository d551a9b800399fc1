"""What every screen has: the trail on the first line, the keys on the last, Esc to walk back."""

from __future__ import annotations

from typing import Any, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal
from textual.message_pump import MessagePump
from textual.screen import Screen
from textual.widgets import Rule, Static
from textual.worker import Worker, WorkerState

from kb.desk import Desk
from kb.display import show_safely
from tui.literal import plain


class SaysTrouble(MessagePump):
    """What has workers and says what one of them could not do; the screens stay usable."""

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        """Say it in one sentence."""
        if event.state is WorkerState.ERROR:
            sentence = show_safely(str(event.worker.error))
            self.app.notify(sentence, title="not done", severity="error", markup=False, timeout=12)


class TrailScreen(SaysTrouble, Screen[Any]):
    """A screen on the trail. `name_on_trail` is its word there; `tips` are lines for its help."""

    name_on_trail: ClassVar[str] = ""
    tips: ClassVar[tuple[str, ...]] = ()
    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "back", "back", id="screen.back")]

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self.desk = desk

    def compose(self) -> ComposeResult:
        with Horizontal(classes="trail"):
            yield Static(plain(self.trail()), classes="where")
            yield Static("", classes="counts")
        yield from self.compose_body()
        yield Static("", classes="keys")

    def compose_body(self) -> ComposeResult:
        """Yield what stands between the trail and the keys."""
        yield from ()

    def on_mount(self) -> None:
        self.show_keys()

    def on_descendant_focus(self) -> None:
        self.show_keys()

    def trail(self) -> str:
        """Return where this screen stands: the words of all screens below it and its own."""
        stack = [screen for screen in self.app.screen_stack if isinstance(screen, TrailScreen)]
        names = [screen.name_on_trail for screen in stack if screen is not self]
        return " > ".join([*names, self.name_on_trail])

    def show_counts(self, text: str) -> None:
        """Show a short line at the right end of the trail."""
        self.query_one(".counts", Static).update(plain(text))

    def show_keys(self) -> None:
        """Show the next steps on the last line: whole pairs of key and word only, as many as fit."""
        line = ""
        for pair in self.keys():
            if len(line) + len(pair) + 3 > self.size.width - 2 and self.size.width:
                break
            line += ("   " if line else "") + pair
        self.query_one(".keys", Static).update(plain(line))

    def on_resize(self) -> None:
        self.show_keys()

    def keys(self) -> list[str]:
        """Return what the last line offers now, most wanted first."""
        return ["Esc back", "? keys", "q quit"]

    def action_back(self) -> None:
        """Walk the trail back by one."""
        if len(self.app.screen_stack) > 2:
            self.app.pop_screen()


def rule() -> Rule:
    """Return a plain line that divides."""
    return Rule(classes="rule")
