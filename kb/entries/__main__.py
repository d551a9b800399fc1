"""`python -m kb.entries [FOLDER] [--advice] [--as-of DATE]`: check a folder of entries and print every problem."""

from __future__ import annotations

import argparse
import sys
from datetime import date
from pathlib import Path

from kb.entries.advice import advise
from kb.entries.files import default_folder
from kb.entries.folder import check_folder
from kb.errors import DataProblems


def main(arguments: list[str]) -> int:
    """Return 0, or 3 when the folder has a problem; advice changes nothing."""
    asked = _arguments(arguments)
    try:
        checked = check_folder(asked.folder, as_of=asked.as_of)
    except DataProblems as error:
        sys.stderr.write(f"{error}\n")
        return error.exit_code
    if asked.advice:
        advice = advise(checked.entries)
        sys.stdout.writelines(f"{item}\n" for item in advice)
        sys.stderr.write(f"{len(advice)} pieces of advice\n")
    counts = {"entries": len(checked.entries), "systems": len(checked.systems), "words": len(checked.words)}
    sys.stderr.write(", ".join(f"{count} {name}" for name, count in counts.items()) + ": no problem found\n")
    return 0


def _arguments(arguments: list[str]) -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m kb.entries", description="Check a folder of entries.")
    parser.add_argument("folder", nargs="?", type=Path, default=default_folder())
    parser.add_argument("--advice", action="store_true", help="say also what could be better")
    parser.add_argument(
        "--as-of",
        type=date.fromisoformat,
        default=date.today(),
        metavar="DATE",
        help="count ages of reviews to this day",
    )
    return parser.parse_args(arguments)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
