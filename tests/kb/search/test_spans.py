"""Kept shelves of findings: a large one that seldom changes, a small one for what is newer."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.desk import Desk
from kb.search.spans import kept_spans
from kb.search.state import index_states


@pytest.fixture
def quick_folds(monkeypatch: pytest.MonkeyPatch) -> None:
    """Fold in every five findings, and into the large shelf every ten."""
    monkeypatch.setattr("kb.search.stock.FOLD_IN", 5)
    monkeypatch.setattr("kb.search.state.FOLD_IN", 5)
    monkeypatch.setattr("kb.search.spans.FOLDS", 2)


def found(desk: Desk, word: str) -> list[str]:
    """The texts of the findings that a word finds, sorted."""
    return sorted(hit.title for hit in desk.search.ask(word, limit=100).hits if hit.kind == "finding")


@given(last=st.integers(0, 10**7), fold_in=st.integers(1, 5000))
def test_spans_hold_every_revision_once_up_to_the_last_fold(last: int, fold_in: int) -> None:
    """Without a gap, and never more than one fold behind."""
    spans = kept_spans(last, fold_in)
    edges = [0, *(span.up_to for span in spans)]
    assert [span.after for span in spans] == edges[:-1]
    assert 0 <= last - edges[-1] < fold_in
    assert len({span.folder for span in spans}) == len(spans) <= 2


@pytest.mark.usefixtures("quick_folds")
def test_findings_on_both_shelves_and_behind_them_are_found_once(store_path: Path) -> None:
    """In their latest words, by the process that kept them and by a new one."""
    desk = Desk.open(store_path)
    for number in range(33):
        desk.findings.add(f"quibblefish number{number}", airframe="A")
    kept = desk.findings.all()
    for finding in (kept[-1], kept[8], kept[0]):
        desk.findings.revise(finding.id, text=f"snorkelwort {finding.text.split()[1]}")
    desk.findings.withdraw(kept[-2].id)
    for reader in (desk, Desk.open(store_path), Desk.open(store_path)):
        assert len(found(reader, "quibblefish")) == 29
        assert len(found(reader, "snorkelwort")) == 3
        assert found(reader, "number5") == ["quibblefish number5"]


@pytest.mark.usefixtures("quick_folds")
def test_a_fold_of_newer_findings_leaves_the_large_shelf_alone(store_path: Path) -> None:
    """Building that again would take long when it holds a million."""
    desk = Desk.open(store_path)
    for number in range(16):
        desk.findings.add(f"quibblefish number{number}", airframe="A")
    Desk.open(store_path).search.warm()
    large = Path(f"{store_path}.index") / "findings" / "manifest.json"
    made = large.stat()
    for number in range(16, 20):
        desk.findings.add(f"quibblefish number{number}", airframe="A")
    assert index_states(desk.store) == {"pages": "current", "findings": "stale"}
    Desk.open(store_path).search.warm()
    assert large.stat().st_ino != made.st_ino
    assert index_states(desk.store) == {"pages": "current", "findings": "current"}
    made = large.stat()
    for number in range(20, 27):
        desk.findings.add(f"quibblefish number{number}", airframe="A")
    Desk.open(store_path).search.warm()
    assert large.stat().st_ino == made.st_ino
    assert index_states(desk.store) == {"pages": "current", "findings": "current", "newer findings": "current"}
