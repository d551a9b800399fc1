"""The only place that writes to standard output; notes and errors go to standard error. All text is made safe here."""

from __future__ import annotations

import json
import os
import shutil
import sys
import textwrap
from collections.abc import Iterable
from typing import Any, BinaryIO

import msgspec

from kb.display import show_safely

WIDEST = 96
"""Columns of printed text at most; longer lines are hard to read."""


def width() -> int:
    """Return the columns to print in: those of the terminal, between 40 and WIDEST; 80 where there is none."""
    return max(40, min(shutil.get_terminal_size((80, 24)).columns, WIDEST))


def data(text: str = "") -> None:
    """Print a line of the answer."""
    sys.stdout.write(show_safely(text) + "\n")


def note(text: str) -> None:
    """Print a line that is not part of the answer."""
    sys.stderr.write(show_safely(text) + "\n")


_COLOURS = {"within": "32", "at": "33", "beyond": "31", "limit": "1", "quiet": "2"}
"""Terminal codes by tone; the words beside them say the same."""


def has_colour() -> bool:
    """True in a terminal that can show colour and whose user has not asked for none (NO_COLOR)."""
    return sys.stdout.isatty() and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"


def pieces(toned: Iterable[tuple[str, str]]) -> None:
    """Print one line made of texts with their tones, coloured where the terminal may be."""
    coloured = has_colour()
    for text, tone in toned:
        shown = show_safely(text, keep_lines=False)
        sys.stdout.write(f"\x1b[{_COLOURS[tone]}m{shown}\x1b[0m" if coloured and tone in _COLOURS else shown)
    sys.stdout.write("\n")


def cells(rows: Iterable[Iterable[tuple[str, str]]]) -> None:
    """Print rows of half-block characters, each with the colours #rrggbb of its upper and its lower half."""
    code = _true_colour if os.environ.get("COLORTERM") in ("truecolor", "24bit") else _nearest_of_256
    for row in rows:
        drawn = (f"\x1b[38;{code(upper)};48;{code(lower)}m▀" for upper, lower in row)
        sys.stdout.write("".join(drawn) + "\x1b[0m\n")


def _true_colour(colour: str) -> str:
    return "2;" + ";".join(str(part) for part in bytes.fromhex(colour[1:]))


def _nearest_of_256(colour: str) -> str:
    # A cube of six steps each stands behind the first sixteen. Source: xterm, 256colres.h, from memory.
    red, green, blue = (round(part / 255 * 5) for part in bytes.fromhex(colour[1:]))
    return f"5;{16 + 36 * red + 6 * green + blue}"


def progress(text: str) -> None:
    """Show how far long work has come, on one line of a terminal's standard error, wiped by an empty text."""
    if sys.stderr.isatty():
        sys.stderr.write(f"\r{show_safely(text, keep_lines=False):<{width() - 1}}" + ("" if text else "\r"))
        sys.stderr.flush()


def raw() -> BinaryIO:
    """Return standard output for bytes that another program reads; never for a terminal, since nothing is made safe."""
    return sys.stdout.buffer


def as_json(value: Any) -> None:
    """Print records as one JSON value; ASCII only, so that no terminal can be driven by it."""
    sys.stdout.write(json.dumps(msgspec.to_builtins(value), indent=2, ensure_ascii=True) + "\n")


def wrapped(text: str, *, mark: str = "", indent: int = 0) -> None:
    """Print text in the width at hand, indented by `indent`, with `mark` standing at its left edge."""
    lead = f"{mark:<{indent}}" if len(mark) < indent else f"{mark}\n{'':<{indent}}" if mark else " " * indent
    first, *rest = (show_safely(text, keep_lines=False) and _wrap(text, width() - indent)) or [""]
    data(lead + first)
    for line in rest:
        data(" " * indent + line)


def _wrap(text: str, columns: int) -> list[str]:
    return textwrap.wrap(show_safely(text, keep_lines=False), max(columns, 20), break_on_hyphens=False)
