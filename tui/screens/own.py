"""A finding of the shop, read like a page; each key is one act on it, and u takes the last one back."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import Any, ClassVar

from textual import on, work
from textual.binding import Binding, BindingType
from textual.message import Message

from kb.desk import Desk
from kb.model import Finding
from kb.page import Page, lay_out_finding
from tui.screens.asking import Words, WordsScreen
from tui.screens.finding import FindingScreen
from tui.screens.page import PageScreen


class OwnFindingScreen(PageScreen):
    """One finding laid out as a page, with what can be done about it."""

    tips: ClassVar[tuple[str, ...]] = (
        "Every act is a new revision; what the finding said before stays in its history (v).",
        "u takes the last act back, whichever finding it was on; it says first what that is.",
        *PageScreen.tips,
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("e", "revise", "revise: the form again", id="own.revise"),
        Binding("c", "correct", "corrected: say what was done", id="own.correct"),
        Binding("d", "defer", "defer: say on what ground", id="own.defer"),
        Binding("o", "reopen", "open again", id="own.reopen"),
        Binding("k", "confirm", "confirm the cause", id="own.confirm"),
        Binding("g", "link", "belongs to another page: name it", id="own.link"),
        Binding("p", "photos", "photos", id="own.photos"),
        Binding("v", "history", "what it said before", id="own.history"),
        Binding("u", "undo", "undo the last act", id="own.undo"),
        Binding("m", "make_page", "make a page of it", id="own.make_page"),
        Binding("x", "withdraw", "withdraw: take it out of lists and search", id="own.withdraw"),
        *(binding for binding in PageScreen.BINDINGS if isinstance(binding, Binding) and binding.id != "page.add"),
        Binding("a", "add", "add another finding on this aircraft", id="page.add"),
    ]

    @dataclass
    class Read(Message):
        """The finding has been read, and what else is to be said of it, in a few words."""

        finding: Finding
        besides: str

    def __init__(self, desk: Desk, name: str) -> None:
        super().__init__(desk, name)
        self._finding: Finding | None = None

    def on_screen_resume(self) -> None:
        # Something may have been done about it on the screen that was above this one.
        if self._finding is not None:
            self.fetch()

    def keys(self) -> list[str]:
        state = self._finding.state if self._finding else "open"
        acts = ["c corrected", "d defer"] if state == "open" else ["o open again", "c corrected"]
        return ["e revise", *acts, "k cause", "p photos", "v history", "u undo", "Esc back", "? keys", "q quit"]

    def read(self) -> Page:
        finding = self.desk.findings.get(self.record)
        is_split = sum(step.is_head for step in self.desk.history.of(finding.id)) > 1
        has_draft = bool(self.desk.drafts.all(finding=finding.id))
        besides = ["two shops say different things: v"] if is_split else []
        besides += ["a change is not kept yet: e"] if has_draft else []
        self.post_message(self.Read(finding, "   ".join(besides)))
        return lay_out_finding(finding)

    @on(Read)
    def _read(self, event: Read) -> None:
        self._finding = event.finding
        self.show_counts(event.besides)
        self.show_keys()

    # acts

    def _act(self, asked: str, act: Callable[[Words], Finding], **asking: Any) -> None:
        """Ask for the words of an act, do it, and say that it can be undone."""

        def done(finding: Finding | None) -> None:
            if finding is not None:
                self.notify(f"{finding.said}; u takes it back", markup=False)

        self.app.push_screen(WordsScreen(asked, act, **asking), done)

    def action_revise(self) -> None:
        """Change what the finding says, in the form it was added with."""
        from tui.screens.revise import ReviseScreen

        if self._finding is not None:
            self.app.push_screen(ReviseScreen(self.desk, self._finding))

    def action_correct(self) -> None:
        """Say that it was put right, and how."""
        self._act(
            "Corrected: say what was done about it.",
            lambda words: self.desk.findings.correct(
                self.record, action=words.text or "", minutes=words.number(), who=words.who
            ),
            text="What was done",
            with_minutes=True,
        )

    def action_defer(self) -> None:
        """Put it off, and say on what ground."""
        self._act(
            "Deferred: say on what ground. Whether that may be done is for the signer.",
            lambda words: self.desk.findings.defer(self.record, why=words.text or "", who=words.who),
            text="On what ground",
        )

    def action_reopen(self) -> None:
        """Open it again."""
        self._act(
            "Open it again.",
            lambda words: self.desk.findings.reopen(self.record, why=words.text, who=words.who),
            text="Why (may stay empty)",
        )

    def action_withdraw(self) -> None:
        """Take it out of lists and search."""
        self._act(
            "Withdraw it: it leaves lists, counts and search. Its history stays; o brings it back.",
            lambda words: self.desk.findings.withdraw(self.record, who=words.who),
        )

    def action_confirm(self) -> None:
        """Choose the cause that has proved right."""
        from tui.screens.cause import CauseScreen

        def chosen(cause: str | None) -> None:
            if cause is not None:
                asked = f"Confirm the cause: {cause}" if cause else "Take the confirmed cause back."
                confirm = partial(self.desk.findings.confirm, self.record, cause or None)
                self._act(asked, lambda words: confirm(who=words.who))

        if self._finding is not None:
            self.app.push_screen(CauseScreen(self.desk, self._finding), chosen)

    def action_link(self) -> None:
        """Link it to one more page."""
        self._act(
            "Belongs to a page too: give its name, as y on a page copies it.",
            lambda words: self.desk.findings.link(self.record, [words.text or ""], who=words.who),
            line="Page",
        )

    def action_undo(self) -> None:
        """Take the last act back."""
        from tui.screens.undo import ask_undo

        ask_undo(self)

    # going on

    def action_add(self) -> None:
        """Add another finding on this aircraft."""
        if self._finding is not None:
            self.app.push_screen(FindingScreen(self.desk, airframe=self._finding.airframe))

    def action_history(self) -> None:
        """Read what it said before."""
        from tui.screens.history import HistoryScreen

        if self._finding is not None:
            self.app.push_screen(HistoryScreen(self.desk, self._finding.id))

    def action_photos(self) -> None:
        """See its photos."""
        from tui.screens.photos import PhotosScreen

        if self._finding is not None:
            self.app.push_screen(PhotosScreen(self.desk, self._finding.id))

    @work(thread=True, exclusive=True, group="skeleton", exit_on_error=False)
    def action_make_page(self) -> None:
        """Write a page of the shop's own, made from it, to be filled in."""
        from tui.screens.own_pages import ask_write

        asked = "Write a page made from this finding, to be filled in. Own pages, in the shop's list, keeps it then."
        self.app.call_from_thread(ask_write, self, asked, self.desk.own_pages.skeleton(self.record))

    def action_limits(self) -> None:
        """Choose a limit."""
        from tui.screens.limits import LimitsScreen

        self.app.push_screen(LimitsScreen(self.desk))

    def action_identify(self) -> None:
        """Name a part or material in hand."""
        from tui.screens.identify_keys import KeysScreen

        self.app.push_screen(KeysScreen(self.desk))
