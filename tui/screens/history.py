"""What a finding said before: its revisions, one beside what it says now, and the way back to it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any, ClassVar

from textual import on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, VerticalScroll
from textual.message import Message
from textual.widget import Widget
from textual.widgets import Static

from kb.desk import Desk
from kb.history import Change, Step, compare
from kb.model import Content, Revision
from kb.page import one_line
from tui.literal import plain, styled
from tui.screens.asking import WordsScreen
from tui.screens.base import TrailScreen, rule
from tui.screens.listing import Line, ListScreen

RESTORE = Binding("r", "restore", "let the finding say this again", id="history.restore")


class HistoryScreen(ListScreen):
    """The revisions of one finding, oldest first."""

    name_on_trail = "history"
    is_live = True
    tips: ClassVar[tuple[str, ...]] = (
        "Enter shows a revision whole, beside what the finding says now.",
        "r makes the finding say it again; that too is a revision, nothing is lost.",
    )
    BINDINGS: ClassVar[list[BindingType]] = [RESTORE]

    def __init__(self, desk: Desk, finding: str) -> None:
        super().__init__(desk)
        self._finding = finding

    def read(self) -> tuple[str, Sequence[Line]]:
        steps = self.desk.history.of(self._finding)
        heads = sum(step.is_head for step in steps)
        heading = "Every revision, oldest first"
        if heads > 1:
            heading = f"CONFLICT: {heads} shops say different things. r on the right one settles it; nothing is lost."
        return heading, [_line(step, is_split=heads > 1) for step in steps]

    def keys(self) -> list[str]:
        return ["Enter beside what it is now", "r restore", "Esc back", "? keys", "q quit"]

    def choose(self, name: str) -> None:
        self.app.push_screen(CompareScreen(self.desk, self._finding, name))

    def action_restore(self) -> None:
        """Let the finding say again what the revision at hand says."""
        if (revision := self.at_hand()) is not None:
            ask_restore(self, self._finding, revision)


class CompareScreen(TrailScreen):
    """One revision whole, beside what the finding says now."""

    name_on_trail = "revision"
    tips: ClassVar[tuple[str, ...]] = (
        "Left what it said then, right what it says now. A field that differs is marked.",
    )
    BINDINGS: ClassVar[list[BindingType]] = [RESTORE]
    DEFAULT_CSS = """
    CompareScreen {
        #both { height: 1fr; padding: 0 1; }
        .pair { height: auto; }
        .name { width: 14; height: auto; }
        .then, .now { width: 1fr; height: auto; margin: 0 1 0 0; }
    }
    """

    @dataclass
    class Read(Message):
        """The revision and the latest one have been read."""

        then: Revision
        now: Revision

    def __init__(self, desk: Desk, finding: str, revision: str) -> None:
        super().__init__(desk)
        self._finding = finding
        self._revision = revision

    def compose_body(self) -> ComposeResult:
        yield rule()
        yield VerticalScroll(id="both")
        yield rule()

    def on_mount(self) -> None:
        super().on_mount()
        self.query_one("#both").focus()

    def on_screen_resume(self) -> None:
        self._fetch()

    def keys(self) -> list[str]:
        return ["r restore", "arrows scroll", "Esc back", "? keys", "q quit"]

    @work(thread=True, exclusive=True, group="revision", exit_on_error=False)
    def _fetch(self) -> None:
        steps = self.desk.history.of(self._finding)
        then = self.desk.history.get(self._finding, self._revision)
        self.post_message(self.Read(then, steps[-1].revision))

    @on(Read)
    async def _read(self, event: Read) -> None:
        both = self.query_one("#both")
        await both.remove_children()
        await both.mount_all([_pair("", _when(event.then), f"now: {_when(event.now)}"), *_pairs(event.then, event.now)])

    def action_restore(self) -> None:
        """Let the finding say this again."""
        ask_restore(self, self._finding, self._revision)


def ask_restore(screen: TrailScreen, finding: str, revision: str) -> None:
    """Ask, then make the finding say again what the revision says."""
    restore = partial(screen.desk.history.restore, finding, revision)

    def done(restored: Any) -> None:
        if restored is not None:
            screen.notify("restored; u on the finding takes it back", markup=False)

    asked = f"Let the finding say again what revision {revision[-8:]} says? What it says now stays in its history."
    screen.app.push_screen(WordsScreen(asked, lambda words: restore(who=words.who)), done)


def _line(step: Step, *, is_split: bool) -> Line:
    revision = step.revision
    by = f" by {revision.who}" if revision.who else ""
    shop = f", {revision.shop}" if revision.shop else ""
    mark = "one of several  " if is_split and step.is_head else ""
    changes = " · ".join(_told(change) for change in step.changes) or "nothing else"
    return Line(
        revision.id,
        revision.made[:16].replace("T", " "),
        f"{revision.said}{by}{shop}",
        f"{mark}{revision.id[-8:]}",
        one_line(changes[:600]),
    )


def _told(change: Change) -> str:
    return f"{change.field}: {_said(change.after) if change.after is not None else 'emptied'}"


def _when(revision: Revision) -> str:
    by = f" by {revision.who}" if revision.who else ""
    return f"{revision.made[:16].replace('T', ' ')} {revision.said}{by}"


def _pairs(then: Revision, now: Revision) -> list[Widget]:
    different = {change.field for change in compare(then, now)}
    names = [name for name in Content.__struct_fields__ if name != "shop"]
    filled = [name for name in names if getattr(then, name) not in (None, ()) or getattr(now, name) not in (None, ())]
    return [
        _pair(f"{'* ' if name in different else '  '}{name}", _said(getattr(then, name)), _said(getattr(now, name)))
        for name in filled
    ]


def _pair(name: str, then: str, now: str) -> Widget:
    texts = (Static(styled(name, "bold $accent"), classes="name"), Static(plain(then), classes="then"))
    return Horizontal(*texts, Static(plain(now), classes="now"), classes="pair")


def _said(value: Any) -> str:
    return ", ".join(value) if isinstance(value, tuple) else "" if value is None else str(value)
