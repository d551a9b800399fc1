"""A text of several lines to type or paste into, as safe to draw as the line in typedline."""

from __future__ import annotations

from textual.document._document import EditResult
from textual.document._edit import Edit
from textual.widgets import TextArea

from tui.typedline import tame


class TypedText(TextArea):
    """A TextArea that leads Tab to the next field and never holds what drives a terminal or hides itself."""

    def __init__(self, text: str = "", *, id: str | None = None) -> None:  # noqa: A002  # Textual's own name
        super().__init__(tame_lines(text), id=id, tab_behavior="focus")

    def load_text(self, text: str) -> None:
        """Hold this text instead."""
        super().load_text(tame_lines(text))

    def edit(self, edit: Edit) -> EditResult:
        """Make a change, as typed or pasted."""
        edit.text = tame_lines(edit.text)
        return super().edit(edit)


def tame_lines(text: str) -> str:
    """Return text with each of its lines made tame.

    >>> tame_lines("a\\x1bb\\r\\nc")
    'a b\\nc'
    """
    return "\n".join(tame(line) for line in text.replace("\r\n", "\n").split("\n"))
