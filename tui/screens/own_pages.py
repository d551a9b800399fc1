"""The shop's own pages: read, keep one from a file, write one to a file to change it, withdraw."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from pathlib import Path
from typing import ClassVar

from textual import work
from textual.binding import Binding, BindingType

from kb.desk import Desk
from kb.errors import UsageProblem
from kb.model import OwnPage
from tui.screens.asking import Words, WordsScreen
from tui.screens.base import TrailScreen
from tui.screens.listing import Line, ListScreen
from tui.screens.page import open_page


class OwnPagesScreen(ListScreen):
    """Pages that did not come with the program."""

    name_on_trail = "own pages"
    empty = "No own page yet. m on a finding that no page covers writes one to fill in; k keeps it then."
    is_live = True
    tips: ClassVar[tuple[str, ...]] = (
        "m on a finding writes a page to be filled in; k checks and keeps it, with its history.",
        "displaced: a page that came with the program has the same name now; give yours another.",
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("k", "keep", "keep a page from a file", id="own_pages.keep"),
        Binding("w", "write", "write it to a file, to change it", id="own_pages.write"),
        Binding("v", "history", "what it said before", id="own_pages.history"),
        Binding("x", "withdraw", "withdraw it", id="own_pages.withdraw"),
    ]

    def read(self) -> tuple[str, Sequence[Line]]:
        lines = [
            Line(
                one.page.page,
                one.state,
                one.page.body.title,
                one.page.body.system,
                f"{one.page.page}  {one.records}x kept",
            )
            for one in self.desk.own_pages.list()
        ]
        return "The shop's own pages", lines

    def keys(self) -> list[str]:
        return ["Enter read", "k keep from a file", "w write to a file", "x withdraw", "Esc back", "? keys", "q quit"]

    def choose(self, name: str) -> None:
        open_page(self, self.desk, name)

    def action_keep(self) -> None:
        """Check a page and keep it."""

        def keep(words: Words) -> OwnPage:
            return self.desk.own_pages.keep(Path(words.text or "").expanduser(), who=words.who)

        self.app.push_screen(WordsScreen("Check a page, and keep it if nothing is wrong with it.", keep, line="File"))

    def action_write(self) -> None:
        """Write the page at hand to a file."""
        if name := self.at_hand():
            self._write(name)

    @work(thread=True, exclusive=True, group="file", exit_on_error=False)
    def _write(self, name: str) -> None:
        asked = f"Write {name} to a file, to change it and keep it again."
        self.app.call_from_thread(ask_write, self, asked, self.desk.own_pages.file(name))

    def action_history(self) -> None:
        """List the records of the page at hand."""
        if name := self.at_hand():
            self.app.push_screen(PageHistoryScreen(self.desk, name))

    def action_withdraw(self) -> None:
        """Take the page at hand out of search and lists."""
        if name := self.at_hand():
            page = name
            self.app.push_screen(
                WordsScreen(
                    f"Withdraw {page}? It leaves search and lists; its history stays.",
                    lambda words: self.desk.own_pages.withdraw(page, who=words.who),
                )
            )


class PageHistoryScreen(ListScreen):
    """The records of one own page, oldest first; Enter lets it say one again."""

    name_on_trail = "history"
    is_live = True

    def __init__(self, desk: Desk, page: str) -> None:
        super().__init__(desk)
        self._page = page

    def read(self) -> tuple[str, Sequence[Line]]:
        lines = [
            Line(
                one.id,
                one.made[:16].replace("T", " "),
                one.body.title,
                one.id[-8:],
                f"by {one.who}" if one.who else "",
            )
            for one in self.desk.own_pages.history(self._page)
        ]
        return f"Every record of {self._page}, oldest first", lines

    def keys(self) -> list[str]:
        return ["Enter let it say that again", "Esc back", "? keys", "q quit"]

    def choose(self, name: str) -> None:
        asked = f"Let {self._page} say again what record {name[-8:]} says? What it says now stays in its history."
        restore = partial(self.desk.own_pages.restore, self._page, name)
        self.app.push_screen(WordsScreen(asked, lambda words: restore(who=words.who)))


def ask_write(screen: TrailScreen, asked: str, text: str) -> None:
    """Ask for a file that is not there yet, and write text to it."""

    def write(words: Words) -> Path:
        path = Path(words.text or "").expanduser()
        try:
            with path.open("x", encoding="utf-8") as file:
                file.write(text)
        except (OSError, ValueError) as error:
            reason = getattr(error, "strerror", None) or error
            raise UsageProblem(f"{path} cannot be written ({reason}); name another file") from error
        return path

    def done(path: Path | None) -> None:
        if path is not None:
            screen.notify(f"written to {path}", markup=False)

    screen.app.push_screen(WordsScreen(asked, write, line="File", with_who=False), done)
