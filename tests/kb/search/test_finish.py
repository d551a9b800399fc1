"""The leaders of a large shelf: the same records with the same scores as adding everything up gives."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kb.search.build import build
from kb.search.finish import finish
from kb.search.pick import best
from kb.search.question import Question, Wanted, Way
from kb.search.score import Scorer
from kb.search.settings import FINDINGS
from kb.search.shelf import Shelf

RECORDS = 4000
WORDS = [f"w{a}{b}" for a in "bcdfghjklm" for b in "bcdfghjklmnpqrst"]


@pytest.fixture(scope="module")
def shelf() -> Shelf:
    """Records of a dozen words drawn as words are: a few in every other record, most in a handful; some columns."""
    chance = np.random.default_rng(3)
    share = 1 / np.arange(1, len(WORDS) + 1)
    drawn = chance.choice(len(WORDS), size=(RECORDS, 12), p=share / share.sum())
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("kb.search.build.DENSE_SIZE", 1)
        records = [{"all": " ".join(WORDS[number] for number in row)} for row in drawn]
        return Shelf(build(records, range(RECORDS), {"all": 1.0}, FINDINGS), FINDINGS)


@pytest.fixture(autouse=True)
def even_small_shelves_count_as_large(monkeypatch: pytest.MonkeyPatch) -> None:
    """Below the size of a real large shelf."""
    monkeypatch.setattr("kb.search.score.DENSE_SIZE", 1)


def _question(wanted: list[list[tuple[list[str], float]]]) -> Question:
    things = tuple(
        Wanted("typed", tuple(Way(tuple(terms), weight, "shown") for terms, weight in ways)) for ways in wanted
    )
    return Question("", things, frozenset(), ())


def _plainly(scorer: Scorer, question: Question, limit: int) -> list[tuple[int, float]]:
    scores = scorer.score(question)
    return [(place, float(scores[place])) for place in best(scores, limit)]


_WORD = st.integers(0, len(WORDS) - 1).map(lambda number: WORDS[number])
_WAY = st.tuples(st.lists(_WORD, min_size=1, max_size=3), st.sampled_from([1.0, 0.85, 0.5, 0.4]))
_WANTED = st.lists(st.lists(_WAY, min_size=1, max_size=3), max_size=10)


@settings(max_examples=200, deadline=None)
@given(wanted=_WANTED, limit=st.integers(1, 25), hidden=st.sets(st.integers(0, RECORDS - 1), max_size=40))
def test_the_leaders_are_those_of_all_scores(
    shelf: Shelf, wanted: list[list[tuple[list[str], float]]], limit: int, hidden: set[int]
) -> None:
    """Single words, words of parts, words that stand for others; some records hidden."""
    scorer = Scorer(shelf)
    scorer.hide(sorted(hidden))
    question = _question(wanted)
    expected = _plainly(scorer, question, limit)
    assert scorer.leaders(question, limit) == expected
    assert scorer.leaders(question, limit) == expected  # nothing of the question before is left behind


def test_both_roads_are_taken(shelf: Shelf, monkeypatch: pytest.MonkeyPatch) -> None:
    """A common word of half weight is looked up for the leaders of the rest; alone it is added up whole."""
    ways: list[bool] = []

    def noted(*these: Any) -> Any:
        ways.append(finish(*these) is not None)
        return finish(*these)

    monkeypatch.setattr("kb.search.score.finish", noted)
    scorer = Scorer(shelf)
    half = [([WORDS[0], WORDS[1]], 1.0)]
    for question in (_question([half, [([WORDS[60]], 1.0)], [([WORDS[70]], 1.0)]]), _question([half])):
        assert scorer.leaders(question, 3) == _plainly(scorer, question, 3)
    assert ways == [True, False]


def test_an_excluded_word_and_chosen_records_are_obeyed(shelf: Shelf) -> None:
    """These questions are added up whole."""
    scorer = Scorer(shelf)
    asked = [Wanted(word, (Way((word,), 1.0, word),)) for word in WORDS[20:24]]
    without = Question("", tuple(asked), frozenset({WORDS[21]}), ())
    assert scorer.leaders(without, 10) == _plainly(scorer, without, 10)
    chosen: Any = np.arange(0, RECORDS, 3)
    plain = Question("", tuple(asked), frozenset(), ())
    assert all(place % 3 == 0 for place, _ in scorer.leaders(plain, 10, chosen))
