"""Runs an import: batch after batch of a file's rows into the store, from where an earlier run was stopped."""

from __future__ import annotations

import time
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from itertools import islice

from kb.errors import KbError, UsageProblem
from kb.exchange.judging import Judge, OwnRows, ShopRows
from kb.exchange.planned import Imported, Plan, Progress
from kb.exchange.refused import RefusedRows
from kb.exchange.settling import Judged, Settled, names_in, settle
from kb.exchange.table import Table
from kb.model import Revision
from kb.store import Store
from kb.store.imports import Import, Present

BATCH = 2_000
"""Rows kept in one transaction: others wait a fraction of a second for it, and its own costs count little."""


class ImportStopped(KbError):
    """An import was stopped between two batches; what is kept is whole, and the rest can follow."""

    exit_code = 130

    def __init__(self, rows: int, of: int) -> None:
        self.rows, self.of = rows, of
        super().__init__(f"stopped after {rows:,} of {of:,} rows; the same command goes on from there")


class Run:
    """One run through a file. It reads the store's side of each batch within the transaction that writes it."""

    def __init__(self, store: Store, plan: Plan, aside: RefusedRows, who: str | None) -> None:
        self._store, self._plan, self._aside, self._who = store, plan, aside, who
        self._sha256 = plan.table.sha256
        self._counts: Counter[str] = Counter()
        self._begun = self._kept = 0
        self._start = time.monotonic()

    def go(self, progress: Callable[[Progress], None], is_stopped: Callable[[], bool]) -> None:
        """Keep all rows that are not kept yet.

        Raises:
            UsageProblem: an earlier run, which was stopped, read the columns in another way.
            ImportStopped: it was stopped.
        """
        before = under_way(self._store, self._plan)
        if before and before.ended:
            self._counts["here"] = self._plan.rows
            return
        if before and before.columns != self._plan.reading:
            raise UsageProblem(
                "an import of this file was stopped that read its columns in another way; say the same again, or take"
                " back with oddfix undo what it kept"
            )
        self._store.imports.forget(self._sha256)
        self._begun = self._kept = before.rows if before else 0
        try:
            with self._store.imports.kept_open():
                self._go(progress, is_stopped)
        except KeyboardInterrupt:
            raise ImportStopped(self._kept, self._plan.rows) from None

    def done(self) -> Imported:
        """Return what the run did."""
        return Imported(
            rows=self._plan.rows,
            new=self._counts["new"],
            revised=self._counts["revised"],
            here=self._counts["here"],
            refused=self._aside.count,
            refused_file=self._aside.path,
            seconds=time.monotonic() - self._start,
        )

    def _go(self, progress: Callable[[Progress], None], is_stopped: Callable[[], bool]) -> None:
        rows = 0
        for batch in batches(self._plan.table, judge_of(self._store, self._plan, self._who)):
            rows += len(batch)
            if rows <= self._begun:
                self._count_again(batch)
                continue
            self._keep(batch, rows)
            progress(self._progress())
            if is_stopped() and rows < self._plan.rows:
                raise ImportStopped(rows, self._plan.rows)

    def _count_again(self, batch: Sequence[Judged]) -> None:
        """Go through rows an earlier run kept: its file of refused rows never got its name."""
        settled = settle(batch, self._store.imports.present(names_in(batch)), self._store, who=self._who)
        self._aside.add(settled.refused)
        self._counts["here"] += len(batch) - len(settled.refused)

    def _keep(self, batch: Sequence[Judged], rows: int) -> None:
        settled = Settled()

        def make(present: Present) -> list[Revision]:
            nonlocal settled
            settled = settle(batch, present, self._store, who=self._who)
            return settled.revisions

        self._store.imports.keep(
            self._sha256,
            make,
            columns=self._plan.reading,
            who=self._who,
            done=self._kept,
            rows=rows,
            named=names_in(batch),
        )
        self._kept = rows
        self._aside.add(settled.refused)
        self._counts.update(new=settled.new, revised=settled.revised, here=settled.here)

    def _progress(self) -> Progress:
        rate = (self._kept - self._begun) / max(time.monotonic() - self._start, 1e-6)
        return Progress(self._kept, self._plan.rows, rate, (self._plan.rows - self._kept) / rate if rate else 0.0)


def batches(table: Table, judge: Judge) -> Iterator[list[Judged]]:
    """Give the judged rows of a table, BATCH at a time."""
    rows = table.rows()
    while batch := [(number, cells, judge.judge(number, cells)) for number, cells in islice(rows, BATCH)]:
        yield batch


def judge_of(store: Store, plan: Plan, who: str | None) -> Judge:
    """Return the judge of a table's rows."""
    if plan.table.is_own:
        return OwnRows(store, plan.table, who=who)
    return ShopRows(
        store, plan.table, plan.columns, airframe=plan.airframe, state=plan.state, order=plan.order, who=who
    )


def under_way(store: Store, plan: Plan) -> Import | None:
    """Return the import of the same file that is done or was stopped, unless it was taken back."""
    before = store.imports.get(plan.table.sha256)
    return None if before and before.is_undone else before
