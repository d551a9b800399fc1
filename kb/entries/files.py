"""Where entry files are and whether they changed; cheap, since every start asks it."""

from __future__ import annotations

import hashlib
from pathlib import Path


def default_folder() -> Path:
    """Return the folder of entries that came with this installation."""
    return Path(__file__).resolve().parent.parent.parent / "seed_entries"


def fingerprint(folder: Path) -> str:
    """Return the SHA-256 over names and contents of all files of the folder, as hexadecimal text."""
    digest = hashlib.sha256()
    for path in entry_files(folder):
        data = path.read_bytes()
        digest.update(f"{path.relative_to(folder).as_posix()}\0{len(data)}\0".encode())
        digest.update(data)
    return digest.hexdigest()


def entry_files(folder: Path) -> list[Path]:
    """Return all TOML files of the folder, at any depth, sorted."""
    return sorted(path for path in folder.rglob("*.toml") if path.is_file())
