"""The fields of a finding as one widget: the text, its twins below it, and what can wait."""

from __future__ import annotations

from collections.abc import Iterator

import msgspec
from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.message import Message
from textual.suggester import SuggestFromList
from textual.widget import Widget
from textual.widgets import Input, Static, TextArea

from kb.drafts import Draft
from tui.draftline import DraftLine
from tui.literal import plain
from tui.twinlist import TwinList
from tui.typedline import TypedLine
from tui.typedtext import TypedText

ROWS = (
    (("airframe", "Aircraft"), ("place", "Where")),
    (("found", "Day found"), ("hours", "At hours")),
    (("part", "Part number"), ("minutes", "Minutes")),
    (("action", "Done"),),
    (("who", "Initials"),),
)
"""The fields below the text with their labels, row by row, in the order of Tab."""


class FindingForm(Vertical):
    """Holds a draft. Its height is shared so that nothing moves while somebody types."""

    class Changed(Message):
        """Something was typed, or a page linked."""

    def __init__(self, offered: Draft, twins: TwinList, draft_line: DraftLine) -> None:
        super().__init__(id="form")
        self._base = offered
        self._twins = twins
        self._draft_line = draft_line

    def compose(self) -> ComposeResult:
        yield Static("", id="belongs", classes="quiet")
        yield self._draft_line
        yield TypedText(self._base.text, id="text")
        yield Static("Kept already and like it:", classes="quiet near")
        yield self._twins
        with VerticalScroll(id="fields", can_focus=False):
            yield from _rows(self._base)

    def on_mount(self) -> None:
        text = self.query_one("#text", TextArea)
        text.move_cursor(text.document.end)
        text.focus()
        self._show_pages()

    def draft(self) -> Draft:
        """Return what the form holds."""
        areas = {area.id or "": area.text for area in self.query(TypedText)}
        lines = {field.id or "": field.value for field in self.query(Input)}
        return msgspec.structs.replace(self._base, **areas, **lines)

    def fill(self, draft: Draft) -> None:
        """Hold this instead."""
        for area in self.query(TypedText):
            area.text = getattr(draft, area.id or "")
            area.move_cursor(area.document.end)
        for field in self.query(Input):
            field.value = getattr(draft, field.id or "")
        self._base = draft
        self._show_pages()

    def link(self, page: str) -> None:
        """Let the finding belong to a page, or no more to it."""
        entries = self._base.entries
        linked = tuple(one for one in entries if one != page) if page in entries else (*entries, page)
        self._base = msgspec.structs.replace(self._base, entries=linked)
        self._show_pages()
        self.post_message(self.Changed())

    def offer_airframes(self, airframes: list[str], last: str) -> None:
        """Offer names while the aircraft is typed, and fill in the last one when none is given."""
        field = self.query_one("#airframe", Input)
        field.suggester = SuggestFromList(airframes, case_sensitive=False)
        field.value = field.value or last

    @on(TextArea.Changed)
    @on(Input.Changed)
    def _typed(self, event: Message) -> None:
        event.stop()
        self.post_message(self.Changed())

    @on(Input.Submitted)
    def _next(self) -> None:
        self.screen.focus_next()

    def _show_pages(self) -> None:
        entries = ", ".join(self._base.entries)
        self.query_one("#belongs", Static).update(
            plain(f"Belongs to {entries}" if entries else "Belongs to no page yet")
        )


def _rows(offered: Draft) -> Iterator[Horizontal]:
    for row in ROWS:
        fields: list[Widget] = []
        for name, label in row:
            typed = getattr(offered, name)
            fields.append(Static(label, classes="label"))
            fields.append(TypedText(typed, id=name) if name == "action" else TypedLine(typed, id=name))
        yield Horizontal(*fields, classes="line", id=f"line-{row[0][0]}")
