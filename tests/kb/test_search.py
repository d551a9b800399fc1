"""The search: ranking against an independent reckoning, the index, the delta, and how questions are read."""

from __future__ import annotations

import shutil
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from sklearn.feature_extraction.text import CountVectorizer
from sklearn.metrics.pairwise import linear_kernel

from kb.desk import Desk
from kb.entries.folder import Folder
from kb.errors import IndexProblem
from kb.model import Term
from kb.search.build import build
from kb.search.delta import Delta
from kb.search.fields import ENTRY_WEIGHTS, FINDING_WEIGHTS, entry_fields
from kb.search.lexicon import Lexicon
from kb.search.question import read_question
from kb.search.respell import respell
from kb.search.score import best, score
from kb.search.settings import LENGTH_SHARE, SATURATION
from kb.search.shelf import Shelf, read_shelf, write_shelf
from kb.text import analyze

FLAT = {"text": 1.0}
RECORDS = [
    {"text": "white strings in the strainer bowl"},
    {"text": "strainer bowl gasket of cork, bowl leaks"},
    {"text": "control cable worn at the pulley"},
    {"text": ""},
]
NO_WORDS = Lexicon.of_words([])


def _ask(shelf: Shelf | Delta, text: str) -> list[float]:
    question = read_question(text, NO_WORDS, is_known=lambda term: True, respell=lambda word: [])
    return [float(value) for value in score(question, shelf)]


def test_scores_equal_scikit_learns_product_on_the_same_weights(seed: Folder) -> None:
    """Ranking checked from outside: scikit-learn counts and multiplies; the formula is written out here again.

    Source of the formula: Robertson and Zaragoza (2009), sections 3.4 and 3.5 (from memory).
    """
    records = [entry_fields(entry) for entry in seed.entries.values()]
    shelf = Shelf(build(records, range(len(records)), ENTRY_WEIGHTS))
    counter = CountVectorizer(analyzer=analyze).fit([text for record in records for text in record.values()])
    tf = np.zeros((len(records), len(counter.vocabulary_)))
    for name, weight in ENTRY_WEIGHTS.items():
        counts = counter.transform([record[name] for record in records]).toarray().astype(float)
        length = counts.sum(axis=1, keepdims=True)
        tf = tf + weight * counts / (1 - LENGTH_SHARE + LENGTH_SHARE * length / length.mean())
    df = (tf > 0).sum(axis=0)
    weights = np.log1p((len(records) - df + 0.5) / (df + 0.5)) * tf * (SATURATION + 1) / (SATURATION + tf)
    for text in ("white strings strainer", "cable pulley worn", "enamel cracked dope fabric", "breaker wire"):
        asked = counter.transform([text]).toarray().astype(float)
        expected = linear_kernel(asked, weights)[0]
        ours = np.array(_ask(shelf, text))
        assert np.allclose(ours / ours.max(), expected / expected.max(), atol=1e-5)


def test_the_delta_weighs_like_the_index_with_the_same_statistics() -> None:
    """The quick twin and the plain one agree, so that folding in moves no hit."""
    records = [{"text": r["text"], "action": "cleaned", "airframe": "one"} for r in RECORDS]
    shelf = Shelf(build(records, range(4), FINDING_WEIGHTS))
    delta = Delta(FINDING_WEIGHTS, shelf.means, lambda term: shelf.idf(shelf.find(term)))
    for key, record in enumerate(records):
        delta.add(record, key)
    for text in ("strainer bowl", "worn cable cleaned", "one"):
        assert _ask(delta, text) == pytest.approx(_ask(shelf, text), abs=1e-5)


def test_an_empty_shelf_answers_nothing() -> None:
    """A new shop has no findings."""
    assert _ask(Shelf(build([], [], FLAT)), "anything") == []


def test_records_without_a_word_are_never_hits() -> None:
    """An empty record has nothing to match."""
    assert best(score_of(["", "   ", "!!!"], "strings"), 5) == []


def score_of(texts: list[str], question: str) -> NDArray[np.float32]:
    """The scores of plain texts."""
    return np.array(
        _ask(Shelf(build([{"text": text} for text in texts], range(len(texts)), FLAT)), question), np.float32
    )


def test_equal_scores_keep_the_order_of_records() -> None:
    """The same question always gets the same answer."""
    assert best(score_of(["cork bowl", "cork bowl", "cork bowl", "other"], "cork"), 5) == [0, 1, 2]


@settings(max_examples=60, deadline=None)
@given(st.lists(st.text("ab -/'é0", max_size=30), max_size=6), st.text("ab -/'é0\"", max_size=20))
def test_every_score_lies_between_nothing_and_all(texts: list[str], question: str) -> None:
    """0 to 1, whatever is asked of whatever is stored."""
    scores = score_of(texts, question)
    assert scores.size == 0 or (scores.min() >= 0 and scores.max() <= 1 + 1e-6)


def test_an_index_is_read_back_as_written(tmp_path: Path) -> None:
    """Through the disk and the memory map."""
    arrays = build(RECORDS, range(4), FLAT)
    write_shelf(arrays, tmp_path / "shelf", stamp="one", lexicon=b"{}")
    assert _ask(read_shelf(tmp_path / "shelf", stamp="one"), "strainer bowl") == _ask(Shelf(arrays), "strainer bowl")


