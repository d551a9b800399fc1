"""Taking in a table: the file and what is said of it, the plan, then the rows, with progress and a key to stop."""

from __future__ import annotations

import threading
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, ClassVar

from textual import on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, VerticalScroll
from textual.content import Content
from textual.message import Message
from textual.widgets import Input, Static
from textual.worker import get_current_worker

from kb.desk import Desk
from kb.errors import KbError, UsageProblem
from kb.narrowtelling import bar
from tui.literal import plain, styled
from tui.screens.base import TrailScreen, rule
from tui.typedline import TypedLine

if TYPE_CHECKING:
    from kb.exchange.planned import Imported, Plan, Progress

FIELDS = (
    ("file", "File", "CSV, XLSX or JSON Lines"),
    ("airframe", "Aircraft", "of rows that name none"),
    ("columns", "Columns", "text=Discrepancy; airframe=Reg; minutes="),
    ("order", "Days", "day-first or month-first, when asked"),
    ("who", "Initials", ""),
)


class ImportScreen(TrailScreen):
    """F2 looks and tells a plan, F3 takes the rows in, F7 stops; a stopped import goes on when it is run again."""

    name_on_trail = "import"
    tips: ClassVar[tuple[str, ...]] = (
        "F2 looks at the file and says what would be kept; nothing is written by that.",
        "Columns are guessed. field=Header says one, field= leaves one out; a semicolon parts them.",
        "F3 takes the rows in; those that cannot be kept go to a file beside it, with the reason.",
        "F7 stops; F2 and F3 on the same file go on where it stopped.",
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f2", "look", "look at the file", id="import.look", priority=True),
        Binding("f3", "run", "take the rows in", id="import.run", priority=True),
        Binding("f7", "stop", "stop", id="import.stop", priority=True),
    ]
    DEFAULT_CSS = """
    ImportScreen {
        .line { height: 1; padding: 0 1; }
        .label { width: 12; color: $accent; }
        .line Input { width: 1fr; }
        #plan { height: 1fr; padding: 0 1; }
        #plan Static { height: auto; }
        #progress { height: 1; padding: 0 1; }
    }
    """

    @dataclass
    class Planned(Message):
        """The file has been looked at."""

        plan: Plan

    @dataclass
    class Moved(Message):
        """So many rows are in."""

        progress: Progress

    @dataclass
    class Ended(Message):
        """All rows are in."""

        done: Imported

    @dataclass
    class Refused(Message):
        """It could not be done, or was stopped."""

        reason: str

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self._plan: Plan | None = None
        self._stop = threading.Event()
        self._is_running = False

    def compose_body(self) -> ComposeResult:
        yield rule()
        for name, label, hint in FIELDS:
            with Horizontal(classes="line"):
                yield Static(label, classes="label")
                yield TypedLine(id=name, placeholder=hint, select_on_focus=False)
        yield Static("", id="progress")
        yield rule()
        with VerticalScroll(id="plan"):
            yield Static("F2 looks at the file and says what would be kept.", id="told")

    def on_mount(self) -> None:
        super().on_mount()
        self.query_one("#file").focus()

    def keys(self) -> list[str]:
        if self._is_running:
            return ["F7 stop", "F8 keys"]
        return ["F2 look", *(["F3 take in"] if self._plan else []), "Tab next line", "Esc back", "F8 keys"]

    def action_look(self) -> None:
        """Say what an import would do."""
        if not self._is_running:
            self._tell("Looking at the file …")
            self._look({field.id or "": field.value.strip() for field in self.query(Input)})

    @work(thread=True, exclusive=True, group="plan", exit_on_error=False)
    def _look(self, said: dict[str, str]) -> None:
        try:
            order: Any = said["order"] or None
            if order not in (None, "day-first", "month-first"):
                raise UsageProblem(f"'{order}' is no order of days; write day-first or month-first")
            plan = self.desk.importing.plan(
                Path(said["file"]).expanduser(),
                _columns(said["columns"]),
                airframe=said["airframe"] or None,
                order=order,
                who=said["who"] or None,
            )
        except KbError as error:
            self.post_message(self.Refused(str(error)))
        else:
            if not get_current_worker().is_cancelled:
                self.post_message(self.Planned(plan))

    def action_run(self) -> None:
        """Do what the plan says."""
        if self._plan and not self._is_running:
            self._is_running = True
            self._stop.clear()
            self.show_keys()
            self._run(self._plan, self.query_one("#who", Input).value)

    @work(thread=True, group="import", exit_on_error=False)
    def _run(self, plan: Plan, who: str) -> None:
        worker = get_current_worker()

        def moved(progress: Progress) -> None:
            self.post_message(self.Moved(progress))

        try:
            done = self.desk.importing.run(
                plan,
                progress=moved,
                is_stopped=lambda: worker.is_cancelled or self._stop.is_set(),
                who=who,
            )
        except KbError as error:
            self.post_message(self.Refused(str(error)))
        else:
            self.post_message(self.Ended(done))

    def action_stop(self) -> None:
        """Stop after the batch at hand."""
        self._stop.set()

    def action_back(self) -> None:
        """Go back, once nothing runs any more."""
        if self._is_running:
            self.notify("rows are still coming in; F7 stops", markup=False)
        else:
            self.dismiss(None)

    @on(Input.Changed)
    def _said_otherwise(self) -> None:
        self._plan = None  # it was made of other words
        self.show_keys()

    @on(Input.Submitted)
    def _next(self) -> None:
        self.focus_next()

    @on(Planned)
    def _planned(self, event: Planned) -> None:
        plan = event.plan
        self._plan = plan if plan.rows and not plan.asks else None
        self._tell("\n".join(_plan_lines(plan)))
        self.show_keys()

    @on(Moved)
    def _moved(self, event: Moved) -> None:
        moved = event.progress
        cells = max(self.size.width // 3, 10)
        share = moved.rows / (moved.of or 1)
        told = f" {moved.rows:,} of {moved.of:,} rows, {moved.rate:,.0f} a second, {moved.left:.0f} s left"
        line = Content.assemble(styled(f"{bar(share, cells):<{cells}}", "$accent"), styled(told, ""))
        self.query_one("#progress", Static).update(line)

    @on(Ended)
    def _ended(self, event: Ended) -> None:
        done = event.done
        self._is_running, self._plan = False, None
        told = f"{done.new:,} new, {done.revised:,} changed, {done.here:,} here already, {done.refused:,} refused"
        aside = [f"Refused rows: {done.refused_file}; put them right there and take that file in"]
        self._tell(
            "\n".join([f"Taken in: {told}", *(aside if done.refused_file else []), "u in the lists takes it back."])
        )
        self.show_keys()

    @on(Refused)
    def _refused(self, event: Refused) -> None:
        self._is_running = False
        self._tell(event.reason)
        self.show_keys()

    def _tell(self, text: str) -> None:
        self.query_one("#told", Static).update(plain(text))
        self.query_one("#plan").scroll_home(animate=False)


def _columns(written: str) -> dict[str, list[str]]:
    """Return headers by field, from `field=Header; field=`."""
    chosen: dict[str, list[str]] = {}
    for part in filter(str.strip, written.split(";")):
        field, equals, header = part.partition("=")
        if not equals:
            raise UsageProblem(f"'{part.strip()}' is not written as field=Header, such as text=Discrepancy")
        chosen.setdefault(field.strip(), []).extend([header.strip()] if header.strip() else [])
    return chosen


def _plan_lines(plan: Plan) -> list[str]:
    lines = [f"{plan.table.told}, {plan.rows:,} rows. Nothing is kept yet."]
    lines += [f"  {guess.field:<10} {' + '.join(guess.headers)} ({guess.why})" for guess in plan.columns]
    lines += [f"  left out   {', '.join(plan.unused)}"] if plan.unused else []
    lines += list(plan.notes)
    if plan.asks:
        return [*lines, "", *plan.asks, "Say it in the lines above, then F2."]
    counts = f"{plan.new:,} new, {plan.revised:,} changed, {plan.here:,} here already, {plan.bad:,} to be refused"
    lines += ["", f"F3 keeps: {counts}" + (f"; {plan.done:,} rows were done before" if plan.done else "")]
    lines += [str(problem) for problem in plan.problems]
    return [*lines, "", *(f"{content.airframe}: {content.text}" for content in plan.first)]
