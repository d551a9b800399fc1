"""Two frames at 80 x 24, kept as pictures: read the difference before renewing them."""

from __future__ import annotations

from typing import Any

import pytest
from textual.pilot import Pilot
from textual.widgets import Input

from kb.desk import Desk
from tui.app import OddfixApp


@pytest.fixture(autouse=True)
def no_waiting_for_typing(monkeypatch: pytest.MonkeyPatch) -> None:
    """A question is asked at once."""
    monkeypatch.setattr("tui.screens.ask.PAUSE", 0.001)


def _still(desk: Desk) -> OddfixApp:
    """The app without anything that blinks."""
    app = OddfixApp(desk)
    app.animation_level = "none"
    return app


async def _asked(pilot: Pilot[None]) -> None:
    text = pilot.app.screen.query_one("#text", Input)
    text.cursor_blink = False
    text.value = "cork float heavy gauge low"
    for _ in range(2):
        await pilot.pause()
        while getattr(pilot.app.screen, "is_waiting", False):
            await pilot.pause()
        await pilot.app.workers.wait_for_complete()
    await pilot.pause()


async def _read(pilot: Pilot[None]) -> None:
    await _asked(pilot)
    await pilot.press("enter")
    await pilot.app.workers.wait_for_complete()
    await pilot.pause()


def test_the_answer(snap_compare: Any, small_desk: Desk) -> None:
    """Question, how it was read, hits with reasons, keys."""
    assert snap_compare(_still(small_desk), terminal_size=(80, 24), run_before=_asked)


def test_the_page(snap_compare: Any, small_desk: Desk) -> None:
    """Trail, urgency, caution, signs."""
    assert snap_compare(_still(small_desk), terminal_size=(80, 24), run_before=_read)
