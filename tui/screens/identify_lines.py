"""The lines of the form of a key: the question, a choice, what stands below a candidate, the pairs to keep apart."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.content import Content

from kb.identified import minutes, span
from tui.literal import styled

if TYPE_CHECKING:
    from kb.identify import Identification
    from kb.identify.model import Apart, Measurement, NextLook, Standing

_RULES = ("must-not-be-mated", "must-not-be-mixed", "must-not-be-taken-for")
"""The rules of look-alikes, the most dangerous to break first."""


def question_lines(item: Measurement, look: NextLook | None) -> Content:
    """Return what is asked, its cautions, then how it is taken; `look` is the best next one, which this may be."""
    is_best = look is not None and look.measurement == item.id
    head = "Measure next" if is_best else "Measure"
    resort = ", last resort" if item.last else ""
    tells = f", tells {look.gain_bits:.1f} bits" if is_best and look else ""
    count = f", {len(item.choices)} choices" if item.choices else ""
    lines = [
        Content.assemble(
            styled(f"{head}: ", "$accent"),
            styled(item.title, "bold"),
            styled(f" ({minutes(item)}{resort}{tells}{count})", "dim"),
        ),
        *(Content.assemble(styled("BEWARE ", "bold $warning"), styled(text, "$warning")) for text in item.cautions),
        styled(item.how, ""),
    ]
    if not item.choices:
        lines.append(styled(f"Type a figure {span(item)}.", "dim"))
    return Content("\n").join(lines)


def nothing_asked(answer: Identification | None) -> Content:
    """Return why nothing is asked: nothing would tell, or what would was left out."""
    if answer is not None and answer.next is not None:
        return styled("All that would tell was left out; u takes the last back.", "bold")
    return styled("Nothing more to measure here divides what is left.", "bold")


def apart_lines(answer: Identification, *, lines: int, width: int) -> Content:
    """Show the pairs of which both may still be in hand first; what has no room is counted and named by its key."""
    standing = {one.title for one in answer.candidates if not one.contradicts}

    def pressing(pair: Apart) -> tuple[int, int]:
        return -len({pair.first, pair.second} & standing), _RULES.index(pair.rule)

    pairs = [*sorted(answer.look_alikes, key=pressing), *answer.cannot_tell]
    shown = pairs if len(pairs) <= lines else pairs[: lines - 1]
    drawn = [_pair(pair, width) for pair in shown]
    if len(shown) < len(pairs):
        drawn.append(styled(f"and {len(pairs) - len(shown)} more pairs to keep apart: w shows them", "dim"))
    return Content("\n").join(drawn)


def _pair(pair: Apart, width: int) -> Content:
    """Show a pair on one line: the rule whole, and as much of both names as there is room for."""
    rule_ = styled(f"{pair.rule.replace('-', ' ').upper()}  ", "bold $error")
    room = max(width - rule_.cell_length - 3, 20)
    first, second = styled(pair.first, ""), styled(pair.second, "")
    half = max(room // 2, room - second.cell_length)
    first = first.truncate(half, ellipsis=True) if first.cell_length > half else first
    rest = room - first.cell_length
    second = second.truncate(rest, ellipsis=True) if second.cell_length > rest else second
    return Content.assemble(rule_, first, " | ", second)


def choice_line(number: int, text: str, is_current: bool) -> Content:
    mark = styled("> " if is_current else "  ", "bold $accent")
    digit = f"{number + 1}  " if number < 9 else "   "
    return Content.assemble(mark, styled(digit, "$accent"), styled(text, "bold" if is_current else ""))


def why_line(one: Standing) -> str:
    """Return in short what fits, what contradicts and what is still open, by the names of the measurements."""
    sides = [
        ("against", [said.measurement for said in one.contradicts]),
        ("fits", [said.measurement for said in one.fits]),
        ("not known", [said.measurement for said in one.undecided]),
        ("still open", list(one.still) if not one.contradicts else []),
    ]
    said = [f"{word} {', '.join(names)}" for word, names in sides if names]
    sizes = [f"sizes {', '.join(one.sizes)}"] if one.sizes and one.fits else []
    return "; ".join([*said[:2], *sizes, *said[2:]])
