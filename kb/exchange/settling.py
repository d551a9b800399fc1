"""Decides what each judged row does to the store: a new finding, a new revision, nothing, or refused."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime, timedelta
from typing import Any

import msgspec

from kb.content import checked
from kb.errors import KbError
from kb.exchange.judging import Trouble, content_in, content_of
from kb.ids import new_id
from kb.model import Content, Finding, Revision
from kb.store import Store
from kb.store.imports import Present

_WHO = ("who", "shop")

Judged = tuple[int, list[str], Content | Finding | Trouble]
"""A row's number in the file, its cells, and what the judge said of it."""


class Settled(msgspec.Struct):
    """What a batch of rows comes to; `refused` holds the cells of each refused row with its trouble."""

    revisions: list[Revision] = []
    new: int = 0
    revised: int = 0
    here: int = 0
    refused: list[tuple[Trouble, list[str]]] = []


def names_in(batch: Iterable[Judged]) -> set[str]:
    """Return the ids of findings and revisions that rows of a batch name."""
    findings = (what for _, _, what in batch if isinstance(what, Finding))
    return {name for finding in findings for name in (finding.id, finding.revision)}


def settle(batch: Sequence[Judged], present: Present, store: Store, *, who: str | None) -> Settled:
    """Return what the rows of a batch come to, given what the store holds of the ids they name."""
    settled, now = Settled(), store.now()
    latest, revisions = dict(present.latest), dict(present.revisions)
    for number, cells, what in batch:
        try:
            made = what if isinstance(what, Trouble) else _made(what, latest, revisions, store, who=who, now=now)
        except KbError as error:
            made = Trouble(number, None, str(error))
        if isinstance(made, Trouble):
            settled.refused.append((msgspec.structs.replace(made, row=number), cells))
        elif made is None:
            settled.here += 1
        else:
            is_new = made.finding not in latest
            settled.new, settled.revised = settled.new + is_new, settled.revised + (not is_new)
            settled.revisions.append(made)
            latest[made.finding] = revisions[made.id] = made
    return settled


def _made(
    what: Content | Finding,
    latest: dict[str, Revision],
    revisions: dict[str, Revision],
    store: Store,
    *,
    who: str | None,
    now: str,
) -> Revision | Trouble | None:
    if not isinstance(what, Finding):
        identifier = new_id()
        return Revision(id=identifier, finding=identifier, said="imported", made=now, **content_in(what))
    last, base = latest.get(what.id), revisions.get(what.revision)
    if base and base.finding != what.id:
        return _refused("its revision belongs to another finding; leave ids and revisions as oddfix wrote them")
    if not last:
        return _as_it_was(what, now)
    if _same(what, last, even_who=what.revision == last.id):
        return None
    if what.revision == last.id or (base and _same(base, last)):
        return _next(what, last, store, said="revised", who=who, now=now)
    if base and _same(what, base):
        # The row says nothing new. Only what was taken back is to be there again, since it is asked for again.
        is_back = last.said == "undone" and last.state == "withdrawn"
        return _next(what, last, store, said="imported", who=who, now=now) if is_back else None
    return _refused(f"finding {what.id[-8:]} was changed meanwhile; export it again and change it there")


def _as_it_was(finding: Finding, now: str) -> Revision | Trouble:
    """Return the first revision that this store knows of a finding made elsewhere; its ids and times stay."""
    # Later ids are made greater than those before them: one from the far future would leave no room.
    if max(finding.id, finding.revision)[:13] > _latest_start(now):
        return _refused("its id says that it was made in the future; see that this machine's clock is right")
    if finding.revision < finding.id:
        return _refused("its revision is older than itself; leave ids and revisions as oddfix wrote them")
    return Revision(
        id=finding.revision, finding=finding.id, said=finding.said, made=finding.revised, **content_in(finding)
    )


def _next(what: Finding, last: Revision, store: Store, *, said: Any, who: str | None, now: str) -> Revision:
    changed = {name: value for name, value in content_in(what).items() if value != getattr(last, name)}
    good = content_of(content_in(last) | checked(changed, store) | ({"who": who} if who else {}))
    return Revision(
        id=new_id(after=last.id), finding=what.id, said=said, made=now, previous=last.id, **content_in(good)
    )


def _same(one: Content, other: Content, *, even_who: bool = False) -> bool:
    left, right = content_in(one), content_in(other)
    return all(left[name] == right[name] for name in left if even_who or name not in _WHO)


def _latest_start(now: str) -> str:
    """Return the start of an id that would be made a day from now."""
    moment = datetime.fromisoformat(now.replace("Z", "+00:00")) + timedelta(days=1)
    milliseconds = f"{int(moment.timestamp() * 1000):012x}"
    return f"{milliseconds[:8]}-{milliseconds[8:]}"


def _refused(text: str) -> Trouble:
    return Trouble(0, None, text)
