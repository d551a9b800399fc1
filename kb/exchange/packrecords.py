"""Reads the records of a pack line by line; each is one of ours in every field, or the pack is refused."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from datetime import date, datetime
from typing import Any, TypeVar

import msgspec

from kb.exchange.archive import Archive
from kb.exchange.packform import MOST_LINE, PackRefused
from kb.ids import milliseconds_of
from kb.model import Airframe, Entry, OwnPage, Revision

_Record = TypeVar("_Record", Revision, Airframe, OwnPage)

PageJudge = Callable[[Entry], Iterable[tuple[tuple[Any, ...], str, str]]]
"""Yields the place, the text and the remedy of each flaw of a page."""


def revisions_in(archive: Archive, name: str, latest: datetime) -> Iterator[Revision]:
    """Give the revisions of a member.

    Raises:
        PackRefused: one is none, out of order, made after `latest` or before what it was made from.
    """
    for revision in _records(archive, name, Revision, latest):
        named = (revision.finding, *parents_of(revision))
        if any(len(name) != 36 for name in named) or any(len(photo) != 64 for photo in revision.photos):
            raise PackRefused(f"revision {revision.id!r} is not named as a revision is")
        if any(parent >= revision.id for parent in parents_of(revision)) or revision.finding > revision.id:
            raise PackRefused(f"revision {revision.id} comes before what it was made from")
        if revision.joins and not revision.previous:
            raise PackRefused(f"revision {revision.id} joins others and was made from none")
        if revision.found is not None and not _is_day(revision.found):
            raise PackRefused(f"revision {revision.id}: '{revision.found}' is no day")
        yield revision


def airframes_in(archive: Archive, name: str, latest: datetime) -> Iterator[Airframe]:
    """Give the records of aircraft of a member; see revisions_in."""
    yield from _records(archive, name, Airframe, latest)


def pages_in(archive: Archive, name: str, latest: datetime, judge: PageJudge) -> Iterator[OwnPage]:
    """Give the records of pages of a member; see revisions_in.

    Raises:
        PackRefused: the judge yields a flaw of one.
    """
    for page in _records(archive, name, OwnPage, latest):
        if page.body.id != page.page or page.page != page.page.strip():
            raise PackRefused(f"page {page.page} holds another page, {page.body.id}")
        for place, text, _ in judge(page.body):
            field = ".".join(map(str, place))
            raise PackRefused(f"page {page.page}, {field}: {text}; its sender may have a newer oddfix")
        yield page


def parents_of(revision: Revision) -> tuple[str, ...]:
    """Return the ids of what a revision was made from."""
    return tuple(name for name in (revision.previous, *revision.joins) if name)


def _records(archive: Archive, name: str, kind: type[_Record], latest: datetime) -> Iterator[_Record]:
    decoder: Any = msgspec.json.Decoder(kind)
    before = ""
    for number, line in enumerate(_lines(archive, name), start=1):
        place = f"{name}:{number}"
        try:
            record: _Record = decoder.decode(line)
        except (msgspec.DecodeError, UnicodeDecodeError, RecursionError) as error:
            raise PackRefused(f"{place} {error}") from error
        if len(record.id) != 36:  # a pattern that ends in $ lets a line feed through
            raise PackRefused(f"{place} '{record.id}' is no id")
        if record.id <= before:
            raise PackRefused(f"{place} does not rise by id")
        if milliseconds_of(record.id) > latest.timestamp() * 1000 or _moment(record.made, place) > latest:
            raise PackRefused(f"{place} was made in the future; one of the clocks is wrong")
        before = record.id
        yield record


def _lines(archive: Archive, name: str) -> Iterator[bytes]:
    rest = b""
    for chunk in archive.chunks(name):
        *lines, rest = (rest + chunk).split(b"\n")
        if max(map(len, lines), default=0) > MOST_LINE or len(rest) > MOST_LINE:
            raise PackRefused(f"{name} has a line that is longer than {MOST_LINE:,} bytes")
        yield from lines
    if rest:
        raise PackRefused(f"{name} ends in half a line")


def _moment(written: str, place: str) -> datetime:
    try:
        return datetime.fromisoformat(written)
    except ValueError:
        raise PackRefused(f"{place} '{written}' is no time") from None


def _is_day(written: str) -> bool:
    try:
        return date.fromisoformat(written).isoformat() == written
    except ValueError:
        return False
