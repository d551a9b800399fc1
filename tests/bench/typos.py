"""How well misspellings are put right: `python -m tests.bench.typos`.

Three figures: our own even questions with one seeded edit in one word of five letters or more; the misspellings mined
from real records, in a store that holds the pages alone and in one that also holds 6,000 records in real shorthand;
and how many words of clean questions are changed that should not be.
"""

from __future__ import annotations

import csv
import random
import sys
import tempfile
from pathlib import Path

from kb.desk import Desk
from kb.text import terms_of
from tests.bench.questions import Asked, asker, load, places, quality
from tests.bench.records import need, one_edit
from tests.bench.shop import fill


def main() -> None:
    questions = load()[1::2]
    with tempfile.TemporaryDirectory() as folder:
        desk = Desk.open(Path(folder) / "pages.db")
        ask = asker(desk)
        _say(f"even questions as written       {quality(places(questions, ask))}")
        for seed in (1, 2, 3):
            worse = [misspelt(question, seed) for question in questions]
            _say(f"with one typo each, seed {seed}      {quality(places(worse, ask))}")
        mined = _mined()
        _say(f"mined typos put right, pages alone            {_put_right(desk, mined):.1%} of {len(mined)}")
        changed, words = _changed(desk, questions)
        _say(f"words of clean questions changed, pages alone {changed / words:.2%} of {words}")
        shop = Desk.open(Path(folder) / "shop.db")
        fill(shop.store.path, _shop_records())
        _say(f"mined typos put right, with 6,000 records     {_put_right(shop, mined):.1%} of {len(mined)}")
        changed, words = _changed(shop, questions)
        _say(f"words of clean questions changed, with them   {changed / words:.2%} of {words}")


def misspelt(question: Asked, seed: int) -> Asked:
    """Return the question with one edit in one of its longer words; the choice depends on text and seed alone."""
    chance = random.Random(f"{seed} {question.text}")
    words = question.text.split()
    long = [place for place, word in enumerate(words) if len(word) >= 5 and word.isalpha()]
    if long:
        place = chance.choice(long)
        words[place] = one_edit(words[place], chance)
    return Asked(" ".join(words), question.style, question.entry, question.also)


def _mined() -> list[tuple[str, set[str]]]:
    path = need("misspellings") / "domain_typos.tsv"
    with path.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file, delimiter="\t"))
    return [(row["misspelling"], set(row["correction"].split("|"))) for row in rows]


def _put_right(desk: Desk, mined: list[tuple[str, set[str]]]) -> float:
    """The share whose reading holds the first term of a right word."""
    right = 0
    for wrong, corrections in mined:
        wanted = {terms_of(word)[0] for word in corrections if terms_of(word)}
        right += bool(wanted & _read_terms(desk, wrong))
    return right / len(mined)


def _read_terms(desk: Desk, word: str) -> set[str]:
    question = desk.search.read(word)
    return {term for wanted in question.wanted for way in wanted.ways for term in way.terms}


def _changed(desk: Desk, questions: list[Asked]) -> tuple[int, int]:
    words = sum(len(question.text.split()) for question in questions if question.style != "typed-badly")
    clean = [question for question in questions if question.style != "typed-badly"]
    respelled = (said.rpartition("(for ")[2] for one in clean for said in desk.search.read(one.text).read_as)
    return len(set(respelled)), words


def _shop_records() -> list[tuple[str, str]]:
    with (need("maintnet_aviation") / "problem_action.csv").open(encoding="utf-8", newline="") as file:
        return [(row["problem"] or "-", row["action"]) for row in csv.DictReader(file)]


def _say(line: str) -> None:
    sys.stdout.write(line + "\n")
    sys.stdout.flush()


if __name__ == "__main__":
    main()
