"""Two programs that end at their first frame: an empty Textual app, and the screens on the store at hand."""

from __future__ import annotations

import os
from typing import Any

from textual.app import App


def _end_at_first_frame(app: App[Any]) -> None:
    # At once: a clean exit would wait for the index that is being opened behind the frame.
    app.call_after_refresh(lambda: os._exit(0))


class _EmptyApp(App[None]):
    def on_ready(self) -> None:
        _end_at_first_frame(self)


def empty() -> None:
    """Draw nothing once."""
    _EmptyApp().run(headless=True)


def screens() -> None:
    """Draw the first screen once."""
    from kb.desk import Desk
    from tui.app import OddfixApp

    class Measured(OddfixApp):
        def on_ready(self) -> None:
            _end_at_first_frame(self)

    Measured(Desk.open()).run(headless=True)
