"""What memory a process holds for itself, told apart by what is behind it (Linux)."""

from __future__ import annotations

from pathlib import Path


def own_mb() -> float:
    """Return MB that no file is behind: what this process has made and cannot share."""
    return _rollup("Anonymous")


def mapped_mb() -> float:
    """Return MB of files that are mapped and in memory just now; the system takes them back when it needs room."""
    return _rollup("Rss") - _rollup("Anonymous")


def unwritten_mb() -> float:
    """Return MB of mapped files that the system has still to write to the disk: they belong to whoever wrote them."""
    return _rollup("Private_Dirty") + _rollup("Shared_Dirty") - _rollup("Anonymous")


def most_mb() -> float:
    """Return MB that this process has had in memory at most, files among them."""
    lines = Path("/proc/self/status").read_text(encoding="ascii").splitlines()
    return next(int(line.split()[1]) for line in lines if line.startswith("VmHWM:")) / 1024


def _rollup(name: str) -> float:
    lines = Path("/proc/self/smaps_rollup").read_text(encoding="ascii").splitlines()
    return next(int(line.split()[1]) for line in lines if line.startswith(f"{name}:")) / 1024
