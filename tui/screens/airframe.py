"""What is known of the aircraft of a narrowing: three short lines, each of which may stay empty."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal
from textual.suggester import SuggestFromList
from textual.widgets import Input, Static

from kb.desk import Desk
from kb.errors import KbError
from tui.literal import plain
from tui.screens.base import TrailScreen, rule

if TYPE_CHECKING:
    from kb.narrow import Nature

FIELDS = (
    ("built", "Built of", ("tube-and-fabric", "wood", "sheet-metal")),
    ("years", "Years in service", ()),
    ("kept", "Kept", ("outdoors", "indoors")),
)
"""Name, label and the words offered."""


class AirframeScreen(TrailScreen):
    """The form; it is dismissed with the nature of the aircraft."""

    name_on_trail = "aircraft"
    CSS_PATH = "airframe.tcss"
    tips = ("Right takes the word offered; Tab goes to the next line; F2 or Enter on the last line goes back with it.",)
    BINDINGS: ClassVar[list[BindingType]] = [Binding("f2", "take", "use it", id="aircraft.take", priority=True)]

    def __init__(self, desk: Desk, nature: Nature) -> None:
        super().__init__(desk)
        self._before = {
            "built": " ".join(nature.constructions),
            "years": "" if nature.years is None else str(nature.years),
            "kept": {None: "", True: "outdoors", False: "indoors"}[nature.outdoors],
        }

    def compose_body(self) -> ComposeResult:
        yield rule()
        yield Static(plain("What is known of the aircraft; an empty line moves no cause."), classes="quiet")
        for name, label, words in FIELDS:
            with Horizontal(classes="line"):
                yield Static(label, classes="label")
                yield Input(
                    self._before[name],
                    id=name,
                    max_length=80,
                    select_on_focus=False,
                    suggester=SuggestFromList(words, case_sensitive=False) if words else None,
                )
        yield Static(plain("Years are counted since it was built or last rebuilt."), classes="quiet")
        yield Static("", id="said")

    def on_mount(self) -> None:
        super().on_mount()
        self.query(Input).first().focus()

    def keys(self) -> list[str]:
        return ["F2 use it", "Tab next line", "Esc back", "F8 keys"]

    @on(Input.Submitted)
    def _next(self, event: Input.Submitted) -> None:
        if event.input.id == FIELDS[-1][0]:
            self.action_take()
        else:
            self.focus_next()

    def action_take(self) -> None:
        """Go back with what was typed."""
        from kb.narrow import read_nature

        typed = {field.id or "": field.value for field in self.query(Input)}
        try:
            nature = read_nature(**typed)
        except KbError as error:
            self.query_one("#said", Static).update(plain(str(error)))
        else:
            self.dismiss(nature)
