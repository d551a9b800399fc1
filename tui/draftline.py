"""The line that says what of a form was kept as a draft; it saves what is typed, a moment after the last key."""

from __future__ import annotations

import threading
from contextlib import suppress
from dataclasses import dataclass
from functools import partial

from textual import on, work
from textual.message import Message
from textual.timer import Timer
from textual.widgets import Static

from kb.desk import Desk
from kb.drafts import Draft
from kb.errors import KbError
from tui.literal import plain
from tui.screens.base import SaysTrouble

PAUSE = 0.4
"""Seconds without a key before a draft is saved: as much as may be lost when the program is killed."""


class DraftLine(SaysTrouble, Static):
    """Saves the draft of one form under `name`. Writes stand in line, so that a late one never replaces a newer."""

    @dataclass
    class Failed(Message):
        """A draft could not be saved, and why."""

        reason: str

    def __init__(self, desk: Desk) -> None:
        super().__init__("", id="draft", classes="quiet")
        self._desk = desk
        self._turn = threading.Lock()
        self._number = 0
        self._pending: Draft | None = None
        self._pause: Timer | None = None
        self.name_of_draft = desk.drafts.new_name()
        self.is_saved = False
        """True when a draft of this form stands in the store."""

    @property
    def is_waiting(self) -> bool:
        """True between the last key and the saving it leads to."""
        return self._pending is not None

    def say(self, text: str) -> None:
        """Show this, or nothing and take no line."""
        self.update(plain(text))
        self.set_class(bool(text), "-said")

    def typed(self, draft: Draft) -> None:
        """Save this once nobody has typed for a moment."""
        self._pending = draft
        if self._pause:
            self._pause.stop()
        self._pause = self.set_timer(PAUSE, self._save)

    def flush(self) -> None:
        """Save at once what waits; for a form that closes or goes on with another draft."""
        draft, self._pending = self._pending, None
        if draft is not None:
            self._number += 1
            self._put(self.name_of_draft, draft, self._number)
            self.is_saved = True

    def forget(self) -> None:
        """Drop the draft: what was typed is kept as a finding, or is not wanted."""
        self._pending = None
        self._number += 1
        if self.is_saved:
            self.is_saved = False
            # The app's own worker: the form may be closed before it has run.
            drop = partial(self._drop, self.name_of_draft)
            self.app.run_worker(drop, thread=True, group="draft", exit_on_error=False)

    def go_on_with(self, name: str, *, is_saved: bool) -> None:
        """Save under another name from now on."""
        self.flush()
        self.name_of_draft, self.is_saved = name, is_saved

    def on_unmount(self) -> None:
        with suppress(KbError):  # the form is gone; what could not be saved was said while typing
            self.flush()

    def _save(self) -> None:
        draft, self._pending = self._pending, None
        if draft is not None:
            self._number += 1
            self.is_saved = True
            self._put_later(self.name_of_draft, draft, self._number)

    @work(thread=True, group="draft", exit_on_error=False)
    def _put_later(self, name: str, draft: Draft, number: int) -> None:
        try:
            self._put(name, draft, number)
        except KbError as error:
            self.post_message(self.Failed(str(error)))

    def _drop(self, name: str) -> None:
        with self._turn:
            self._desk.drafts.drop(name)

    def _put(self, name: str, draft: Draft, number: int) -> None:
        with self._turn:
            if number == self._number:
                self._desk.drafts.keep(name, draft)

    @on(Failed)
    def _failed(self, event: Failed) -> None:
        self.say(f"What is typed cannot be saved as a draft: {event.reason}")
