"""Takes a shop's own table into the store: first a plan that writes nothing, then batch after batch in one act."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from itertools import islice
from pathlib import Path

import msgspec

from kb.content import clean_text
from kb.errors import UsageProblem
from kb.exchange.cells import Order, order_of
from kb.exchange.columns import guess_columns
from kb.exchange.delimited import fingerprint
from kb.exchange.form import FIELDS
from kb.exchange.judging import Judge, Trouble, content_in
from kb.exchange.planned import Imported, Plan, Progress
from kb.exchange.refused import kept_aside
from kb.exchange.running import Run, batches, judge_of, under_way
from kb.exchange.settling import Judged, Settled, names_in, settle
from kb.exchange.table import open_table
from kb.model import Content, State
from kb.store import Store

SAMPLE = 200
"""Rows at the start that the guess of columns looks at."""

PROBLEMS = 5
FIRST = 3


class Importing:
    """Plans and runs imports. A row is kept as a finding, or set aside with the reason; none is dropped."""

    def __init__(self, store: Store) -> None:
        self._store = store

    def plan(
        self,
        path: Path,
        columns: Mapping[str, Sequence[str]] | None = None,
        *,
        airframe: str | None = None,
        state: State | None = None,
        order: Order | None = None,
        who: str | None = None,
        progress: Callable[[int], None] = lambda _: None,
    ) -> Plan:
        """Say what an import of a file would do; nothing is written.

        Args:
            columns: headers by field that are known; the rest is guessed, and an empty list leaves a field out.
            airframe: the aircraft of rows that name none.
            state: the state of rows that say none; open unless given.
            order: whether days are written day first; told by the whole column unless given.
            progress: told how many rows were looked at.

        Raises:
            FileRefused: the file is no table that can be read.
            UsageProblem: `columns` names what is not there, or a name is too long.
        """
        table = open_table(path)
        if table.is_own:
            return self._counted(Plan(table=table), who, progress)
        if {"id", "revision"} <= set(table.headers):
            missing = [name for name in FIELDS if name not in table.headers]
            raise UsageProblem(f"{path} has lost columns of oddfix: {', '.join(missing)}; export it again")
        airframe = clean_text(airframe, "the airframe", is_needed=False)
        width = len(table.headers)
        sample = [(cells + [""] * width)[:width] for _, cells in islice(table.rows(), SAMPLE)]
        guesses = guess_columns(table.headers, sample, columns or {})
        plan = Plan(table=table, columns=guesses, airframe=airframe, state=state, order=order)
        return self._counted(self._asked(plan), who, progress)

    def run(
        self,
        plan: Plan,
        *,
        progress: Callable[[Progress], None] = lambda _: None,
        is_stopped: Callable[[], bool] = lambda: False,
        who: str | None = None,
        refused: Path | None = None,
    ) -> Imported:
        """Do what a plan says, all in one act; rows that cannot be kept go to `refused`, or beside the file.

        Raises:
            UsageProblem: the plan still asks something, or the file or the store has changed since it was made.
            ImportStopped: it was stopped, by `is_stopped` or the keyboard; it goes on when it is run again.
            StoreUnavailable, NotWritten: the disk is full; the batch was taken back, and it goes on likewise.
        """
        if plan.asks:
            raise UsageProblem(plan.asks[0])
        if fingerprint(plan.table.path) != plan.table.sha256:
            raise UsageProblem(f"{plan.table.path} was changed since it was looked at; look again")
        with kept_aside(plan.table, refused) as aside:
            run = Run(self._store, plan, aside, clean_text(who, "the initials", is_needed=False))
            run.go(progress, is_stopped)
        # Only now is the file of refused rows whole: what ends before goes through the rows again.
        self._store.imports.end(plan.table.sha256)
        return run.done()

    def _asked(self, plan: Plan) -> Plan:
        """Return the plan with what must be said first, and the order of days."""
        fields = {guess.field: guess for guess in plan.columns}
        asks, notes = [], []
        if "text" not in fields:
            asks.append("no column looks like what was found; say which with --column text=HEADER")
        if "airframe" not in fields and not plan.airframe:
            asks.append("no column says which aircraft; say it for all rows with --airframe NAME")
        if "found" in fields and plan.order is None:
            places = [plan.table.headers.index(header) for header in fields["found"].headers]
            rows = (cells for _, cells in plan.table.rows())
            order, why = order_of(cells[place] for cells in rows for place in places if place < len(cells))
            plan = msgspec.structs.replace(plan, order=order)
            if order is None:
                asks.append(f"days: {why}; say --day-first or --month-first")
            elif why:
                notes.append(f"days: {why}")
        return msgspec.structs.replace(plan, asks=tuple(asks), notes=tuple(notes))

    def _counted(self, plan: Plan, who: str | None, progress: Callable[[int], None]) -> Plan:
        """Return the plan with its counts, first findings, first problems and notes."""
        before = under_way(self._store, plan)
        if before and before.ended:
            rows = sum(1 for _ in plan.table.rows())
            note = f"this file was imported on {before.made[:10]}; oddfix undo takes back the last act"
            return msgspec.structs.replace(plan, rows=rows, done=rows, here=rows, notes=(*plan.notes, note))
        if plan.asks:
            return msgspec.structs.replace(plan, rows=sum(1 for _ in plan.table.rows()))
        judge, told = judge_of(self._store, plan, who), _Told()
        for batch in batches(plan.table, judge):
            settled = settle(batch, self._store.imports.present(names_in(batch)), self._store, who=who)
            told.add(batch, settled, is_done=bool(before and told.rows < before.rows))
            progress(told.rows)
        return msgspec.structs.replace(
            plan,
            rows=told.rows,
            done=before.rows if before else 0,
            new=told.new,
            revised=told.revised,
            here=told.here,
            bad=told.bad,
            problems=tuple(told.problems),
            first=tuple(told.first),
            notes=(*plan.notes, *_notes(self._store, judge, told)),
        )


class _Told:
    """Adds up what the batches of a plan come to."""

    def __init__(self) -> None:
        self.rows = self.new = self.revised = self.here = self.bad = 0
        self.problems: list[Trouble] = []
        self.first: list[Content] = []
        self.photos: set[str] = set()

    def add(self, batch: Sequence[Judged], settled: Settled, *, is_done: bool) -> None:
        self.rows += len(batch)
        self.bad += len(settled.refused)
        self.problems += [trouble for trouble, _ in settled.refused][: PROBLEMS - len(self.problems)]
        self.photos.update(photo for revision in settled.revisions for photo in revision.photos)
        if is_done:  # new ones of a batch that an earlier run has kept are here
            self.here += settled.new + settled.revised + settled.here
            return
        self.new += settled.new
        self.revised += settled.revised
        self.here += settled.here
        kept = settled.revisions[: FIRST - len(self.first)]
        self.first += [Content(**content_in(revision)) for revision in kept]


def _notes(store: Store, judge: Judge, told: _Told) -> list[str]:
    notes = []
    if unknown := judge.unknown_systems:
        some = ", ".join(f"'{name}' ({count:,})" for name, count in unknown.most_common(3))
        rows = "1 row names" if unknown.total() == 1 else f"{unknown.total():,} rows name"
        notes.append(f"{rows} no one system of ours, which is left empty: {some}")
    if absent := len(told.photos) - len(store.photos.known(told.photos)):
        notes.append(f"{absent:,} photos are named that are not in this store; a pack of that shop brings them")
    return notes
