"""Gathers from the store what a pack is to hold, without what is to be left out."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from functools import partial

from kb.errors import NotFound, UsageProblem
from kb.exchange.packform import Part
from kb.exchange.packing import Held
from kb.exchange.redact import Redactor
from kb.model import Airframe, Entry, OwnPage, Revision, State
from kb.names import nearest_names
from kb.store import Store
from kb.store.photos import Photo


def choose(
    store: Store, *, findings: Sequence[str] | None, airframe: str | None, state: State | None
) -> list[Revision]:
    """Return the whole histories of the findings chosen, rising by id; withdrawn ones too, unless a state is named.

    Raises:
        UsageProblem: they are chosen in two ways, or there are none.
        NotFound: there is no finding of this name, or no airframe.
    """
    if findings is not None and (airframe or state):
        raise UsageProblem("name findings, or choose them by aircraft and state, not both")
    ids: Iterable[str] | None = None
    if findings is not None:
        ids = [_named(store, name) for name in findings]
    elif airframe or state:
        states = [state] if state else [None, "withdrawn"]
        rows = [row for one in states for row in store.findings.all(airframe=airframe, state=one)]
        if airframe and not rows and airframe.casefold() not in map(str.casefold, known := store.findings.airframes()):
            raise NotFound("airframe with findings", airframe, nearest_names(airframe, known))
        ids = [row.finding.id for row in rows]
    revisions = store.revisions.all(ids)
    if not revisions:
        raise UsageProblem("there are no findings to pack; oddfix findings lists them")
    return revisions


def gather(store: Store, revisions: Sequence[Revision], parts: Sequence[Part]) -> Held:
    """Return the histories with their aircraft, the pages of the shop's own they lead to, and their photos.

    Photos that the store has not, since the findings came in a table, are named as absent.
    """
    airframes = [] if "airframe" in parts else _airframes(store, revisions)
    pages = _pages(store, revisions)
    shown = set() if "photos" in parts else {name for one in revisions for name in one.photos}
    photos = sorted(store.photos.known(shown))
    if not parts:
        reading = {name: partial(store.photos.get, name) for name in photos}
        return Held(revisions, airframes, pages, reading, absent=tuple(sorted(shown - reading.keys())))
    bare, bare_reading = _bare_photos(store, photos)
    redactor = Redactor(
        parts,
        store.secret() if "airframe" in parts else "",
        names=_every_name(store, revisions) if "airframe" in parts else (),
        photos=bare,
    )
    said_pages = [said for page in pages if (said := redactor.page(page))]
    return Held(
        redactor.revisions(revisions),
        sorted(map(redactor.airframe, airframes), key=lambda one: one.id),
        sorted(said_pages, key=lambda one: one.id),
        bare_reading,
    )


def _named(store: Store, name: str) -> str:
    matches = store.findings.ending(name.lower()) if len(name) >= 4 else []
    if len(matches) != 1:
        raise NotFound("finding", name, [finding.id for finding in matches[:3]])
    return matches[0].id


def _airframes(store: Store, revisions: Iterable[Revision]) -> list[Airframe]:
    named = {one.airframe.encode().lower() for one in revisions}  # letters' case is ignored as the store does
    return [one for one in store.airframes.all() if one.name.encode().lower() in named]


def _every_name(store: Store, revisions: Iterable[Revision]) -> set[str]:
    known = {*store.findings.airframes(), *(one.name for one in store.airframes.all())}
    return known | {one.airframe for one in revisions}


def _pages(store: Store, revisions: Iterable[Revision]) -> list[OwnPage]:
    """Return all records of the shop's own pages that the findings lead to, and of those that these lead to."""
    records: dict[str, list[OwnPage]] = {}
    for one in store.pages.all():
        records.setdefault(one.page, []).append(one)
    reached: set[str] = set()
    ahead = {page for one in revisions for page in one.entries} & records.keys()
    while ahead:
        reached |= ahead
        linked = {page for name in ahead for record in records[name] for page in _links(record.body)}
        ahead = (linked & records.keys()) - reached
    return sorted((record for name in reached for record in records[name]), key=lambda one: one.id)


def _links(entry: Entry) -> set[str]:
    named = [entry.replaced_by, *(one.entry for one in entry.causes), *(one.entry for one in entry.look_also)]
    return {name for name in named if name}


def _bare_photos(store: Store, names: Sequence[str]) -> tuple[dict[str, str], dict[str, Callable[[], Photo]]]:
    """Return what each photo is called once nothing stands beside its picture, and how it is read.

    One that cannot be had so is left out: a picture that was kept with its position may be built so.
    """
    from kb.photo_files import NoPhoto

    bare: dict[str, str] = {}
    reading: dict[str, Callable[[], Photo]] = {}
    for name in names:
        try:
            bare[name] = _bare_photo(store, name).sha256
        except NoPhoto:
            continue
        is_bare = bare[name] == name
        reading[bare[name]] = partial(store.photos.get, name) if is_bare else partial(_bare_photo, store, name)
    return bare, reading


def _bare_photo(store: Store, name: str) -> Photo:
    from kb.photo_files import read_photo

    return read_photo(store.photos.get(name).body).photo
