"""Where entry files are and whether they changed; cheap, since every start asks it."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterator
from pathlib import Path


def default_folder() -> Path:
    """Return the folder of entries that came with this installation."""
    return Path(__file__).resolve().parent.parent.parent / "seed_entries"


def fingerprint(folder: Path) -> str:
    """Return the SHA-256 over names and contents of all files of the folder, as hexadecimal text."""
    digest = hashlib.sha256()
    start = len(os.fspath(folder)) + 1
    for path in _toml_paths(os.fspath(folder)):
        with open(path, "rb") as file:
            data = file.read()
        digest.update(f"{path[start:]}\0{len(data)}\0".encode())
        digest.update(data)
    return digest.hexdigest()


def entry_files(folder: Path) -> list[Path]:
    """Return all TOML files of the folder, at any depth, sorted."""
    return [Path(path) for path in _toml_paths(os.fspath(folder))]


def _toml_paths(folder: str) -> list[str]:
    return sorted(_walk(folder)) if os.path.isdir(folder) else []


def _walk(folder: str) -> Iterator[str]:
    # Plain strings and os.scandir: with some hundred files, path objects would cost more than reading them.
    for item in os.scandir(folder):
        if item.is_dir():
            yield from _walk(item.path)
        elif item.name.endswith(".toml"):
            yield item.path
