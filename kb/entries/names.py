"""The names of makers, products and aircraft that no page may hold; kept as hashes, so that none stands here."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterable, Iterator
from pathlib import Path

import msgspec

from kb.text import fold

DATA = Path(__file__).resolve().parent / "data"
NAMES_FILE = DATA / "names.txt"
ORDINARY_FILE = DATA / "ordinary.txt"
KINDS = ("brand", "aircraft")
DIGITS = 10
"""Hexadecimal digits kept of each word's SHA-256: 40 bits, so that no two words of all pages meet by chance."""

_WORD = re.compile(r"[^\W_]+(?:['’-][^\W_]+)*")
_HISSING = ("s", "x", "z", "ch", "sh")
_JOINTS = re.compile(r"['’-]")


_Listed = tuple[tuple[str, ...], str]
"""The hashes of a name's words, and its kind."""


class Names(msgspec.Struct, frozen=True):
    """The list, ready to look in: hash of a name's first word, to the whole names that begin so."""

    by_first: dict[str, list[_Listed]]
    ordinary: frozenset[str]
    met: dict[str, tuple[_Listed, ...]]
    """Words looked up before, with the names they begin."""

    def found_in(self, text: str) -> Iterator[tuple[str, str]]:
        """Yield (name as folded, kind) for each listed name among the whole words of `text`; `A-1` is also `A1`."""
        joined = words_of(text)
        split = words_of(_JOINTS.sub(" ", text)) if _JOINTS.search(text) else []
        yield from dict.fromkeys((*self._among(joined), *self._among(split)))

    def _among(self, words: list[str]) -> Iterator[tuple[str, str]]:
        for start, word in enumerate(words):
            if word not in self.met:
                self.met[word] = tuple(self._begun_by(word))
            for name, kind in self.met[word]:
                rest = words[start + 1 : start + len(name)]
                if tuple(map(hash_word, rest)) == name[1:]:
                    yield " ".join([word, *rest]), kind

    def _begun_by(self, word: str) -> Iterator[_Listed]:
        """Yield the names that begin with `word`, or with what it is the plural or the possessive of."""
        for form in _forms(word):
            for name, kind in self.by_first.get(hash_word(form), ()):
                if len(name) > 1 or form not in self.ordinary:
                    yield name, kind


def load_names(lines: Iterable[str] | None = None, ordinary: Iterable[str] | None = None) -> Names:
    """Return the packaged list, or one made of `lines` as they would stand in it."""
    by_first: dict[str, list[_Listed]] = {}
    for line in _read(NAMES_FILE) if lines is None else lines:
        kind, *name = line.split()
        by_first.setdefault(name[0], []).append((tuple(name), kind))
    return Names(by_first, frozenset(_read(ORDINARY_FILE) if ordinary is None else ordinary), {})


def hashed(name: str, kind: str) -> str:
    """Return the line that stands for `name` in the list; its length in words is all it tells."""
    return " ".join([kind, *map(hash_word, words_of(name))])


def hash_word(word: str) -> str:
    """Return the first digits of the SHA-256 of one folded word."""
    return hashlib.sha256(word.encode()).hexdigest()[:DIGITS]


def words_of(text: str) -> list[str]:
    """Return the words of `text` in small letters without accents; hyphens and apostrophes inside a word fall away."""
    return [_JOINTS.sub("", word) for word in _WORD.findall(fold(text))]


def _forms(word: str) -> Iterator[str]:
    yield word
    if len(word) > 3 and word.endswith("s"):
        yield word[:-1]
    if len(word) > 4 and word.endswith("es") and word[:-2].endswith(_HISSING):
        yield word[:-2]


def _read(path: Path) -> list[str]:
    lines = (line.strip() for line in path.read_text(encoding="utf-8").splitlines())
    return [line for line in lines if line and not line.startswith("#")]
