"""What an import would do and what it did: the records both faces show."""

from __future__ import annotations

from pathlib import Path

import msgspec

from kb.exchange.cells import Order
from kb.exchange.columns import Guess
from kb.exchange.judging import Trouble
from kb.exchange.table import Table
from kb.model import Content, State


class Plan(msgspec.Struct, frozen=True, kw_only=True):
    """What an import of a file would do; nothing is written before it is run.

    Attributes:
        asks: what must be said before it can be run, each a sentence; the counts are 0 as long as any is left.
        rows: rows below the header that hold anything.
        done: rows that an import of the same file, stopped before its end, has done already.
        here: rows that the store has just so already.
        problems: the first few rows that would be refused.
        first: the first findings as they would be kept.
        notes: what else is to be known, such as how days were read.
    """

    table: Table
    columns: tuple[Guess, ...] = ()
    airframe: str | None = None
    state: State | None = None
    order: Order | None = None
    asks: tuple[str, ...] = ()
    rows: int = 0
    done: int = 0
    new: int = 0
    revised: int = 0
    here: int = 0
    bad: int = 0
    problems: tuple[Trouble, ...] = ()
    first: tuple[Content, ...] = ()
    notes: tuple[str, ...] = ()

    @property
    def unused(self) -> tuple[str, ...]:
        """The headers of columns that are left out."""
        used = {header for guess in self.columns for header in guess.headers}
        return () if self.table.is_own else tuple(name for name in self.table.headers if name not in used)

    @property
    def reading(self) -> str:
        """How the rows are read, as one text: a stopped import may go on only when it is the same."""
        said = {guess.field: guess.headers for guess in self.columns}
        return msgspec.json.encode([said, self.airframe, self.state, self.order]).decode()


class Progress(msgspec.Struct, frozen=True):
    """How far an import has come: rows done of all, rows a second, seconds left."""

    rows: int
    of: int
    rate: float
    left: float


class Imported(msgspec.Struct, frozen=True, kw_only=True):
    """What an import did; `refused_file` holds the rows that were refused, with the reason."""

    rows: int
    new: int
    revised: int
    here: int
    refused: int
    refused_file: Path | None
    seconds: float
