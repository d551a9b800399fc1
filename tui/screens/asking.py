"""Small windows that ask: one to choose by a key, one for the few words and the initials of an act."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, ClassVar

from textual import on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical
from textual.events import Key
from textual.message import Message
from textual.screen import ModalScreen
from textual.widgets import Input, Static

from kb.errors import KbError, UsageProblem
from tui.literal import plain, styled
from tui.screens.base import SaysTrouble
from tui.typedline import TypedLine
from tui.typedtext import TypedText


class Choice(ModalScreen[str]):
    """Asks before something happens; closes with the key pressed, or with "" for Esc and Enter, which do nothing."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape,enter", "leave", "go on as before")]
    CSS_PATH = "asking.tcss"

    def __init__(self, asked: str, choices: Mapping[str, str], *, otherwise: str) -> None:
        super().__init__()
        self._asked = asked
        self._choices = choices
        self._otherwise = otherwise

    def compose(self) -> ComposeResult:
        offered = "\n".join(f"{key}    {said}" for key, said in self._choices.items())
        yield Static(plain(f"{self._asked}\n\nEsc  {self._otherwise}\n{offered}"), id="asked")

    def on_key(self, event: Key) -> None:
        if event.character in self._choices:
            event.stop()
            self.dismiss(event.character or "")

    def action_leave(self) -> None:
        """Close without anything chosen."""
        self.dismiss("")


@dataclass(frozen=True)
class Words:
    """What was typed for an act; None where nothing was."""

    text: str | None
    minutes: str | None
    who: str | None

    def number(self) -> float | None:
        """Return the minutes as a number.

        Raises:
            UsageProblem: they are written in words.
        """
        try:
            return None if self.minutes is None else float(self.minutes)
        except ValueError:
            raise UsageProblem(f"the minutes spent, '{self.minutes}', are no number") from None


class WordsScreen(SaysTrouble, ModalScreen[Any]):
    """Asks for the words of an act and does it; closes with what the act returns, or with None."""

    CSS_PATH = "asking.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f2", "do", "do it", priority=True),
        Binding("escape", "leave", "back"),
    ]

    @dataclass
    class Done(Message):
        """The act is done."""

        result: Any

    @dataclass
    class Refused(Message):
        """The act was not done, and why."""

        reason: str

    def __init__(
        self,
        asked: str,
        act: Callable[[Words], Any],
        *,
        text: str | None = None,
        line: str | None = None,
        with_minutes: bool = False,
        with_who: bool = True,
    ) -> None:
        """Ask `asked`; `text` labels words of several lines, `line` those of one. With neither, none are asked for."""
        super().__init__()
        self._asked = asked
        self._act = act
        self._label = text
        self._line_label = line
        self._with = {"minutes": with_minutes, "who": with_who}
        self._is_sure = False
        self._is_busy = False

    def compose(self) -> ComposeResult:
        with Vertical(id="asked"):
            yield Static(plain(self._asked), id="what")
            if self._label:
                yield Static(styled(self._label, "bold $accent"))
                yield TypedText(id="words")
            labels = {"line": self._line_label, "minutes": "Minutes spent", "who": "Initials"}
            for name, label in labels.items():
                if label and self._with.get(name, True):
                    with Horizontal(classes="line"):
                        yield Static(plain(label), classes="label")
                        yield TypedLine(id=name, select_on_focus=False)
            yield Static("", id="said")
            yield Static("F2 do it   Tab next field   Esc back", classes="quiet")

    def on_mount(self) -> None:
        self.query("#words, Input").first().focus()

    def words(self) -> Words:
        """Return what is typed."""
        lines = {field.id or "": field.value.strip() or None for field in self.query(Input)}
        text = "\n".join(area.text for area in self.query(TypedText)).strip() or lines.get("line")
        return Words(text or None, lines.get("minutes"), lines.get("who"))

    def action_do(self) -> None:
        """Do it."""
        if not self._is_busy:
            self._is_busy = True
            self.query_one("#said", Static).update("Working …")
            self._do(self.words())

    @work(thread=True, group="act", exit_on_error=False)
    def _do(self, words: Words) -> None:
        try:
            self.post_message(self.Done(self._act(words)))
        except KbError as error:
            self.post_message(self.Refused(str(error)))

    @on(Done)
    def _done(self, event: Done) -> None:
        self.dismiss(event.result)

    @on(Refused)
    def _refused(self, event: Refused) -> None:
        self._is_busy = False
        self.query_one("#said", Static).update(plain(f"Not done: {event.reason}"))

    @on(Input.Submitted)
    def _submitted(self, event: Input.Submitted) -> None:
        if event.input is self.query(Input).last():
            self.action_do()
        else:
            self.focus_next()

    def action_leave(self) -> None:
        """Go back; what was typed is thrown away only at the second time."""
        if self._is_busy:
            return
        if not self.words().text or self._is_sure:
            self.dismiss(None)
        self._is_sure = True
        self.query_one("#said", Static).update("Not done yet. Esc again throws these words away.")
