"""Near misses of names: which known names a mistyped one may have meant."""

from __future__ import annotations

from collections.abc import Sequence

NEAREST = 3
"""Names offered at most; more would be a list, not a hint."""


def nearest_names(name: str, known: Sequence[str]) -> tuple[str, ...]:
    """Return up to three known names like `name`, nearest first; none when nothing is near (below 60 of 100)."""
    from rapidfuzz import fuzz, process

    hits = process.extract(name[:200], known, scorer=fuzz.WRatio, limit=NEAREST, score_cutoff=60)
    return tuple(hit[0] for hit in hits)
