"""`python -m kb.entries.names_hash brand|aircraft NAME ...`: add names to the list as hashes; `-` reads one a line."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path

from kb.entries.names import KINDS, NAMES_FILE, Names, hashed, load_names, words_of

_USAGE = f"usage: python -m kb.entries.names_hash {'|'.join(KINDS)} NAME ... (or - to read names from standard input)\n"


def main(arguments: list[str], path: Path = NAMES_FILE) -> int:
    """Add each name that is new; return 0, or 2 when one was refused."""
    if len(arguments) < 2 or arguments[0] not in KINDS:
        sys.stderr.write(_USAGE)
        return 2
    kind, *names = arguments
    if names == ["-"]:
        names = [line.strip() for line in sys.stdin if line.strip()]
    added, refused = add(names, kind, path)
    sys.stderr.write("".join(f"{text}\n" for text in refused) + f"{added} added, {len(refused)} refused\n")
    return 2 if refused else 0


def add(names: Sequence[str], kind: str, path: Path) -> tuple[int, list[str]]:
    """Write the new names' hashes into the list, sorted; return how many, and why others were refused."""
    lines = path.read_text(encoding="utf-8").splitlines()
    head = [line for line in lines if line.startswith("#") or not line]
    kept = {line for line in lines if line not in head}
    known = load_names([])  # for its ordinary words
    refused = [text for text in (_refusal(name, known) for name in names) if text]
    fresh = {hashed(name, kind) for name in names if not _refusal(name, known)} - kept
    path.write_text("\n".join([*head, *sorted(kept | fresh)]) + "\n", encoding="utf-8")
    return len(fresh), refused


def _refusal(name: str, known: Names) -> str:
    words = words_of(name)
    if not words or all(word.isdigit() for word in words):
        return f"'{name}' holds no word"
    if len(words) == 1 and words[0] in known.ordinary:
        return f"'{name}' is an ordinary word (data/ordinary.txt)"
    return ""


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
