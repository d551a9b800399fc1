"""The only place that writes to standard output; notes and errors go to standard error. All text is made safe here."""

from __future__ import annotations

import json
import shutil
import sys
import textwrap
from typing import Any

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
