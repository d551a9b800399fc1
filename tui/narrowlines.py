"""Draws the lines of a narrowing: hazards, shares as bars, reasons, the next step. Only how it looks."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.content import Content

from kb.narrow.words import percent
from kb.narrowed import Narrowed
from kb.narrowtelling import Step, bar, fit_line, hazard_line, leading, none_of_these, why
from tui.literal import URGENCY_STYLES, plain, styled

if TYPE_CHECKING:
    from kb.narrow.records import Standing

SHARE = 11
"""Cells of the left edge, where the share stands."""


def first_lines(narrowed: Narrowed, width: int) -> Content:
    """Return what comes before anything else, a line each: up to two hazards, then whether anything fits."""
    hazards = narrowed.verdict.hazards
    lines = []
    for number, hazard in enumerate(hazards[:2]):
        mark = styled("BEFORE FLIGHT  ", URGENCY_STYLES["BEFORE FLIGHT"])
        more = f"  and {len(hazards) - 2} more" if number == 1 and len(hazards) > 2 else ""
        text = styled(hazard_line(hazard), "bold")
        room = max(width - mark.cell_length - len(more), 10)
        lines.append(Content.assemble(mark, text.truncate(room, ellipsis=True), styled(more, "bold")))
    lines.append(styled(fit_line(narrowed), "bold $warning" if narrowed.verdict.nothing_fits else ""))
    return Content("\n").join(lines)


def share_bar(standing: Standing, scale: int, urgency: str) -> Content:
    """Return the share in per cent and as a bar of which `scale` cells are the whole."""
    drawn = bar(standing.share, scale)
    edge = styled(f"{percent(standing.share):<{SHARE}}", "bold")
    return Content.assemble(edge, styled(drawn, URGENCY_STYLES.get(urgency, "$accent")), " " * (scale + 1 - len(drawn)))


def none_row(narrowed: Narrowed, scale: int, limit: int) -> Content:
    """Return the row of the causes no page names, with what the causes hold that are not among the first `limit`."""
    none = none_of_these(narrowed)
    left, share = leading(narrowed, limit)[1:]
    rest = f"   {left} more: {percent(share)}" if left else ""
    said = styled("none of these", "bold" if narrowed.verdict.nothing_fits else "")
    return Content.assemble(share_bar(none, scale, ""), said, styled(rest, "dim"))


def why_lines(standing: Standing) -> Content:
    """Return a cause whole, with what speaks for and against it and what it would still show."""
    lines = [Content.assemble(styled(f"{standing.words}: ", "bold"), styled(standing.candidate.text, ""))]
    lines += [Content.assemble(styled(f"{word} ", "bold"), styled(text, "")) for word, text in why(standing)]
    lines.append(styled(f"page: {standing.candidate.title}", "dim"))
    return Content("\n").join(lines)


def next_lines(offered: list[Step], place: int) -> Content:
    """Return the step at `place`: what to ask, what to do, how much it tells."""
    if not offered:
        return plain("There is nothing left to look at that would tell these causes apart.")
    step = offered[place]
    word = "Look next" if step.is_look else "Ask whoever was there"
    lines = [
        Content.assemble(
            styled(f"{word} ({step.head})", "bold $accent"),
            styled(f"  {place + 1} of {len(offered)}  {step.tells}", "dim"),
        ),
        Content.assemble(styled("Is it so? ", "bold $accent"), styled(step.question, "bold")),
        *([styled(f"m measures: limit {step.limit}", "$accent")] if step.limit else []),
        *([styled(step.act, "")] if step.act else []),
        *(styled(lead, "dim") for lead in step.leads),
    ]
    return Content("\n").join(lines)
