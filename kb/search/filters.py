"""What an answer may be limited to."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Literal, get_args

import msgspec

from kb.errors import NotFound
from kb.model import Nature
from kb.names import nearest_names

if TYPE_CHECKING:
    from kb.store import Store


class Filters(msgspec.Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """Limits of an answer; an empty one lets everything through.

    `nature`, `urgency` and `construction` are said of pages only, `state` and `airframe` of findings only: naming one
    leaves the other kind out. A page for any construction fits every construction.
    """

    only: Literal["pages", "findings"] | None = None
    system: str | None = None
    nature: str | None = None
    urgency: str | None = None
    construction: str | None = None
    state: str | None = None
    airframe: str | None = None

    @classmethod
    def of(cls, field: str, value: str) -> Filters:
        """Return the filter of one field.

        Raises:
            msgspec.ValidationError: there is no such field, or it takes other values.
        """
        return msgspec.convert({field: value}, cls)

    def check(self, store: Store) -> None:
        """Refuse names that the store does not know; nothing would ever fit them.

        Raises:
            NotFound: it names the nearest ones.
        """
        if self.system:
            _check_known("system", self.system, [system.id for system in store.entries.systems()])
        if self.nature:
            _check_known("nature", self.nature, get_args(Nature))
        if self.airframe:
            _check_known("airframe with findings", self.airframe, store.findings.airframes())

    @property
    def lets_pages(self) -> bool:
        """True when a page may be an answer."""
        return self.only != "findings" and not (self.state or self.airframe)

    @property
    def lets_findings(self) -> bool:
        """True when a finding may be an answer."""
        return self.only != "pages" and not (self.nature or self.urgency or self.construction)

    @property
    def choose_pages(self) -> dict[str, str]:
        """The fields that pages are chosen by."""
        named = {
            "system": self.system,
            "nature": self.nature,
            "urgency": self.urgency,
            "construction": self.construction,
        }
        return {name: value for name, value in named.items() if value}

    @property
    def choose_findings(self) -> dict[str, str]:
        """The fields that findings are chosen by."""
        return self._named("system", "state", "airframe")

    def _named(self, *names: str) -> dict[str, str]:
        return {name: value for name in names if (value := getattr(self, name))}

    def __str__(self) -> str:
        said = (getattr(self, name) for name in self.__struct_fields__)
        return ", ".join(value for value in said if value)


def _check_known(kind: str, name: str, known: Sequence[str]) -> None:
    if name.casefold() not in map(str.casefold, known):
        raise NotFound(kind, name, nearest_names(name, known))
