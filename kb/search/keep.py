"""Keeps a shelf on disk: plain arrays in a folder with a manifest, opened by memory map. Always disposable."""

from __future__ import annotations

import os
import shutil
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any, BinaryIO
from zlib import crc32

import msgspec
import numpy as np

from kb.errors import IndexProblem
from kb.search.arrays import Arrays
from kb.search.settings import Settings
from kb.search.shelf import Shelf

if TYPE_CHECKING:
    from numpy.typing import NDArray

FORMAT = "6"
"""Raised whenever the arrays, the fields, their weights or the analyzer change what an index holds."""

CHECKED = 1 << 19
"""Bytes of a file whose sum is checked when it is opened: all of the pages' index, the start of each array of a large
one, whose whole would take longer to read than any question."""

LEFT_BEHIND = 86_400.0
"""Seconds after which an unfinished folder belongs to a build that was killed; none takes a day."""

_MANIFEST = "manifest.json"
_LEXICON = "lexicon.json"


class Seen(msgspec.Struct, frozen=True, array_like=True):
    """A file's size in bytes, and the CRC-32 of its first CHECKED bytes."""

    size: int
    start: int


class Manifest(msgspec.Struct, frozen=True):
    """What a folder of arrays was made from; `stamp` is the state of the store, `files` what each file must be."""

    format: str
    stamp: str
    settings: Settings
    files: dict[str, Seen]


def write_shelf(arrays: Arrays, settings: Settings, folder: Path, *, stamp: str, lexicon: bytes = b"") -> None:
    """Write the arrays to `folder` so that it appears whole or not at all; an older one is replaced.

    Raises:
        OSError: the disk is full or may not be written; nothing is left behind.
    """
    folder.parent.mkdir(parents=True, exist_ok=True)
    _sweep(folder)
    work = Path(tempfile.mkdtemp(prefix=f"{folder.name}.new-", dir=folder.parent))
    try:
        with _lasting(work / _LEXICON) as file:
            file.write(lexicon)
        for name in arrays.__struct_fields__:
            with _lasting(work / f"{name}.npy") as file:
                np.save(file, getattr(arrays, name))
        files = {path.name: _seen(path) for path in work.iterdir()}
        with _lasting(work / _MANIFEST) as file:
            file.write(msgspec.json.encode(Manifest(FORMAT, stamp, settings, files)))
        work.chmod(folder.parent.stat().st_mode & 0o777)  # who may read the folder may read the index
        _swap_in(work, folder)
    finally:
        shutil.rmtree(work, ignore_errors=True)


def read_shelf(folder: Path, settings: Settings, *, stamp: str) -> Shelf:
    """Open the arrays of `folder`.

    Raises:
        IndexProblem: they are absent, damaged, of another version or settings, or made from another state of the store.
    """
    try:
        written = (folder / _MANIFEST).read_bytes()
        manifest = msgspec.json.decode(written, type=Manifest)
        if (manifest.format, manifest.stamp, manifest.settings) != (FORMAT, stamp, settings):
            raise IndexProblem(f"the index {folder} is of another version or state")
        for name, seen in manifest.files.items():
            if _seen(folder / name) != seen:
                raise IndexProblem(f"the index file {folder / name} is damaged")
        arrays = Arrays(**{name: _map(folder / f"{name}.npy") for name in Arrays.__struct_fields__})
        _check_whole(arrays, folder)
        lexicon = (folder / _LEXICON).read_bytes()
        if (folder / _MANIFEST).read_bytes() != written:
            raise IndexProblem(f"the index {folder} was replaced while it was opened")
    except (OSError, ValueError, EOFError, msgspec.DecodeError) as error:
        raise IndexProblem(f"the index {folder} cannot be read ({error})") from error
    return Shelf(arrays, settings, lexicon)


def _seen(path: Path) -> Seen:
    with path.open("rb") as file:
        start = crc32(file.read(CHECKED))
        return Seen(os.fstat(file.fileno()).st_size, start)


@contextmanager
def _lasting(path: Path) -> Iterator[BinaryIO]:
    """Open a file to write; what was written is on the disk, not only on its way there, when it is closed."""
    with path.open("wb") as file:
        yield file
        file.flush()
        os.fsync(file.fileno())


def _sweep(folder: Path) -> None:
    """Remove what builds that were killed have left beside the folder."""
    for left in folder.parent.glob(f"{folder.name}.*-*"):
        try:
            if time.time() - left.stat().st_mtime > LEFT_BEHIND:
                shutil.rmtree(left, ignore_errors=True)
        except FileNotFoundError:
            pass  # another process was quicker


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
        len(arrays.top) == len(arrays.column) == len(arrays.term_head) == terms,
        int(arrays.ptr[-1]) == len(arrays.doc) == len(arrays.imp),
        int(arrays.term_at[-1]) == len(arrays.terms),
        int(arrays.word_at[-1]) == len(arrays.words),
        len(arrays.word_at) - 1 == len(arrays.word_head) == len(arrays.word_count) == len(arrays.better),
        len(arrays.near) == len(arrays.near_share) == places,
    )
    if not all(fit):
        raise IndexProblem(f"the arrays of the index {folder} do not fit one another")


def _swap_in(work: Path, folder: Path) -> None:
    """Put `work` in the place of `folder`; another process may be doing the same."""
    old = Path(tempfile.mkdtemp(prefix=f"{folder.name}.old-", dir=folder.parent))
    try:
        try:
            os.replace(folder, old / "was")
        except FileNotFoundError:
            pass  # there was none, or another process has just taken it away
        os.replace(work, folder)
    except OSError:
        if not (folder / _MANIFEST).exists():
            raise
        # Another process was quicker; what it put there is as good.
    finally:
        shutil.rmtree(old, ignore_errors=True)
