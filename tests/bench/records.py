"""Makes short maintenance records by the hundred thousand from the open data beside the project: seeded, so repeatable.

Each record is a run of words of one real narrative, 10 to 50 long, with one word in a hundred misspelt, since real
records hold typos and the vocabulary grows with them.
"""

from __future__ import annotations

import csv
import json
import random
import sys
from collections.abc import Iterator
from pathlib import Path

DATA = Path(__file__).resolve().parents[3] / "shared" / "data"
LETTERS = "abcdefghijklmnopqrstuvwxyz"


def need(folder: str) -> Path:
    """Return a folder of the open data, or end the program with one clear line."""
    path = DATA / folder
    if not path.is_dir():
        sys.stderr.write(f"skipped: the open data folder {folder} is not beside the project\n")
        raise SystemExit(0)
    return path


def narratives() -> list[list[str]]:
    """Return the words of all narratives, in file order."""
    texts = []
    with (need("faa_sdr_narratives") / "sdr_text.jsonl").open(encoding="utf-8") as file:
        texts += [json.loads(line)["text"] for line in file]
    with (need("maintnet_aviation") / "problem_action.csv").open(encoding="utf-8", newline="") as file:
        texts += [f"{row['problem']} {row['action']}" for row in csv.DictReader(file)]
    return [words for text in texts if len(words := text.lower().split()) >= 8]


def records(count: int, *, seed: int = 1) -> Iterator[str]:
    """Yield `count` records."""
    source = narratives()
    chance = random.Random(seed)
    for _ in range(count):
        words = chance.choice(source)
        length = chance.randint(10, 50)
        start = chance.randrange(max(len(words) - length, 0) + 1)
        yield " ".join(_misspelt(word, chance) for word in words[start : start + length])


def questions(count: int, length: int, *, seed: int = 2) -> list[str]:
    """Return questions of `length` different words, each drawn from one narrative."""
    source = [words for words in narratives() if len(set(words)) >= length]
    chance = random.Random(seed)
    return [" ".join(chance.sample(sorted(set(chance.choice(source))), length)) for _ in range(count)]


def one_edit(word: str, chance: random.Random) -> str:
    """Return the word with one letter dropped, doubled, changed or swapped with the next."""
    place = chance.randrange(1, len(word) - 1)
    kind = chance.randrange(4)
    if kind == 0:
        return word[:place] + word[place + 1 :]
    if kind == 1:
        return word[:place] + word[place] + word[place:]
    if kind == 2:
        return word[:place] + chance.choice(LETTERS) + word[place + 1 :]
    return word[:place] + word[place + 1] + word[place] + word[place + 2 :]


def _misspelt(word: str, chance: random.Random) -> str:
    return one_edit(word, chance) if len(word) >= 5 and chance.random() < 0.01 else word
