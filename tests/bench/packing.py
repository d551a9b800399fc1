"""Packs between two shops: `python -m tests.bench.packing [FINDINGS] [PHOTOS]`.

A shop keeps findings of open data, half of them changed once, on a hundred aircraft, and shows photos of some 2 MB.
Each act runs in a process of its own, which prints its time and the most memory it held; the start is not counted.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import msgspec

from kb.exchange.pack import Packs
from kb.ids import new_id
from kb.model import Content, Revision
from kb.photo_files import read_photo
from kb.store import Store
from kb.store.merge import Incoming
from tests.bench.memory import most_mb
from tests.bench.records import need, records

FINDINGS = 10_000
PHOTOS = 50
AIRFRAMES = 100


def main(findings: int, photos: int) -> None:
    need("faa_sdr_narratives")
    with tempfile.TemporaryDirectory() as made:
        folder = Path(made)
        fill(Store(folder / "north.db"), findings, photos)
        Store(folder / "other.db")
        for act in ACTS:
            done = subprocess.run(
                [sys.executable, "-m", "tests.bench.packing", act, made], capture_output=True, text=True, check=True
            )
            _say(done.stdout.strip())


def fill(store: Store, findings: int, photos: int) -> None:
    """Keep so many findings, every second one changed once, the first of them with a photo each."""
    names = store.photos.put(read_photo(body).photo for body in _pictures(photos))
    revisions = list(_revisions(findings, names))
    taken = store.merge.take(Incoming(revisions=sorted(revisions, key=lambda one: one.id)))
    _say(f"{taken.findings:,} findings in {taken.revisions:,} revisions, {len(names)} photos, {AIRFRAMES} aircraft")


def _revisions(findings: int, photos: list[str]) -> Iterator[Revision]:
    made = "2020-01-01T00:00:00Z"
    for number, text in enumerate(records(findings, seed=7)):
        identifier = new_id()
        shown = tuple(photos[number : number + 1])
        content = Content(airframe=f"AB-{number % AIRFRAMES}", text=text[:20_000] or "-", photos=shown, who="kp")
        first = Revision(id=identifier, finding=identifier, said="added", made=made, **msgspec.structs.asdict(content))
        yield first
        if number % 2:
            yield msgspec.structs.replace(
                first, id=new_id(after=identifier), previous=identifier, said="corrected", state="corrected"
            )


def _pictures(count: int) -> Iterator[bytes]:
    import io

    from PIL import Image

    for number in range(count):
        body = io.BytesIO()
        dots = Image.frombytes("L", (1600, 1200), os.urandom(1600 * 1200))
        Image.merge("RGB", [dots, dots.rotate(180), dots]).save(body, "JPEG", quality=75 + number % 3)
        yield body.getvalue()


def _write(folder: Path) -> str:
    path = folder / "whole.oddpack"
    packed = Packs(Store(folder / "north.db")).write(path)
    return f"{path.stat().st_size / 1e6:.1f} MB, {packed.revisions:,} revisions"


def _write_less(folder: Path) -> str:
    path = folder / "less.oddpack"
    packed = Packs(Store(folder / "north.db")).write(path, without_who=True, without_airframe=True)
    return f"{path.stat().st_size / 1e6:.1f} MB, {packed.revisions:,} revisions"


def _read(folder: Path) -> str:
    return f"{len(Packs(Store(folder / 'other.db')).read(folder / 'whole.oddpack').revisions):,} revisions proved"


def _merge(folder: Path) -> str:
    taken = Packs(Store(folder / "other.db")).merge(folder / "whole.oddpack").taken
    return f"{taken.revisions:,} revisions and {taken.photos} photos new, {taken.already:,} here already"


ACTS: dict[str, tuple[str, Callable[[Path], str]]] = {
    "write": ("written", _write),
    "less": ("written without who and aircraft", _write_less),
    "read": ("verified", _read),
    "merge": ("merged", _merge),
    "again": ("merged again", _merge),
}


def _act(name: str, folder: Path) -> None:
    called, act = ACTS[name]
    start, held = time.perf_counter(), most_mb()
    said = act(folder)
    _say(f"{called}: {time.perf_counter() - start:.2f} s, {most_mb():.0f} MB at most ({held:.0f} before); {said}")


def _say(text: str) -> None:
    sys.stdout.write(text + "\n")


if __name__ == "__main__":
    if len(sys.argv) > 2 and sys.argv[1] in ACTS:
        _act(sys.argv[1], Path(sys.argv[2]))
    else:
        main(*(int(number) for number in sys.argv[1:3]), *(FINDINGS, PHOTOS)[len(sys.argv) - 1 :])
