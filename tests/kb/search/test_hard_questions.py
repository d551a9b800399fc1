"""Questions nobody would ask on purpose: each gets an answer or one clear sentence."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kb.desk import Desk
from kb.search import Searcher
from tests.conftest import Ran

Run = Callable[..., Ran]

HARD = {
    "one word of ten thousand letters": "a" * 10_000,
    "ten thousand different words": " ".join(f"w{number:x}" for number in range(1700))[:10_000],
    "known words, many": ("crack rib spar leak worn cable oil fuel rust paint dope " * 200)[:10_000],
    "quotes that never close": '"' * 10_000,
    "minus signs": "-" * 10_000,
    "each word excluded": "-spar -rib " * 900,
    "fractions": "1/2-3/0-0/0 " * 800,
    "control characters": "".join(map(chr, range(32))) * 300,
    "control characters among words": "white\x00 strings\x1b[2J in the\x9b strainer\x07",
    "directions": "\u202e\u2066\u200f" * 3000,
    "Cyrillic": "Масло течёт из-под прокладки, трос перетёрт " * 200,
    "Chinese": "发动机漏油" * 2000,
    "punctuation": "?!.,;:()[]{}<>|\\/@#$%^&*~`'_=+" * 300,
    "accents on accents": "e\u0301\u0327" * 3000,
    "half characters": "\ud800 \udfff strings",
    "blanks of all kinds": "\u00a0\u2003\u3000\t\v\f" * 1500 + "strings",
}


@pytest.mark.parametrize("asked", HARD.values(), ids=HARD.keys())
def test_a_hard_question_gets_hits_or_one_sentence(run_cli: Run, asked: str) -> None:
    """On the command line: hits and 0, or nothing printed, one sentence and 1 or 2; the terminal stays tame."""
    ran = run_cli("ask", "--json", "--", asked)
    assert ran.exit_code in (0, 1, 2)
    assert bool(ran.exit_code) == (not ran.out or ran.data == [])
    said = [line for line in ran.err.splitlines() if line.startswith("oddfix:")]
    assert len(said) == (1 if ran.exit_code else 0)
    assert "Traceback" not in ran.err
    assert not set("\x00\x07\x1b\x9b\u202e\u2066") & set(ran.out + ran.err)


def test_what_is_known_among_control_characters_is_found(run_cli: Run) -> None:
    """They part words and hide none."""
    ran = run_cli("ask", "--json", HARD["control characters among words"])
    assert ran.data[0]["id"] == "thread-tape-in-fuel-fittings"


@pytest.fixture(scope="module")
def searcher(seeded_store: Path) -> Searcher:
    """A search over the seed pages, asked and never changed."""
    return Desk.open(seeded_store).search


@settings(max_examples=80, deadline=None)
@given(
    text=st.text(max_size=200)
    | st.lists(st.sampled_from(['"', "-", "oil", "an3-5a", "½", "л", "\x00", " "])).map("".join)
)
def test_any_text_is_answered_with_shares_in_falling_order(searcher: Searcher, text: str) -> None:
    """Never an error, never a score outside 0 to 1."""
    scores = [hit.score for hit in searcher.ask(text).hits]
    assert scores == sorted(scores, reverse=True)
    assert all(0 < score <= 1 for score in scores)
