"""Writes the shop's findings as CSV or JSON Lines, one after another, so that they can be read back exactly."""

from __future__ import annotations

import codecs
import csv
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, nullcontext
from pathlib import Path
from typing import BinaryIO

import msgspec

from kb.errors import NotFound
from kb.exchange.form import FIELDS, cells_of
from kb.exchange.writing import written_whole
from kb.model import Finding, State
from kb.names import nearest_names
from kb.store import Store


class Exporting:
    """Findings as their latest revisions say, oldest first; withdrawn ones only when that state is asked for."""

    def __init__(self, store: Store) -> None:
        self._store = store

    def to_csv(
        self,
        target: Path | BinaryIO,
        *,
        airframe: str | None = None,
        state: State | None = None,
        system: str | None = None,
        overwrite: bool = False,
        bom: bool = False,
    ) -> int:
        """Write a table for spreadsheets and return how many findings stand in it.

        UTF-8; rows end as RFC 4180, section 2, says. A cell that a spreadsheet may take for a formula begins with an
        apostrophe, which an import takes off again.

        Args:
            target: a file, written whole or not at all, or a stream.
            bom: begin with a byte-order mark, which some spreadsheets need to see that it is UTF-8.

        Raises:
            NotFound: no finding is of this airframe; it names the nearest.
            UsageProblem: the file is there already, and `overwrite` was not said.
            NotWritten: the disk is full or the place cannot be written.
        """

        def write(stream: BinaryIO, findings: Iterator[Finding]) -> int:
            if bom:
                stream.write(codecs.BOM_UTF8)
            rows = csv.writer(codecs.getwriter("utf-8")(stream))
            rows.writerow(FIELDS)
            count = 0
            for count, finding in enumerate(findings, 1):  # noqa: B007 - the last one is how many
                rows.writerow(cells_of(finding))
            return count

        return self._write(target, write, overwrite=overwrite, airframe=airframe, state=state, system=system)

    def to_jsonl(
        self,
        target: Path | BinaryIO,
        *,
        airframe: str | None = None,
        state: State | None = None,
        system: str | None = None,
        overwrite: bool = False,
    ) -> int:
        """Write one finding a line, each a JSON object, and return how many; see to_csv."""

        def write(stream: BinaryIO, findings: Iterator[Finding]) -> int:
            count = 0
            for count, finding in enumerate(findings, 1):  # noqa: B007 - the last one is how many
                stream.write(msgspec.json.encode(finding) + b"\n")
            return count

        return self._write(target, write, overwrite=overwrite, airframe=airframe, state=state, system=system)

    def _write(
        self,
        target: Path | BinaryIO,
        write: Callable[[BinaryIO, Iterator[Finding]], int],
        *,
        overwrite: bool,
        airframe: str | None,
        state: State | None,
        system: str | None,
    ) -> int:
        if airframe and airframe.casefold() not in map(str.casefold, known := self._store.findings.airframes()):
            raise NotFound("airframe with findings", airframe, nearest_names(airframe, known))
        opened: AbstractContextManager[BinaryIO] = (
            written_whole(target, overwrite=overwrite) if isinstance(target, Path) else nullcontext(target)
        )
        with opened as stream:
            return write(stream, self._store.findings.each(airframe=airframe, state=state, system=system))
