"""Keeps the rows of a file that were refused in a table beside it, with the reason, so that they can be put right."""

from __future__ import annotations

import codecs
import csv
from collections.abc import Iterable, Iterator
from contextlib import ExitStack, contextmanager
from itertools import count
from pathlib import Path
from typing import Any

from kb.exchange.form import guard
from kb.exchange.judging import Trouble
from kb.exchange.table import REFUSED, Table
from kb.exchange.writing import written_whole


class RefusedRows:
    """A table of refused rows: their cells as they were, each guarded, which an import of it takes back.

    The file is begun with the first of them and gets its name when it is whole.
    """

    def __init__(self, table: Table, target: Path | None) -> None:
        self.count = 0
        self.path: Path | None = None
        self._table, self._target = table, target
        self._files = ExitStack()
        self._rows: Any = None

    def add(self, refused: Iterable[tuple[Trouble, list[str]]]) -> None:
        """Write rows down.

        Raises:
            NotWritten: the disk is full or the folder cannot be written.
        """
        for trouble, cells in refused:
            if not self._rows:
                self._begin()
            why = f"{trouble.column}: {trouble.text}" if trouble.column else trouble.text
            self._rows.writerow([trouble.row, guard(why), *map(guard, cells)])
            self.count += 1

    def _begin(self) -> None:
        self.path = self._target or free_name(self._table.path)
        file = self._files.enter_context(written_whole(self.path))
        self._rows = csv.writer(codecs.getwriter("utf-8")(file))
        self._rows.writerow([*REFUSED, *map(guard, self._table.headers)])


@contextmanager
def kept_aside(table: Table, target: Path | None) -> Iterator[RefusedRows]:
    """Give the table of refused rows; it is there at the end, but not when the import ends early."""
    rows = RefusedRows(table, target)
    with rows._files:
        yield rows


def free_name(source: Path) -> Path:
    """Return a name beside a file that no other refused rows have."""
    names = (source.with_name(f"{source.name}.refused{f'-{n}' if n > 1 else ''}.csv") for n in count(1))
    return next(name for name in names if not name.exists())
