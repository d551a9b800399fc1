"""The only place that makes styled text from data: always literal, always safe, never markup."""

from __future__ import annotations

from textual.content import Content

from kb.display import show_safely

URGENCY_STYLES = {
    "BEFORE FLIGHT": "bold $error",
    "BEFORE RETURN": "bold $warning",
    "NEXT INSPECTION": "bold $secondary",
    "INFORMATION": "bold",
}
"""Colour repeats the words of urgency, it never replaces them."""

EDGE = 17
"""Cells of the left edge, where urgency stands in words."""


def plain(text: str) -> Content:
    """Return text exactly as it reads, on as many lines as it has."""
    return Content(show_safely(text))


def styled(text: str, style: str) -> Content:
    """Return text in one style, on one line."""
    return Content.styled(show_safely(text, keep_lines=False), style)


def row(edge: str, text: str, right: str, *, below: str, width: int, is_current: bool) -> Content:
    """Return a two-line row of at most `width` cells: edge, text, a word at the right, and the reason below.

    The current row carries a `>`, so that it is seen without colour.
    """
    mark = styled("> " if is_current else "  ", "bold $accent")
    side = styled(right, "dim")
    room = max(width - 2 - EDGE - side.cell_length - 2, 10)
    title = _fitted(styled(text, "bold" if is_current else ""), room)
    gap = " " * max(room - title.cell_length + 2, 1)
    edge_text = styled(f"{edge:<{EDGE}}", URGENCY_STYLES.get(edge, "dim"))
    reason = _fitted(styled(below, "dim"), max(width - 2 - EDGE, 10))
    return Content.assemble(mark, edge_text, title, gap, side, "\n", " " * (EDGE + 2), reason)


def _fitted(content: Content, width: int) -> Content:
    return content if content.cell_length <= width else content.truncate(width, ellipsis=True)
