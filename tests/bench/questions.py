"""How well the search answers our own questions: `python -m tests.bench.questions [--all] [--misses]`.

Reported on the even questions, since settings are chosen on the odd ones; `--odd` shows those, `--misses` lists what
did not come first. An answer in `also` counts as right: two pages can both be the page. The last line is the setting
for collections, where many documents answer a question; tests.bench.cranfield measures both settings on such a one.
"""

from __future__ import annotations

import sys
import tempfile
import tomllib
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any
from unittest.mock import patch

import msgspec

from kb.desk import Desk
from kb.search.settings import COLLECTION

FILE = Path(__file__).parent.parent / "questions.toml"
DEPTH = 20


class Asked(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A question, its style, and the page that must come first."""

    text: str
    style: str
    entry: str
    also: tuple[str, ...] = ()

    def place_in(self, ids: Sequence[str]) -> int:
        """Return the place (from 1) of the first right page, or 0."""
        right = {self.entry, *self.also}
        return next((place for place, one in enumerate(ids, start=1) if one in right), 0)


class Quality(msgspec.Struct, frozen=True):
    """Shares of questions whose page came first and in the first three, and the mean reciprocal rank."""

    count: int
    first: float
    three: float
    mrr: float

    def __str__(self) -> str:
        return f"{self.count:4}  first {self.first:6.1%}  in three {self.three:6.1%}  MRR {self.mrr:.3f}"


def load() -> list[Asked]:
    """Return all questions in file order."""
    with FILE.open("rb") as file:
        return msgspec.convert(tomllib.load(file)["question"], list[Asked])


def places(questions: Sequence[Asked], ask: Callable[[str], Sequence[str]]) -> list[int]:
    """Return the place of the right page for each question; 0 when it is not among the answers."""
    return [question.place_in(ask(question.text)) for question in questions]


def quality(found: Sequence[int]) -> Quality:
    """Return what the places amount to."""
    count = max(len(found), 1)
    return Quality(
        len(found),
        sum(place == 1 for place in found) / count,
        sum(0 < place <= 3 for place in found) / count,
        sum(1 / place for place in found if place) / count,
    )


def asker(desk: Desk) -> Callable[[str], list[str]]:
    """Return a function from a question to the ids of the pages that answer it."""
    return lambda text: [hit.id for hit in desk.search.ask(text, limit=DEPTH).hits]


def main(arguments: Sequence[str]) -> None:
    questions = load()[0 if "--odd" in arguments else 1 :: 2]
    with tempfile.TemporaryDirectory() as folder:
        ask = asker(Desk.open(Path(folder) / "bench.db"))
        found = places(questions, ask)
        by_style: dict[str, list[int]] = {}
        for question, place in zip(questions, found, strict=True):
            by_style.setdefault(question.style, []).append(place)
        for style, some in sorted(by_style.items()):
            _say(f"{style:<14}{quality(some)}")
        _say(f"{'all':<14}{quality(found)}")
        with patch("kb.search.stock.PAGES", COLLECTION):
            other = asker(Desk.open(Path(folder) / "bench.db"))
            _say(f"{'as collection':<14}{quality(places(questions, other))}")
        if "--misses" in arguments:
            for question, place in zip(questions, found, strict=True):
                if place != 1:
                    _say(
                        f"{place:3} {question.style:<12} {question.entry}: {question.text}  -> {ask(question.text)[:1]}"
                    )


def _say(line: Any) -> None:
    sys.stdout.write(f"{line}\n")


if __name__ == "__main__":
    main(sys.argv[1:])
