"""Every published inspection item and every find of the field has its page."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from kb.entries.coverage import CoverageRow, coverage_lines, coverage_table
from kb.entries.folder import Folder

DATA = Path(__file__).parent.parent / "data"
FINDS = tomllib.loads((DATA / "finds.toml").read_text(encoding="utf-8"))

APPENDIX_D = {
    "a": 0, "b": 3, "c": 7, "d": 11, "e": 10, "f": 0, "g": 0, "h": 4, "i": 4, "j": 0,
}  # fmt: skip
"""Items of 14 CFR part 43 appendix D: how many numbered ones each letter has; 0 where the letter stands alone."""

CIRCULAR_SECTIONS = {1: 5, 2: 4, 3: 4, 4: 5, 5: 12, 6: 14, 7: 11, 8: 6, 9: 4, 10: 2, 11: 20}
"""Sections of each chapter of FAA AC 43.13-1B, as the rows of the table have them."""


@pytest.fixture(scope="module")
def table(seed: Folder) -> list[CoverageRow]:
    """The table as a reader gets it."""
    return coverage_table(seed)


def test_no_item_that_applies_is_without_a_page(table: list[CoverageRow]) -> None:
    """Where none is needed, the row says why."""
    assert all(row.pages for row in table if row.applies)
    assert all(row.why and not row.pages for row in table if not row.applies)
    assert sum(row.applies for row in table) >= 100


def test_all_items_of_the_inspection_scope_are_there(seed: Folder) -> None:
    """14 CFR part 43 appendix D, (a) to (j), each once and in order."""
    wanted = [
        name
        for letter, count in APPENDIX_D.items()
        for name in ([f"({letter})({number})" for number in range(1, count + 1)] or [f"({letter})"])
    ]
    assert [row.item for row in seed.coverage.row if row.document == "part-43-d"] == wanted


def test_every_section_of_chapters_one_to_eleven_is_there(seed: Folder) -> None:
    """FAA AC 43.13-1B, in order."""
    items = [row.item.split(",")[0] for row in seed.coverage.row if row.document == "ac-43.13-1b"]
    assert items == [
        f"ch. {chapter} section {number}"
        for chapter, count in CIRCULAR_SECTIONS.items()
        for number in range(1, count + 1)
    ]


def test_the_table_is_printed_whole_with_a_count(table: list[CoverageRow]) -> None:
    """Every item, every page and every reason, in lines that fit."""
    lines = list(coverage_lines(table, width=100))
    text = " ".join(" ".join(lines).split())
    assert max(map(len, lines)) <= 100
    for row in table:
        assert f"{row.item}: {row.says} [{row.checked}]" in text
        assert all(f"{name} {title}" in text for name, title in row.pages)
        assert row.applies or f"does not apply: {row.why}" in text
    assert lines[-1] == f"{len(table)} items, {sum(row.applies for row in table)} apply, 0 of these without a page"


def test_a_folder_without_a_table_gives_an_empty_one() -> None:
    """A shop's own folder needs none."""
    assert list(coverage_lines([])) == ["0 items, 0 apply, 0 of these without a page"]


@pytest.mark.parametrize(("sheet", "count"), [("how-mechanics-find-it", 120), ("field-finds", 80)])
def test_every_find_has_its_page(seed: Folder, sheet: str, count: int) -> None:
    """Numbered as on the sheet, none left out; alone or as a named cause or sign of another's."""
    assert [int(number) for number in FINDS[sheet]] == list(range(1, count + 1))
    for number, pages in FINDS[sheet].items():
        assert pages, number
        assert set(pages) <= seed.entries.keys(), number
        assert len(set(pages)) == len(pages), number
