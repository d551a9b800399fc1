"""Entry files: every problem of every file at once, with file, line, field and remedy."""

from __future__ import annotations

import shutil
import tomllib
from pathlib import Path

import pytest

from kb.desk import Desk
from kb.entries.folder import Folder, load_folder
from kb.errors import DataProblems
from kb.store import Store

DATA = Path(__file__).parent.parent / "data"
GOOD = "fuel/cork-float-soaked.toml"
CASES = tomllib.loads((DATA / "broken_entries.toml").read_text(encoding="utf-8"))["case"]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A small folder of two good pages to break."""
    return Path(shutil.copytree(DATA / "folder", tmp_path / "entries"))


def test_the_seed_folder_has_no_problem(seed: Folder) -> None:
    """The check of the folder, run on what is shipped."""
    assert len(seed.entries) >= 48


def test_every_first_system_has_four_pages_or_more(seed: Folder) -> None:
    """The twelve groups of the first light."""
    groups = (
        {"fuel"}, {"fluid-lines"}, {"hardware"}, {"controls"}, {"fabric"}, {"wood"}, {"steel-tube"},
        {"sheet-metal", "corrosion"}, {"landing-gear", "wheels-brakes"}, {"engine", "exhaust"},
        {"electrical"}, {"records"},
    )  # fmt: skip
    counts = [sum(entry.system in group for entry in seed.entries.values()) for group in groups]
    assert min(counts) >= 4


@pytest.mark.parametrize("case", CASES, ids=[case["name"] for case in CASES])
def test_a_broken_entry_is_refused_with_its_own_message(folder: Path, case: dict[str, str]) -> None:
    """Each case edits one good file and names the problem it must give."""
    path = folder / GOOD
    text = path.read_text(encoding="utf-8")
    assert case["old"] in text
    path.write_text(text.replace(case["old"], case["new"], 1), encoding="utf-8")
    with pytest.raises(DataProblems) as caught:
        load_folder(folder)
    told = [(p.field, f"{p.text}; {p.remedy}") for p in caught.value.problems if p.path == GOOD]
    assert any(field.startswith(case["field"]) and case["said"] in text for field, text in told), told


def test_the_line_named_is_the_line_of_the_field(folder: Path) -> None:
    """The reader can go straight there."""
    path = folder / GOOD
    lines = path.read_text(encoding="utf-8").splitlines()
    place = next(number for number, line in enumerate(lines) if line.startswith("minutes"))
    lines[place] = 'minutes = "ten"'
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    with pytest.raises(DataProblems) as caught:
        load_folder(folder)
    assert [(p.line, p.field) for p in caught.value.problems] == [(place + 1, "looks.1.minutes")]


def test_problems_of_several_files_are_told_together(folder: Path) -> None:
    """Nobody mends one file only to meet the next."""
    (folder / "fuel" / "Bad Name.toml").write_text("format = 1\n", encoding="utf-8")
    (folder / "wood").mkdir()
    (folder / "wood" / "half.toml").write_text('id = "half\n', encoding="utf-8")
    (folder / "stray.toml").write_text("format = 1\n", encoding="utf-8")
    (folder / "fuel" / "latin.toml").write_bytes(b'title = "\xe9"\n')
    with pytest.raises(DataProblems) as caught:
        load_folder(folder)
    broken = {"fuel/Bad Name.toml", "wood/half.toml", "stray.toml", "fuel/latin.toml"}
    assert {p.path for p in caught.value.problems} == broken


def test_a_broken_folder_leaves_the_store_as_it_was(folder: Path, tmp_path: Path) -> None:
    """The pages of yesterday stay until the new ones are whole."""
    path = tmp_path / "shop.db"
    pages = len(Desk.open(path, entries=folder).store.entries.ids())
    (folder / GOOD).write_text("not toml", encoding="utf-8")
    with pytest.raises(DataProblems):
        Desk.open(path, entries=folder)
    assert len(Store(path).entries.ids()) == pages


def test_a_changed_page_is_loaded_at_the_next_start(folder: Path, tmp_path: Path) -> None:
    """By content, not by date."""
    path = tmp_path / "shop.db"
    Desk.open(path, entries=folder)
    file = folder / GOOD
    file.write_text(file.read_text(encoding="utf-8").replace("Cork float", "Old cork float", 1), encoding="utf-8")
    assert Desk.open(path, entries=folder).library.page(file.stem).title.startswith("Old")
