"""The search: ranking against an independent reckoning, the index, the delta, and how questions are read."""

from __future__ import annotations

import re
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
from kb.search.filters import Filters
from kb.search.keep import read_shelf, write_shelf
from kb.search.lexicon import Lexicon
from kb.search.misspelt import far_commoner
from kb.search.pick import best
from kb.search.question import read_question
from kb.search.respell import respell
from kb.search.score import Scorer
from kb.search.settings import FINDINGS, PAGES, Settings
from kb.search.shelf import Shelf
from kb.text import analyze

FLAT = {"text": 1.0}
RECORDS = [
    {"text": "white strings in the strainer bowl"},
    {"text": "strainer bowl gasket of cork, bowl leaks"},
    {"text": "control cable worn at the pulley"},
    {"text": ""},
]
NO_WORDS = Lexicon.of_words([])


PLAIN = Settings(saturation=1.5, length_share=0.5, scale=100)


def _shelf(texts: list[str]) -> Shelf:
    return Shelf(build([{"text": text} for text in texts], range(len(texts)), FLAT, PLAIN), PLAIN)


def _scores(shelf: Shelf | Delta, text: str) -> NDArray[np.int64]:
    question = read_question(text, NO_WORDS, is_known=lambda word, term: True, respell=lambda word: [])
    return Scorer(shelf).score(question)[: shelf.size].astype(np.int64)


def test_scores_equal_scikit_learns_product_on_the_same_weights(seed: Folder) -> None:
    """Ranking checked from outside: scikit-learn counts and multiplies; the formula is written out here again.

    Source of the formula: Robertson and Zaragoza (2009), sections 3.4 and 3.5 (from memory). Our impacts are whole
    numbers, so that each word may be off by half a step.
    """
    records = [entry_fields(entry) for entry in seed.entries.values()]
    shelf = Shelf(build(records, range(len(records)), ENTRY_WEIGHTS, PAGES), PAGES)
    counter = CountVectorizer(analyzer=analyze).fit([text for record in records for text in record.values()])
    tf = np.zeros((len(records), len(counter.vocabulary_)))
    for name, weight in ENTRY_WEIGHTS.items():
        counts = counter.transform([record[name] for record in records]).toarray().astype(float)
        length = counts.sum(axis=1, keepdims=True)
        b = PAGES.length_share
        tf = tf + weight * counts / (1 - b + b * length / length.mean())
    df = (tf > 0).sum(axis=0)
    k1 = PAGES.saturation
    weights = np.log1p((len(records) - df + 0.5) / (df + 0.5)) * tf * (k1 + 1) / (k1 + tf)
    for text in ("white strings strainer", "cable pulley worn", "enamel cracked dope fabric", "breaker wire"):
        asked = counter.transform([text]).toarray().astype(float)
        expected = linear_kernel(asked, weights)[0] * PAGES.scale
        assert np.abs(_scores(shelf, text) - expected).max() <= 0.5 * asked.sum() + 1e-3


def test_the_delta_weighs_like_the_index_with_the_same_statistics() -> None:
    """The quick twin and the plain one agree, so that folding in moves no hit."""
    records = [{"all": record["text"]} for record in RECORDS]
    shelf = Shelf(build(records, range(4), FINDING_WEIGHTS, FINDINGS), FINDINGS)
    delta = Delta(FINDING_WEIGHTS, shelf.means, FINDINGS, lambda term: shelf.idf(shelf.find(term)))
    for key, record in enumerate(records):
        delta.add(record, key)
    for text in ("strainer bowl", "worn cable cleaned", "one"):
        assert np.abs(_scores(delta, text) - _scores(shelf, text)).max() <= 1


def test_columns_and_lists_give_the_same_scores(monkeypatch: pytest.MonkeyPatch) -> None:
    """A large shelf keeps its commonest words as columns; nobody can tell from the answer."""
    words = ["bowl", "cork", "strings", "cable", "worn", "pulley", "screw"]
    texts = [" ".join(words[i % 7 : i % 7 + 1 + i % 4]) for i in range(300)]
    lists = _shelf(texts)
    monkeypatch.setattr("kb.search.build.DENSE_SIZE", 1)
    columns = _shelf(texts)
    assert lists.column(lists.find("cork")) is None
    assert columns.column(columns.find("cork")) is not None
    for text in ("cork", "cork strings", "bowl cork strings cabl worn pulley screw", "cork -worn"):
        assert (_scores(columns, text) == _scores(lists, text)).all()


