"""Taking a shop's table in, at once and at scale: `python -m tests.bench.importing [FINDINGS]`.

A table of 100,000 rows made of the open data goes into an empty store and into one that holds 1,000,000 findings
(or so many as are named), each beside `sqlite-utils insert` of the same file in the same run; then what one more
finding and the list of an airframe's open ones cost in the large store. Whole commands are timed, with their start.
"""

from __future__ import annotations

import csv
import os
import random
import shutil
import sqlite3
import subprocess
import sys
import tempfile
import time
from contextlib import closing
from datetime import date, timedelta
from pathlib import Path
from statistics import median
from typing import Any

import msgspec

from kb.desk import Desk
from kb.ids import new_id
from tests.bench.others import timed
from tests.bench.records import need, records

ROWS = 100_000
ROUNDS = 21
FINDINGS_EACH = 500
HEADER = ["Tail No", "Date Found", "Squawk", "Corrective Action", "Mech", "TT", "Status", "ATA"]


def main(size: int) -> None:
    need("faa_sdr_narratives")
    with tempfile.TemporaryDirectory() as folder:
        table = make_table(Path(folder) / "shop.csv")
        empty, large = Path(folder) / "empty.db", Path(folder) / "large.db"
        Desk.open(empty)
        shutil.copy(empty, large)
        _, seconds = timed(lambda: fill(large, size))
        _say(
            f"{ROWS:,} rows, {table.stat().st_size / 1e6:.0f} MB; a store of {size:,} findings made in {seconds:.0f} s"
        )
        theirs = _theirs(table, Path(folder) / "theirs.db")
        _say(f"sqlite-utils insert: {theirs:.1f} s, {ROWS / theirs:,.0f} rows a second")
        for store, called in ((empty, "an empty store"), (large, f"{size:,} findings")):
            _print_import(table, store, called, theirs)
        _print_single(large)


def fill(path: Path, size: int) -> None:
    """Keep so many findings, FINDINGS_EACH on each airframe, one of four open; one by one would take hours."""
    sql = (
        "INSERT INTO finding_revisions (id, finding, airframe, text, state, entries, made)"
        " VALUES (:id, :id, :airframe, :text, :state, '[]', '2020-01-01T00:00:00Z')"
    )
    airframes = max(size // FINDINGS_EACH, 1)
    values = (
        {
            "id": new_id(),
            "airframe": f"A-{number % airframes}",
            "text": text,
            "state": "corrected" if number // airframes % 4 else "open",
        }
        for number, text in enumerate(records(size, seed=7))
    )
    with closing(sqlite3.connect(path)) as db, db:
        db.executemany(sql, values)


def make_table(path: Path) -> Path:
    """Write a table as a shop keeps it."""
    chance, day = random.Random(3), date(1990, 1, 1)
    with path.open("w", encoding="utf-8", newline="") as file:
        rows = csv.writer(file)
        rows.writerow(HEADER)
        for number, (text, action) in enumerate(zip(records(ROWS), records(ROWS, seed=4), strict=True)):
            found = (day + timedelta(days=number // 10)).strftime("%d/%m/%Y")
            state = chance.choice(["open", "Closed", "deferred", ""])
            ata = chance.choice(["27", "28-10", "32", "5711", "79", ""])
            rows.writerow([f"fleet {number % 40}", found, text, action, "ab", f"{number / 10:,.1f}", state, ata])
    return path


def _theirs(table: Path, database: Path) -> float:
    command = [
        str(Path(sys.executable).with_name("sqlite-utils")),
        "insert",
        str(database),
        "rows",
        str(table),
        "--csv",
    ]
    _, seconds = timed(
        lambda: subprocess.run(command, check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    )
    return seconds


def _print_import(table: Path, store: Path, called: str, theirs: float) -> None:
    command = [sys.executable, "-m", "kb", "import", str(table), "--yes", "--json"]
    environment = os.environ | {"ODDFIX_STORE": str(store)}
    start = time.perf_counter()
    ran = subprocess.run(command, env=environment, check=True, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL)
    whole = time.perf_counter() - start
    done: dict[str, Any] = msgspec.json.decode(ran.stdout)
    assert (done["new"], done["refused"]) == (ROWS, 0)
    _say(
        f"import into {called}: {done['seconds']:.1f} s, {ROWS / done['seconds']:,.0f} rows a second (at least 5,000);"
        f" the whole command, which looks through the file first, {whole:.1f} s, {ROWS / whole:,.0f} rows a second,"
        f" {whole / theirs:.1f}x the time of sqlite-utils (at most 6x)"
    )


def _print_single(store: Path) -> None:
    desk = Desk.open(store)
    added = [
        timed(lambda: desk.findings.add("frayed cable at the pulley", airframe="A new one"))[1] for _ in range(ROUNDS)
    ]
    listed = [timed(lambda: desk.counts.open(airframe="A-7", limit=100))[1] for _ in range(ROUNDS)]
    plain = [timed(lambda: desk.findings.all(airframe="A-7", state="open", limit=100))[1] for _ in range(ROUNDS)]
    _say(
        f"one more finding {median(added[1:]) * 1000:.1f} ms (at most 20); open ones on one airframe, 100 of"
        f" {len(desk.findings.all(airframe='A-7', state='open')):,}: newest first {median(plain) * 1000:.1f} ms,"
        f" most pressing first {median(listed) * 1000:.1f} ms (at most 50)"
    )


def _say(line: str) -> None:
    sys.stdout.write(line + "\n")
    sys.stdout.flush()


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 1_000_000)
