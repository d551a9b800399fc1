"""Names of makers and aircraft: found by whole words, in any case, without any of them standing in the project."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest

from kb.entries.names import KINDS, NAMES_FILE, hashed, load_names
from kb.entries.names_hash import main

LINES = [hashed("Quibblewax", "brand"), hashed("Zorro Tin-7", "aircraft"), hashed("Q-20", "aircraft")]


def _found(text: str) -> list[tuple[str, str]]:
    return list(load_names(LINES, ["fleet"]).found_in(text))


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("a dab of quibblewax", "quibblewax"),
        ("QUIBBLEWAX, old", "quibblewax"),
        ("Quíbblewax", "quibblewax"),
        ("two Quibblewaxes", "quibblewaxes"),
        ("Quibblewax's can", "quibblewaxs"),
        ("quibble-wax", "quibblewax"),
        ("a quibblewax-like crust", "quibblewax"),
        ("flew a zorro  tin-7 once", "zorro tin7"),
        ("from a Q-20", "q20"),
        ("from a q20's tail", "q20s"),
    ],
)
def test_a_name_is_found_as_people_write_it(text: str, name: str) -> None:
    """Case, accents, hyphens, plural and possessive make no difference."""
    assert name in [found for found, _ in _found(text)]


@pytest.mark.parametrize(
    "text",
    [
        "quibblewaxing",
        "quibblewares",
        "quibble and wax",
        "wax",
        "zorro",
        "zorro and tin-7",
        "q 20 psi",
        "item (q) 20",
        "fleet",
    ],
)
def test_parts_of_a_name_and_other_words_are_left_alone(text: str) -> None:
    """Whole names only; a lone letter before a figure is no model."""
    assert not _found(text)


def test_an_ordinary_word_is_no_name_even_when_listed() -> None:
    """The second list wins for single words, and only for those."""
    names = load_names([hashed("Fleet", "aircraft"), hashed("Fleet Zwo", "aircraft")], ["fleet"])
    assert [name for name, _ in names.found_in("the fleet")] == []
    assert [name for name, _ in names.found_in("a Fleet Zwo")] == ["fleet zwo"]


def test_the_list_holds_hashes_alone_and_enough_of_them() -> None:
    """No line can be read as a name; 150 brands and aircraft at least."""
    lines = [line for line in NAMES_FILE.read_text(encoding="utf-8").splitlines() if not line.startswith("#")]
    assert all(re.fullmatch(rf"({'|'.join(KINDS)})( [0-9a-f]{{10}})+", line) for line in lines)
    assert len(set(lines)) == len(lines) >= 150
    assert lines == sorted(lines)


def test_a_name_is_added_once_and_ordinary_words_are_refused(tmp_path: Path) -> None:
    """The helper keeps the head of the list and its order."""
    path = tmp_path / "names.txt"
    shutil.copy(NAMES_FILE, path)
    before = path.read_text(encoding="utf-8")
    assert main(["brand", "Quibblewax"], path) == 0
    assert path.read_text(encoding="utf-8") == before
    assert main(["aircraft", "Snorkelhopper 12"], path) == 0
    after = path.read_text(encoding="utf-8")
    assert set(after.splitlines()) - set(before.splitlines()) == {hashed("snorkelhopper 12", "aircraft")}
    assert main(["brand", "Swift", "12", "!"], path) == 2
    assert path.read_text(encoding="utf-8") == after


@pytest.mark.parametrize("arguments", [[], ["brand"], ["person", "Somebody"]])
def test_the_helper_says_how_it_is_used(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    """Nothing is written for a wrong call."""
    assert main(arguments) == 2
    assert "usage" in capsys.readouterr().err
