"""Keeping: where the store is, whether it is whole, and backups of it. It opens none, so a damaged one is told of."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import msgspec

from kb.content import clean_text
from kb.errors import StoreUnavailable
from kb.store import Store, default_store, index_folder
from kb.store.backup import back_up, backups_folder, named_backup
from kb.store.health import examine, look_in
from kb.store.migrations import STEPS
from kb.store.restore import put_back

if TYPE_CHECKING:
    from kb.search.state import IndexState


class Kept(msgspec.Struct, frozen=True):
    """A file or folder with its size in bytes, and when it was last changed (UTC, ISO 8601)."""

    path: str
    size: int
    changed: str


class Report(msgspec.Struct, frozen=True):
    """What a look through the store found; no problem means that it is whole.

    `counts` are rows by table, `index` the state of each part of the index, which is never a problem.
    """

    path: str
    steps: tuple[str, ...]
    counts: dict[str, int]
    index: dict[str, IndexState]
    problems: tuple[str, ...]


class Whereabouts(msgspec.Struct, frozen=True):
    """Where everything is, None where there is none yet; `free` bytes of the disk.

    `waiting` are steps the next use of the store will take.
    """

    version: str
    path: str
    store: Kept | None
    index: Kept | None
    backups: tuple[Kept, ...]
    free: int
    steps: tuple[str, ...]
    waiting: tuple[str, ...]
    counts: dict[str, int]


class Restored(msgspec.Struct, frozen=True):
    """What was put back where, and where the store that stood there is kept now."""

    path: str
    backup: str
    aside: str | None


class Keeping:
    """Looks after one store file, which it opens only as far as each act needs."""

    def __init__(self, path: Path | None = None, *, clock: Callable[[], datetime] = lambda: datetime.now(UTC)) -> None:
        self.path = path or default_store()
        self._clock = clock

    def where(self) -> Whereabouts:
        """Return the places and sizes of store, index and backups, and what the store holds."""
        from importlib.metadata import version

        steps, counts = look_in(self.path) if self.path.exists() else ((), {})
        folder = backups_folder(self.path)
        backups = sorted(path for path in folder.glob("*.db")) if folder.exists() else []
        return Whereabouts(
            version=version("oddfix"),
            path=str(self.path),
            store=_kept(self.path),
            index=_kept(index_folder(self.path)),
            backups=tuple(kept for path in backups if (kept := _kept(path))),
            free=shutil.disk_usage(next(path for path in self.path.absolute().parents if path.exists())).free,
            steps=steps,
            waiting=tuple(step for step in STEPS if step not in steps),
            counts=counts,
        )

    def check(self) -> Report:
        """Look through the store without changing it.

        Raises:
            StoreUnavailable: there is none.
        """
        health = examine(self.path)
        return Report(str(self.path), health.steps, health.counts, self._index(health.steps), health.problems)

    def backup(self, target: Path | None = None, *, overwrite: bool = False) -> Kept:
        """Copy the store, which may be in use, to a file; into the folder of backups when None.

        Args:
            overwrite: replace a file that is there already, which is refused otherwise.

        Raises:
            UsageProblem, BackupFailed, StoreUnavailable: see kb.store.backup.
        """
        if not self.path.exists():
            raise StoreUnavailable(self.path, "does not exist", "there is nothing to back up yet")
        target = target or named_backup(self.path, "backup", self._now())
        if target.is_dir():
            target /= named_backup(self.path, f"{self.path.stem}-backup", self._now()).name
        back_up(self.path, target, overwrite=overwrite)
        kept = _kept(target)
        assert kept  # it was written just now
        return kept

    def restore(self, backup: Path) -> Restored:
        """Put a backup, once proved whole, in the place of the store, which is kept aside.

        Raises:
            UsageProblem, StoreTooNew, BackupDamaged, BackupFailed, StoreUnavailable: see kb.store.restore.
        """
        aside = put_back(backup, self.path, self._now())
        return Restored(str(self.path), str(backup), str(aside) if aside else None)

    def shop(self, name: str | None = None) -> str | None:
        """Return what the shop calls itself, after naming it if a name is given.

        Raises:
            UsageProblem: the name is empty or too long.
            StoreUnavailable: the store cannot be opened.
        """
        store = Store(self.path, clock=self._clock)
        if name is not None:
            good = clean_text(name, "the name of the shop")
            assert good  # clean_text refuses an empty one
            store.name_shop(good)
        return store.shop()

    def _index(self, steps: tuple[str, ...]) -> dict[str, IndexState]:
        """Return the state of the index; opening a store of another form would change it, so then there is none."""
        from kb.search.state import index_states

        if steps != STEPS:
            return {}
        try:
            return index_states(Store(self.path))
        except StoreUnavailable:
            return {}

    def _now(self) -> str:
        return self._clock().astimezone(UTC).isoformat(timespec="seconds").replace("+00:00", "Z")


def _kept(path: Path) -> Kept | None:
    """Return size and time of a file, with the log beside it, or of a folder with all it holds; None if absent."""
    if not path.exists():
        return None
    beside = [path, path.with_name(f"{path.name}-wal")]
    files = path.rglob("*") if path.is_dir() else (file for file in beside if file.exists())
    changed = datetime.fromtimestamp(path.stat().st_mtime, UTC).isoformat(timespec="seconds").replace("+00:00", "Z")
    return Kept(str(path), sum(file.stat().st_size for file in files if file.is_file()), changed)
