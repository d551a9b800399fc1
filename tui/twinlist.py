"""The lines under a text that is being typed: what is kept already and is like it, and why. Always the same height."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from textual import on, work
from textual.content import Content
from textual.message import Message
from textual.timer import Timer
from textual.widgets import OptionList
from textual.widgets.option_list import Option
from textual.worker import get_current_worker

from kb.desk import Desk
from kb.model import URGENCY_WORDS
from tui.literal import EDGE, URGENCY_STYLES, styled
from tui.screens.base import SaysTrouble

if TYPE_CHECKING:  # the search is opened by a worker
    from kb.search import Hit
    from kb.twins import Twins

PAUSE = 0.2
"""Seconds without a key before twins are looked for. Source: the house's range of 120 to 200 ms."""

FINDINGS, PAGES = 3, 2
"""Lines at most of each kind."""


class TwinList(SaysTrouble, OptionList):
    """Twins of a text; the marked finding and the marked page each carry the key that takes them.

    What is marked is the line at hand, or the first of its kind.
    """

    @dataclass
    class Looked(Message):
        """A worker has looked for the twins of text `number`."""

        number: int
        twins: Twins

    def __init__(self, desk: Desk, *, page_key: str, finding_key: str | None, but: str | None = None) -> None:
        super().__init__(id="twins", markup=False)
        self._desk = desk
        self._keys = {"entry": page_key, "finding": finding_key or ""}
        self._but = but
        self._number = 0
        self._asked = ("", "")
        self._pause: Timer | None = None
        self._hits: list[Hit] = []
        self.can_focus = False
        self.is_waiting = False
        """True between the last key and the look it leads to."""

    def look(self, text: str, airframe: str) -> None:
        """Look for twins once nobody has typed for a moment."""
        if (text, airframe) == self._asked:
            return
        self._asked = (text, airframe)
        if self._pause:
            self._pause.stop()
        self.is_waiting = True
        self._pause = self.set_timer(PAUSE, self._look)

    def page(self) -> Hit | None:
        """Return the marked page."""
        return self._marked("entry")

    def finding(self) -> Hit | None:
        """Return the marked finding."""
        return self._marked("finding")

    def hit(self, number: int) -> Hit:
        """Return what stands on a line."""
        return self._hits[number]

    def on_resize(self) -> None:
        self._draw()

    def on_focus(self) -> None:
        self.call_later(self._draw)

    def on_blur(self) -> None:
        self.call_later(self._draw)

    def _look(self) -> None:
        self.is_waiting = False
        self._number += 1
        self._ask_desk(self._number, *self._asked)

    @work(thread=True, exclusive=True, group="twins", exit_on_error=False)
    def _ask_desk(self, number: int, text: str, airframe: str) -> None:
        twins = self._desk.twins.of(text, airframe=airframe, but=self._but, limit=FINDINGS)
        if not get_current_worker().is_cancelled:
            self.post_message(self.Looked(number, twins))

    @on(Looked)
    def _looked(self, event: Looked) -> None:
        # A thread cannot be stopped: the answer to an older text is dropped.
        if event.number == self._number:
            self._hits = [*event.twins.findings[:FINDINGS], *event.twins.pages[:PAGES]]
            self.clear_options()
            self.add_options(Option("") for _ in self._hits)
            self.highlighted = 0 if self._hits else None
            self.can_focus = bool(self._hits)
            self._draw()

    @on(OptionList.OptionHighlighted)
    def _moved(self) -> None:
        self._draw()

    def _marked(self, kind: str) -> Hit | None:
        if self.highlighted is not None and self._hits and self._hits[self.highlighted].kind == kind:
            return self._hits[self.highlighted]
        return next((hit for hit in self._hits if hit.kind == kind), None)

    def _draw(self) -> None:
        for number in range(len(self._hits)):
            self.replace_option_prompt_at_index(number, self._line(number))

    def _line(self, number: int) -> Content:
        hit = self._hits[number]
        is_at_hand = self.has_focus and number == self.highlighted
        key = self._keys[hit.kind] if hit is self._marked(hit.kind) else ""
        edge = URGENCY_WORDS[hit.urgency or "information"] if hit.kind == "entry" else f"shop, {hit.state}"
        lead = Content.assemble(
            styled("> " if is_at_hand else "  ", "bold $accent"),
            styled(f"{key:<3}", "bold $accent"),
            styled(f"{edge:<{EDGE}}", URGENCY_STYLES.get(edge, "dim")),
        )
        room = max(self.size.width - lead.cell_length - 2, 10)
        reason = styled(" · ".join(why.partition(":")[0] for why in hit.why), "dim")
        title = _fitted(styled(hit.title, "bold" if is_at_hand else ""), max(room - reason.cell_length, room * 3 // 5))
        return Content.assemble(lead, title, "  ", _fitted(reason, room - title.cell_length))


def _fitted(content: Content, width: int) -> Content:
    return content if content.cell_length <= width else content.truncate(width, ellipsis=True)
