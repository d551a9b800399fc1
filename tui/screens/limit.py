"""A limit: its inputs as lines, and below them the verdict, the gauge and every condition, while typing."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar
from weakref import WeakKeyDictionary

from textual import on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.message import Message
from textual.suggester import SuggestFromList
from textual.timer import Timer
from textual.widgets import Input, Static
from textual.worker import get_current_worker

from kb.desk import Desk
from kb.display import show_safely
from kb.errors import KbError
from kb.model import SHORT_CAUTION, Entry
from tui.literal import plain, styled
from tui.pageview import Link
from tui.screens.base import TrailScreen, rule
from tui.screens.finding import FindingScreen
from tui.screens.page import open_page

if TYPE_CHECKING:  # the limits behind these are loaded by a worker
    from kb.limits.model import Result
    from kb.limits.telling import Row

PAUSE = 0.15
"""Seconds without a key before the verdict is renewed. Source: the house's range of 120 to 200 ms."""

EDGE = 13
"""Cells of the left edge, where the marks of the rows stand."""

WIDEST = 76
"""Cells of text at most; longer lines are hard to read."""

_SHOWABLE = r"[^\x00-\x1f\x7f-\x9f\u200b-\u200f\u202a-\u202e\u2060-\u206f\ud800-\udfff\ufeff]*"
"""What an input takes: nothing that could drive the terminal or hide itself, since a field shows what it holds."""

_TONES = {"within": "$success", "at": "$warning", "beyond": "$error", "limit": "bold $accent", "quiet": "dim"}
_TYPED: WeakKeyDictionary[Desk, dict[str, dict[str, str]]] = WeakKeyDictionary()
"""What was typed in each form, so that walking back and coming again loses nothing."""


