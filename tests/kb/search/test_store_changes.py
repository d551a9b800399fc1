"""The search and a store that changes below it: another file in its place, a copy put back, findings revised."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest

from kb.desk import Desk


def _fill(desk: Desk, word: str, count: int) -> None:
    for number in range(count):
        desk.findings.add(f"{word} number{number}", airframe="A")


def _found(desk: Desk, word: str) -> list[str]:
    return sorted(hit.title for hit in desk.search.ask(word, limit=50).hits if hit.kind == "finding")


def _named(word: str, count: int) -> list[str]:
    return sorted(f"{word} number{number}" for number in range(count))


@pytest.mark.parametrize("fold_in", [5, 1000], ids=["kept index", "delta"])
def test_another_store_in_the_place_of_an_open_one_is_the_one_that_answers(
    store_path: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, fold_in: int
) -> None:
    """Same pages, as many findings; nothing of the store before is found."""
    monkeypatch.setattr("kb.search.stock.FOLD_IN", fold_in)
    desk = Desk.open(store_path)
    _fill(desk, "quibblefish", 7)
    assert _found(desk, "quibblefish") == _named("quibblefish", 7)
    _fill(Desk.open(tmp_path / "other.db"), "snorkelwort", 7)
    os.replace(tmp_path / "other.db", store_path)
    assert _found(desk, "quibblefish") == []
    assert _found(desk, "snorkelwort") == _named("snorkelwort", 7)
    assert desk.search.ask("quibblefish").unknown == ("quibblefish",)


@pytest.mark.parametrize("fold_in", [5, 1000], ids=["kept index", "delta"])
@pytest.mark.parametrize("is_open", [True, False], ids=["open", "opened anew"])
def test_a_copy_put_back_finds_what_it_held_and_nothing_later(
    store_path: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, fold_in: int, is_open: bool
) -> None:
    """Its index was kept by the store that went on; what was added or changed after the copy is gone again."""
    monkeypatch.setattr("kb.search.stock.FOLD_IN", fold_in)
    desk = Desk.open(store_path)
    _fill(desk, "quibblefish", 6)
    shutil.copy(store_path, tmp_path / "copy.db")
    first = desk.findings.all()[-1]
    desk.findings.revise(first.id, text="altogether different")
    _fill(desk, "snorkelwort", 2)
    assert len(_found(Desk.open(store_path), "snorkelwort")) == 2
    os.replace(tmp_path / "copy.db", store_path)
    desk = desk if is_open else Desk.open(store_path)
    _fill(desk, "wobblegorse", 3)
    assert _found(desk, "quibblefish") == _named("quibblefish", 6)
    assert _found(desk, "snorkelwort") == _found(desk, "altogether different") == []
    assert _found(desk, "wobblegorse") == _named("wobblegorse", 3)


@pytest.mark.parametrize("fold_in", [4, 1000], ids=["kept index", "delta"])
def test_a_finding_revised_many_times_is_found_once_as_it_now_reads(
    store_path: Path, monkeypatch: pytest.MonkeyPatch, fold_in: int
) -> None:
    """Its older words take nobody's place among the best."""
    monkeypatch.setattr("kb.search.stock.FOLD_IN", fold_in)
    desk = Desk.open(store_path)
    finding = desk.findings.add("quibblefish first", airframe="A")
    for number in range(9):
        desk.findings.revise(finding.id, text=f"quibblefish again{number}")
        assert [hit.title for hit in desk.search.ask("quibblefish", limit=2).hits] == [f"quibblefish again{number}"]
    again = Desk.open(store_path)
    assert [hit.title for hit in again.search.ask("quibblefish", limit=2).hits] == ["quibblefish again8"]


@pytest.mark.parametrize("fold_in", [4, 1000], ids=["kept index", "delta"])
def test_withdrawn_findings_are_not_found_and_take_no_place(
    store_path: Path, monkeypatch: pytest.MonkeyPatch, fold_in: int
) -> None:
    """Of six alike, the five first are withdrawn; one hit is wanted and comes. Taken back, it is found again."""
    monkeypatch.setattr("kb.search.stock.FOLD_IN", fold_in)
    desk = Desk.open(store_path)
    made = [desk.findings.add("quibblefish", airframe="A") for _ in range(6)]
    assert len(desk.search.ask("quibblefish").hits) == 6
    for finding in made[:5]:
        desk.findings.withdraw(finding.id)
    assert [hit.id for hit in desk.search.ask("quibblefish", limit=1).hits] == [made[5].id]
    desk.findings.reopen(made[0].id)
    assert {hit.id for hit in desk.search.ask("quibblefish").hits} == {made[0].id, made[5].id}


def test_a_misspelt_word_is_put_right_from_the_words_of_the_store_at_hand(
    store_path: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The words known to be right are gathered anew when another store stands in the place."""
    monkeypatch.setattr("kb.search.stock.FOLD_IN", 5)
    desk = Desk.open(store_path)
    _fill(desk, "quibblefish", 5)
    assert desk.search.ask("quibbelfish").read_as == ("quibblefish (for quibbelfish)",)
    _fill(Desk.open(tmp_path / "other.db"), "snorkelwort", 5)
    os.replace(tmp_path / "other.db", store_path)
    assert desk.search.ask("snorkelwrot").read_as == ("snorkelwort (for snorkelwrot)",)
    assert desk.search.ask("quibbelfish").unknown == ("quibbelfish",)
