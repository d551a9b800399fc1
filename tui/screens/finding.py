"""The form for a finding: text first, few fields, everything else can wait."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from textual import on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal
from textual.message import Message
from textual.screen import ModalScreen
from textual.suggester import SuggestFromList
from textual.widgets import Input, Static, TextArea

from kb.desk import Desk
from kb.errors import KbError
from kb.model import Finding
from tui.literal import plain
from tui.screens.base import TrailScreen, rule


class FindingScreen(TrailScreen):
    """Add a finding, linked to the page it was opened from."""

    name_on_trail = "finding"
    CSS_PATH = "finding.tcss"
    tips = ("Tab goes to the next field.", "F2 keeps the finding; Esc goes back and asks first when there is text.")
    BINDINGS: ClassVar[list[BindingType]] = [Binding("f2", "keep", "keep it", id="finding.keep", priority=True)]

    @dataclass
    class Kept(Message):
        """The finding is in the store."""

        finding: Finding

    @dataclass
    class Refused(Message):
        """The finding was not kept, and why."""

        reason: str

    @dataclass
    class Known(Message):
        """Airframes that have findings, offered while typing."""

        airframes: list[str]

    def __init__(self, desk: Desk, *, entry: str | None = None, text: str = "", system: str | None = None) -> None:
        super().__init__(desk)
        self._entry = entry
        self._system = system
        self._offered = text

    def compose_body(self) -> ComposeResult:
        yield rule()
        yield Static(
            plain(f"Belongs to the page {self._entry}" if self._entry else "Belongs to no page yet"), classes="quiet"
        )
        yield Static("What was found", classes="field")
        yield TextArea(self._offered, id="text", tab_behavior="focus")
        for name, label in (("airframe", "On which aircraft"), ("action", "What was done"), ("who", "Initials")):
            with Horizontal(classes="line"):
                yield Static(label, classes="label")
                yield Input(id=name, select_on_focus=False)
        yield Static("", id="said", classes="quiet")

    def on_mount(self) -> None:
        super().on_mount()
        text = self.query_one("#text", TextArea)
        text.move_cursor(text.document.end)
        text.focus()
        self._read_airframes()

    def keys(self) -> list[str]:
        return ["F2 keep it", "Tab next field", "Esc back", "F8 keys"]

    def is_changed(self) -> bool:
        """True when leaving would lose something typed here."""
        text = self.query_one("#text", TextArea).text.strip()
        others = any(field.value.strip() for field in self.query(Input))
        return others or text not in ("", self._offered.strip())

    def action_keep(self) -> None:
        """Keep the finding."""
        values = {field.id or "": field.value for field in self.query(Input)}
        self._keep(self.query_one("#text", TextArea).text, values)

    @work(thread=True, exclusive=True, group="keep", exit_on_error=False)
    def _keep(self, text: str, values: dict[str, str]) -> None:
        try:
            finding = self.desk.findings.add(
                text,
                airframe=values["airframe"],
                entries=[self._entry] if self._entry else [],
                system=self._system,
                action=values["action"],
                who=values["who"],
            )
        except KbError as error:
            self.post_message(self.Refused(str(error)))
        else:
            self.post_message(self.Kept(finding))

    @work(thread=True, group="airframes", exit_on_error=False)
    def _read_airframes(self) -> None:
        self.post_message(self.Known(self.desk.findings.airframes()))

    @on(Known)
    def _offer(self, event: Known) -> None:
        self.query_one("#airframe", Input).suggester = SuggestFromList(event.airframes, case_sensitive=False)

    @on(Kept)
    def _kept(self, event: Kept) -> None:
        self.app.pop_screen()
        self.app.notify(f"kept for {event.finding.airframe}; it is found in the next question", markup=False)

    @on(Refused)
    def _refused(self, event: Refused) -> None:
        self.query_one("#said", Static).update(plain(f"Not kept: {event.reason}"))

    @on(Input.Submitted)
    def _next(self) -> None:
        self.focus_next()

    def action_back(self) -> None:
        """Go back; ask first when something typed would be lost."""
        if self.is_changed():
            self.app.push_screen(LeaveQuestion(), self._leave)
        else:
            self.app.pop_screen()

    def _leave(self, is_sure: bool | None) -> None:
        if is_sure:
            self.app.pop_screen()


class LeaveQuestion(ModalScreen[bool]):
    """Asks before typed text is thrown away."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("t", "answer(True)", "throw it away"),
        Binding("escape,enter", "answer(False)", "keep writing"),
    ]

    def compose(self) -> ComposeResult:
        yield Static("This finding is not kept yet.\n\nEsc keep writing    t throw it away", id="asked")

    def action_answer(self, is_sure: bool) -> None:
        """Close with the answer."""
        self.dismiss(is_sure)
