"""Advice: what could be better on pages that pass every check; each kind is given when it should be, and not else."""

from __future__ import annotations

import pytest
from msgspec import structs

from kb.entries.advice import LED_FROM, advise
from kb.entries.folder import Folder
from kb.model import Entry, LookAlso


@pytest.fixture
def page(seed: Folder) -> Entry:
    """A page on which nothing is to be advised but that nobody leads to it."""
    page = seed.entries["breaker-too-big-for-wire"]
    return structs.replace(
        page, look_also=(), causes=tuple(structs.replace(cause, entry=None) for cause in page.causes)
    )


def _said(*pages: Entry) -> list[str]:
    return [f"{item.page} {item.field}: {item.text}" for item in advise({page.id: page for page in pages})]


def _linked(page: Entry, name: str, *targets: str) -> Entry:
    return structs.replace(page, id=name, look_also=tuple(LookAlso(why="so", entry=target) for target in targets))


def test_a_page_that_nobody_leads_to_is_named(page: Entry) -> None:
    """And is no longer once another links to it."""
    assert _said(page) == [f"{page.id} look_also: no page leads here"]
    assert _said(_linked(page, "one", "two"), _linked(page, "two", "one")) == []


def test_a_page_that_many_lead_to_is_asked_to_lead_back(page: Entry) -> None:
    """From three on; one link back is enough."""
    others = [
        _linked(page, f"other-{number}", "middle", f"other-{(number + 1) % LED_FROM}") for number in range(LED_FROM)
    ]
    lonely = f"middle look_also: {LED_FROM} pages lead here and none is led back to"
    assert _said(*others, _linked(page, "middle")) == [lonely]
    assert _said(*others, _linked(page, "middle", "other-1")) == []
    fewer = [*others[1:], _linked(page, "other-0", "other-1")]
    assert _said(*fewer, _linked(page, "middle")) == []


def test_a_look_at_what_all_causes_nearly_share_is_named(page: Entry) -> None:
    """One step between the words is little; two are enough."""
    look = page.looks[0]

    def with_words(first: str, others: str) -> Entry:
        causes = tuple(
            structs.replace(cause, signs={**cause.signs, look.settles: first if number == 0 else others})
            for number, cause in enumerate(page.causes)
        )
        return structs.replace(page, causes=causes, looks=(look,))

    assert any("looks.1: settles little" in text for text in _said(with_words("usually", "sometimes")))
    assert not any("settles little" in text for text in _said(with_words("usually", "seldom")))


def test_a_page_without_a_source_that_was_read_is_named(page: Entry) -> None:
    """Restated by others is not read."""
    sources = tuple(structs.replace(source, checked="secondary") for source in page.sources)
    said = f"{page.id} sources: rests on no document that was read"
    assert said in _said(structs.replace(page, sources=sources))
    assert said not in _said(page)


@pytest.mark.parametrize(
    ("sentence", "is_named"),
    [
        ("The dent may stay.", True),
        ("Such wear is acceptable.", True),
        ("All looks well. Then it may be flown; look again.", True),
        ("The dent may stay if it is shallower than the maker's figure.", False),
        ("Such wear is acceptable up to 0.003 in. (7-64).", False),
        ("Such wear is not acceptable.", False),
        ("The dent may grow.", False),
    ],
)
def test_a_sentence_that_lets_pass_wants_its_condition(page: Entry, sentence: str, is_named: bool) -> None:
    """Named when nothing in the sentence bounds it."""
    remedy = structs.replace(page.remedy, steps=(sentence,))
    assert any("lets something pass" in text for text in _said(structs.replace(page, remedy=remedy))) is is_named
