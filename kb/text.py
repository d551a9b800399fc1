"""The one analyzer: turns any text into index terms, the same way for records and for questions. Pure, no I/O.

A term is a lower-case, accent-free, stemmed word or a canonical number. One written word may give several terms,
so that `O-ring`, `o ring` and `oring` meet, and `3/8`, `.375` and `0.375` are one number.
"""

from __future__ import annotations

import re
import threading
import unicodedata
from collections.abc import Iterator
from fractions import Fraction

import msgspec
import Stemmer

WORD_LIMIT = 64
"""Characters of one written word that are looked at; longer runs are cut. Chosen by the hostile-text tests."""

MEMO_LIMIT = 500_000
"""Written words whose terms are remembered; a million records hold about 160,000. Source: the search prototype."""

STOP_WORDS = frozenset(
    """
    a about after all also am an and any are as at be because been being both but by can could did do does doing
    done each either else ever every for from get gets got had has have having he her here him his how i if in into
    is it its just like me might my myself of or our ours out own put rather same seem seems she should so some
    somebody someone something such than that the their them then there these they thing things this those to too up
    upon us very was way we were what whatever when where whether which while who whom whose why will with would you
    your yours
    """.split()
)
"""Function words that never tell one page from another. Small on purpose: no, not, off, on, over and under are
evidence at an aircraft. Source: common practice, no source; fixed by tests/kb/test_text.py."""

_UNITS = (
    "in inch inches mm cm ft lb lbs oz psi kpa bar gal gph rpm hp kw v a amp ohm deg degf degc f c hz mph kt kts nm"
)
_UNIT_NAMES = {
    "inch": "in",
    "inches": "in",
    "lbs": "lb",
    "kts": "kt",
    "degf": "f",
    "degc": "c",
    "amps": "amp",
    "volts": "volt",
}
_SHORT_UNITS = {"a": "amp", "v": "volt"}
_WORD = re.compile(r"\d+(?:-\d+/\d+|/\d+)(?![\w/])|[^\W_]+(?:[-/'.&][^\W_]+)*|\.\d+")
_ASCII_WORD = re.compile(_WORD.pattern.replace(r"[^\W_]", "[a-z0-9]"), re.ASCII)
_NUMBER = re.compile(r"(?:\d+-)?\d+/\d+|\d+(?:\.\d+)?|\.\d+")
_NUMBER_UNIT = re.compile(rf"(\d+(?:\.\d+)?|\.\d+)({'|'.join(sorted(_UNITS.split(), key=len, reverse=True))})")
_DASHES = re.compile("[\u2010-\u2015\u2212\u00ad]")
_QUOTES = re.compile("[\u2018\u2019\u02bc\u00b4`]")
_FRACTIONS = re.compile("(\\d*)([\u00bc-\u00be\u2150-\u215e])")
_SEPARATOR = re.compile(r"[-/'.&]")

_local = threading.local()


class Word(msgspec.Struct, frozen=True):
    """One written word of a folded text: where it stands, and the word itself. Stop words are words too."""

    start: int
    end: int
    raw: str


def fold(text: str) -> str:
    """Return `text` in lower case, without accents, with plain dashes, quotes and fractions. Idempotent.

    >>> fold("Tôle 3⁄8 “Señor” — ½")
    'tole 3/8 "senor" - 1/2'
    """
    if text.isascii():
        return text.lower()
    text = text.encode("utf-8", "replace").decode()  # half a character cannot be stored or looked up
    text = _FRACTIONS.sub(_spell_fraction, text)
    text = unicodedata.normalize("NFKD", text)
    text = "".join(character for character in text if not unicodedata.combining(character))
    text = text.casefold().replace("\u2044", "/").replace("\u201c", '"').replace("\u201d", '"')
    text = _QUOTES.sub("'", _DASHES.sub("-", text))
    # Case folding may bring back characters that decompose again (such as the dotted capital I).
    return text if unicodedata.is_normalized("NFKD", text) else fold(text)


