"""A line to type or paste into that never holds what drives a terminal or hides itself."""

from __future__ import annotations

import unicodedata

from textual.widgets import Input

from kb.display import show_safely


class TypedLine(Input):
    """An Input that is safe to draw; a paste longer than its room is cut, not refused."""

    def replace(self, text: str, start: int, end: int) -> None:
        start, end = sorted((max(0, start), min(len(self.value), end)))
        room = max((self.max_length or len(text)) - len(self.value) + (end - start), 0)
        super().replace(tame(text)[:room], start, end)

    def validate_value(self, value: str) -> str:
        """Leave out of any new value what must not be drawn."""
        return tame(value)


def tame(text: str) -> str:
    """Return one line of text: control characters become blanks, other hidden ones go.

    >>> tame("a\\x1b[2Jb\\tc\\u202ed")
    'a [2Jb cd'
    """
    if text.isascii() and text.isprintable():
        return text
    blanked = (" " if unicodedata.category(character) == "Cc" else character for character in text)
    return "".join(character for character in blanked if show_safely(character) == character)
