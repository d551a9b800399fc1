"""Makes a question of a record, so that what is like it can be found."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

from kb.search.question import Question, Wanted, Way
from kb.search.shelf import Shelf
from kb.text import split_words, terms_of

TERMS = 25
"""Words of a record that are asked for: those that weigh most by count and rarity."""

TELLING = ("title", "words", "summary", "signs", "causes", "all")
"""Parts that say what a record is about; its remedy shares words with every other remedy."""


def question_of(fields: Mapping[str, str], shelf: Shelf) -> Question:
    """Return the question for the record's most telling words, the rarest first; ties by letters."""
    counts: Counter[str] = Counter()
    said: dict[str, str] = {}
    for name in TELLING:
        for word in split_words(fields.get(name, "")):
            for term in terms_of(word)[:1]:
                counts[term] += 1
                said.setdefault(term, word)
    weight = {term: shelf.idf(shelf.find(term)) * count / (1 + count) for term, count in counts.items()}
    telling = sorted(weight, key=lambda term: (-weight[term], term))[:TERMS]
    wanted = tuple(Wanted(said[term], (Way((term,), 1.0, said[term]),)) for term in telling)
    return Question("", wanted, frozenset(), ())
