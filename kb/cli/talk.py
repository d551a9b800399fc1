"""Narrowing as a talk in a terminal: asks, takes an answer, shows what it did, until the person leaves."""

from __future__ import annotations

import re
import sys
from typing import TYPE_CHECKING

from kb.cli import output, standing
from kb.cli.limit import typed_inputs
from kb.errors import KbError
from kb.measured import measured_sign
from kb.narrowtelling import steps

if TYPE_CHECKING:
    from kb.desk import Desk
    from kb.limits.model import Result
    from kb.narrowed import Narrowed
    from kb.narrowtelling import Step

_ORDER = re.compile(r"(?:(\d{1,3})\s*)?([sxo]|m\b.*)")

_HELP = (
    "s seen, x not seen, o cannot look; with a number for another line, as in: 2 x\n"
    "m INPUT=VALUE ... answers by the limit named beside a line\n"
    "u takes the last one back, w says why for every cause, q leaves; all is kept"
)


def talk(desk: Desk, narrowed: Narrowed) -> Narrowed:
    """Take answers until the person leaves, keep each at once, and return the session as it then stands."""
    if narrowed.touched:
        desk.narrow.keep(narrowed)
    standing.brief(narrowed)
    output.note(_HELP)
    while (line := _read_line()) not in (None, "q"):
        try:
            moved = _obey(desk, narrowed, line or "")
        except KbError as error:
            output.note(str(error))
            continue
        if moved is None:
            continue
        if moved.touched or narrowed.touched:
            desk.narrow.keep(moved)
        narrowed = moved
        output.data()
        standing.brief(narrowed)
    return narrowed


def measure(desk: Desk, narrowed: Narrowed, measurement: str) -> tuple[Narrowed, Result]:
    """Return the session after one measurement as typed, `LIMIT INPUT=VALUE ...`, and its verdict."""
    name, *words = measurement.split() or [""]
    sign, limit = measured_sign(narrowed.case, name)
    return desk.narrow.measure(narrowed, sign.id, typed_inputs(desk.limits.get(limit.id), words))


def unsettled_line(before: Narrowed, after: Narrowed) -> str:
    """Return why a measurement settled nothing; empty when it did."""
    return "" if before.touched != after.touched else after.note.partition("\n")[0]


def _read_line() -> str | None:
    """Return what is typed, trimmed; an order in small letters, the values of a measurement as typed."""
    sys.stderr.write("> ")
    sys.stderr.flush()
    line = _typed()
    if not line:
        return None
    head, equals, tail = line.strip().partition("=")
    return f"{head.lower()}{equals}{tail}"


def _typed() -> str:
    return sys.stdin.readline()


def _obey(desk: Desk, narrowed: Narrowed, line: str) -> Narrowed | None:
    """Return the session after one typed line; None when nothing of it has changed."""
    if line == "u":
        return desk.narrow.undo(narrowed)
    if line == "w":
        standing.whole(narrowed)
        return None
    order = _ORDER.fullmatch(line)
    if order is None:
        output.note(_HELP)
        return None
    offered, number = steps(narrowed), int(order[1] or 1)
    if not 1 <= number <= len(offered):
        output.note(f"there is no line {number} to answer; u takes back, w says why, q leaves")
        return None
    step = offered[number - 1]
    if order[2].startswith("m"):
        return _measure(desk, narrowed, step, order[2][1:])
    if order[2] == "o":
        return desk.narrow.pass_over(narrowed, step.sign)
    return desk.narrow.answer(narrowed, step.sign, "seen" if order[2] == "s" else "not-seen")


def _measure(desk: Desk, narrowed: Narrowed, step: Step, typed: str) -> Narrowed:
    moved, result = measure(desk, narrowed, f"{step.sign} {typed}")
    output.data()
    standing.verdict(result, unsettled_line(narrowed, moved))
    return moved
