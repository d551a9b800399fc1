"""Says of the kept index whether the next question can open it; it is disposable, so this is never a fault."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

import msgspec

from kb.errors import IndexProblem
from kb.search.keep import FORMAT, Manifest, read_shelf
from kb.search.settings import FINDINGS, FOLD_IN, PAGES, Settings
from kb.search.spans import kept_spans, stamp_of
from kb.store import Store, index_folder

IndexState = Literal["current", "absent", "stale", "damaged"]


def index_states(store: Store) -> dict[str, IndexState]:
    """Return the state of each kept part: pages, and findings once there are enough of them to be kept apart."""
    folder, table = index_folder(store.path), store.findings
    states = {"pages": _state(folder / "pages", PAGES, store.entries.stamp())}
    for span in kept_spans(table.last_number(), FOLD_IN):
        stamp = stamp_of(span, table.mark_at(span.up_to))
        states[span.folder.replace("-", " ")] = _state(folder / span.folder, FINDINGS, stamp)
    return states


def _state(folder: Path, settings: Settings, stamp: str) -> IndexState:
    if not folder.exists():
        return "absent"
    try:
        read_shelf(folder, settings, stamp=stamp)
        return "current"
    except IndexProblem:
        return "damaged" if _made_from(folder) in (None, (FORMAT, stamp, settings)) else "stale"


def _made_from(folder: Path) -> tuple[str, str, Settings] | None:
    try:
        manifest = msgspec.json.decode((folder / "manifest.json").read_bytes(), type=Manifest)
    except (OSError, msgspec.MsgspecError):
        return None
    return manifest.format, manifest.stamp, manifest.settings
