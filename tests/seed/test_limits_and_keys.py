"""Pages, limits and keys of identify name one another, so that a reader gets from each to the others."""

from __future__ import annotations

from pathlib import Path

import pytest

from kb.desk import Desk, known_names
from kb.entries.files import default_folder
from kb.entries.folder import Folder, load_folder
from kb.errors import DataProblems
from kb.identify import key, keys
from kb.limits import all_limits


def test_the_limits_and_keys_on_the_pages_are_there() -> None:
    """The check that the program itself makes."""
    load_folder(default_folder(), **known_names())


def test_most_limits_are_named_by_a_page(seed: Folder) -> None:
    """A limit nobody is led to is seldom used."""
    named = {name for entry in seed.entries.values() for name in entry.limits}
    assert len(named & all_limits().keys()) >= 0.85 * len(all_limits())


def test_a_key_and_its_pages_name_each_other(seed: Folder) -> None:
    """Both ways."""
    told = {(one.id, page) for one in keys() for page in key(one.id).entries}
    assert told == {(name, entry.id) for entry in seed.entries.values() for name in entry.keys}


def test_a_page_that_names_an_unknown_limit_or_key_is_refused(tmp_path: Path) -> None:
    """With file, line, field and the nearest name; when nobody says which there are, nothing is asked."""
    small = Path(__file__).parent.parent / "data" / "folder"
    for path in small.rglob("*.toml"):
        copy = tmp_path / path.relative_to(small)
        copy.parent.mkdir(exist_ok=True)
        copy.write_text(path.read_text(encoding="utf-8"), encoding="utf-8")
    page = sorted(tmp_path.glob("*/*.toml"))[0]
    head, table, rest = page.read_text(encoding="utf-8").partition("\n[[")
    page.write_text(f'{head}\nlimits = ["fabric-strenth", "zz"]\nkeys = ["hoose"]\n{table}{rest}', encoding="utf-8")
    load_folder(tmp_path)
    with pytest.raises(DataProblems) as caught:
        Desk.open(tmp_path / "store.db", entries=tmp_path)
    said = [str(problem) for problem in caught.value.problems]
    line = head.count("\n") + 2
    assert [text.partition(" ")[0] for text in said] == [
        f"{page.relative_to(tmp_path)}:{number}" for number in (line, line, line + 1)
    ]
    assert "did you mean fabric-strength" in said[0]
    assert "'zz' is none of the limits there are" in said[1]
    assert "did you mean hose?" in said[2]


def test_the_pages_of_a_limit_come_the_most_pressing_first(desk: Desk, seed: Folder) -> None:
    """Out of the store, as both faces show them."""
    pages = desk.library.pages_with_limit("carbon-monoxide")
    assert {page.id for page in pages} == {e.id for e in seed.entries.values() if "carbon-monoxide" in e.limits}
    order = ["before-flight", "before-return", "next-inspection", "information"]
    assert [order.index(page.urgency) for page in pages] == sorted(order.index(page.urgency) for page in pages)
    assert desk.library.pages_with_limit("carbon") == []
