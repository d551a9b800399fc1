"""`python -m kb.entries [FOLDER]`: check a folder of entries and print every problem."""

from __future__ import annotations

import sys
from pathlib import Path

from kb.entries.files import default_folder
from kb.entries.folder import load_folder
from kb.errors import DataProblems


def main(arguments: list[str]) -> int:
    folder = Path(arguments[0]) if arguments else default_folder()
    try:
        loaded = load_folder(folder)
    except DataProblems as error:
        sys.stderr.write(f"{error}\n")
        return error.exit_code
    sys.stderr.write(
        f"{len(loaded.entries)} entries, {len(loaded.systems)} systems, {len(loaded.words)} words: no problem found\n"
    )
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
