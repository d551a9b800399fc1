"""The ring of keys as the Desk hands it out: every key by name, one key whole, and its answer to evidence."""

from __future__ import annotations

from collections.abc import Mapping

from kb.identify.load import key, keys
from kb.identify.model import Identification, Key, KeyName
from kb.identify.rank import identify


class KeyRing:
    """All keys that come with the program. It remembers no evidence."""

    def names(self) -> tuple[KeyName, ...]:
        """Return every key by id and title, in the order of the ids."""
        return keys()

    def names_for(self, entry_id: str, listed: tuple[str, ...] = ()) -> tuple[KeyName, ...]:
        """Return the keys that name a page, and those the page itself lists; in the order of the ids.

        Raises:
            KeyProblems: the file of a key is broken.
        """
        return tuple(name for name in keys() if name.id in listed or entry_id in key(name.id).entries)

    def key(self, key_id: str) -> Key:
        """Return one key.

        Raises:
            NotFound: no key of that id; the nearest are named.
            KeyProblems: its file is broken.
        """
        return key(key_id)

    def answer(self, key_id: str, evidence: Mapping[str, str | float]) -> Identification:
        """Return where every candidate stands; see `kb.identify.rank.identify`.

        Raises:
            NotFound, EvidenceProblem, KeyProblems: as there.
        """
        return identify(key_id, evidence)
