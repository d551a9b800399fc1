"""Looks a value up in a printed table: the row of a size, the next row; never past its ends."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TypeVar

from kb.limits.model import compare

Row = TypeVar("Row")


def row_of(rows: Mapping[float, Row], size: float, *, within: float = 0.001) -> Row | None:
    """Return the row whose size is nearest, if it is no more than `within` away (the sizes' unit); else None.

    `within` is for sizes typed with fewer figures than the table has (0.188 for 3/16), not for sizes between rows.
    """
    nearest = min(rows, key=lambda row: abs(row - size))
    return rows[nearest] if compare(abs(nearest - size), within) <= 0 else None


def next_up(rows: Mapping[float, Row], value: float) -> tuple[float, Row] | None:
    """Return the first size not under `value`, with its row; None past the last."""
    sizes = sorted(size for size in rows if compare(size, value) >= 0)
    return (sizes[0], rows[sizes[0]]) if sizes else None


def next_down(rows: Mapping[float, Row], value: float) -> tuple[float, Row] | None:
    """Return the last size not over `value`, with its row; None before the first."""
    sizes = sorted(size for size in rows if compare(size, value) <= 0)
    return (sizes[-1], rows[sizes[-1]]) if sizes else None
