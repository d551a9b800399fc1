"""A page, read from top to bottom; digits jump to its parts. A finding is read in the same way, see own."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from textual import on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal
from textual.message import Message
from textual.screen import Screen
from textual.widgets import Static

from kb.desk import Desk
from kb.page import Page, lay_out
from tui.literal import plain
from tui.pageview import Link, PageView
from tui.screens.base import TrailScreen, rule
from tui.screens.finding import FindingScreen

WIDE = 120
"""Columns from which on the parts stand in a column at the left."""


class PageScreen(TrailScreen):
    """One page."""

    name_on_trail = "page"
    CSS_PATH = "page.tcss"
    tips: ClassVar[tuple[str, ...]] = (
        "Digits jump to the numbered parts.",
        "Tab goes from link to link; Enter follows the one marked >.",
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        *(Binding(str(n), f"part({n})", f"to part {n}", id=f"page.part{n}", show=False) for n in range(1, 10)),
        Binding("tab", "app.focus_next", "next link", id="page.next", show=False),
        Binding("n", "narrow", "narrow down the cause", id="page.narrow"),
        Binding("a", "add", "add finding", id="page.add"),
        Binding("l", "limits", "limits of this page", id="page.limits"),
        Binding("i", "identify", "identify a part of this page", id="page.identify"),
        Binding("y", "copy", "copy the name", id="page.copy"),
    ]

    @dataclass
    class Fetched(Message):
        """The page has been read."""

        page: Page

    def __init__(self, desk: Desk, name: str) -> None:
        super().__init__(desk)
        self.record = name

    def compose_body(self) -> ComposeResult:
        yield rule()
        with Horizontal(id="leaf"):
            yield Static("", id="parts", classes="quiet")
            yield PageView(id="view")
        yield rule()

    def on_mount(self) -> None:
        super().on_mount()
        self.query_one("#view").focus()
        self.fetch()

    def on_resize(self) -> None:
        super().on_resize()
        self.set_class(self.size.width >= WIDE, "-wide")

    def keys(self) -> list[str]:
        acts = ["1-9 part", "Tab link", "Enter follow", "n narrow", "a add finding"]
        return [*acts, "Esc back", "l limits", "? keys", "q quit"]

    @work(thread=True, exclusive=True, group="page", exit_on_error=False)
    def fetch(self) -> None:
        """Read the page, and show it once it is read."""
        self.post_message(self.Fetched(self.read()))

    def read(self) -> Page:
        """Return the page; runs in a worker."""
        return lay_out(self.desk.library.page(self.record))

    @on(Fetched)
    async def _fetched(self, event: Fetched) -> None:
        view = self.query_one("#view", PageView)
        await view.show(event.page)
        self.query_one("#parts", Static).update(plain("\n".join(view.part_titles())))

    @on(Link.Followed)
    def _follow(self, event: Link.Followed) -> None:
        open_page(self, self.desk, event.entry_id)

    def action_part(self, number: int) -> None:
        """Jump to a numbered part."""
        self.query_one("#view", PageView).go_to_part(number)

    def action_narrow(self) -> None:
        """Narrow down the cause, from this page or finding."""
        from tui.screens.narrow import narrow_text

        narrow_text(self, self.desk, self.record)

    def action_add(self) -> None:
        """Add a finding of this kind."""
        self.app.push_screen(FindingScreen(self.desk, entry=self.record))

    def action_limits(self) -> None:
        """Choose a limit, those of this page first."""
        from tui.screens.limits import LimitsScreen

        self.app.push_screen(LimitsScreen(self.desk, entry=self.record))

    def action_identify(self) -> None:
        """Name the part or material this page is about."""
        from tui.screens.identify_keys import KeysScreen

        self.app.push_screen(KeysScreen(self.desk, self.record))

    def action_copy(self) -> None:
        """Copy the name of this page."""
        self.app.copy_to_clipboard(self.record)
        self.notify(f"copied {self.record}", markup=False)


def open_page(screen: Screen[None], desk: Desk, name: str, *, is_finding: bool = False) -> None:
    """Go from a screen to a page, or to a finding laid out as one."""
    from tui.screens.own import OwnFindingScreen

    screen.app.push_screen(OwnFindingScreen(desk, name) if is_finding else PageScreen(desk, name))