def words_of(folded: str) -> Iterator[Word]:
    """Yield the written words of a folded text in order, each cut at WORD_LIMIT characters."""
    for match in _WORD.finditer(folded):
        yield Word(match.start(), match.end(), match.group()[:WORD_LIMIT])


def split_words(text: str) -> list[str]:
    """Return the written words of any text, folded, in order; long runs are not cut here."""
    folded = fold(text)
    # On plain text the same words, found in two thirds of the time.
    return (_ASCII_WORD if folded.isascii() else _WORD).findall(folded)


def analyze(text: str) -> list[str]:
    """Return all terms of `text`, in order, repeats kept; empty when nothing tells anything.

    >>> analyze("The safety-wires leaked, 3/8 in.")
    ['safetywir', 'safeti', 'wire', 'leak', '0.375']
    """
    terms: list[str] = []
    for word in split_words(text):
        terms += _memo[word]
    return terms


def terms_of(word: str) -> tuple[str, ...]:
    """Return the terms of one folded word: the whole first, then its parts; empty for a stop word."""
    return _memo[word]


def _terms_of(word: str) -> tuple[str, ...]:
    word = word[:WORD_LIMIT]
    if word in STOP_WORDS or (word in _UNIT_NAMES and _UNIT_NAMES[word] in STOP_WORDS):
        return ()
    if _NUMBER.fullmatch(word):
        return (_number(word),)
    if pair := _NUMBER_UNIT.fullmatch(word):
        unit = _SHORT_UNITS.get(pair.group(2), pair.group(2))
        return (_number(pair.group(1)), *_terms_of(unit))
    if not _SEPARATOR.search(word):
        return (_whole(word),)
    return _compound_terms(word)


def is_code(word: str) -> bool:
    """True for a part number, size or figure: a written word with a digit, such as `an3-5a`, `2024-t3` or `.270`."""
    return any(character.isdigit() for character in word)


def _compound_terms(word: str) -> tuple[str, ...]:
    word = word.removesuffix("'s").replace("'", "")
    parts = [part for part in _SEPARATOR.split(word) if part]
    if len(parts) < 2:
        return _terms_of(word)
    joined = "".join(parts)
    plain = [_number(part) if _NUMBER.fullmatch(part) else _whole(part) for part in parts if part not in STOP_WORDS]
    return tuple(dict.fromkeys([_whole(joined), *plain]))


def _whole(word: str) -> str:
    if word in _UNIT_NAMES:
        return _UNIT_NAMES[word]
    return word if is_code(word) else _stem(word)


def _number(text: str) -> str:
    """Return a number in one spelling: fractions as decimals of at most five places, no needless zeros."""
    if "/" in text:
        whole, _, fraction = text.rpartition("-")
        top, bottom = fraction.split("/")
        if int(bottom) == 0:
            return text
        value = Fraction(int(top), int(bottom)) + int(whole or 0)
        text = f"{float(value):.5f}"
    if "." in text:
        whole, _, digits = text.partition(".")
        digits = digits.rstrip("0")
        return f"{whole or '0'}.{digits}" if digits else whole or "0"
    return text


def _stem(word: str) -> str:
    # A stemmer object is not safe to share between threads.
    stemmer = getattr(_local, "stemmer", None)
    if stemmer is None:
        stemmer = _local.stemmer = Stemmer.Stemmer("english")
    return str(stemmer.stemWord(word))


class _Memo(dict[str, tuple[str, ...]]):
    """Remembers the terms of words met before; emptied when a flood of different words fills it."""

    def __missing__(self, word: str) -> tuple[str, ...]:
        if len(self) >= MEMO_LIMIT:
            self.clear()
        terms = self[word] = _terms_of(word)
        return terms


_memo = _Memo()


def _spell_fraction(match: re.Match[str]) -> str:
    whole, sign = match.groups()
    spelled = unicodedata.normalize("NFKD", sign).replace("\u2044", "/")
    return f"{whole}-{spelled}" if whole else spelled
