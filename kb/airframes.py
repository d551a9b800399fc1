"""Airframes: what the shop knows of each aircraft, kept with its history, beside what it found on it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, get_args

import msgspec

from kb.content import TEXT_LIMIT, clean_text
from kb.errors import NotFound, UsageProblem
from kb.model import Airframe, Construction
from kb.names import nearest_names
from kb.store import Store

CONSTRUCTIONS = tuple(name for name in get_args(Construction) if name != "any")
EARLIEST = 1900
FIELDS = ("construction", "built", "outdoors", "about")
"""What may be said of an airframe, and unsaid."""


class KnownAirframe(msgspec.Struct, frozen=True):
    """An airframe of which there is a record, or findings, or both; withdrawn findings are not counted."""

    name: str
    open: int
    findings: int
    record: Airframe | None = None


class Airframes:
    """What is known of each aircraft, by the name the shop gives it; letters' case is ignored."""

    def __init__(self, store: Store) -> None:
        self._store = store

    def keep(
        self,
        name: str,
        *,
        construction: str | None = None,
        built: int | None = None,
        outdoors: bool | None = None,
        about: str | None = None,
        clear: Sequence[str] = (),
        who: str | None = None,
    ) -> Airframe:
        """Keep what is said of an airframe as a new record and return it; what is not said stays as it was.

        Args:
            clear: fields of FIELDS that are to be unknown again.

        Raises:
            UsageProblem: a value makes no sense, or nothing is said at all.
        """
        name = _needed(name)
        given = {"construction": construction, "built": built, "outdoors": outdoors, "about": about}
        said: dict[str, Any] = {field: value for field, value in given.items() if value is not None}
        self._check(said, clear)
        if "about" in said:
            said["about"] = clean_text(about, "what is said about it", limit=TEXT_LIMIT)
        said |= dict.fromkeys(clear)
        said |= {"who": clean_text(who, "the initials", is_needed=False), "shop": self._store.shop()}
        name = self._names().get(_key(name), name)
        return self._store.airframes.change(name, lambda before: msgspec.structs.replace(before, **said))

    def get(self, name: str) -> KnownAirframe:
        """Return an airframe that has a record or findings.

        Raises:
            NotFound: it has neither; it names the nearest airframes.
        """
        names = self._names()
        if (key := _key(name)) not in names:
            raise NotFound("airframe", name, nearest_names(name, list(names.values())))
        called = names[key]
        states = dict(self._store.findings.counts("state", airframe=called))
        return KnownAirframe(called, states.get("open", 0), sum(states.values()), self._store.airframes.get(called))

    def history(self, name: str) -> list[Airframe]:
        """Return all records of an airframe, oldest first.

        Raises:
            NotFound: see get.
        """
        return self._store.airframes.history(self.get(name).name)

    def all(self) -> list[KnownAirframe]:
        """Return every airframe that has a record or findings, by name."""
        counted = self._counted()
        pending = self._counted("open")
        records = {_key(one.name): one for one in self._store.airframes.all()}  # the latest comes last
        return [
            KnownAirframe(name, pending.get(key, 0), counted.get(key, 0), records.get(key))
            for key, name in sorted(self._names().items())
        ]

    def near(self, name: str) -> tuple[str, ...]:
        """Return airframes with names like this one, which may have been meant; none when it is one of them."""
        names = self._names()
        return () if _key(name) in names else nearest_names(name, list(names.values()))

    def years(self, name: str) -> int | None:
        """Return the years since an airframe was built, or None when that is not known; no rebuilding is counted."""
        record = self._store.airframes.get(name.strip())
        return None if record is None or record.built is None else max(0, self._store.today().year - record.built)

    def _names(self) -> dict[str, str]:
        """Return the name of each airframe as it was spelt first, by the name without case."""
        names = [one.name for one in self._store.airframes.all()] + self._store.findings.airframes()
        return {_key(name): name for name in reversed(names)}

    def _counted(self, state: str | None = None) -> dict[str, int]:
        return {_key(str(name)): n for name, n in self._store.findings.counts("airframe", state=state)}

    def _check(self, said: dict[str, Any], clear: Sequence[str]) -> None:
        if not said and not clear:
            raise UsageProblem(f"say what is known of it: {', '.join(FIELDS)}")
        for field in clear:
            if field not in FIELDS:
                raise UsageProblem(f"'{field}' is nothing said of an airframe; use: {', '.join(FIELDS)}")
            if field in said:
                raise UsageProblem(f"{field} is said and cleared at once; do one of the two")
        if "construction" in said and said["construction"] not in CONSTRUCTIONS:
            raise UsageProblem(f"'{said['construction']}' is no construction; use: {', '.join(CONSTRUCTIONS)}")
        latest = self._store.today().year
        if "built" in said and not EARLIEST <= said["built"] <= latest:
            raise UsageProblem(f"it was not built in {said['built']}; give a year from {EARLIEST} to {latest}")


def _needed(name: str) -> str:
    cleaned = clean_text(name, "the airframe")
    assert cleaned  # clean_text refuses an empty one
    return cleaned


def _key(name: str) -> str:
    """Return a name as the store compares names: without case, of ASCII letters alone."""
    return name.strip().encode("utf-8", "replace").lower().decode()
