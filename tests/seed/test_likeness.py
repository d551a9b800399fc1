"""Near-copies: the quick way finds exactly what comparing all with all would find."""

from __future__ import annotations

from itertools import combinations, cycle

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rapidfuzz.fuzz import ratio

from kb.entries.folder import Folder
from kb.entries.likeness import ALIKE, Paragraph, near_copies, paragraphs_of


def _plainly(paragraphs: list[Paragraph], least: float) -> dict[frozenset[Paragraph], float]:
    """Every pair of different pages with its ratio, compared one by one."""
    return {
        frozenset((one, other)): score
        for one, other in combinations(paragraphs, 2)
        if one[0] != other[0] and (score := ratio(one[2], other[2])) >= least
    }


def _quickly(paragraphs: list[Paragraph], least: float) -> set[frozenset[Paragraph]]:
    return {frozenset((one, other)) for one, other, _ in near_copies(paragraphs, least=least)}


@pytest.fixture(scope="module")
def sample(seed: Folder) -> list[Paragraph]:
    """Each twentieth paragraph, and copies of some with more and more letters left out, on both sides of the border."""
    rows = paragraphs_of(seed.entries)[::20]
    copies = [
        (f"copy-of-{page}", path, text[: len(text) * (100 - cut) // 100])
        for (page, path, text), cut in zip(rows[::6], cycle(range(30)), strict=False)
    ]
    return rows + copies


@pytest.fixture(scope="module")
def plain(sample: list[Paragraph]) -> dict[frozenset[Paragraph], float]:
    """The ratios of the sample from 55 on, found by the double loop."""
    return _plainly(sample, 55.0)


@pytest.mark.parametrize("least", [55.0, 75.0, ALIKE, 95.0])
def test_the_quick_way_misses_nothing_and_adds_nothing(
    sample: list[Paragraph], plain: dict[frozenset[Paragraph], float], least: float
) -> None:
    """The same pairs as the double loop, at the border in use and at others."""
    expected = {pair for pair, score in plain.items() if score >= least}
    assert len(expected) >= 10
    assert _quickly(sample, least) == expected


@settings(deadline=None, max_examples=60)
@given(
    st.lists(st.tuples(st.sampled_from("abc"), st.text("aab é", max_size=24)), max_size=12),
    st.sampled_from([0.0, 50.0, 75.0, 90.0, 100.0]),
)
def test_the_quick_way_is_the_plain_way_for_any_texts(texts: list[tuple[str, str]], least: float) -> None:
    """Short texts of few letters stand on every border there is."""
    paragraphs: list[Paragraph] = [(page, ("steps", number), text) for number, (page, text) in enumerate(texts)]
    assert _quickly(paragraphs, least) == _plainly(paragraphs, least).keys()


def test_a_changed_letter_case_or_line_break_hides_no_copy(seed: Folder) -> None:
    """A copy is found again in capitals and broken over lines, one word apart."""
    original = next(row for row in paragraphs_of(seed.entries) if len(row[2]) > 200)
    page = seed.entries[original[0]]
    shouted = original[2].upper().replace(" ", "\n", 3).replace("THE", "THAT", 1)
    text = " ".join(shouted.split()).casefold()
    assert [score >= ALIKE for *_, score in near_copies([original, ("another-page", ("hazard",), text)])] == [True]
    assert not list(near_copies([original, (page.id, ("hazard",), text)]))
