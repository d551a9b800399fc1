"""Writes packs, reads them, and merges what was read into the store."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from functools import partial
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import Any

import msgspec

from kb.errors import UsageProblem
from kb.exchange.archive import hash_of, opened
from kb.exchange.gathering import choose, gather
from kb.exchange.packform import FORMAT, Counts, Manifest, Member, Part, origin_of, sealed
from kb.exchange.packing import Held, write_pack
from kb.exchange.packrecords import PageJudge
from kb.exchange.unpack import Judges, Unpacked, read_pack
from kb.exchange.writing import written_whole
from kb.model import Entry, State
from kb.store import Store
from kb.store.merge import Incoming, Taken


class Packed(msgspec.Struct, frozen=True):
    """What was written: how much of each, what was left out, and the SHA-256 of the file."""

    path: str
    findings: int
    revisions: int
    airframes: int
    pages: int
    photos: int
    left_out: tuple[Part, ...]
    sha256: str


class Merged(msgspec.Struct, frozen=True):
    """What a merge brought, or would bring; what the pack had left out, when it was made, the SHA-256 of its file."""

    taken: Taken
    left_out: tuple[Part, ...]
    made: str
    sha256: str


class Packs:
    """Swaps findings between shops as files. Merging is a union by id: order and repetition change nothing."""

    def __init__(self, store: Store, known_names: Callable[[], Mapping[str, Collection[str]]] | None = None) -> None:
        """Swap what is in a store.

        Args:
            known_names: returns the names that a page may give in `limits` and in `keys`; all when None.
        """
        self._store = store
        self._known_names = known_names or dict

    def write(
        self,
        path: Path,
        *,
        findings: Sequence[str] | None = None,
        airframe: str | None = None,
        state: State | None = None,
        without_who: bool = False,
        without_airframe: bool = False,
        with_photos: bool | None = None,
        overwrite: bool = False,
    ) -> Packed:
        """Write findings with their whole histories, the shop's pages they are linked to, their aircraft and photos.

        Args:
            findings: their ids or the ends of them; all when None, withdrawn ones too: another shop may hold them.
            airframe, state: only findings that have these now.
            without_who: leave out initials and the name of the shop.
            without_airframe: give each aircraft another name and leave out what is known of it. The names are taken
                out of the texts; whatever else in them tells who it is stays, so read them before the pack is sent.
            with_photos: photos too; when None, unless the aircraft is left out, since a picture may show its marks.

        Raises:
            UsageProblem: there is nothing to pack, or too much, or the file is there already.
            NotFound: there is no such finding or airframe.
            NotWritten: the disk is full or the place cannot be written; nothing is left behind.
        """
        has_photos = not without_airframe if with_photos is None else with_photos
        chosen: dict[Part, bool] = {"who": without_who, "airframe": without_airframe, "photos": not has_photos}
        parts = tuple(part for part, is_out in chosen.items() if is_out)
        revisions = choose(self._store, findings=findings, airframe=airframe, state=state)
        held = gather(self._store, revisions, parts)
        counts = _counts(held)
        with written_whole(path, overwrite=overwrite) as file:
            write_pack(file, held, partial(self._manifest, counts, parts, held.absent))
        return Packed(path=str(path), left_out=parts, sha256=hash_of(path), **msgspec.structs.asdict(counts))

    def read(self, path: Path) -> Unpacked:
        """Return what a pack holds, verified whole.

        Raises:
            PackRefused: it is no pack, damaged, too large, or holds what no pack may; the sentence says which.
            UsageProblem: it came from this store with parts left out.
        """
        judges = Judges(now=self._store.now(), known_photos=self._store.photos.known, page=self._page_judge())
        unpacked = read_pack(path, judges)
        members = unpacked.manifest.members
        if unpacked.manifest.left_out and unpacked.manifest.origin == origin_of(self._store.identity(), members):
            raise UsageProblem(
                "this pack came from this very store, with parts left out: its findings would stand here twice"
            )
        return unpacked

    def merge(self, source: Path | Unpacked, *, only_count: bool = False) -> Merged:
        """Take in what a pack holds, in one transaction; with `only_count`, say what would come and keep nothing.

        Raises:
            PackRefused: see read; or its histories and photos are whole neither by themselves nor with this store.
            Clash: a record here has the id of another one in the pack.
        """
        unpacked = self.read(source) if isinstance(source, Path) else source
        unpacked.check_with(self._known_revisions, self._store.photos.known)
        with opened(unpacked.path) as archive:
            incoming = Incoming(
                revisions=unpacked.revisions,
                airframes=unpacked.airframes,
                pages=unpacked.pages,
                photos={name: partial(photo.read, archive) for name, photo in unpacked.photos.items()},
            )
            taken = self._store.merge.take(incoming, only_count=only_count)
        return Merged(taken, unpacked.manifest.left_out, unpacked.manifest.made, unpacked.sha256)

    def _manifest(
        self, counts: Counts, parts: tuple[Part, ...], absent: tuple[str, ...], members: tuple[Member, ...]
    ) -> Manifest:
        manifest = Manifest(
            format=FORMAT,
            made=self._store.now(),
            program=_program(),
            origin=origin_of(self._store.identity(), members),
            left_out=parts,
            counts=counts,
            absent=absent,
            members=members,
        )
        return sealed(manifest)

    def _known_revisions(self, ids: Iterable[str]) -> dict[str, str]:
        return {name: one.finding for name, one in self._store.revisions.known(ids).items()}

    def _page_judge(self) -> PageJudge:
        systems = {system.id for system in self._store.entries.systems()}

        def judge(entry: Entry) -> Iterator[tuple[tuple[Any, ...], str, str]]:
            from kb.entries.rules import check_answers, check_entry

            names = self._known_names()
            yield from check_entry(entry, file_id=entry.id, folder_name=entry.system)
            yield from check_answers(entry, limits=names.get("limits"), keys=names.get("keys"))
            if systems and entry.system not in systems:
                yield ("system",), f"'{entry.system}' is no system that is known here", ""

        return judge


def _counts(held: Held) -> Counts:
    findings = len({one.finding for one in held.revisions})
    return Counts(findings, len(held.revisions), len(held.airframes), len(held.pages), len(held.photos))


def _program() -> str:
    try:
        return version("oddfix")
    except PackageNotFoundError:
        return "unknown"
