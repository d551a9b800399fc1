"""The form of a finding once more, to change what it says; what somebody else changed meanwhile is not written over."""

from __future__ import annotations

from typing import ClassVar

from textual.binding import Binding, BindingType

from kb.desk import Desk
from kb.drafts import Draft, KeptDraft
from kb.model import Finding
from tui.screens.finding import FindingScreen
from tui.twinlist import TwinList


class ReviseScreen(FindingScreen):
    """Change a finding. A draft of an earlier change is put onto what the finding says by now."""

    name_on_trail = "revise"
    tips: ClassVar[tuple[str, ...]] = (
        "Only what is changed here is changed in the finding; an emptied field is emptied there.",
        "F2 keeps the change as a new revision; what the finding said before stays in its history.",
        "If somebody changed it meanwhile: Esc and d leave the draft, e on the finding puts it onto their change.",
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        binding for binding in FindingScreen.BINDINGS if isinstance(binding, Binding) and binding.id != "finding.add_to"
    ]

    def __init__(self, desk: Desk, finding: Finding) -> None:
        super().__init__(desk)
        self._finding = finding
        self.offered = Draft.of(finding, finding=finding.id, seen=finding.revision)

    def twin_list(self) -> TwinList:
        return TwinList(self.desk, page_key="F3", finding_key=None, but=self._finding.id)

    def keys(self) -> list[str]:
        return ["F2 keep the change", "Tab next field", "F3 link page", "Esc back", "F8 keys"]

    def drafts(self) -> list[KeptDraft]:
        kept = self.desk.drafts.all(finding=self._finding.id)
        return [KeptDraft(one.name, one.made, self._renewed(one.draft)) for one in kept]

    def _renewed(self, draft: Draft) -> Draft:
        """Return a draft that began from an earlier revision, put onto what the finding says now."""
        now = self.offered
        if draft.seen is None or draft.seen == now.seen:
            return draft
        began = self.desk.history.get(self._finding.id, draft.seen)
        return draft.onto(Draft.of(began, finding=self._finding.id, seen=began.id), now)

    def keep(self, draft: Draft) -> Finding:
        changes = draft.changes(self.before)
        return self.desk.findings.revise(self._finding.id, who=draft.who, seen=draft.seen, **changes)

    def action_add_to(self) -> None:
        """A finding that is kept already is not added to another one."""
