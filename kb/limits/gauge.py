"""Draws measured against limit on one line of plain text; says which piece may take which colour. Pure."""

from __future__ import annotations

import math
from typing import Literal

from msgspec import Struct

from kb.limits.model import NOTHING, Gauge, Ruling, Verdict, compare
from kb.limits.units import say

Tone = Literal["quiet", "limit", "within", "at", "beyond"]

NARROWEST = 44
"""Terminal cells below which labels would run into one another."""


class Piece(Struct, frozen=True):
    """A run of the drawing with one tone; the verdict's word stands beside the drawing, so colour only repeats it."""

    text: str
    tone: Tone


def gauge_of(ruling: Ruling) -> Gauge | None:
    """Return what to draw for a ruling, or None when it has no required number to draw."""
    if ruling.required is None or ruling.verdict == "not-covered":
        return None
    values = [ruling.required] + ([ruling.measured] if ruling.measured is not None else [])
    low, high = ruling.scale or (min(0.0, *values), _round_up(1.15 * max(values)))
    if compare(low, high) >= 0:
        low, high = low - 1.0, low + 1.0
    return Gauge(low, high, ruling.required, ruling.measured, ruling.unit, ruling.verdict, ruling.scale_end)


def draw(gauge: Gauge, width: int = 64) -> str:
    """Return the drawing as one line of exactly `width` terminal cells (`NARROWEST` at least).

    >>> draw(Gauge(0, 80, 46, 51, "lb/in", "within", "new"), 64)
    '0 ──────────────────────────┤46├●51──────────────── 80 lb/in new'
    """
    return "".join(piece.text for piece in draw_pieces(gauge, width))


def draw_pieces(gauge: Gauge, width: int = 64) -> tuple[Piece, ...]:
    """Return the drawing in pieces, left to right; joined they are `draw`. Values off the scale carry » or «."""
    width = max(width, NARROWEST)
    left = f"{say(gauge.low, '')} "
    right = f" {say(gauge.high, gauge.unit)}{' ' if gauge.end_word else ''}{gauge.end_word}"
    room = width - len(left) - len(right)
    marks = _marks(gauge)
    if room < max(24, sum(len(text) for _, text, _ in marks)):
        left, right, room = "", "", width
    pieces = [Piece(left, "quiet")]
    position = 0
    for start, text, tone in _in_order(gauge, marks, room):
        pieces += [Piece("─" * (start - position), "quiet"), Piece(text, tone)]
        position = start + len(text)
    pieces += [Piece("─" * (room - position), "quiet"), Piece(right, "quiet")]
    return tuple(piece for piece in pieces if piece.text)


def _marks(gauge: Gauge) -> list[tuple[float, str, Tone]]:
    """Return value, text and tone of limit and measured, in the order of the values; equal values, the limit first."""
    marks: list[tuple[float, str, Tone]] = [(gauge.limit, f"┤{say(gauge.limit, '')}├", "limit")]
    if gauge.measured is not None:
        off = "»" if compare(gauge.measured, gauge.high) > 0 else "«" if compare(gauge.measured, gauge.low) < 0 else ""
        label = f"{off}●{say(gauge.measured, '')}"
        order = compare(gauge.measured, gauge.limit)
        marks.insert(1 if order >= 0 else 0, (gauge.measured, label, _tone(gauge.verdict)))
    return marks


def _in_order(gauge: Gauge, marks: list[tuple[float, str, Tone]], room: int) -> list[tuple[int, str, Tone]]:
    """Return start cell, text and tone of each mark, moved apart so that the order of the values is always seen."""
    placed: list[tuple[int, str, Tone]] = []
    position = 0
    for value, text, tone in marks:
        share = (value - gauge.low) / (gauge.high - gauge.low)
        start = max(position, round(min(1.0, max(0.0, share)) * room) - len(text) // 2)
        placed.append((start, text, tone))
        position = start + len(text)
    return _pushed_back(placed, room)


def _pushed_back(marks: list[tuple[int, str, Tone]], room: int) -> list[tuple[int, str, Tone]]:
    end = room
    pushed: list[tuple[int, str, Tone]] = []
    for start, text, tone in reversed(marks):
        start = max(0, min(start, end - len(text)))
        pushed.insert(0, (start, text, tone))
        end = start
    return pushed


def _round_up(value: float) -> float:
    """Return the next round figure for the end of a scale; 1 for nothing, next to nothing, and below."""
    if value <= NOTHING:
        return 1.0
    step = 10.0 ** math.floor(math.log10(value))
    rounds = (1, 1.2, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10, 12)
    return float(f"{next(item for item in rounds if item * step >= value) * step:.6g}")


def _tone(verdict: Verdict) -> Tone:
    return verdict if verdict in ("within", "at", "beyond") else "quiet"
