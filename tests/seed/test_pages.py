"""What every shipped page must be, beyond its schema."""

from __future__ import annotations

import re

from kb.entries.folder import Folder
from kb.entries.rules import texts_of


def test_seven_pages_of_ten_rest_on_a_source_that_was_read(seed: Folder) -> None:
    """The others say so themselves."""
    read = sum(any(source.checked == "read" for source in entry.sources) for entry in seed.entries.values())
    assert read >= 0.7 * len(seed.entries)


def test_every_page_cites_two_sources_a_caution_and_a_never(seed: Folder) -> None:
    """The least a reader may expect."""
    for entry in seed.entries.values():
        assert len(entry.sources) >= 2, entry.id
        assert entry.remedy.before, entry.id
        assert entry.remedy.never, entry.id


def test_no_page_calls_an_aircraft_airworthy(seed: Folder) -> None:
    """`unairworthy` and the rule's own words may be quoted; our verdict it never is."""
    for entry in seed.entries.values():
        for path, text in texts_of(entry):
            assert not re.search(r"\b(is|are|remains?) airworthy\b", text), (entry.id, path)


def test_words_people_use_stand_on_every_page(seed: Folder) -> None:
    """Search lives on them."""
    assert all(len(entry.words) >= 4 for entry in seed.entries.values())
