"""The analyzer: what counts as the same word."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.text import STOP_WORDS, analyze, fold, is_code, terms_of, words_of


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("O-ring", "o-rings"),
        ("safety-wire", "safetywire"),
        ("L/H", "lh"),
        ("3/8", ".375"),
        ("0.375", "3⁄8"),
        ("1-1/2", "1.5"),
        ("1½", "1.50"),
        ("Tôle", "tole"),
        ("cracked", "cracks"),
        ("mechanic's", "mechanics"),
        ("20A", "20 amps"),
        ("AN3-5A", "an35a"),
        ("don’t", "don't"),
    ],
)
def test_two_spellings_share_their_first_term(one: str, other: str) -> None:
    """People and pages write the same thing in different ways."""
    assert analyze(one)[0] == analyze(other)[0]


def test_parts_of_a_compound_are_found_alone() -> None:
    """`o ring` in two words must meet `O-ring`."""
    assert {"o", "ring"} <= set(analyze("O-ring")) & set(analyze("o ring"))


def test_evidence_words_are_never_stop_words() -> None:
    """No, not, off, on, over and under decide what a find is."""
    assert not {"no", "not", "off", "on", "over", "under", "loose", "down"} & STOP_WORDS


def test_part_numbers_are_not_stemmed() -> None:
    """A code is a name, not an English word."""
    assert is_code("2024-t3")
    assert terms_of("ms20365") == ("ms20365",)


@given(st.text())
def test_folding_twice_changes_nothing(text: str) -> None:
    """Folded text is a fixed point."""
    assert fold(fold(text)) == fold(text)


@given(st.text())
def test_any_text_can_be_analyzed(text: str) -> None:
    """No text makes the analyzer fail or yield an empty term."""
    assert all(analyze(text))


@given(st.text())
def test_words_stand_where_they_say(text: str) -> None:
    """A word's place in the folded text holds that word."""
    folded = fold(text)
    assert all(folded[word.start : word.end].startswith(word.raw) for word in words_of(folded))
