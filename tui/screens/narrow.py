"""Narrow: the causes as bars, what to look at next, and three keys to answer it. It shows; the Desk weighs."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from textual import on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container, Vertical, VerticalScroll
from textual.message import Message
from textual.screen import Screen
from textual.widgets import OptionList, Static
from textual.worker import Worker, WorkerState

from kb.desk import Desk
from kb.errors import KbError
from kb.model import SHORT_CAUTION
from kb.narrowed import Narrowed
from kb.narrowtelling import Step, leading, pages_line, steps
from tui.causelist import CauseList
from tui.literal import plain
from tui.narrowlines import first_lines, next_lines, none_row, why_lines
from tui.screens.base import TrailScreen, rule

if TYPE_CHECKING:
    from kb.limits.model import Result
    from kb.narrow.records import Nature

WIDE = 120
"""Columns from which on the next look stands beside the causes."""

LOW = 22
"""Rows below which there is no room for the reasons."""

CAUSES = 12
"""Causes drawn; the rest is told as a sum."""


class NarrowScreen(TrailScreen):
    """One narrowing, begun from a question, a page or a finding, or opened again."""

    name_on_trail = "narrow"
    CSS_PATH = "narrow.tcss"
    tips = (
        "s, x and o answer the line under Look next; Left and Right go to another one.",
        "Up and Down go through the causes; Enter reads the page of the one marked >.",
        "m measures where a limit is named: its verdict is the answer. b says what is known of the aircraft.",
        "Each answer is kept at once. oddfix narrow --session opens it again; k lists what is kept.",
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("s", "answer('seen')", "it is seen", id="narrow.seen"),
        Binding("x", "answer('not-seen')", "looked, and it is not seen", id="narrow.not_seen"),
        Binding("o", "pass_over", "cannot look", id="narrow.cannot"),
        Binding("u", "undo", "take the last one back", id="narrow.undo"),
        Binding("right", "other(1)", "another look", id="narrow.next", show=False, priority=True),
        Binding("left", "other(-1)", "the look before", id="narrow.previous", show=False, priority=True),
        Binding("m", "measure", "measure it by its limit", id="narrow.measure", show=False),
        Binding("b", "aircraft", "what is known of the aircraft", id="narrow.aircraft", show=False),
        Binding("k", "kept", "kept narrowings", id="narrow.kept", show=False),
        Binding("a", "add", "add finding", id="narrow.add", show=False),
        Binding("y", "copy", "copy the name of the cause", id="narrow.copy", show=False),
    ]

    @dataclass
    class Moved(Message):
        """The case stands like this now; `trouble` says why that could not be kept."""

        narrowed: Narrowed
        trouble: str | None = None

    @dataclass
    class Refused(Message):
        """There is nothing to narrow, and why."""

        reason: str

    def __init__(self, desk: Desk, start: Callable[[], Narrowed]) -> None:
        super().__init__(desk)
        self._start = start
        self._narrowed: Narrowed | None = None
        self._steps: list[Step] = []
        self._place = 0
        self._is_busy = False
        """True from an answer until it is drawn: an answer to a look nobody has read yet would be a guess."""

    def compose_body(self) -> ComposeResult:
        yield Static("", id="first")
        yield rule()
        with Container(id="body"):
            with Vertical(id="standing"):
                yield CauseList()
                yield Static("", id="none")
                with VerticalScroll(id="why"):
                    yield Static("")
            between = rule()
            between.id = "between"
            yield between
            with VerticalScroll(id="next"):
                yield Static("")
        yield Static("", id="effect", classes="quiet")
        yield Static(plain(SHORT_CAUTION), id="caution", classes="quiet")

    def on_mount(self) -> None:
        super().on_mount()
        self.query_one("#causes").focus()
        self.query_one("#first", Static).update(plain("opening the case …"))
        self._begin()

    def on_resize(self) -> None:
        super().on_resize()
        self.set_class(self.size.width >= WIDE, "-wide")
        self.set_class(self.size.height < LOW, "-low")
        self._draw()

    def keys(self) -> list[str]:
        answers = ["s seen", "x not seen", "o cannot look", "u undo"]
        return [*answers, "Enter page", "Esc back", "? keys", "Right other look", "b aircraft", "k kept", "q quit"]

    # working

    @work(thread=True, group="step", exit_on_error=False)
    def _begin(self) -> None:
        try:
            self.post_message(self.Moved(self._start()))
        except KbError as error:
            self.post_message(self.Refused(str(error)))

    @work(thread=True, group="step", exit_on_error=False)
    def _move(self, act: Callable[[], Narrowed]) -> None:
        narrowed = act()
        trouble = None
        try:
            self.desk.narrow.keep(narrowed)
        except KbError as error:
            trouble = str(error)
        self.post_message(self.Moved(narrowed, trouble))

    @on(Moved)
    def _moved(self, event: Moved) -> None:
        self._is_busy = False
        self._narrowed = event.narrowed
        self._steps = steps(event.narrowed)
        self._place = 0
        if event.trouble:
            self.notify(f"not kept: {event.trouble}", severity="error", markup=False, timeout=12)
        kept = "not kept" if event.trouble else f"kept as {event.narrowed.handle}"
        self.show_counts(kept if event.narrowed.touched else "")
        self._draw(highlighted=0)

    @on(Refused)
    def _refused(self, event: Refused) -> None:
        self.query_one("#first", Static).update(plain(event.reason))

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        super().on_worker_state_changed(event)
        if event.state is WorkerState.ERROR:
            self._is_busy = False

    def _do(self, act: Callable[[Narrowed], Narrowed]) -> None:
        narrowed = self._narrowed
        if narrowed is not None and not self._is_busy:
            self._is_busy = True
            self._move(lambda: act(narrowed))

    # drawing

    def _draw(self, highlighted: int | None = None) -> None:
        narrowed = self._narrowed
        if narrowed is None:
            return
        self.query_one("#first", Static).update(first_lines(narrowed, self.size.width - 2))
        self.query_one("#effect", Static).update(plain(narrowed.note or f"Narrowing: {pages_line(narrowed)}"))
        causes = self._causes
        causes.is_wide = self.has_class("-wide")
        causes.width = self.size.width // 2 - 4 if causes.is_wide else self.size.width - 3
        causes.show(narrowed, leading(narrowed, CAUSES)[0], highlighted)
        self.query_one("#none", Static).update(none_row(narrowed, causes.scale, CAUSES))
        self._draw_why()
        self._draw_next()

    @property
    def _causes(self) -> CauseList:
        return self.query_one(CauseList)

    @on(OptionList.OptionHighlighted, "#causes")
    def _other_cause(self, event: OptionList.OptionHighlighted) -> None:
        self._causes.mark(event.option_index)
        self._draw_why()

    def _draw_why(self) -> None:
        if cause := self._causes.cause:
            self.query_one("#why Static", Static).update(why_lines(cause))
            self.query_one("#why").scroll_home(animate=False)

    def _draw_next(self) -> None:
        self.query_one("#next Static", Static).update(next_lines(self._steps, self._place))
        self.query_one("#next").scroll_home(animate=False)

    # keys

    def action_answer(self, said: str) -> None:
        """Answer the look at hand."""
        if self._steps:
            sign = self._steps[self._place].sign
            self._do(lambda narrowed: self.desk.narrow.answer(narrowed, sign, "seen" if said == "seen" else "not-seen"))

    def action_pass_over(self) -> None:
        """Say that the look at hand cannot be taken."""
        if self._steps:
            sign = self._steps[self._place].sign
            self._do(lambda narrowed: self.desk.narrow.pass_over(narrowed, sign))

    def action_undo(self) -> None:
        """Take the last answer or pass back."""
        self._do(self.desk.narrow.undo)

    def action_other(self, by: int) -> None:
        """Go to another look."""
        if self._steps:
            self._place = (self._place + by) % len(self._steps)
            self._draw_next()

    def action_measure(self) -> None:
        """Open the limit that settles the look at hand; its verdict comes back as the answer."""
        from tui.screens.measure import MeasureScreen

        step = self._steps[self._place] if self._steps else None
        if step is None or not step.limit:
            self.notify("no limit settles this look; answer it with s or x", markup=False)
            return

        def take(result: Result | None) -> None:
            if result is not None:
                self._do(lambda narrowed: self.desk.narrow.take(narrowed, step.sign, result))

        if self._narrowed is not None and (limit := self._narrowed.sign(step.sign).limit):
            page = step.sign.partition("/")[0]
            self.app.push_screen(MeasureScreen(self.desk, limit, entry=page), take)

    def action_aircraft(self) -> None:
        """Say what is known of the aircraft."""
        from tui.screens.airframe import AirframeScreen

        def take(nature: Nature | None) -> None:
            if nature is not None:
                self._do(lambda narrowed: self.desk.narrow.nature_of(narrowed, nature))

        if self._narrowed is not None:
            self.app.push_screen(AirframeScreen(self.desk, self._narrowed.session.nature), take)

    def action_kept(self) -> None:
        """List the kept narrowings."""
        from tui.screens.sessions import SessionsScreen

        self.app.push_screen(SessionsScreen(self.desk))

    def action_add(self) -> None:
        """Add a finding that belongs to the page of the cause at hand."""
        from tui.screens.finding import FindingScreen

        if (cause := self._causes.cause) and self._narrowed is not None:
            question = self._narrowed.session.question
            self.app.push_screen(FindingScreen(self.desk, entry=cause.candidate.entry, text=question))

    def action_copy(self) -> None:
        """Copy the name of the cause at hand, as a finding keeps it once confirmed."""
        if cause := self._causes.cause:
            self.app.copy_to_clipboard(cause.candidate.names[0])
            self.notify(f"copied {cause.candidate.names[0]}", markup=False)

    def action_back(self) -> None:
        """Walk back; what was answered is kept already."""
        super().action_back()
        if self._narrowed is not None and self._narrowed.touched:
            handle = self._narrowed.handle
            self.app.notify(f"kept; oddfix narrow --session {handle} opens it again", markup=False)

    @on(OptionList.OptionSelected, "#causes")
    def _read(self, event: OptionList.OptionSelected) -> None:
        from tui.screens.page import open_page

        open_page(self, self.desk, self._causes.causes[event.option_index].candidate.entry)


def narrow_text(screen: Screen[None], desk: Desk, text: str) -> None:
    """Go from a screen to the narrowing of a question, or of the page or finding whose id the text is."""
    screen.app.push_screen(NarrowScreen(desk, lambda: desk.narrow.start(text)))


def narrow_again(screen: Screen[None], desk: Desk, session: str) -> None:
    """Go from a screen to a kept narrowing."""
    screen.app.push_screen(NarrowScreen(desk, lambda: desk.narrow.reopen(session)))
