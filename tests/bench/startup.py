"""Start-up times, side by side in one run: `python -m tests.bench.startup [ROUNDS]`.

Prints for each command the median and the range in milliseconds, and its ratio to the yardstick named beside it.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from statistics import median

_PYTHON = [sys.executable, "-c"]
_MEASURED = {
    "imports": [*_PYTHON, "import sqlite3, click, msgspec"],
    "oddfix --help": [sys.executable, "-m", "kb", "--help"],
    "oddfix show": [sys.executable, "-m", "kb", "show", "enamel-over-dope"],
    "oddfix ask": [sys.executable, "-m", "kb", "ask", "white strings in the strainer"],
    "oddfix limit": [sys.executable, "-m", "kb", "limit"],
    "limit, judged": [
        *(sys.executable, "-m", "kb", "limit", "fabric-strength"),
        *("wing-loading=8.1psf", "never-exceed=120mph", "measured=51lb/in", "method=strip"),
    ],
    "limit, by pint": [
        *(sys.executable, "-m", "kb", "limit", "fabric-strength"),
        *("wing-loading=388 N/m**2", "never-exceed=120mph", "measured=51lb/in", "method=strip"),
    ],
    "empty app": [*_PYTHON, "from tests.bench.first_paint import empty; empty()"],
    "oddfix screens": [*_PYTHON, "from tests.bench.first_paint import screens; screens()"],
}
_YARDSTICK = {
    "oddfix --help": ("imports", None),
    "oddfix show": ("imports", None),
    "oddfix ask": ("imports", 4.0),
    "oddfix limit": ("imports", None),
    "limit, judged": ("imports", None),
    "limit, by pint": ("imports", None),
    "oddfix screens": ("empty app", 1.6),
}


def main(rounds: int) -> None:
    with tempfile.TemporaryDirectory() as folder:
        environment = os.environ | {"ODDFIX_STORE": str(Path(folder) / "bench.db"), "COLUMNS": "80", "LINES": "24"}
        times: dict[str, list[float]] = {name: [] for name in _MEASURED}
        for name in ("oddfix ask", "oddfix screens"):  # load the pages, build the index, fill the caches
            _run(_MEASURED[name], environment)
        for _ in range(rounds):
            for name, command in _MEASURED.items():
                times[name].append(_run(command, environment))
    middle = {name: median(values) for name, values in times.items()}
    for name, values in times.items():
        line = f"{name:<16} {middle[name]:7.0f} ms  ({min(values):.0f}-{max(values):.0f})"
        if name in _YARDSTICK:
            yardstick, most = _YARDSTICK[name]
            line += f"   {middle[name] / middle[yardstick]:.2f}x {yardstick}" + (f" (at most {most}x)" if most else "")
        sys.stdout.write(line + "\n")


def _run(command: list[str], environment: dict[str, str]) -> float:
    start = time.perf_counter()
    subprocess.run(command, env=environment, check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    return (time.perf_counter() - start) * 1000


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 15)
