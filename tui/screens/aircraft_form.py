"""The form of what is known of one aircraft."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar

from textual import on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal
from textual.message import Message
from textual.suggester import SuggestFromList
from textual.widgets import Input, Static

from kb.desk import Desk
from kb.errors import KbError, UsageProblem
from kb.model import Airframe
from kb.page import one_line
from tui.literal import plain
from tui.screens.base import TrailScreen, rule
from tui.typedline import TypedLine

KEPT = {"outdoors": True, "indoors": False}
FIELDS = (
    ("name", "Called", ()),
    ("construction", "Built of", ("tube-and-fabric", "wood", "sheet-metal")),
    ("built", "Year built", ()),
    ("outdoors", "Kept", tuple(KEPT)),
    ("about", "What else", ()),
    ("who", "Initials", ()),
)
"""Name, label and the words offered."""


class AircraftScreen(TrailScreen):
    """The form of what is known of one aircraft; every change is kept as a new record."""

    name_on_trail = "what is known"
    tips: ClassVar[tuple[str, ...]] = ("Right takes the word offered. An emptied line is unknown again.",)
    BINDINGS: ClassVar[list[BindingType]] = [Binding("f2", "keep", "keep it", id="aircraft.keep", priority=True)]
    DEFAULT_CSS = """
    AircraftScreen {
        .line { height: 1; padding: 0 1; }
        .label { width: 20; color: $accent; }
        .line Input { width: 1fr; }
        #said { height: auto; padding: 1 1; }
    }
    """

    @dataclass
    class Read(Message):
        """What is known has been read."""

        record: Airframe | None

    @dataclass
    class Refused(Message):
        """It was not kept, and why."""

        reason: str

    @dataclass
    class Kept(Message):
        """It is in the store."""

        record: Airframe

    def __init__(self, desk: Desk, name: str = "") -> None:
        super().__init__(desk)
        self._called = name
        self._before: dict[str, str] = {}
        self._told: dict[str, str] = {}

    def compose_body(self) -> ComposeResult:
        yield rule()
        for name, label, words in FIELDS:
            with Horizontal(classes="line"):
                yield Static(label, classes="label")
                suggester = SuggestFromList(words, case_sensitive=False) if words else None
                value = self._called if name == "name" else ""
                yield TypedLine(value, id=name, select_on_focus=False, suggester=suggester)
        yield Static("", id="said")

    def on_mount(self) -> None:
        super().on_mount()
        if self._called:
            self.query_one("#name", Input).disabled = True
            self._fetch()
        self._before = self._typed()
        self.query("Input:enabled").first().focus()

    def keys(self) -> list[str]:
        return ["F2 keep it", "Tab next line", "Esc back", "F8 keys"]

    def _typed(self) -> dict[str, str]:
        return {field.id or "": field.value.strip() for field in self.query(Input)}

    @work(thread=True, exclusive=True, group="aircraft", exit_on_error=False)
    def _fetch(self) -> None:
        self.post_message(self.Read(self.desk.airframes.get(self._called).record))

    @on(Read)
    def _read(self, event: Read) -> None:
        if record := event.record:
            self.query_one("#construction", Input).value = record.construction or ""
            self.query_one("#built", Input).value = str(record.built or "")
            self.query_one("#outdoors", Input).value = {True: "outdoors", False: "indoors", None: ""}[record.outdoors]
            self.query_one("#about", Input).value = one_line(record.about or "")
            self._before = self._typed()

    @on(Input.Submitted)
    def _next(self) -> None:
        self.focus_next()

    def action_keep(self) -> None:
        """Keep what has been changed."""
        self._keep(self._typed())

    @work(thread=True, exclusive=True, group="aircraft", exit_on_error=False)
    def _keep(self, typed: dict[str, str]) -> None:
        try:
            said, clear = _changes(self._before, typed)
            record = self.desk.airframes.keep(typed["name"], clear=clear, who=typed["who"], **said)
        except KbError as error:
            self.post_message(self.Refused(str(error)))
        else:
            self.post_message(self.Kept(record))

    @on(Kept)
    def _kept(self, event: Kept) -> None:
        self.app.notify(f"kept for {event.record.name}", markup=False)
        self.dismiss(None)

    @on(Refused)
    def _refused(self, event: Refused) -> None:
        self.query_one("#said", Static).update(plain(f"Not kept: {event.reason}"))

    def action_back(self) -> None:
        """Go back; what was typed is thrown away only at the second time."""
        if self._typed() in (self._before, self._told):
            self.dismiss(None)
        self._told = self._typed()
        self.query_one("#said", Static).update("Not kept yet. Esc again throws it away.")


def _changes(before: dict[str, str], typed: dict[str, str]) -> tuple[dict[str, Any], list[str]]:
    """Return what is said anew, and what is unsaid."""
    said: dict[str, Any] = {}
    clear = []
    for field in ("construction", "built", "outdoors", "about"):
        if typed[field] == before.get(field, ""):
            continue
        if not typed[field]:
            clear.append(field)
        elif field == "built":
            said[field] = _year(typed[field])
        elif field == "outdoors":
            if typed[field] not in KEPT:
                raise UsageProblem(f"'{typed[field]}' is no place to keep it; write {' or '.join(KEPT)}")
            said[field] = KEPT[typed[field]]
        else:
            said[field] = typed[field]
    return said, clear


def _year(written: str) -> int:
    try:
        return int(written)
    except ValueError:
        raise UsageProblem(f"'{written}' is no year") from None
