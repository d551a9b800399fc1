"""Turns a row of a table into what a finding is to say, or into one sentence for what is wrong with it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from functools import lru_cache, partial
from typing import Any, Protocol

import msgspec

from kb.content import checked
from kb.errors import KbError, NotFound, UsageProblem
from kb.exchange.cells import Order, Systems, read_day, read_number, read_state
from kb.exchange.columns import Guess
from kb.exchange.form import CONTENT, finding_in, finding_of, values_of
from kb.exchange.table import JSON_LINE, Table
from kb.model import Content, Finding, State
from kb.store import Store

REMEMBERED = 1_000
"""Days whose reading is remembered: rows of one day stand together."""


class Trouble(msgspec.Struct, frozen=True):
    """Why a row cannot be kept: its number in the file, the column, and what is wrong and to be done."""

    row: int
    column: str | None
    text: str

    def __str__(self) -> str:
        where = f", {self.column}" if self.column else ""
        return f"row {self.row}{where}: {self.text}"


class Judge(Protocol):
    """Says what a row is to become."""

    unknown_systems: Counter[str]

    def judge(self, number: int, cells: list[str]) -> Content | Finding | Trouble:
        """Return content for a new finding, a finding that has its ids already, or what is wrong."""


class ShopRows:
    """Judges rows of a shop's own table by the columns guessed; reads nothing from the store row by row."""

    def __init__(
        self,
        store: Store,
        table: Table,
        guesses: Sequence[Guess],
        *,
        airframe: str | None,
        state: State | None,
        order: Order | None,
        who: str | None,
    ) -> None:
        self.unknown_systems: Counter[str] = Counter()
        self._store, self._today, self._width = store, store.today(), len(table.headers)
        self._places = {guess.field: [table.headers.index(header) for header in guess.headers] for guess in guesses}
        self._header = {guess.field: " + ".join(guess.headers) for guess in guesses}
        self._instead = {"airframe": airframe, "state": state or "open", "who": who, "shop": store.shop()}
        self._systems = Systems(store.entries.systems())
        factor = next((guess.factor for guess in guesses if guess.field == "minutes"), 1)
        self._read: dict[str, Callable[[str], Any]] = {
            "found": lru_cache(REMEMBERED)(partial(read_day, order=order)),
            "hours": read_number,
            "minutes": lambda cell: read_number(cell) * factor,
            "state": read_state,
        }

    def judge(self, number: int, cells: list[str]) -> Content | Finding | Trouble:
        if len(cells) > self._width and any(map(str.strip, cells[self._width :])):
            text = f"has {len(cells)} cells where the header has {self._width}; put text that holds commas in quotes"
            return Trouble(number, None, text)
        said: dict[str, Any] = {}
        for field, places in self._places.items():
            parts = [part for place in places if place < len(cells) and (part := cells[place].strip())]
            if not parts:
                continue
            cell = "\n".join(parts)
            try:
                said[field] = self._read[field](cell) if field in self._read else cell
            except UsageProblem as error:
                return Trouble(number, self._header[field], str(error))
        system = self._system(said.pop("system", None))
        values = {"text": None} | self._instead | said
        try:
            return Content(**checked(values, self._store, today=self._today), system=system)
        except KbError as error:
            return self._blamed(number, values, error)

    def _system(self, cell: str | None) -> str | None:
        if cell is None:
            return None
        if not (system := self._systems.find(cell)):
            self.unknown_systems[cell[:40]] += 1
        return system

    def _blamed(self, number: int, values: Mapping[str, Any], error: KbError) -> Trouble:
        """Return the trouble with the column it is in."""
        for field, value in values.items():
            try:
                checked({field: value}, self._store)
            except KbError as alone:
                return Trouble(number, self._header.get(field), str(alone))
        return Trouble(number, None, str(error))


class OwnRows:
    """Judges rows that oddfix wrote: they keep their ids; a row without an id is a new finding."""

    def __init__(self, store: Store, table: Table, *, who: str | None) -> None:
        self.unknown_systems: Counter[str] = Counter()
        self._store, self._headers, self._who = store, table.headers, who
        self._is_json = table.headers == (JSON_LINE,)

    def judge(self, number: int, cells: list[str]) -> Content | Finding | Trouble:
        try:
            if self._is_json:
                return finding_in(cells[0])
            named = dict.fromkeys(self._headers, "") | dict(zip(self._headers, cells, strict=False))
            if len(cells) > len(self._headers) and any(cells[len(self._headers) :]):
                raise UsageProblem("has more cells than the header")
            return finding_of(named) if named["id"].strip() or named["revision"].strip() else self._new(named)
        except (UsageProblem, NotFound) as error:
            return Trouble(number, None, str(error))

    def _new(self, named: Mapping[str, str]) -> Content:
        values = {"text": None, "airframe": None, "who": self._who, "shop": self._store.shop()} | values_of(named)
        return content_of(checked(values, self._store))


def content_of(values: Mapping[str, Any]) -> Content:
    """Return content of checked values.

    Raises:
        UsageProblem: one is of no use there, such as a state there is not.
    """
    try:
        return msgspec.convert({name: value for name, value in values.items() if value is not None}, Content)
    except msgspec.ValidationError as error:
        raise UsageProblem(f"a value is not as oddfix keeps it ({error})") from None


def content_in(finding: Content) -> dict[str, Any]:
    """Return the fields of content of a finding or revision."""
    return {name: getattr(finding, name) for name in CONTENT}
