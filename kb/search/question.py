"""Reads a question: what was typed, what it may stand for, what was misspelt, what is excluded or taken literally.

A word in straight double quotes is taken as typed; a word behind a minus sign must not occur.
"""

from __future__ import annotations

import re
from collections.abc import Callable

import msgspec

from kb.search.lexicon import Lexicon
from kb.text import Word, fold, is_code, terms_of, words_of

WORDS_LIMIT = 120
"""Different words of one question that are looked at. A pasted page has more; its first ones say enough."""

RESPELLED = 0.85
"""What a respelled word counts. Chosen on the odd questions of tests/questions.toml."""

COMMONER = 0.5
"""What a far commoner neighbour of a typed word counts beside it. Source: the search prototype."""

_QUOTED = re.compile(r'(?<!\S)"([^"]+)"')
_MINUS = re.compile(r"(?<!\S)-(?=[^\W\d_])")


class Way(msgspec.Struct, frozen=True):
    """One way a word can be met in a record: its `terms` share `weight`; `shown` is what the reader is told."""

    terms: tuple[str, ...]
    weight: float
    shown: str


class Wanted(msgspec.Struct, frozen=True):
    """One thing asked for, as typed, and the ways to meet it; the best one counts. Empty ways: unknown."""

    typed: str
    ways: tuple[Way, ...]


class Question(msgspec.Struct, frozen=True):
    """A question as read."""

    folded: str
    wanted: tuple[Wanted, ...]
    excluded: frozenset[str]
    read_as: tuple[str, ...]


def read_question(
    text: str,
    lexicon: Lexicon,
    *,
    is_known: Callable[[str, str], bool],
    respell: Callable[[str], list[str]],
    far_commoner: Callable[[str], str | None] = lambda word: None,
) -> Question:
    """Return the question as read.

    Args:
        text: what was typed.
        lexicon: the words of the trade.
        is_known: tells whether a written word is spelled right or a record has its term.
        respell: offers known words for an unknown one.
        far_commoner: offers the far commoner word that a known but rare one may be a misspelling of.
    """
    folded = fold(text)
    quoted = [match.span(1) for match in _QUOTED.finditer(folded)]
    minus = {match.end() for match in _MINUS.finditer(folded)}
    words = _first_of_each(list(words_of(folded)))
    excluded = frozenset(term for word in words if word.start in minus for term in terms_of(word.raw)[:1])
    words = [word for word in words if word.start not in minus]
    literal = [any(start <= word.start < end for start, end in quoted) for word in words]

    wanted: list[Wanted] = []
    read_as: list[str] = []
    covered: dict[int, list[Way]] = {}
    for first, last, meanings in lexicon.meanings([word.raw for word in words]):
        if any(literal[first : last + 1]):
            continue
        ways = [Way(meaning.terms, meaning.weight, meaning.shown) for meaning in meanings]
        if first == last:
            covered[first] = ways
        else:
            wanted.append(Wanted(" ".join(word.raw for word in words[first : last + 1]), tuple(ways)))
    for number, word in enumerate(words):
        ways = _own_ways(word, covered.get(number, []))
        if not ways:
            continue
        if not literal[number] and not any(is_known(word.raw, term) for way in ways for term in way.terms):
            nearest = [] if is_code(word.raw) else respell(word.raw)
            ways = [Way(terms_of(near), RESPELLED, near) for near in nearest if terms_of(near)] or ways
            read_as += [f"{near} (for {word.raw})" for near in nearest]
        elif not literal[number] and (other := far_commoner(word.raw)) and terms_of(other):
            ways.append(Way(terms_of(other)[:1], COMMONER, other))
        wanted.append(Wanted(word.raw, tuple(ways)))
    return Question(folded.strip(), tuple(wanted), excluded, tuple(read_as))


def _own_ways(word: Word, meanings: list[Way]) -> list[Way]:
    """The word itself with its parts, then what it stands for."""
    terms = terms_of(word.raw)
    return ([Way(terms, 1.0, word.raw)] if terms else []) + meanings


def _first_of_each(words: list[Word]) -> list[Word]:
    """Drop repeats of words that give terms: typing a word twice does not make it count twice."""
    kept: dict[str | int, Word] = {}
    for word in words:
        kept.setdefault(word.raw if terms_of(word.raw) else word.start, word)
    return list(kept.values())[:WORDS_LIMIT]
