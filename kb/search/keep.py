"""Keeps a shelf on disk: plain arrays in a folder with a manifest, opened by memory map. Always disposable."""

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
from kb.search.settings import Settings
from kb.search.shelf import Shelf

if TYPE_CHECKING:
    from numpy.typing import NDArray

FORMAT = "4"
"""Raised whenever the arrays, the fields, their weights or the analyzer change what an index holds."""

_MANIFEST = "manifest.json"
_LEXICON = "lexicon.json"


class Manifest(msgspec.Struct, frozen=True):
    """What a folder of arrays was made from; `stamp` is the state of the store, `sizes` the bytes of each file."""

    format: str
    stamp: str
    settings: Settings
    sizes: dict[str, int]


def write_shelf(arrays: Arrays, settings: Settings, folder: Path, *, stamp: str, lexicon: bytes = b"") -> None:
    """Write the arrays to `folder` so that it appears whole or not at all; an older one is replaced.

    Raises:
        OSError: the disk is full or may not be written; nothing is left behind.
    """
    folder.parent.mkdir(parents=True, exist_ok=True)
    work = Path(tempfile.mkdtemp(prefix=f"{folder.name}.new-", dir=folder.parent))
    try:
        (work / _LEXICON).write_bytes(lexicon)
        for name in arrays.__struct_fields__:
            np.save(work / f"{name}.npy", getattr(arrays, name))
        sizes = {path.name: path.stat().st_size for path in work.iterdir()}
        (work / _MANIFEST).write_bytes(msgspec.json.encode(Manifest(FORMAT, stamp, settings, sizes)))
        _swap_in(work, folder)
    finally:
        shutil.rmtree(work, ignore_errors=True)


def read_shelf(folder: Path, settings: Settings, *, stamp: str) -> Shelf:
    """Open the arrays of `folder`.

    Raises:
        IndexProblem: they are absent, damaged, of another version or settings, or made from another state of the store.
    """
    try:
        manifest = msgspec.json.decode((folder / _MANIFEST).read_bytes(), type=Manifest)
        if (manifest.format, manifest.stamp, manifest.settings) != (FORMAT, stamp, settings):
            raise IndexProblem(f"the index {folder} is of another version or state")
        for name, size in manifest.sizes.items():
            if (folder / name).stat().st_size != size:
                raise IndexProblem(f"the index file {folder / name} is damaged")
        arrays = Arrays(**{name: _map(folder / f"{name}.npy") for name in Arrays.__struct_fields__})
        _check_whole(arrays, folder)
        lexicon = (folder / _LEXICON).read_bytes()
    except (OSError, ValueError, EOFError, msgspec.DecodeError) as error:
        raise IndexProblem(f"the index {folder} cannot be read ({error})") from error
    return Shelf(arrays, settings, lexicon)


def _map(path: Path) -> NDArray[Any]:
    # An empty file cannot be mapped. A plain array over the map is quicker to slice than the map itself.
    try:
        return np.asarray(np.load(path, mmap_mode="r", allow_pickle=False))
    except ValueError:
        return np.asarray(np.load(path, allow_pickle=False))


def _check_whole(arrays: Arrays, folder: Path) -> None:
    """Refuse arrays whose ends do not meet; a question would run out of them."""
    terms, places = len(arrays.df), len(arrays.keys)
    fit = (
        len(arrays.ptr) == len(arrays.term_at) == terms + 1,
        len(arrays.top) == len(arrays.column) == terms,
        int(arrays.ptr[-1]) == len(arrays.doc) == len(arrays.imp),
        int(arrays.term_at[-1]) == len(arrays.terms),
        int(arrays.word_at[-1]) == len(arrays.words),
        len(arrays.word_at) - 1 == len(arrays.word_count) == len(arrays.better),
        len(arrays.near) == len(arrays.near_share) == places,
    )
    if not all(fit):
        raise IndexProblem(f"the arrays of the index {folder} do not fit one another")


def _swap_in(work: Path, folder: Path) -> None:
    """Put `work` in the place of `folder`; another process may be doing the same."""
    old = Path(tempfile.mkdtemp(prefix=f"{folder.name}.old-", dir=folder.parent))
    try:
        if folder.exists():
            os.replace(folder, old / "was")
        os.replace(work, folder)
    except OSError:
        if not (folder / _MANIFEST).exists():
            raise
        # Another process was quicker; what it put there is as good.
    finally:
        shutil.rmtree(old, ignore_errors=True)