@settings(max_examples=60, deadline=None)
@given(st.lists(st.integers(0, 50), max_size=9000), st.integers(1, 30))
def test_the_best_are_those_that_sorting_would_give(values: list[int], limit: int) -> None:
    """Quick twin against plain one, many ties included, small and large."""
    scores = np.zeros(-(-len(values) // 64) * 64, dtype=np.uint16)
    scores[: len(values)] = values
    plain = sorted((n for n, value in enumerate(values) if value), key=lambda n: (-values[n], n))[:limit]
    assert best(scores, limit) == plain


def test_a_scorer_forgets_the_question_before() -> None:
    """Its rows are used again and again."""
    shelf = _shelf(["cork bowl", "o-ring bowl", "oring", "cable-end worn", "other"])
    scorer = Scorer(shelf)
    asked = ["o-ring bowl", "cork", "cable-end", "cork bowl -cork", "o-ring"]
    questions = [
        read_question(text, NO_WORDS, is_known=lambda word, term: True, respell=lambda word: []) for text in asked
    ]
    fresh = [Scorer(shelf).score(question).tolist() for question in questions]
    assert [scorer.score(question).tolist() for question in questions] == fresh


def test_the_best_of_a_large_shelf_are_those_that_sorting_would_give() -> None:
    """Above the size where blocks are used."""
    scores = np.random.default_rng(7).integers(0, 40, 64 * 200).astype(np.uint16)
    plain = sorted((n for n in range(len(scores)) if scores[n]), key=lambda n: (-int(scores[n]), n))
    for limit in (1, 3, 10, 500, 20_000):
        assert best(scores, limit) == plain[:limit]


def test_an_empty_shelf_answers_nothing() -> None:
    """A new shop has no findings."""
    assert best(_scores(_shelf([]), "anything"), 5) == []


def test_records_without_a_word_are_never_hits() -> None:
    """An empty record has nothing to match."""
    assert best(_scores(_shelf(["", "   ", "!!!"]), "strings"), 5) == []


def test_equal_scores_keep_the_order_of_records() -> None:
    """The same question always gets the same answer."""
    assert best(_scores(_shelf(["cork bowl", "cork bowl", "cork bowl", "other"]), "cork"), 5) == [0, 1, 2]


@settings(max_examples=60, deadline=None)
@given(st.lists(st.text("ab -/'é0", max_size=30), min_size=1, max_size=6), st.text("ab -/'é0\"", max_size=20))
def test_no_score_passes_the_ceiling(texts: list[str], text: str) -> None:
    """So that a share of it lies between 0 and 1."""
    shelf = _shelf(texts)
    question = read_question(text, NO_WORDS, is_known=lambda word, term: True, respell=lambda word: [])
    scorer = Scorer(shelf)
    assert scorer.score(question).max() <= scorer.ceiling(question, 1.0)


def test_a_page_of_words_does_not_overflow() -> None:
    """A hundred rare words in one record add up to more than 65,535 steps."""
    words = [f"rareword{chr(97 + i // 26)}{chr(97 + i % 26)}" for i in range(110)]
    steep = Settings(saturation=20, length_share=0, scale=4000)
    records = [{"text": " ".join(words)}, {"text": "other"}]
    shelf = Shelf(build(records, range(2), FLAT, steep), steep)
    scores = _scores(shelf, " ".join(words))
    assert scores[0] > 65_535
    assert scores[1] == 0


def test_an_index_is_read_back_as_written(tmp_path: Path) -> None:
    """Through the disk and the memory map."""
    arrays = build(RECORDS, range(4), FLAT, PLAIN)
    write_shelf(arrays, PLAIN, tmp_path / "shelf", stamp="one", lexicon=b"{}")
    again = read_shelf(tmp_path / "shelf", PLAIN, stamp="one")
    assert (_scores(again, "strainer bowl") == _scores(Shelf(arrays, PLAIN), "strainer bowl")).all()
    assert again.lexicon == b"{}"


@pytest.mark.parametrize("harm", ["stale", "absent", "cut", "manifest", "no array", "swapped", "another size"])
def test_a_damaged_stale_or_foreign_index_is_refused(tmp_path: Path, harm: str) -> None:
    """It is never half believed."""
    folder = tmp_path / "shelf"
    write_shelf(build(RECORDS, range(4), FLAT, PLAIN), PLAIN, folder, stamp="one")
    if harm == "absent":
        shutil.rmtree(folder)
    elif harm == "cut":
        (folder / "imp.npy").write_bytes((folder / "imp.npy").read_bytes()[:-3])
    elif harm == "manifest":
        (folder / "manifest.json").write_bytes(b'{"format": 1')
    elif harm == "no array":
        (folder / "doc.npy").unlink()
    elif harm == "another size":
        np.save(folder / "df.npy", np.zeros(3, dtype=np.int32))
        manifest = (folder / "manifest.json").read_text(encoding="utf-8")
        size = (folder / "df.npy").stat().st_size
        (folder / "manifest.json").write_text(re.sub(r'"df.npy":\d+', f'"df.npy":{size}', manifest), encoding="utf-8")
    elif harm == "swapped":
        (folder / "doc.npy").write_bytes(b"x" * (folder / "doc.npy").stat().st_size)
    with pytest.raises(IndexProblem):
        read_shelf(folder, PLAIN, stamp="two" if harm == "stale" else "one")


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
    monkeypatch.setattr("kb.search.stock.FOLD_IN", 5)
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
    read_question(text, NO_WORDS, is_known=lambda word, term: False, respell=lambda word: [])


def test_pages_are_limited_by_what_they_say(desk: Desk, seed: Folder) -> None:
    """System, nature, urgency; a page for any construction fits each."""
    asked = "crack in the wing"
    for filters in (Filters(system="wood"), Filters(nature="wear-or-decay"), Filters(urgency="before-return")):
        hits = desk.search.ask(asked, filters=filters).hits
        assert hits
        for hit in hits:
            entry = seed.entries[hit.id]
            named = filters.choose_pages
            assert all(getattr(entry, name) == value for name, value in named.items())
    for hit in desk.search.ask(asked, filters=Filters(construction="wood")).hits:
        assert {"wood", "any"} & set(seed.entries[hit.id].construction)


def test_findings_are_limited_by_airframe_state_and_system(desk: Desk) -> None:
    """And naming one of these leaves the pages out."""
    desk.findings.add("cracked quibblefish", airframe="One", state="deferred", system="wood")
    desk.findings.add("cracked quibblefish", airframe="Two", system="fuel")
    for filters, airframe in (
        (Filters(airframe="one"), "One"),
        (Filters(state="open"), "Two"),
        (Filters(system="wood", only="findings"), "One"),
    ):
        hits = desk.search.ask("cracked quibblefish", filters=filters).hits
        assert [hit.airframe for hit in hits] == [airframe]


def test_more_like_a_page_names_its_neighbours_and_not_itself(desk: Desk, seed: Folder) -> None:
    """Of pages on two systems, most find one of their own system among the two nearest."""
    pages = [entry for entry in seed.entries.values() if entry.system in ("fabric", "controls")]
    near = {entry.id: [hit.id for hit in desk.search.like(entry, limit=2).hits] for entry in pages}
    assert all(name not in ids for name, ids in near.items())
    kin = sum(any(seed.entries[one].system == seed.entries[name].system for one in ids) for name, ids in near.items())
    assert kin >= 0.7 * len(pages)


def test_a_rare_word_of_the_records_is_also_read_as_its_far_commoner_neighbour() -> None:
    """Real records hold typos; the word as typed still counts most."""
    words, counts = ["cylinder", "cylindr", "rocket", "rocker"], [400, 2, 3, 50]
    better = far_commoner(words, counts)
    assert [words[n] if n >= 0 else None for n in better] == [None, "cylinder", None, None]
