"""The application: opens on a Desk, owns the themes and the keys that work everywhere."""

from __future__ import annotations

import os
import re
from pathlib import Path
from typing import ClassVar

from textual.app import App
from textual.binding import Binding, BindingType
from textual.theme import Theme

from kb.desk import Desk
from tui.screens.ask import AskScreen
from tui.screens.base import SaysTrouble, TrailScreen

DARK = Theme(
    name="oddfix-dark",
    primary="#a8b545",
    secondary="#c9b458",
    accent="#a8b545",
    warning="#e0935a",
    error="#e2675f",
    success="#7fb28a",
    foreground="#d9d7cf",
    background="#14171a",
    surface="#14171a",
    panel="#1e2327",
    dark=True,
)
LIGHT = Theme(
    name="oddfix-light",
    primary="#5c661a",
    secondary="#7a6410",
    accent="#5c661a",
    warning="#9c4f14",
    error="#a8281f",
    success="#2f6a3c",
    foreground="#22241f",
    background="#f4f2ea",
    surface="#f4f2ea",
    panel="#e7e4d8",
    dark=False,
)


class OddfixApp(SaysTrouble, App[None]):
    """The screens, on one Desk."""

    TITLE = "oddfix"
    ENABLE_COMMAND_PALETTE = False
    CSS_PATH = Path(__file__).with_name("app.tcss")
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("question_mark", "help", "keys", id="app.help"),
        Binding("f8", "help", "keys", id="app.help_anywhere", show=False),
        Binding("t", "toggle_light", "light or dark", id="app.theme", show=False),
        Binding("q", "quit", "quit", id="app.quit"),
    ]

    def __init__(self, desk: Desk, *, ansi_color: bool = False) -> None:
        super().__init__(ansi_color=ansi_color)
        self.desk = desk

    def on_mount(self) -> None:
        if not self.ansi_color:
            self.register_theme(DARK)
            self.register_theme(LIGHT)
            self.theme = "oddfix-dark"
        self.push_screen(AskScreen(self.desk))

    def get_css_variables(self) -> dict[str, str]:
        """Return the colours by name; in the terminal's own colours there are none but the default."""
        variables = super().get_css_variables()
        if not self.ansi_color:
            return variables
        is_colour = re.compile(r"#|rgb|auto|ansi_").match
        return {name: "ansi_default" if is_colour(value) else value for name, value in variables.items()}

    def action_toggle_light(self) -> None:
        """Switch between the dark and the light theme."""
        if not self.ansi_color:
            self.theme = "oddfix-light" if self.theme == "oddfix-dark" else "oddfix-dark"

    def action_help(self) -> None:
        """Show every key of the screen at hand."""
        from tui.screens.help import HelpScreen

        if isinstance(self.screen, TrailScreen) and not isinstance(self.screen, HelpScreen):
            self.push_screen(HelpScreen(self.screen))


def run(desk: Desk, *, mouse: bool = True) -> None:
    """Open the screens and return when they are closed."""
    # Textual answers NO_COLOR with greys; only an app built for the terminal's own colours leaves them alone.
    OddfixApp(desk, ansi_color=bool(os.environ.get("NO_COLOR"))).run(mouse=mouse)
