"""The findings as their latest revisions say; kb.store.revisions writes them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from typing import Any, Literal

import msgspec

from kb.ids import time_of
from kb.model import Content, Finding
from kb.store.file import StoreFile

CONTENT = Content.__struct_fields__
SEARCHED = ("text", "action", "airframe", "place", "part")
"""Fields whose words a search reads."""

MOST_CONFIRMED = 100
"""Confirmed findings of a page that are counted; more tell nothing more."""

LISTS = {"entries", "photos"}
"""Fields kept as JSON lists."""

_FIELDS = ("finding", "id", "said", "made", *CONTENT)
_FROM = "FROM latest AS l JOIN finding_revisions AS r ON r.number = l.number"
_COLUMNS = f"r.number, {', '.join(f'r.{name}' for name in _FIELDS)}"
_FINDINGS = f"SELECT {_COLUMNS} {_FROM}"

CountedBy = Literal["airframe", "system", "cause", "state", "year"]


class FindingRow(msgspec.Struct, frozen=True):
    """A finding as stored, with the number of its latest revision; numbers only ever grow."""

    number: int
    finding: Finding


class FindingTable:
    """Reads findings. Withdrawn ones are left out of lists, counts and search, never of `ending`."""

    def __init__(self, file: StoreFile) -> None:
        self._file = file

    def all(
        self, *, airframe: str | None = None, state: str | None = None, system: str | None = None, limit: int = -1
    ) -> list[FindingRow]:
        """Return findings that have all the values named (case of the airframe ignored), newest finding first."""
        where, values = _where(airframe=airframe, state=state, system=system)
        return self._rows(f"{where} ORDER BY l.finding DESC LIMIT :limit", values | {"limit": limit})

    def each(
        self, *, airframe: str | None = None, state: str | None = None, system: str | None = None
    ) -> Iterator[Finding]:
        """Give the findings that have all the values named, oldest first, one by one from one snapshot of the store."""
        where, values = _where(airframe=airframe, state=state, system=system)
        with self._file.reading() as db:
            for row in db.execute(f"{_FINDINGS} {where} ORDER BY l.finding", values):
                yield _finding_row(row).finding

    def open_by(
        self, urgencies: Sequence[str], *, airframe: str | None = None, limit: int = -1
    ) -> list[tuple[Finding, str | None]]:
        """Return open findings, each with the page of its pages that stands first in the order of `urgencies`.

        In that order too, those on no page last; the oldest first where it is the same.
        """
        where, values = _where(airframe=airframe, state="open")
        values |= {"urgencies": msgspec.json.encode(list(urgencies)).decode(), "limit": limit}
        with self._file.reading() as db:
            rows = db.execute(
                "WITH ranked AS MATERIALIZED (SELECT e.id AS page, u.key AS rank FROM entries AS e"
                " JOIN json_each(:urgencies) AS u ON u.value = json_extract(e.body, '$.urgency'))"
                f" SELECT min(p.rank), p.page, {_COLUMNS} {_FROM} LEFT JOIN json_each(r.entries) AS linked"
                f" LEFT JOIN ranked AS p ON p.page = linked.value {where}"
                " GROUP BY l.finding ORDER BY min(p.rank) IS NULL, min(p.rank), l.finding LIMIT :limit",
                values,
            ).fetchall()
        return [(_finding_row(row).finding, page) for _, page, *row in rows]

    def ending(self, suffix: str) -> list[Finding]:
        """Return the findings whose id ends in `suffix`, as people type it; withdrawn ones too."""
        handle = "substr(l.finding, -8) = substr(:suffix, -8) AND" if len(suffix) >= 8 else ""
        where = f"WHERE {handle} substr(l.finding, -length(:suffix)) = :suffix ORDER BY l.finding"
        return [row.finding for row in self._rows(where, {"suffix": suffix})]

    def searched(self, *, after: int, up_to: int) -> list[tuple[int, tuple[str | None, ...]]]:
        """Return number and SEARCHED fields of what was latest when revision `up_to` was kept, by number.

        Only of those numbered above `after`.
        """
        # What came after is left out of account: a store put back from a copy must find what that copy held.
        with self._file.reading() as db:
            rows = db.execute(
                f"SELECT number, {', '.join(SEARCHED)} FROM finding_revisions AS r WHERE number > :after"
                " AND number <= :up_to AND state <> 'withdrawn' AND NOT EXISTS (SELECT 1 FROM finding_revisions"
                " WHERE finding = r.finding AND id > r.id AND number <= :up_to) ORDER BY number",
                {"after": after, "up_to": up_to},
            )
            return [(row[0], row[1:]) for row in rows]

    def since(self, number: int) -> list[FindingRow]:
        """Return the findings whose latest revision has a number above `number`, by number."""
        return self._rows("WHERE l.number > :n AND l.state <> 'withdrawn' ORDER BY l.number", {"n": number})

    def numbered(self, numbers: Iterable[int]) -> dict[int, Finding]:
        """Return the findings whose latest revision has one of these numbers; absent or outdated ones left out."""
        wanted = msgspec.json.encode(list(numbers)).decode()
        where = "WHERE l.number IN (SELECT value FROM json_each(:numbers)) AND l.state <> 'withdrawn'"
        return {row.number: row.finding for row in self._rows(where, {"numbers": wanted})}

    def replaced(self, *, after: int, up_to: int) -> list[int]:
        """Return the numbers above `after` up to `up_to` that a later one, numbered above `up_to`, has replaced."""
        # CROSS JOIN keeps SQLite from going through all revisions up to the number: there may be a million of these.
        with self._file.reading() as db:
            rows = db.execute(
                "SELECT r.number FROM latest AS l CROSS JOIN finding_revisions AS r ON r.finding = l.finding"
                " WHERE l.number > :up_to AND r.number > :after AND r.number <= :up_to",
                {"after": after, "up_to": up_to},
            ).fetchall()
        return [int(number) for (number,) in rows]

    def chosen(self, *, system: str | None = None, state: str | None = None, airframe: str | None = None) -> list[int]:
        """Return the numbers of the latest revisions that have all the values named, rising."""
        where, values = _where(airframe=airframe, state=state, system=system)
        with self._file.reading() as db:
            rows = db.execute(f"SELECT l.number FROM latest AS l {where} ORDER BY l.number", values).fetchall()
        return [int(number) for (number,) in rows]

    def tallies(self, causes: Sequence[str]) -> dict[str, int]:
        """Return how many findings have each of these confirmed causes, named `page/cause`; none left out as 0."""
        with self._file.reading() as db:
            rows = db.execute(
                "SELECT cause, count(*) FROM latest WHERE cause IN (SELECT value FROM json_each(?))"
                " AND state <> 'withdrawn' GROUP BY cause",
                (msgspec.json.encode(list(causes)).decode(),),
            ).fetchall()
        return {str(cause): int(count) for cause, count in rows}

    def confirmed(self, pages: Sequence[str]) -> dict[str, int]:
        """Return how many findings have a confirmed cause of each of these pages, counted to MOST_CONFIRMED."""
        # The names of a page's causes lie together in the index: from PAGE/ to before PAGE0, the next character.
        with self._file.reading() as db:
            return {
                page: db.execute(
                    "SELECT count(*) FROM (SELECT 1 FROM latest WHERE cause >= ? AND cause < ?"
                    " AND state <> 'withdrawn' LIMIT ?)",
                    (f"{page}/", f"{page}0", MOST_CONFIRMED),
                ).fetchone()[0]
                for page in pages
            }

    def counts(
        self, by: CountedBy, *, airframe: str | None = None, state: str | None = None
    ) -> list[tuple[str | None, int]]:
        """Return each value with how many findings have it, most first; years rising."""
        where, values = _where(airframe=airframe, state=state)
        if by == "year":
            return self._years(where, values)
        with self._file.reading() as db:
            return db.execute(
                f"SELECT l.{by}, count(*) FROM latest AS l {where} GROUP BY l.{by} COLLATE NOCASE ORDER BY 2 DESC, 1",
                values,
            ).fetchall()

    def linked(self, *, airframe: str | None = None) -> list[tuple[str, int]]:
        """Return each page that findings are linked to with how many are, most first."""
        where, values = _where(airframe=airframe)
        with self._file.reading() as db:
            return db.execute(
                f"SELECT e.value, count(*) {_FROM}, json_each(r.entries) AS e {where} GROUP BY 1 ORDER BY 2 DESC, 1",
                values,
            ).fetchall()

    def first_linked(self, *, airframe: str | None = None) -> list[tuple[str | None, int]]:
        """Return each page that is the first one of findings with how many; None for those linked to none."""
        where, values = _where(airframe=airframe)
        with self._file.reading() as db:
            return db.execute(
                f"SELECT json_extract(r.entries, '$[0]'), count(*) {_FROM} {where} GROUP BY 1", values
            ).fetchall()

    def last_number(self) -> int:
        """Return the number of the newest revision; 0 when there is none."""
        with self._file.reading() as db:
            return int(db.execute("SELECT coalesce(max(number), 0) FROM finding_revisions").fetchone()[0])

    def mark_at(self, number: int) -> str:
        """Return a text that tells this history up to a revision from others: store, number and id of the revision.

        A store put back from a backup has a `generation` of its own: merging again what was merged after the backup
        may bring the same revision to the same number, behind others than before.
        """
        with self._file.reading() as db:
            about = db.execute("SELECT value FROM about WHERE name IN ('store', 'generation') ORDER BY name").fetchall()
            row = db.execute("SELECT id FROM finding_revisions WHERE number = ?", (number,)).fetchone()
        return "-".join([*(value for (value,) in about), str(number), str(row[0] if row else None)])

    def count(self) -> int:
        """Return how many findings there are, without those withdrawn."""
        with self._file.reading() as db:
            return int(db.execute("SELECT count(*) FROM latest WHERE state <> 'withdrawn'").fetchone()[0])

    def airframes(self) -> list[str]:
        """Return the airframes that have findings, by name; each once, whatever its letters' case."""
        # Steps from name to name through the index: as many steps as airframes, however many findings.
        with self._file.reading() as db:
            rows = db.execute(
                "WITH RECURSIVE step (name) AS (SELECT min(airframe COLLATE NOCASE) FROM latest UNION ALL"
                " SELECT (SELECT min(airframe COLLATE NOCASE) FROM latest WHERE airframe COLLATE NOCASE > step.name)"
                " FROM step WHERE step.name IS NOT NULL)"
                " SELECT name FROM step WHERE EXISTS (SELECT 1 FROM latest WHERE airframe = step.name COLLATE NOCASE"
                " AND state <> 'withdrawn')"
            ).fetchall()
        return [name for (name,) in rows]

    def _rows(self, where: str, values: dict[str, Any]) -> list[FindingRow]:
        with self._file.reading() as db:
            return [_finding_row(row) for row in db.execute(f"{_FINDINGS} {where}", values)]

    def _years(self, where: str, values: dict[str, Any]) -> list[tuple[str | None, int]]:
        # The first eight figures of a UUIDv7 are its time to the minute: few enough to be told apart outside SQL.
        with self._file.reading() as db:
            rows = db.execute(
                f"SELECT substr(r.found, 1, 4), substr(l.finding, 1, 8), count(*) {_FROM} {where} GROUP BY 1, 2", values
            ).fetchall()
        years: Counter[str] = Counter()
        for found, start, count in rows:
            years[found or time_of(f"{start}-0000")[:4]] += count
        return sorted(years.items())


def _where(**named: str | None) -> tuple[str, dict[str, Any]]:
    values = {name: value for name, value in named.items() if value is not None}
    # States are words of ours, and compared as they stand, an index finds them within an airframe.
    parts = [f"l.{name} = :{name}{'' if name == 'state' else ' COLLATE NOCASE'}" for name in values]
    if "state" not in values:
        parts.append("l.state <> 'withdrawn'")
    return f"WHERE {' AND '.join(parts)}", values


def _finding_row(row: Sequence[Any]) -> FindingRow:
    number, finding, revision, said, made, *content = row
    return FindingRow(
        number,
        Finding(
            id=finding, revision=revision, said=said, created=time_of(finding), revised=made, **content_of(content)
        ),
    )


def content_of(values: Iterable[Any]) -> dict[str, Any]:
    """Return the fields of a finding's content from the stored values in the order of CONTENT."""
    return {
        name: tuple(msgspec.json.decode(value)) if name in LISTS else value
        for name, value in zip(CONTENT, values, strict=True)
    }
