"""Drives the screens by keys alone and reads their frames; shared by the tests of the shop's own findings."""

from __future__ import annotations

from collections.abc import Awaitable, Callable

import pytest
from textual.pilot import Pilot
from textual.widgets import Input, Static, TextArea

from kb.desk import Desk
from tui.app import OddfixApp
from tui.screens.base import TrailScreen

Steps = Callable[[Pilot[None]], Awaitable[None]]

UNTAMED = set("\x1b\x9b\x07\x00\u202e\u2066\ud800")
"""Characters that must never reach a frame."""


@pytest.fixture(autouse=True)
def no_waiting_for_typing(monkeypatch: pytest.MonkeyPatch) -> None:
    """Twins are looked for, and drafts saved, at once, so that no test has to wait for a clock."""
    for module in ("tui.screens.ask", "tui.twinlist", "tui.draftline"):
        monkeypatch.setattr(f"{module}.PAUSE", 0.001)


async def drive(desk: Desk, steps: Steps, *, size: tuple[int, int] = (80, 24), no_colour: bool = False) -> None:
    """Open the app, take the steps, close it."""
    app = OddfixApp(desk, ansi_color=no_colour)
    async with app.run_test(size=size, notifications=True) as pilot:
        await settle(pilot)
        await steps(pilot)


async def settle(pilot: Pilot[None]) -> None:
    """Wait until timers have run, workers have answered and the answer is drawn."""
    still = 0
    while still < 2:  # a key's message may still be on its way when all is still for the first time
        await pilot.pause()
        while getattr(pilot.app.screen, "is_waiting", False):
            await pilot.pause()
        still = still + 1 if all(worker.is_finished for worker in pilot.app.workers) else 0
        await pilot.app.workers.wait_for_complete()


async def press(pilot: Pilot[None], *keys: str) -> None:
    """Press keys one after another, each until all is still."""
    for key in keys:
        await pilot.press(key)
        await settle(pilot)


async def write(pilot: Pilot[None], **fields: str) -> None:
    """Put text into fields of the screen at hand, named by id."""
    for name, text in fields.items():
        field = pilot.app.screen.query_one(f"#{name}")
        if isinstance(field, TextArea):
            field.text = text
        else:
            assert isinstance(field, Input)
            field.value = text
    await settle(pilot)


async def push(pilot: Pilot[None], screen: TrailScreen) -> None:
    """Open a screen."""
    pilot.app.push_screen(screen)
    await settle(pilot)


def value(pilot: Pilot[None], name: str) -> str:
    """What a field of the screen at hand holds."""
    field = pilot.app.screen.query_one(f"#{name}")
    return field.text if isinstance(field, TextArea) else field.value  # type: ignore[attr-defined]


def frame(pilot: Pilot[None]) -> str:
    """All characters of the frame, line by line."""
    strips = pilot.app.screen._compositor.render_strips()
    return "\n".join("".join(segment.text for segment in strip) for strip in strips)


def said(pilot: Pilot[None]) -> str:
    """The frame as running text."""
    return " ".join(frame(pilot).split())


def trail(pilot: Pilot[None]) -> str:
    """The first line of the frame."""
    return frame(pilot).splitlines()[0].strip()


def shown(pilot: Pilot[None]) -> str:
    """All text of the screen at hand, also what has to be scrolled to."""
    return "\n".join(str(widget.content) for widget in pilot.app.screen.query(Static))


def notices(pilot: Pilot[None]) -> list[str]:
    """What notices say, oldest first."""
    return [notice.message for notice in pilot.app._notifications]
