"""The names of makers, products and aircraft that no page may hold; kept as hashes, so that none stands in the project."""

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
"""Hexadecimal digits kept of each word's SHA-256: 40 bits, so that no two words of a library of pages meet by chance."""

_WORD = re.compile(r"[^\W_]+(?:['’-][^\W_]+)*")
_JOINTS = re.compile(r"['’-]")


class Names(msgspec.Struct, frozen=True):
    """The list, ready to look in: hash of a name's first word, to the whole names that begin so, with their kind."""

    by_first: dict[str, list[tuple[tuple[str, ...], str]]]
    ordinary: frozenset[str]
    kept: dict[str, str]
    """Words hashed before."""

    def found_in(self, text: str) -> Iterator[tuple[str, str]]:
        """Yield (name as folded, kind) for each listed name among the whole words of `text`; `A-1` is also `A1`."""
        joined = words_of(text)
        split = words_of(_JOINTS.sub(" ", text)) if _JOINTS.search(text) else joined
        seen: set[str] = set()
        for words in (joined, split):
            for name, kind in self._among(words):
                if name not in seen:
                    seen.add(name)
                    yield name, kind

    def _among(self, words: list[str]) -> Iterator[tuple[str, str]]:
        for start, word in enumerate(words):
            for form in _forms(word):
                for name, kind in self.by_first.get(self._hash(form), ()):
                    here = words[start : start + len(name)]
                    if len(name) == 1 and form not in self.ordinary:
                        yield word, kind
                    elif len(name) > 1 and tuple(map(self._hash, here)) == name:
                        yield " ".join(here), kind

    def _hash(self, word: str) -> str:
        if word not in self.kept:
            self.kept[word] = hash_word(word)
        return self.kept[word]


def load_names(lines: Iterable[str] | None = None, ordinary: Iterable[str] | None = None) -> Names:
    """Return the packaged list, or one made of `lines` as they would stand in it."""
    by_first: dict[str, list[tuple[tuple[str, ...], str]]] = {}
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


def _forms(word: str) -> tuple[str, ...]:
    """Return the word, and what it is the plural or the possessive of."""
    return (word, word[:-1]) if len(word) > 3 and word.endswith("s") else (word,)


def _read(path: Path) -> list[str]:
    lines = (line.strip() for line in path.read_text(encoding="utf-8").splitlines())
    return [line for line in lines if line and not line.startswith("#")]