@pytest.mark.parametrize("harm", ["stale", "absent", "cut", "manifest", "no array", "swapped"])
def test_a_damaged_stale_or_foreign_index_is_refused(tmp_path: Path, harm: str) -> None:
    """It is never half believed."""
    folder = tmp_path / "shelf"
    write_shelf(build(RECORDS, range(4), FLAT), folder, stamp="one")
    if harm == "absent":
        shutil.rmtree(folder)
    elif harm == "cut":
        (folder / "imp.npy").write_bytes((folder / "imp.npy").read_bytes()[:-3])
    elif harm == "manifest":
        (folder / "manifest.json").write_bytes(b'{"format": 1')
    elif harm == "no array":
        (folder / "doc.npy").unlink()
    elif harm == "swapped":
        (folder / "doc.npy").write_bytes(b"x" * (folder / "doc.npy").stat().st_size)
    with pytest.raises(IndexProblem):
        read_shelf(folder, stamp="two" if harm == "stale" else "one")


def test_a_damaged_index_is_rebuilt_by_the_next_question(store_path: Path) -> None:
    """Nobody has to know that there is one."""
    first = Desk.open(store_path).search.ask("strings in the strainer")
    for array in Path(f"{store_path}.index").rglob("*.npy"):
        array.write_bytes(b"damaged")
    assert Desk.open(store_path).search.ask("strings in the strainer") == first


def test_an_index_that_cannot_be_kept_still_answers(store_path: Path) -> None:
    """A file stands where the folder should be."""
    shutil.rmtree(f"{store_path}.index")
    Path(f"{store_path}.index").write_text("in the way", encoding="utf-8")
    assert Desk.open(store_path).search.ask("strings in the strainer").hits


def test_findings_beyond_the_fold_are_indexed_and_still_found(
    store_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Kept in the index or new, a finding is found."""
    monkeypatch.setattr("kb.search.searcher.FOLD_IN", 5)
    desk = Desk.open(store_path)
    for number in range(13):
        desk.findings.add(f"fluff number{number} behind the pump", airframe="A")
        assert desk.search.ask(f"number{number}").hits[0].title.startswith(f"fluff number{number} ")
    again = Desk.open(store_path).search
    assert [len(again.ask(f"number{number}").hits) for number in range(13)] == [1] * 13


def test_the_same_question_gets_the_same_answer(desk: Desk, store_path: Path) -> None:
    """In this process and in another."""
    asked = "cracked paint on the wing"
    assert desk.search.ask(asked) == desk.search.ask(asked) == Desk.open(store_path).search.ask(asked)


def test_the_id_of_a_page_finds_it_first(desk: Desk, seed: Folder) -> None:
    """With hyphens or blanks, the exact name stands first."""
    for entry_id in list(seed.entries)[::7]:
        assert desk.search.ask(entry_id).hits[0].id == entry_id
        assert desk.search.ask(entry_id.replace("-", " ").upper()).hits[0].id == entry_id


@pytest.mark.parametrize(
    ("typed", "meant"),
    [("gascolater", "gascolator"), ("turnbukle", "turnbuckle"), ("fuell", "fuel"), ("lonegron", "longeron")],
)
def test_a_misspelt_word_becomes_its_nearest(typed: str, meant: str) -> None:
    """Optimal string alignment, ties by frequency."""
    known = ["gascolator", "turnbuckle", "fuel", "full", "longeron", "turnbuckles"]
    assert respell(typed, known, lambda word: 1)[0] == meant


@pytest.mark.parametrize("typed", ["an35", "2024", "xyz", "zzzzzzzz"])
def test_codes_short_words_and_nonsense_are_left_alone(typed: str) -> None:
    """A part number one digit off is another part."""
    assert respell(typed, ["an36", "2025", "xyy", "gascolator"], lambda word: 1) == []


def test_shorthand_is_met_both_ways() -> None:
    """`l/g` finds landing gear, and landing gear finds `l/g` with less weight."""
    lexicon = Lexicon.of_words([Term(say="l/g", means=("landing gear",), kind="shorthand")])
    there = next(iter(lexicon.meanings(["l/g"])))[2][0]
    back = next(iter(lexicon.meanings(["landing", "gear"])))[2][0]
    assert (there.shown, back.shown) == ("landing gear", "l/g")
    assert back.weight < there.weight < 1


def test_a_lexicon_survives_being_kept(seed: Folder) -> None:
    """Bytes and back."""
    lexicon = Lexicon.of_words(seed.words)
    again = Lexicon.from_bytes(lexicon.to_bytes())
    assert list(again.meanings(["bungee", "cord"])) == list(lexicon.meanings(["bungee", "cord"]))


@settings(max_examples=100, deadline=None)
@given(st.text())
def test_any_question_can_be_read(text: str) -> None:
    """Quotes that never close, lone signs, other scripts."""
    read_question(text, NO_WORDS, is_known=lambda term: False, respell=lambda word: [])
