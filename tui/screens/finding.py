"""The screen to add a finding: the form, what becomes of the draft it saves, and what its keys do."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import ClassVar

from textual import on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.message import Message
from textual.widgets import OptionList, Static

from kb.desk import Desk
from kb.drafts import Draft, KeptDraft
from kb.errors import KbError
from kb.model import Finding
from kb.page import one_line
from tui.draftline import DraftLine
from tui.findingform import FindingForm
from tui.literal import plain
from tui.screens.asking import Choice
from tui.screens.base import TrailScreen, rule
from tui.twinlist import TwinList

LOW = 23
"""Lines below which the list of twins and the fields are shorter."""


class FindingScreen(TrailScreen):
    """Add a finding, linked to the page it was opened from."""

    name_on_trail = "finding"
    CSS_PATH = "finding.tcss"
    tips: ClassVar[tuple[str, ...]] = (
        "Tab goes to the next field; an empty one is fine, save the aircraft.",
        "Under the text stands what is kept already and is like it; Tab and arrows choose there, Enter reads.",
        "What is typed is saved as a draft, offered again if the program is killed. Esc asks first when there is text.",
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f2", "keep", "keep it", id="finding.keep", priority=True),
        Binding("f3", "link", "belongs to the marked page, or no more", id="finding.link", priority=True),
        Binding("f4", "add_to", "add what is typed to the marked finding", id="finding.add_to", priority=True),
        Binding("f7", "throw_away", "throw the draft away", id="finding.throw_away", priority=True),
        Binding("f9", "other_draft", "go on with the other draft", id="finding.other", priority=True),
    ]

    @dataclass
    class Kept(Message):
        """The finding is in the store; `said` is what that means."""

        finding: Finding
        said: str

    @dataclass
    class Refused(Message):
        """The finding was not kept, and why."""

        reason: str

    @dataclass
    class Opened(Message):
        """What the store offers a form that opens: airframes, the last one kept for, drafts that still stand."""

        airframes: list[str]
        last: str
        drafts: list[KeptDraft]

    def __init__(
        self, desk: Desk, *, entry: str | None = None, text: str = "", system: str | None = None, airframe: str = ""
    ) -> None:
        super().__init__(desk)
        self.offered = Draft(text=text, airframe=airframe, entries=(entry,) if entry else (), system=system)
        self.before = self.offered
        self.draft_line = DraftLine(desk)
        self._others: list[KeptDraft] = []

    def compose_body(self) -> ComposeResult:
        yield rule()
        yield FindingForm(self.offered, self.twin_list(), self.draft_line)
        yield Static("", id="said")

    def twin_list(self) -> TwinList:
        """Return the list of twins, with its keys."""
        return TwinList(self.desk, page_key="F3", finding_key="F4")

    def on_mount(self) -> None:
        super().on_mount()
        self.before = self.form.draft()
        self.query_one(TwinList).look(self.offered.text, self.offered.airframe)
        self._open([one.draft_line.name_of_draft for one in self.app.screen_stack if isinstance(one, FindingScreen)])

    def on_resize(self) -> None:
        super().on_resize()
        self.set_class(self.size.height < LOW, "-low")

    @property
    def form(self) -> FindingForm:
        """The form."""
        return self.query_one(FindingForm)

    @property
    def is_waiting(self) -> bool:
        """True between the last key and the look or the saving it leads to."""
        return self.query_one(TwinList).is_waiting or self.draft_line.is_waiting

    def keys(self) -> list[str]:
        if isinstance(self.focused, TwinList):
            return ["Enter read it", "F3 link page", "F4 add to finding", "Tab next field", "F2 keep it", "Esc back"]
        return ["F2 keep it", "Tab next field", "F3 link page", "F4 add to finding", "Esc back", "F8 keys"]

    def is_changed(self) -> bool:
        """True when leaving would lose something typed here."""
        return self.form.draft() != self.before

    @on(FindingForm.Changed)
    def _changed(self) -> None:
        draft = self.form.draft()
        self.query_one(TwinList).look(draft.text, draft.airframe)
        if draft != self.before:
            self.draft_line.typed(draft)
        else:
            self.draft_line.forget()

    # opening, and drafts that stand

    @work(thread=True, group="open", exit_on_error=False)
    def _open(self, own: list[str]) -> None:
        last = next((newest.airframe for newest in self.desk.findings.all(limit=1)), "")
        drafts = [kept for kept in self.drafts() if kept.name not in own]
        self.post_message(self.Opened(self.desk.findings.airframes(), last, drafts))

    def drafts(self) -> list[KeptDraft]:
        """Return the drafts a form of this kind may go on with, newest first; runs in a worker."""
        return self.desk.drafts.all()

    @on(Opened)
    def _opened(self, event: Opened) -> None:
        is_untouched = not self.is_changed()
        self.form.offer_airframes(event.airframes, event.last)
        if is_untouched:
            self.before = self.form.draft()
        self._others = event.drafts
        brings_its_own = self.offered.finding is None and (self.offered.text or self.offered.entries)
        if self._others and is_untouched and not brings_its_own:
            self.action_other_draft()
        else:
            self._offer_other("")

    def action_other_draft(self) -> None:
        """Go on with the draft that stands; what this form holds stands as a draft until then."""
        if not self._others:
            return
        other = self._others.pop(0)
        if self.is_changed():
            self._others.append(KeptDraft(self.draft_line.name_of_draft, self.desk.store.now(), self.form.draft()))
        self.draft_line.go_on_with(other.name, is_saved=True)
        self.form.fill(other.draft)
        when = other.made[:16].replace("T", " ")
        self._offer_other(f"Typed {when} UTC and not kept, filled in again. F7 throws it away. ")

    def _offer_other(self, said: str) -> None:
        first = f"F9 goes to a draft not kept: {one_line(self._others[0].draft.text)[:200]}" if self._others else ""
        self.draft_line.say(said + first)

    def action_throw_away(self) -> None:
        """Throw what is typed away, and start anew."""

        def answered(key: str | None) -> None:
            if key:
                self.draft_line.forget()
                self.draft_line.go_on_with(self.desk.drafts.new_name(), is_saved=False)
                self.form.fill(self.before)
                self._offer_other("")

        if self.is_changed():
            asked = "Throw away what this form holds?"
            self.app.push_screen(Choice(asked, {"t": "throw it away"}, otherwise="keep writing"), answered)

    # keeping

    def action_keep(self) -> None:
        """Keep the finding."""
        self._do(partial(self.keep, self.form.draft()), "it is found in the next question")

    @work(thread=True, exclusive=True, group="keep", exit_on_error=False)
    def _do(self, act: Callable[[], Finding], said: str) -> None:
        try:
            self.post_message(self.Kept(act(), said))
        except KbError as error:
            self.post_message(self.Refused(str(error)))

    def keep(self, draft: Draft) -> Finding:
        """Keep what the form holds; runs in a worker."""
        values = draft.values()
        return self.desk.findings.add(values.pop("text") or "", **values)

    def action_link(self) -> None:
        """Let the finding belong to the marked page, or no more to it."""
        if page := self.query_one(TwinList).page():
            self.form.link(page.id)

    def action_add_to(self) -> None:
        """Add what is typed to the marked finding instead of keeping a new one; asks first."""
        if (twin := self.query_one(TwinList).finding()) is None:
            return
        name, asked = twin.id, f"Add what is typed to the finding of {twin.airframe}: {one_line(twin.title)[:200]}"

        def answered(key: str | None) -> None:
            if key:
                draft = self.form.draft()
                add = partial(self.desk.findings.add_to, name, draft.as_words(), entries=draft.entries, who=draft.who)
                self._do(add, "added to the one kept already")

        self.app.push_screen(Choice(asked, {"y": "yes, add it there"}, otherwise="keep writing"), answered)

    @on(Kept)
    def _kept(self, event: Kept) -> None:
        self.draft_line.forget()
        self.dismiss(event.finding)
        self.app.notify(f"kept for {event.finding.airframe}; {event.said}", markup=False)

    @on(Refused)
    def _refused(self, event: Refused) -> None:
        self.query_one("#said", Static).update(plain(f"Not kept: {event.reason}"))

    # going on and back

    @on(OptionList.OptionSelected, "#twins")
    def _read_twin(self, event: OptionList.OptionSelected) -> None:
        from tui.screens.page import open_page

        hit = self.query_one(TwinList).hit(event.option_index)
        open_page(self, self.desk, hit.id, is_finding=hit.kind == "finding")

    def action_back(self) -> None:
        """Go back; ask first when something typed would be lost."""
        if not self.is_changed():
            self.dismiss(None)
            return
        choices = {"t": "throw it away", "d": "leave it as a draft, to go on with later"}
        self.app.push_screen(Choice("This is not kept yet.", choices, otherwise="keep writing"), self._leave)

    def _leave(self, key: str | None) -> None:
        if key == "t":
            self.draft_line.forget()
        if key:
            self.dismiss(None)
