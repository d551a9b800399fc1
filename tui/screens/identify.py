"""Identify: one key as a guided form. Next measurement on top, candidates below, look-alikes always in sight."""

from __future__ import annotations

import textwrap
from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from textual import on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.message import Message
from textual.widgets import Input, OptionList, Static
from textual.widgets.option_list import Option
from textual.worker import get_current_worker

from kb.desk import Desk
from kb.errors import UsageProblem
from kb.identified import choices_by_number, lay_out_answer, lay_out_candidate
from tui.literal import plain, row
from tui.screens.base import TrailScreen, rule
from tui.screens.identify_lines import apart_lines, choice_line, nothing_asked, question_lines, why_line
from tui.screens.identify_sheet import LeaveAnswers, MeasurementsScreen, SheetScreen

if TYPE_CHECKING:
    from kb.identify import Identification, Key
    from kb.identify.model import Measurement, NextLook

Steps = tuple[tuple[str, str | None], ...]
"""What was done, in order: a measurement and what was answered, None where it could not be taken."""

TALL = 30
"""Rows from which on everything has room."""

SHORT = 24
"""Rows below which the dividing lines give way."""

_VERDICTS = {"fits": "fits", "contradicts": "contradicted", "not-known": "not yet known"}


class KeyScreen(TrailScreen):
    """The form of one key. It remembers what was answered until it is left."""

    name_on_trail = "key"
    CSS_PATH = "identify.tcss"
    tips = (
        "A digit answers with that choice; / types it, several by comma when the eye cannot decide.",
        "While typing, Esc goes to the single keys. Tab goes to the candidates; Enter there reads one.",
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        *(Binding(str(n), f"answer({n})", f"answer {n}", id=f"identify.{n}", show=False) for n in range(1, 10)),
        Binding("o", "leave_out", "cannot take it", id="identify.leave_out"),
        Binding("u", "undo", "undo", id="identify.undo"),
        Binding("m", "measurements", "choose the measurement", id="identify.measurements"),
        Binding("slash", "type", "type the answer", id="identify.type"),
        Binding("w", "whole", "the whole answer, with sources", id="identify.whole"),
        Binding("tab", "app.focus_next", "next part", id="identify.next", show=False),
    ]

    @dataclass
    class Judged(Message):
        """The key has answered to these steps."""

        number: int
        steps: Steps
        key: Key
        answer: Identification

    @dataclass
    class Refused(Message):
        """The last answer cannot be used, and why."""

        number: int
        reason: str

    def __init__(self, desk: Desk, key_id: str) -> None:
        super().__init__(desk)
        self._key_id = key_id
        self._number = 0
        self._steps: Steps = ()
        self._wanted: str | None = None
        self._key: Key | None = None
        self._answer: Identification | None = None

    def compose_body(self) -> ComposeResult:
        yield Static("", id="claim")
        yield Static("", id="given", classes="quiet")
        yield rule()
        yield Static("", id="asked")
        yield OptionList(id="choices", markup=False)
        yield Input(id="typed", max_length=200, select_on_focus=False)
        yield Static("", id="said")
        yield rule()
        yield OptionList(id="candidates", markup=False)
        yield rule()
        yield Static("", id="apart")

    def on_mount(self) -> None:
        super().on_mount()
        self._try(())

    def on_resize(self) -> None:
        super().on_resize()
        self.set_class(self.size.height >= TALL, "-tall")
        self.set_class(self.size.height < SHORT, "-short")
        self._draw()

    def keys(self) -> list[str]:
        if isinstance(self.focused, Input):
            return ["Enter answer", "Esc single keys", "Tab candidates", "F8 keys"]
        if self.focused is self.query_one("#candidates"):
            return ["Enter read", "o cannot", "u undo", "m choose", "w whole", "Esc back", "? keys", "q quit"]
        return ["1-9 answer", "o cannot", "u undo", "m choose", "w whole", "Esc back", "? keys", "q quit"]

    # asking

    def _try(self, steps: Steps) -> None:
        self._number += 1
        self._judge(self._number, steps)

    @work(thread=True, exclusive=True, group="identify", exit_on_error=False)
    def _judge(self, number: int, steps: Steps) -> None:
        ring = self.desk.identify
        try:
            answer = ring.answer(self._key_id, {name: typed for name, typed in steps if typed is not None})
        except UsageProblem as problem:
            self.post_message(self.Refused(number, str(problem)))
            return
        if not get_current_worker().is_cancelled:
            self.post_message(self.Judged(number, steps, ring.key(self._key_id), answer))

    @on(Judged)
    def _judged(self, event: Judged) -> None:
        if event.number != self._number:
            return
        self._steps, self._key, self._answer, self._wanted = event.steps, event.key, event.answer, None
        self._say("")
        self._show_asked()

    @on(Refused)
    def _refused(self, event: Refused) -> None:
        if event.number == self._number:
            self._say(event.reason)

    # answering

    def _give(self, typed: str) -> None:
        item = self._asked()
        if item is None:
            return
        if not typed.strip():
            self._say("nothing is typed; Esc and then o leaves this one out")
            return
        others = tuple(step for step in self._steps if step[0] != item.id)
        self._try((*others, (item.id, choices_by_number(item, typed))))

    @on(OptionList.OptionSelected, "#choices")
    def _chosen(self, event: OptionList.OptionSelected) -> None:
        self._give(str(event.option_index + 1))

    @on(Input.Submitted, "#typed")
    def _submitted(self, event: Input.Submitted) -> None:
        self._give(event.value)

    def action_answer(self, number: int) -> None:
        """Answer with a numbered choice; where a figure is wanted, begin to type it."""
        item = self._asked()
        if item and item.choices:
            if number <= len(item.choices):
                self._give(str(number))
        elif item:
            field = self.query_one("#typed", Input)
            field.focus()
            field.insert_text_at_cursor(str(number))

    def action_type(self) -> None:
        """Type the answer."""
        if self._asked():
            self.set_class(True, "-typing")
            self.query_one("#typed").focus()

    def action_leave_out(self) -> None:
        """Leave this measurement out and go to the next best."""
        if item := self._asked():
            self._try((*(step for step in self._steps if step[0] != item.id), (item.id, None)))

    def action_undo(self) -> None:
        """Take the last step back."""
        if self._steps:
            self._try(self._steps[:-1])

    def action_measurements(self) -> None:
        """Choose which measurement to answer."""
        if self._key:
            self.app.push_screen(MeasurementsScreen(self.desk, self._key, dict(self._steps)), self._want)

    def _want(self, name: str | None) -> None:
        self._wanted = name
        self._show_asked()

    def action_whole(self) -> None:
        """Read the whole answer with its sources."""
        if self._key and self._answer:
            self.app.push_screen(SheetScreen(self.desk, lay_out_answer(self._key, self._answer)))

    @on(OptionList.OptionSelected, "#candidates")
    def _read(self, event: OptionList.OptionSelected) -> None:
        if self._key and self._answer:
            chosen = self._answer.candidates[event.option_index].id
            self.app.push_screen(SheetScreen(self.desk, lay_out_candidate(self._key, self._answer, chosen)))

    def action_back(self) -> None:
        """From typing to the single keys; else back, asking first when answers would be lost."""
        if isinstance(self.focused, Input):
            self.query_one("#candidates").focus()
        elif any(typed is not None for _, typed in self._steps):
            self.app.push_screen(LeaveAnswers(), self._leave)
        else:
            self.app.pop_screen()

    def _leave(self, is_sure: bool | None) -> None:
        if is_sure:
            self.app.pop_screen()

    # showing

    def _asked(self) -> Measurement | None:
        """Return the measurement asked for: the one chosen, else the best not yet done."""
        if self._key is None:
            return None
        look = self._look()
        name = self._wanted or (look.measurement if look else None)
        return next((item for item in self._key.measurements if item.id == name), None)

    def _look(self) -> NextLook | None:
        answer = self._answer
        looks = (answer.next, *answer.others) if answer and answer.next else ()
        done = dict(self._steps)
        return next((look for look in looks if look.measurement not in done), None)

    def _show_asked(self) -> None:
        item = self._asked()
        self.query_one("#typed", Input).value = ""
        self.set_class(bool(item and not item.choices), "-typing")
        self._draw(highlighted=0)
        if item is None:
            self.query_one("#candidates").focus()
        else:
            self.query_one("#choices" if item.choices else "#typed").focus()
        self.show_keys()

    def _say(self, text: str) -> None:
        self.query_one("#said", Static).update(plain(text))
        self.set_class(bool(text), "-said")

    def _draw(self, highlighted: int | None = None) -> None:
        key, answer = self._key, self._answer
        if key is None or answer is None:
            return
        item = self._asked()
        is_tall, is_short = self.has_class("-tall"), self.has_class("-short")
        self.show_counts(f"{len(answer.candidates)} candidates")
        self.query_one("#claim", Static).update(
            self._clipped(f"{key.title}: {answer.claim}", 4 if is_tall else 2 if is_short else 3)
        )
        self.query_one("#given", Static).update(self._clipped(self._done(), 3 if is_tall else 1))
        self.set_class(bool(self._steps), "-begun")
        self.query_one("#asked", Static).update(question_lines(item, self._look()) if item else nothing_asked(answer))
        self._draw_choices(highlighted)
        self._draw_candidates(highlighted)
        self.query_one("#apart", Static).update(
            apart_lines(answer, lines=6 if is_tall else 2 if is_short else 3, width=self._room())
        )

    def _room(self) -> int:
        """Return the columns of a line: those of the screen without its edges and a scroll bar."""
        return self.size.width - 4

    def _clipped(self, text: str, lines: int) -> Content:
        return plain("\n".join(textwrap.wrap(text, max(self._room(), 20), max_lines=lines, placeholder=" …")))

    def _done(self) -> str:
        """Return what was given, the latest first, so that a short line shows it."""
        used = {item.measurement: item.used for item in self._answer.given} if self._answer else {}
        given = [f"{name}: {used[name]}" for name, typed in reversed(self._steps) if typed is not None and name in used]
        left_out = [name for name, typed in self._steps if typed is None]
        said = [f"Given {'; '.join(given)}"] if given else []
        return ". ".join([*said, *([f"Left out {', '.join(left_out)}"] if left_out else [])])

    def _draw_choices(self, highlighted: int | None) -> None:
        item = self._asked()
        choices = self.query_one("#choices", OptionList)
        choices.display = bool(item and item.choices)
        current = choices.highlighted if highlighted is None else highlighted
        choices.clear_options()
        if item:
            choices.add_options(Option(choice_line(n, one.text, n == current)) for n, one in enumerate(item.choices))
            choices.highlighted = current if item.choices else None

    def _draw_candidates(self, highlighted: int | None) -> None:
        candidates = self.query_one("#candidates", OptionList)
        current = candidates.highlighted if highlighted is None else highlighted
        candidates.clear_options()
        if self._answer:
            candidates.add_options(Option(self._row(n, current)) for n in range(len(self._answer.candidates)))
            candidates.highlighted = current

    @on(OptionList.OptionHighlighted)
    def _moved(self, event: OptionList.OptionHighlighted) -> None:
        options, item = event.option_list, self._asked()
        for number in range(options.option_count):
            if options.id == "candidates":
                prompt = self._row(number, event.option_index)
            elif item and number < len(item.choices):
                prompt = choice_line(number, item.choices[number].text, number == event.option_index)
            else:
                continue
            options.replace_option_prompt_at_index(number, prompt)

    def _row(self, number: int, current: int | None) -> Content:
        assert self._answer is not None
        one = self._answer.candidates[number]
        width = self._room()
        return row(
            _VERDICTS[one.verdict], one.title, "", below=why_line(one), width=width, is_current=number == current
        )
