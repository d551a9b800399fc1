"""A limit opened from a narrowing: the same form, whose verdict can be taken back as the answer."""

from __future__ import annotations

from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.widgets import Input

from kb.desk import Desk
from kb.model import SignLimit
from tui.screens.limit import LimitScreen


class MeasureScreen(LimitScreen):
    """The form of the limit that settles a sign; it is dismissed with the verdict, or left with nothing."""

    name_on_trail = "measure"
    tips = (LimitScreen.tips[0], "F3 goes back with the verdict as the answer; not covered answers nothing.")
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f3", "take", "answer with the verdict", id="measure.take", priority=True)
    ]

    def __init__(self, desk: Desk, limit: SignLimit, *, entry: str) -> None:
        super().__init__(desk, limit.id, entry=entry)
        self._given = limit.given

    def on_mount(self) -> None:
        # Textual goes on to the same handler of the form itself.
        for field in self.query(Input):
            field.value = self._given.get(field.name or "", field.value)

    def keys(self) -> list[str]:
        return ["F3 answer with it", *super().keys()]

    def action_take(self) -> None:
        """Go back with the verdict as the answer; what is missing is said when there is none."""
        if self._text() and self._shown is not None:
            self.dismiss(self._shown.result)
