"""What is shown cannot drive a terminal."""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.display import show_safely
from tests.conftest import HOSTILE


@given(st.text())
def test_no_control_or_invisible_character_is_left(text: str) -> None:
    """Only newlines, tabs and joiners between visible characters survive of the invisible ones."""
    left = {c for c in show_safely(text) if unicodedata.category(c) in {"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"}}
    assert left <= set("\n\t\u200c\u200d")


@given(st.text(st.characters(categories=["L", "N", "P"])))
def test_visible_text_is_left_alone(text: str) -> None:
    """Letters, digits and punctuation come through unchanged, but for the fillers that show nothing."""
    assert show_safely(text) == text or any(filler in text for filler in "\u115f\u1160\u3164\uffa0")


@given(st.text())
def test_one_line_has_no_line_break(text: str) -> None:
    """Lists count on one line being one line."""
    assert not set("\n\r\t") & set(show_safely(text, keep_lines=False))


@pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))
def test_hostile_text_can_be_printed_as_utf_8(text: str) -> None:
    """Whatever is stored can be written to a file or terminal."""
    assert show_safely(text).encode()
