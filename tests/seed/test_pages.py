"""What every shipped page must be, beyond its schema."""

from __future__ import annotations

import re
import tomllib
from collections import Counter
from itertools import product
from pathlib import Path
from typing import get_args

import pytest

from kb.entries.advice import Advice, advise
from kb.entries.folder import Folder
from kb.entries.telling import CLEAR, spread
from kb.entries.wording import texts_of
from kb.model import Nature

GAPS = tomllib.loads((Path(__file__).parent.parent / "data" / "natures.toml").read_text(encoding="utf-8"))["gap"]

OFTEN_WRONG = {"fuel", "fabric", "wood", "controls", "hardware", "corrosion", "records"}
"""Systems in which old aircraft go wrong most."""


@pytest.fixture(scope="module")
def advice(seed: Folder) -> list[Advice]:
    """What the check would say of the shipped pages beyond problems."""
    return advise(seed.entries)


def test_there_are_pages_enough_in_every_system(seed: Folder) -> None:
    """240 in all, eight a system, fifteen where old aircraft go wrong more."""
    pages = Counter(entry.system for entry in seed.entries.values() if not entry.is_withdrawn)
    assert pages.total() >= 240
    assert {system: pages[system] for system in seed.systems if pages[system] < 8} == {}
    assert {system: pages[system] for system in OFTEN_WRONG if pages[system] < 15} == {}


def test_every_nature_is_met_in_every_system_where_it_makes_sense(seed: Folder) -> None:
    """The gaps are those of natures.toml, no more and no fewer, each with its reason."""
    met = {(entry.system, entry.nature) for entry in seed.entries.values()}
    gaps = {pair for pair in product(seed.systems, get_args(Nature)) if pair not in met}
    assert gaps == {(gap["system"], gap["nature"]) for gap in GAPS}
    for gap in GAPS:
        assert len(gap["why"]) > 40
        assert all(seed.entries[name].system == gap["system"] for name in gap.get("answered_by", []))


def test_every_page_is_led_to_from_another_and_links_go_both_ways(advice: list[Advice]) -> None:
    """A page that three or more lead to leads back to one of them."""
    assert [str(item) for item in advice if item.field == "look_also"] == []


def test_nearly_every_look_divides_the_causes(seed: Folder, advice: list[Advice]) -> None:
    """A look whose sign all causes show nearly alike is named in the advice; few are left."""
    weak = [item for item in advice if item.field.startswith("looks.") and "settles little" in item.text]
    assert len(weak) == sum(
        spread(entry, look.settles) < CLEAR for entry in seed.entries.values() for look in entry.looks
    )
    assert len(weak) <= 0.03 * sum(len(entry.looks) for entry in seed.entries.values())


def test_what_lets_pass_carries_its_condition(advice: list[Advice]) -> None:
    """Sentences with allowed, may, acceptable or within limits and nothing that bounds them; what is left was read."""
    assert [(item.page, item.field) for item in advice if "lets something pass" in item.text] == []


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
