"""Ask: the question on top, the answer below, the page beside it where there is room."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from textual import on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal
from textual.content import Content
from textual.message import Message
from textual.timer import Timer
from textual.widgets import Input, OptionList, Static
from textual.widgets.option_list import Option
from textual.worker import get_current_worker

from kb.desk import Desk
from kb.model import SHORT_CAUTION, URGENCY_WORDS
from kb.page import OWN_PAGE, Page, lay_out, lay_out_finding
from tui.literal import plain, row
from tui.pageview import PageView
from tui.screens.base import TrailScreen, rule
from tui.typedline import TypedLine

if TYPE_CHECKING:  # the search behind these is opened by a worker, after the first frame
    from kb.search import Answer, Filters, Hit

PAUSE = 0.15
"""Seconds without a key before a question is asked. Source: the house's range of 120 to 200 ms."""

HITS = 20
"""Hits drawn; a person reads three."""

WIDE = 120
"""Columns from which on the page stands beside the hits."""


class Stopped(Exception):
    """The build of the index is not wanted any more."""


class AskScreen(TrailScreen):
    """The first screen."""

    name_on_trail = "ask"
    CSS_PATH = "ask.tcss"
    tips = (
        "Type what you see, hear, smell or measured, in your own words and shorthand.",
        'A word in "quotes" is taken as typed; -word leaves out what has it.',
        "Down goes to the hits; there single keys work. Esc goes back to the question.",
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("down", "to_hits", "to the hits", id="ask.hits", show=False),
        Binding("n", "narrow", "narrow down the cause", id="ask.narrow"),
        Binding("a", "add", "add finding", id="ask.add"),
        Binding("s", "systems", "pages by system", id="ask.systems"),
        Binding("o", "own", "the shop's own findings", id="ask.own"),
        Binding("w", "shop", "the shop: lists, counts, aircraft, files, the store", id="ask.shop"),
        Binding("i", "identify", "identify a part", id="ask.identify"),
        Binding("f", "filter", "limit the answer", id="ask.filter"),
        Binding("m", "like", "more like this", id="ask.like"),
        Binding("l", "limits", "limits: a verdict for a number", id="ask.limits"),
        Binding("y", "copy", "copy the name", id="ask.copy"),
        Binding("slash", "to_question", "to the question", id="ask.question"),
    ]

    @dataclass
    class Answered(Message):
        """A worker has an answer to question `number`."""

        number: int
        answer: Answer

    @dataclass
    class Ready(Message):
        """The index is open; so many pages and findings can be asked, and so many findings are still typed."""

        pages: int
        findings: int
        drafts: int

    @dataclass
    class Building(Message):
        """The index is being built, and how far that has come."""

        said: str

    @dataclass
    class Fetched(Message):
        """The page beside the hits has been read."""

        number: int
        page: Page

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self._number = 0
        self._hits: tuple[Hit, ...] = ()
        self._pause: Timer | None = None
        self._filter_by: tuple[str, str] | None = None
        self.is_waiting = False
        """True between the last key and the question it leads to."""

    def compose_body(self) -> ComposeResult:
        with Horizontal(id="question"):
            yield Static("What did you find?", id="prompt")
            yield TypedLine(id="text", max_length=10_000, select_on_focus=False)
        yield Static("", id="read-as", classes="quiet")
        yield rule()
        with Horizontal(id="answer"):
            yield OptionList(id="hits", markup=False)
            yield PageView(id="beside")
        yield rule()

    def on_mount(self) -> None:
        super().on_mount()
        self.show_counts("opening the index …")
        self.query_one("#read-as", Static).update(plain(SHORT_CAUTION))
        self.query_one("#text").focus()
        # The first frame must not wait for the index.
        self.call_after_refresh(self._open_index)

    def on_screen_resume(self) -> None:
        self._count()

    def on_resize(self) -> None:
        super().on_resize()
        self.set_class(self.size.width >= WIDE, "-wide")
        self._draw_hits()

    def keys(self) -> list[str]:
        if self.focused is self.query_one("#text"):
            return ["Enter read first", "Down hits", "Esc single keys", "F8 keys"]
        acts = ["Enter read", "n narrow", "a add finding", "o own", "w shop", "f filter", "l limits", "i identify"]
        return [*acts, "s systems", "? keys", "Esc question", "q quit"]

    # asking

    @on(Input.Changed, "#text")
    def _typed(self) -> None:
        if self._pause:
            self._pause.stop()
        self.is_waiting = True
        self._pause = self.set_timer(PAUSE, self._ask)

    def _ask(self) -> None:
        self.is_waiting = False
        self._number += 1
        text = self.query_one("#text", Input).value
        if text.strip():
            self._ask_desk(self._number, text)
        else:
            self._show(None)

    @work(thread=True, exclusive=True, group="ask", exit_on_error=False)
    def _ask_desk(self, number: int, text: str) -> None:
        answer = self.desk.search.ask(text, limit=HITS, filters=self._limits())
        if not get_current_worker().is_cancelled:
            self.post_message(self.Answered(number, answer))

    @work(thread=True, group="index", exit_on_error=False)
    def _open_index(self) -> None:
        worker = get_current_worker()

        def watch(said: str) -> None:
            if worker.is_cancelled:
                raise Stopped
            self.post_message(self.Building(said))

        try:
            self.desk.search.warm(watch)
            self._post_counts()
        except Stopped:
            pass  # the screens are closing; what was not built is built at the next start

    @work(thread=True, group="count", exclusive=True, exit_on_error=False)
    def _count(self) -> None:
        self._post_counts()

    def _post_counts(self) -> None:
        drafts = len(self.desk.drafts.all())
        self.post_message(self.Ready(self.desk.library.size(), self.desk.findings.count(), drafts))

    @on(Ready)
    def _ready(self, event: Ready) -> None:
        noun = "finding" if event.findings == 1 else "findings"
        drafts = f"{event.drafts} not kept yet: a   " if event.drafts else ""
        self.show_counts(f"{drafts}{event.pages} pages, {event.findings} {noun}")

    @on(Building)
    def _building(self, event: Building) -> None:
        if event.said:
            self.show_counts(event.said)

    @on(Answered)
    def _answered(self, event: Answered) -> None:
        # A thread cannot be stopped: the answer to an older question is dropped.
        if event.number == self._number:
            self._show(event.answer)

    def _show(self, answer: Answer | None) -> None:
        self._hits = answer.hits if answer else ()
        self.query_one("#read-as", Static).update(plain(_how_read(answer) or SHORT_CAUTION))
        self._draw_hits(highlighted=0)
        if not self._hits:
            self.query_one("#beside", PageView).clear()

    # showing hits

    def _draw_hits(self, highlighted: int | None = None) -> None:
        hits = self.query_one("#hits", OptionList)
        current = hits.highlighted if highlighted is None else highlighted
        hits.clear_options()
        hits.add_options(Option(self._row(number, current)) for number in range(len(self._hits)))
        hits.highlighted = current if self._hits else None

    def _row(self, number: int, current: int | None) -> Content:
        hit = self._hits[number]
        is_finding = hit.kind == "finding"
        edge = f"shop, {hit.state}" if is_finding else URGENCY_WORDS[hit.urgency or "information"]
        title = f"{hit.airframe}: {hit.title}" if is_finding else hit.title
        right = (hit.created or "")[:10] if is_finding else hit.system or ""
        width = self.size.width // 2 - 2 if self.has_class("-wide") else self.size.width - 3
        below = "; ".join((*([OWN_PAGE] if hit.origin else []), *hit.why))
        return row(edge, title, right, below=below, width=width, is_current=number == current)

    @on(OptionList.OptionHighlighted, "#hits")
    def _moved(self, event: OptionList.OptionHighlighted) -> None:
        hits = self.query_one("#hits", OptionList)
        for number in range(len(self._hits)):
            hits.replace_option_prompt_at_index(number, self._row(number, event.option_index))
        if self.has_class("-wide"):
            self._fetch(self._number, self._hits[event.option_index])

    @work(thread=True, exclusive=True, group="beside", exit_on_error=False)
    def _fetch(self, number: int, hit: Hit) -> None:
        if hit.kind == "finding":
            page = lay_out_finding(self.desk.findings.get(hit.id))
        else:
            page = lay_out(self.desk.library.page(hit.id))
        if not get_current_worker().is_cancelled:
            self.post_message(self.Fetched(number, page))

    @on(Fetched)
    async def _fetched(self, event: Fetched) -> None:
        if event.number == self._number:
            await self.query_one("#beside", PageView).show(event.page)

    # going on

    @on(Input.Submitted, "#text")
    def _read_first(self) -> None:
        if self._hits:
            self.query_one("#hits").focus()
            self._open(self._hits[0])

    @on(OptionList.OptionSelected, "#hits")
    def _read(self, event: OptionList.OptionSelected) -> None:
        self._open(self._hits[event.option_index])

    def _open(self, hit: Hit) -> None:
        from tui.screens.page import open_page

        open_page(self, self.desk, hit.id, is_finding=hit.kind == "finding")

    def action_to_hits(self) -> None:
        """Go from the question to the hits."""
        self.query_one("#hits").focus()

    def action_to_question(self) -> None:
        """Go to the question."""
        self.query_one("#text").focus()

    def action_back(self) -> None:
        """Esc: from the question to the single keys, from the hits to the question; what was typed stays."""
        self.query_one("#hits" if self.focused is self.query_one("#text") else "#text").focus()

    def action_narrow(self) -> None:
        """Narrow down the cause: of the question, or of the hit at hand when it is not the first."""
        from tui.screens.narrow import narrow_text

        if hit := self._highlighted():
            is_first = hit is self._hits[0]
            narrow_text(self, self.desk, self.query_one("#text", Input).value if is_first else hit.id)

    def action_add(self) -> None:
        """Add a finding; what was asked is offered as its text."""
        from tui.screens.finding import FindingScreen

        hit = self._highlighted()
        entry = hit.id if hit and hit.kind == "entry" else None
        self.app.push_screen(FindingScreen(self.desk, entry=entry, text=self.query_one("#text", Input).value))

    def action_systems(self) -> None:
        """Read by system."""
        from tui.screens.systems import SystemsScreen

        self.app.push_screen(SystemsScreen(self.desk))

    def action_own(self) -> None:
        """List the shop's own findings."""
        from tui.screens.findings import FindingsScreen

        self.app.push_screen(FindingsScreen(self.desk))

    def action_shop(self) -> None:
        """Choose among all that concerns this shop and its store."""
        from tui.screens.shop import ShopScreen

        self.app.push_screen(ShopScreen(self.desk))

    def action_filter(self) -> None:
        """Limit the answer to a system, an urgency or a kind; or lift the limit."""
        from tui.screens.filter import FilterScreen

        self.app.push_screen(FilterScreen(self.desk), self._filter)

    def action_like(self) -> None:
        """Ask for what is most like the hit at hand."""
        if hit := self._highlighted():
            self._number += 1
            self._ask_like(self._number, hit.id)

    @work(thread=True, exclusive=True, group="ask", exit_on_error=False)
    def _ask_like(self, number: int, name: str) -> None:
        answer = self.desk.search.like(self.desk.record(name), limit=HITS)
        if not get_current_worker().is_cancelled:
            self.post_message(self.Answered(number, answer))

    def _filter(self, chosen: tuple[str, str] | None) -> None:
        if chosen is not None:
            self._filter_by = chosen if chosen[0] else None
            said = f" > only {chosen[1]}" if self._filter_by else ""
            self.query_one(".where", Static).update(plain(self.trail() + said))
            self._ask()

    def _limits(self) -> Filters:
        from kb.search import Filters

        return Filters.of(*self._filter_by) if self._filter_by else Filters()

    def action_limits(self) -> None:
        """Choose a limit; those of the page at hand stand first."""
        from tui.screens.limits import LimitsScreen

        hit = self._highlighted()
        self.app.push_screen(LimitsScreen(self.desk, entry=hit.id if hit and hit.kind == "entry" else None))

    def action_identify(self) -> None:
        """Name a part or material in hand."""
        from tui.screens.identify_keys import KeysScreen

        self.app.push_screen(KeysScreen(self.desk))

    def action_copy(self) -> None:
        """Copy the name of the hit at hand."""
        if hit := self._highlighted():
            self.app.copy_to_clipboard(hit.id)
            self.notify(f"copied {hit.id}", markup=False)

    def _highlighted(self) -> Hit | None:
        place = self.query_one("#hits", OptionList).highlighted
        return self._hits[place] if place is not None and place < len(self._hits) else None


def _how_read(answer: Answer | None) -> str:
    if answer is None:
        return ""
    said = [f"read as {', '.join(answer.read_as)}" + ' ("…" keeps it as typed)'] if answer.read_as else []
    said += [f"on no page: {', '.join(answer.unknown)}"] if answer.unknown else []
    said += [] if answer.hits else ["Nothing fits; say what you see, where, and what it is made of."]
    return "   ".join(said)
