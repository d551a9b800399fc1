"""The sorted list of texts: found by its first letters as a number, then by the whole."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from kb.search.texts import Texts, pack


@settings(max_examples=100, deadline=None)
@given(st.sets(st.text("abcé", min_size=1, max_size=12)), st.text("abcé", min_size=1, max_size=12))
def test_a_text_is_found_at_its_place_or_not_at_all(texts: set[str], other: str) -> None:
    """However many share their first letters."""
    kept = sorted(text.encode() for text in texts)
    packed = Texts(*pack(kept))
    assert [packed.find(text) for text in kept] == list(range(len(kept)))
    assert packed.find(other.encode()) == (kept.index(other.encode()) if other in texts else -1)
