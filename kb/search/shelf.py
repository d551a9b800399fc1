"""One kept index, opened by memory map: plain arrays in a folder with a manifest. Always disposable."""

from __future__ import annotations

import os
import shutil
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING, Any

import msgspec
import numpy as np

from kb.errors import IndexProblem
from kb.search.arrays import Arrays

if TYPE_CHECKING:
    from numpy.typing import NDArray

FORMAT = "1"
"""Raised whenever the arrays, the weights or the analyzer change what an index holds."""

_MANIFEST = "manifest.json"
_LEXICON = "lexicon.json"


class Manifest(msgspec.Struct, frozen=True):
    """What a folder of arrays was made from; `stamp` is the state of the store, `sizes` the bytes of each file."""

    format: str
    stamp: str
    sizes: dict[str, int]


class Shelf:
    """Terms and postings of one kind of record, ready for questions."""

    def __init__(self, arrays: Arrays, lexicon: bytes = b"") -> None:
        self._arrays = arrays
        self.lexicon = lexicon
        self.keys: NDArray[np.int64] = arrays.keys
        self.size = len(arrays.keys)
        self.means = [float(mean) for mean in arrays.means]

    def find(self, term: str) -> int:
        """Return the number of a term, or -1 when no record has it."""
        return _place(self._arrays.terms, term)

    def postings(self, number: int) -> tuple[NDArray[np.int32], NDArray[np.float32]]:
        """Return the records that have the term, rising, and its impact in each."""
        start, end = int(self._arrays.ptr[number]), int(self._arrays.ptr[number + 1])
        return np.asarray(self._arrays.doc[start:end]), np.asarray(self._arrays.imp[start:end])

    def idf(self, number: int) -> float:
        """Return the inverse document frequency of a term; of one that no record has when `number` is -1."""
        df = int(self._arrays.df[number]) if number >= 0 else 0
        return float(np.log1p((self.size - df + 0.5) / (df + 0.5)))

    def word_count(self, word: str) -> int:
        """Return how many records use the folded word as written."""
        place = _place(self._arrays.words, word)
        return int(self._arrays.word_df[place]) if place >= 0 else 0

    def written_words(self) -> list[str]:
        """Return all written words, sorted by their UTF-8 bytes."""
        return [word.decode() for word in self._arrays.words.tolist()]


def write_shelf(arrays: Arrays, folder: Path, *, stamp: str, lexicon: bytes = b"") -> None:
    """Write the arrays to `folder` so that it appears whole or not at all; an older one is replaced."""
    folder.parent.mkdir(parents=True, exist_ok=True)
    work = Path(tempfile.mkdtemp(prefix=f"{folder.name}.new-", dir=folder.parent))
    try:
        sizes = {}
        for name in arrays.__struct_fields__:
            path = work / f"{name}.npy"
            np.save(path, getattr(arrays, name))
            sizes[path.name] = path.stat().st_size
        (work / _LEXICON).write_bytes(lexicon)
        sizes[_LEXICON] = len(lexicon)
        (work / _MANIFEST).write_bytes(msgspec.json.encode(Manifest(FORMAT, stamp, sizes)))
        _swap_in(work, folder)
    finally:
        shutil.rmtree(work, ignore_errors=True)


def read_shelf(folder: Path, *, stamp: str) -> Shelf:
    """Open the arrays of `folder`.

    Raises:
        IndexProblem: they are absent, damaged, of another version, or made from another state of the store.
    """
    try:
        manifest = msgspec.json.decode((folder / _MANIFEST).read_bytes(), type=Manifest)
        if manifest.format != FORMAT or manifest.stamp != stamp:
            raise IndexProblem(f"the index {folder} is of another version or state")
        for name, size in manifest.sizes.items():
            if (folder / name).stat().st_size != size:
                raise IndexProblem(f"the index file {folder / name} is damaged")
        arrays = Arrays(**{name: _map(folder / f"{name}.npy") for name in Arrays.__struct_fields__})
        lexicon = (folder / _LEXICON).read_bytes()
    except (OSError, ValueError, EOFError, msgspec.DecodeError) as error:
        raise IndexProblem(f"the index {folder} cannot be read ({error})") from error
    return Shelf(arrays, lexicon)


def _map(path: Path) -> NDArray[Any]:
    # An empty file cannot be mapped.
    try:
        return np.asarray(np.load(path, mmap_mode="r", allow_pickle=False))
    except ValueError:
        return np.asarray(np.load(path, allow_pickle=False))


def _swap_in(work: Path, folder: Path) -> None:
    """Put `work` in the place of `folder`; another process may be doing the same."""
    old = Path(tempfile.mkdtemp(prefix=f"{folder.name}.old-", dir=folder.parent))
    try:
        if folder.exists():
            os.replace(folder, old / "was")
        os.replace(work, folder)
    except FileNotFoundError:
        pass  # the other process was quicker; what it put there is as good
    finally:
        shutil.rmtree(old, ignore_errors=True)


def _place(sorted_texts: NDArray[np.bytes_], text: str) -> int:
    wanted = text.encode()
    place = int(np.searchsorted(sorted_texts, np.bytes_(wanted)))
    return place if place < len(sorted_texts) and sorted_texts[place] == wanted else -1
