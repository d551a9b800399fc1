"""The findings: every change is a new revision, none is ever changed or removed."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, datetime
from typing import Any

import msgspec

from kb.ids import new_id
from kb.model import Finding, State
from kb.store.file import StoreFile

_FINDINGS = "SELECT number, finding, airframe, system, text, state, entries, action, cause, who, made FROM"


class FindingRow(msgspec.Struct, frozen=True):
    """A finding as stored, with the number of its latest revision; numbers only ever grow."""

    number: int
    finding: Finding


class FindingTable:
    """Adds findings and reads their latest revisions."""

    def __init__(self, file: StoreFile) -> None:
        self._file = file

    def add(
        self,
        *,
        airframe: str,
        text: str,
        system: str | None = None,
        entries: Iterable[str] = (),
        action: str | None = None,
        cause: str | None = None,
        state: State = "open",
        who: str | None = None,
    ) -> FindingRow:
        """Keep a new finding as its first revision, one transaction, and return it as stored."""
        identifier = new_id()
        revision = {
            "id": identifier,
            "finding": identifier,
            "previous": None,
            "airframe": airframe,
            "system": system,
            "text": text,
            "state": state,
            "entries": msgspec.json.encode(tuple(entries)).decode(),
            "action": action,
            "cause": cause,
            "who": who,
            "made": self._file.now(),
        }
        with self._file.writing() as db:
            number = db.table("finding_revisions").insert(revision).last_rowid
            row = db.conn.execute(f"{_FINDINGS} finding_revisions WHERE number = ?", (number,)).fetchone()
        return _finding_row(row)

    def all(self, *, airframe: str | None = None) -> list[FindingRow]:
        """Return the latest revision of each finding, newest finding first; of one airframe if named (case ignored)."""
        where, values = ("WHERE airframe = ? COLLATE NOCASE", (airframe,)) if airframe else ("", ())
        with self._file.reading() as db:
            rows = db.execute(f"{_FINDINGS} findings {where} ORDER BY finding DESC", values).fetchall()
        return [_finding_row(row) for row in rows]

    def ending(self, suffix: str) -> list[Finding]:
        """Return the findings whose id ends in `suffix`, as people type it."""
        with self._file.reading() as db:
            rows = db.execute(
                f"{_FINDINGS} findings WHERE substr(finding, -?) = ? ORDER BY finding", (len(suffix), suffix)
            ).fetchall()
        return [_finding_row(row).finding for row in rows]

    def searched(self, *, up_to: int) -> list[tuple[int, str, str | None, str]]:
        """Return number, text, action and airframe of the latest revisions numbered up to `up_to`, by number."""
        with self._file.reading() as db:
            return db.execute(
                "SELECT number, text, action, airframe FROM findings WHERE number <= ? ORDER BY number", (up_to,)
            ).fetchall()

    def since(self, number: int) -> list[FindingRow]:
        """Return the findings whose latest revision has a number above `number`, by number."""
        with self._file.reading() as db:
            rows = db.execute(f"{_FINDINGS} findings WHERE number > ? ORDER BY number", (number,)).fetchall()
        return [_finding_row(row) for row in rows]

    def numbered(self, numbers: Iterable[int]) -> dict[int, Finding]:
        """Return the findings whose latest revision has one of these numbers; absent or outdated ones left out."""
        found: dict[int, Finding] = {}
        with self._file.reading() as db:
            for number in numbers:
                row = db.execute(f"{_FINDINGS} findings WHERE number = ?", (number,)).fetchone()
                if row:
                    found[number] = _finding_row(row).finding
        return found

    def replaced(self, *, up_to: int) -> list[int]:
        """Return the numbers, up to `up_to`, of revisions that one with a greater number has replaced."""
        with self._file.reading() as db:
            rows = db.execute(
                "SELECT number FROM finding_revisions WHERE number <= :up_to AND finding IN"
                " (SELECT finding FROM finding_revisions WHERE number > :up_to)",
                {"up_to": up_to},
            ).fetchall()
        return [int(number) for (number,) in rows]

    def chosen(self, *, system: str | None = None, state: str | None = None, airframe: str | None = None) -> list[int]:
        """Return the numbers of the latest revisions that have all the values named, rising."""
        named = {"system": system, "state": state, "airframe": airframe}
        values = {name: value for name, value in named.items() if value is not None}
        where = " AND ".join(f"{name} = :{name} COLLATE NOCASE" for name in values) or "1"
        with self._file.reading() as db:
            rows = db.execute(f"SELECT number FROM findings WHERE {where} ORDER BY number", values).fetchall()
        return [int(number) for (number,) in rows]

    def tallies(self) -> dict[str, int]:
        """Return how many findings have each confirmed cause, named `page/cause`."""
        with self._file.reading() as db:
            rows = db.execute("SELECT cause, count(*) FROM findings WHERE cause IS NOT NULL GROUP BY cause").fetchall()
        return {str(cause): int(count) for cause, count in rows}

    def last_number(self) -> int:
        """Return the number of the newest revision; 0 when there is none."""
        with self._file.reading() as db:
            return int(db.execute("SELECT coalesce(max(number), 0) FROM finding_revisions").fetchone()[0])

    def count(self) -> int:
        """Return how many findings there are."""
        with self._file.reading() as db:
            return int(db.execute("SELECT count(DISTINCT finding) FROM finding_revisions").fetchone()[0])

    def airframes(self) -> list[str]:
        """Return the airframes that have findings, by name."""
        with self._file.reading() as db:
            return [row[0] for row in db.execute("SELECT DISTINCT airframe FROM findings ORDER BY 1 COLLATE NOCASE")]


def _finding_row(row: tuple[Any, ...]) -> FindingRow:
    number, finding, airframe, system, text, state, entries, action, cause, who, made = row
    return FindingRow(
        number,
        Finding(
            id=finding,
            airframe=airframe,
            text=text,
            created=_time_of(finding),
            revised=made,
            state=state,
            system=system,
            entries=tuple(msgspec.json.decode(entries)),
            action=action,
            cause=cause,
            who=who,
        ),
    )


def _time_of(identifier: str) -> str:
    """Return the time inside a UUIDv7, UTC, ISO 8601 to the second."""
    milliseconds = int(identifier.replace("-", "")[:12], 16)
    return datetime.fromtimestamp(milliseconds // 1000, UTC).isoformat().replace("+00:00", "Z")
