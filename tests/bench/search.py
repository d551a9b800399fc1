"""All search benches, one after another: `python -m tests.bench.search [SIZE...]`.

Own questions, Cranfield against other engines, misspellings, speed and size at scale (sizes as for tests.bench.scale),
and a shop with a million findings.
"""

from __future__ import annotations

import subprocess
import sys

PARTS = ("questions", "cranfield", "typos", "scale", "shop")


def main(sizes: list[str]) -> None:
    for part in PARTS:
        sys.stdout.write(f"\n== {part}\n")
        sys.stdout.flush()
        subprocess.run([sys.executable, "-m", f"tests.bench.{part}", *(sizes if part == "scale" else [])], check=True)


if __name__ == "__main__":
    main(sys.argv[1:])