class LimitScreen(TrailScreen):
    """One limit, as a form made from its description."""

    name_on_trail = "limit"
    CSS_PATH = "limit.tcss"
    tips = (
        "Type a value with its unit (0.9in, 23mm, 3/8 in, 17 N*m); a bare number is read in the unit named beside it.",
        "Right takes the word offered; Enter goes on to the next input. Tab goes on to the verdict and the pages.",
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("down", "app.focus_next", "next input", id="limit.next", show=False),
        Binding("up", "app.focus_previous", "input before", id="limit.previous", show=False),
        Binding("pagedown", "scroll(1)", "verdict down", id="limit.down", show=False),
        Binding("pageup", "scroll(-1)", "verdict up", id="limit.up", show=False),
        Binding("f2", "keep", "keep the verdict as a finding", id="limit.keep", priority=True),
        Binding("f4", "empty", "empty the form", id="limit.empty"),
        Binding("y", "copy", "copy the verdict", id="limit.copy"),
    ]

    @dataclass
    class Judged(Message):
        """What came of the inputs as they stood at `number`: a result, or a sentence on what stands in the way."""

        number: int
        result: Result | None
        said: str

    @dataclass
    class Paged(Message):
        """The pages that use this limit."""

        pages: list[Entry]

    def __init__(self, desk: Desk, name: str, *, entry: str | None = None) -> None:
        super().__init__(desk)
        self.limit = desk.limits.get(name)
        self._entry = entry
        self._number = 0
        self._pause: Timer | None = None
        self._shown: LimitScreen.Judged | None = None
        self.is_waiting = False
        """True between the last key and the verdict asked for."""

    def compose_body(self) -> ComposeResult:
        from kb.limits.telling import range_in_short, when_left_out

        before = self._remembered()
        yield Static(Content.assemble(styled(self.limit.title, "bold"), "  ", styled(self.limit.id, "dim")), id="title")
        yield rule()
        with VerticalScroll(id="form", can_focus=False):
            for item in self.limit.inputs:
                with Horizontal(classes="line"):
                    yield Static(plain(item.name), classes="label")
                    # Named, not given an id: an input may be called as a part of this screen is.
                    yield Input(
                        before.get(item.name, ""),
                        name=item.name,
                        placeholder=when_left_out(item),
                        restrict=_SHOWABLE,
                        max_length=400,
                        select_on_focus=False,
                        suggester=SuggestFromList(item.choices, case_sensitive=False) if item.choices else None,
                    )
                    yield Static(plain(range_in_short(item)), classes="range")
        yield Static("", id="help", classes="quiet")
        yield rule()
        with VerticalScroll(id="answer", can_focus=True):
            yield Static("", id="sentence")
            yield Static("", id="gauge")
            yield Static(styled(SHORT_CAUTION, "dim"), id="guidance")
            yield Static("", id="rows")
            yield Vertical(id="pages")

    def on_mount(self) -> None:
        super().on_mount()
        if any(self._remembered().values()):
            self.show_counts("as typed before; F4 empties")
        self.query(Input).first().focus()
        self._ask()
        self._fetch_pages()

    def on_descendant_focus(self) -> None:
        super().on_descendant_focus()
        self._show_help()

    def on_resize(self) -> None:
        super().on_resize()
        self._draw()

    def keys(self) -> list[str]:
        if isinstance(self.focused, Input):
            return ["Enter next", "PgDn verdict", "F2 keep as finding", "Esc back", "F8 keys", "F4 empty"]
        return ["Tab input", "F2 keep as finding", "y copy", "Esc back", "? keys", "q quit"]

    # judging

    @on(Input.Changed)
    def _changed(self) -> None:
        if self._pause:
            self._pause.stop()
        self.is_waiting = True
        self._pause = self.set_timer(PAUSE, self._ask)

    def _ask(self) -> None:
        self.is_waiting = False
        self._number += 1
        typed = {field.name or "": field.value for field in self.query(Input)}
        _TYPED.setdefault(self.desk, {})[self.limit.id] = typed
        self._judge(self._number, typed)

    @work(thread=True, exclusive=True, group="judge", exit_on_error=False)
    def _judge(self, number: int, typed: dict[str, str]) -> None:
        result, said = None, ""
        try:
            for name, value in typed.items():
                self.desk.limits.read(self.limit.input(name), value) if value.strip() else None
            missing = self.desk.limits.missing(self.limit.id, typed)
            said = f"Still needed: {', '.join(item.name for item in missing)}" if missing else ""
            result = None if missing else self.desk.limits.judge(self.limit.id, typed)
        except KbError as error:
            said = str(error)
        if not get_current_worker().is_cancelled:
            self.post_message(self.Judged(number, result, said))

    @work(thread=True, group="pages", exit_on_error=False)
    def _fetch_pages(self) -> None:
        self.post_message(self.Paged(self.desk.library.pages_with_limit(self.limit.id)))

    @on(Judged)
    def _judged(self, event: Judged) -> None:
        # A thread cannot be stopped: the verdict on older inputs is dropped.
        if event.number == self._number:
            self._shown = event
            self._draw()

    @on(Paged)
    def _paged(self, event: Paged) -> None:
        pages = self.query_one("#pages", Vertical)
        if event.pages:
            pages.mount(Static(styled("pages that use it", "dim")), *(Link(page.id) for page in event.pages))

    # showing

    def _draw(self) -> None:
        from kb.limits.telling import tell_limit, tell_result

        if self._shown is None:
            return
        result = self._shown.result
        width = max(min(self.size.width - 4, WIDEST), 40)
        gauge: list[Content] = []
        if result and result.gauge:
            pieces = self.desk.limits.draw(result.gauge, width)
            gauge = [styled(piece.text, _TONES[piece.tone]) for piece in pieces]
        sentence = styled(result.sentence, f"bold {_TONES.get(result.verdict, '')}") if result else None
        self.query_one("#sentence", Static).update(sentence or plain(self._shown.said))
        self.query_one("#gauge", Static).update(Content.assemble(*gauge))
        rows = tell_result(result) if result else tell_limit(self.limit, with_inputs=False)
        self.query_one("#rows", Static).update(_rows(rows, width))

    def _show_help(self) -> None:
        from kb.limits.telling import taken_by

        focused = self.focused
        item = self.limit.input(focused.name or "") if isinstance(focused, Input) else None
        self.query_one("#help", Static).update(plain(f"{item.help}: {taken_by(item)}" if item else ""))

    # going on

    @on(Input.Submitted)
    def _next(self) -> None:
        self.focus_next()

    @on(Input.Blurred)
    def _complete(self, event: Input.Blurred) -> None:
        """Complete a word that only one choice begins with."""
        item = self.limit.input(event.input.name or "")
        begun = event.value.strip().lower()
        fitting = [choice for choice in item.choices if begun and choice.lower().startswith(begun)]
        if len(fitting) == 1:
            event.input.value = fitting[0]

    @on(Link.Followed)
    def _follow(self, event: Link.Followed) -> None:
        open_page(self, self.desk, event.entry_id)

    def action_scroll(self, direction: int) -> None:
        """Scroll the verdict while an input keeps the cursor."""
        answer = self.query_one("#answer", VerticalScroll)
        answer.scroll_page_down(animate=False) if direction > 0 else answer.scroll_page_up(animate=False)

    def action_keep(self) -> None:
        """Open the form of a finding with the verdict and all its conditions as text."""
        if text := self._text():
            system = None if self._entry else self.limit.system
            self.app.push_screen(FindingScreen(self.desk, entry=self._entry, text=text, system=system))

    def action_empty(self) -> None:
        """Empty the form."""
        for field in self.query(Input):
            field.value = ""
        self.show_counts("")
        self.query(Input).first().focus()

    def action_copy(self) -> None:
        """Copy the verdict with all its conditions."""
        if text := self._text():
            self.app.copy_to_clipboard(text)
            self.notify("copied the verdict", markup=False)

    def _text(self) -> str:
        from kb.limits.telling import finding_text

        if self.is_waiting or self._shown is None or self._shown.result is None:
            self.notify("no verdict yet; complete the inputs first", markup=False)
            return ""
        return finding_text(self._shown.result)

    def _remembered(self) -> dict[str, str]:
        return _TYPED.get(self.desk, {}).get(self.limit.id, {})


def _rows(rows: Sequence[Row], width: int) -> Content:
    lines: list[Content] = []
    for row in rows:
        style = {"caution": "$warning", "quiet": "dim"}.get(row.tone, "")
        wrapped = textwrap.wrap(show_safely(row.text, keep_lines=False), width - EDGE, break_on_hyphens=False) or [""]
        for number, text in enumerate(wrapped):
            mark = f"{'' if number else row.mark:<{EDGE}}"
            lines.append(Content.assemble(styled(mark, style or "dim"), styled(text, style)))
    return Content("\n").join(lines)
