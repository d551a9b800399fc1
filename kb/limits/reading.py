"""Reads what a person types for one input: fractions, units, pairs; every refusal names the input and its range."""

from __future__ import annotations

import math
import re

from kb.display import show_safely
from kb.limits.model import Input, LimitInputProblem, Pairs
from kb.limits.plain_units import plain_convert
from kb.limits.units import UNITS, fold_unit, folded_unit_names, say, unit_names, unit_registry

_NUMBER = r"[+-]?(?:\d{1,3}(?:,\d{3})+(?:\.\d*)?|\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?"
_AMOUNT = re.compile(
    r"\s*(?:(?P<whole>[+-]?\d+)(?:\s*-\s*|\s+))?(?P<top>[+-]?\d+)\s*/\s*(?P<bottom>\d+)(?P<unit>(?!\d).*)"
    rf"|\s*(?P<number>{_NUMBER})(?P<rest>.*)",
    re.DOTALL | re.ASCII,
)
_LONGEST = 60

PAIRED_RANGE = (-1000.0, 1000.0)
MOST_PAIRS = 40


def read_number(item: Input, typed: str) -> tuple[float, str]:
    """Return the value in the input's unit, and a note when a unit was supposed.

    Raises:
        LimitInputProblem: One sentence naming the input and its range.
    """
    text = typed.strip()
    match = _AMOUNT.fullmatch(text) if text and len(text) <= _LONGEST else None
    if match is None:
        raise LimitInputProblem(item.name, f"{_quoted(typed)} is not a number; {range_of(item)}")
    value, unit = _value_and_unit(match)
    note = ""
    if not unit:
        note = f"no unit was given; read as {UNITS[item.unit].shown}" if item.unit else ""
    else:
        value = _converted(item, value, unit, typed)
    _check_range(item, value, typed)
    return value, note


def read_pairs(item: Input, typed: str) -> tuple[Pairs, str]:
    """Return pairs typed as `170@16, 83 lb @ 22 in`, each in the input's two units, and a note on supposed units.

    Raises:
        LimitInputProblem: One sentence naming the input and its form or range.
    """
    second = Input(item.name, item.help, item.paired_unit or "", *PAIRED_RANGE)
    pairs: list[tuple[float, float]] = []
    notes: set[str] = set()
    pieces = [piece for piece in re.split(r"[,;]", typed) if piece.strip()]
    if not 1 <= len(pieces) <= MOST_PAIRS:
        raise LimitInputProblem(item.name, f"{_quoted(typed)} holds no pair, or too many; {range_of(item)}")
    for piece in pieces:
        sides = piece.split("@")
        if len(sides) != 2:
            raise LimitInputProblem(item.name, f"{_quoted(piece)} is no pair; {range_of(item)}")
        (first, note), (other, other_note) = read_number(item, sides[0]), read_number(second, sides[1])
        pairs.append((first, other))
        notes |= {note, other_note} - {""}
    return tuple(pairs), "; ".join(sorted(notes))


def range_of(item: Input) -> str:
    """Say what the input takes: its choices, or its range with the unit."""
    if item.choices:
        return f"give one of: {', '.join(item.choices)}"
    if item.paired_unit is not None and not item.choices:
        first, second = UNITS[item.unit].shown, UNITS[item.paired_unit].shown
        return f"give pairs as {first}@{second}, parted by commas without commas in the numbers: 170@16, 83@22"
    kind = "a whole number" if item.whole else "a value"
    if item.lowest is None or item.highest is None:
        return f"give {kind} in {UNITS[item.unit].shown}" if item.unit else f"give {kind}"
    return f"give {kind} from {say(item.lowest, '')} to {say(item.highest, item.unit)}"


def _value_and_unit(match: re.Match[str]) -> tuple[float, str]:
    if match["top"] is None:
        return float(match["number"].replace(",", "")), match["rest"].strip()
    bottom = int(match["bottom"])
    value = int(match["top"]) / bottom if bottom else math.nan
    if match["whole"] is not None:
        whole = int(match["whole"])
        value = whole - value if match["whole"].startswith("-") else whole + value
    return value, match["unit"].strip()


def _converted(item: Input, value: float, unit: str, typed: str) -> float:
    name = _known_name(unit)
    if name == item.unit or (name is not None and UNITS[name].pint == UNITS[item.unit].pint):
        return value
    plain = plain_convert(value, name if name is not None else unit, item.unit)
    if plain is not None:
        return plain
    try:
        text = UNITS[name].pint if name is not None else _as_pint(unit)
        return float(unit_registry().Quantity(value, text).to(UNITS[item.unit].pint).magnitude)
    except Exception as error:  # pint and its parser raise many kinds; each means the unit does not fit
        raise LimitInputProblem(item.name, f"{_quoted(typed)} does not fit; {range_of(item)}") from error


def _known_name(unit: str) -> str | None:
    return unit_names().get(unit) or folded_unit_names().get(fold_unit(unit))


def _as_pint(unit: str) -> str:
    for typed, plain in (("°", "deg"), ("·", "*"), ("^", "**"), ("²", "**2"), ("μ", "u"), ("µ", "u")):
        unit = unit.replace(typed, plain)
    if not re.fullmatch(r"[A-Za-z][A-Za-z0-9*/ ]*", unit) or re.search(r"\*\*\s*\d{2}", unit):
        raise ValueError(unit)
    return unit if "*" in unit or "/" in unit else unit.replace(" ", "*")


def _check_range(item: Input, value: float, typed: str) -> None:
    if not math.isfinite(value):
        raise LimitInputProblem(item.name, f"{_quoted(typed)} is not a finite number; {range_of(item)}")
    too_low = item.lowest is not None and value < item.lowest - 1e-9 * abs(item.lowest)
    too_high = item.highest is not None and value > item.highest + 1e-9 * abs(item.highest)
    if too_low or too_high:
        raise LimitInputProblem(item.name, f"{_quoted(typed)} is out of range; {range_of(item)}")
    if item.whole and value != int(value):
        raise LimitInputProblem(item.name, f"{_quoted(typed)} is not a whole number; {range_of(item)}")


def _quoted(typed: str) -> str:
    shown = show_safely(typed[:_LONGEST], keep_lines=False)
    return f"'{shown}{'…' if len(typed) > _LONGEST else ''}'" if typed.strip() else "nothing"
