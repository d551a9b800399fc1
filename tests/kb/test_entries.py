"""Entry files: every problem of every file at once, with file, line, field and remedy."""

from __future__ import annotations

import shutil
import time
import tomllib
from datetime import date
from pathlib import Path

import msgspec
import pytest

from kb.desk import Desk
from kb.entries.__main__ import main
from kb.entries.files import default_folder
from kb.entries.folder import Folder, check_folder, load_folder
from kb.entries.rules import check_age
from kb.errors import DataProblems
from kb.store import Store

DATA = Path(__file__).parent.parent / "data"
GOOD = "fuel/cork-float-soaked.toml"
CASES = tomllib.loads((DATA / "broken_entries.toml").read_text(encoding="utf-8"))["case"]


DAY = date(2026, 12, 1)
"""The day on which the tests count ages of reviews."""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A small folder of two good pages to break."""
    return Path(shutil.copytree(DATA / "pair", tmp_path / "entries"))


def test_the_seed_folder_passes_every_check() -> None:
    """Shape, rules, wording, names, near-copies and age on one day, run on what is shipped; in seconds of work."""
    start = time.process_time()
    assert len(check_folder(default_folder(), as_of=DAY).entries) >= 240
    assert time.process_time() - start < 15


def test_every_first_system_has_four_pages_or_more(seed: Folder) -> None:
    """The twelve groups of the first light."""
    groups = (
        {"fuel"}, {"fluid-lines"}, {"hardware"}, {"controls"}, {"fabric"}, {"wood"}, {"steel-tube"},
        {"sheet-metal", "corrosion"}, {"landing-gear", "wheels-brakes"}, {"engine", "exhaust"},
        {"electrical"}, {"records"},
    )  # fmt: skip
    counts = [sum(entry.system in group for entry in seed.entries.values()) for group in groups]
    assert min(counts) >= 4


def test_the_folder_that_the_cases_break_is_whole(folder: Path) -> None:
    """Else a case could pass for a fault that was there before."""
    assert len(check_folder(folder, as_of=DAY).entries) == 2


@pytest.mark.parametrize("case", CASES, ids=[case["name"] for case in CASES])
def test_a_broken_entry_is_refused_with_its_own_message(folder: Path, case: dict[str, str]) -> None:
    """Each case edits one good file and names the problem it must give."""
    name = case.get("file", GOOD)
    path = folder / name
    text = path.read_text(encoding="utf-8")
    assert case["old"] in text
    path.write_text(text.replace(case["old"], case["new"], 1), encoding="utf-8")
    with pytest.raises(DataProblems) as caught:
        check_folder(folder, as_of=DAY)
    told_in = case.get("told_in", name)
    told = [(p.field, f"{p.text}; {p.remedy}") for p in caught.value.problems if p.path == told_in]
    assert any(field.startswith(case["field"]) and case["said"] in text for field, text in told), caught.value


def test_the_cases_are_many_and_each_has_its_own_message() -> None:
    """Sixty at least, no two of them alike in file, edit or answer."""
    assert len(CASES) >= 60
    assert len({case["name"] for case in CASES}) == len(CASES)
    answers = {
        (case.get("told_in", case.get("file", GOOD)), case["field"], case["said"], case["new"]) for case in CASES
    }
    assert len(answers) == len(CASES)


def test_a_start_does_not_ask_for_wording_age_or_near_copies(folder: Path) -> None:
    """A shop's own page with a trade name or an old review still opens; only the check speaks of them."""
    path = folder / GOOD
    text = path.read_text(encoding="utf-8").replace("2026-11-25", "2001-01-01", 1)
    path.write_text(text.replace("Take the float out.", "Take 2 lbs of Quibblewax out."), encoding="utf-8")
    assert len(load_folder(folder).entries) == 2
    with pytest.raises(DataProblems) as caught:
        check_folder(folder, as_of=DAY)
    assert [problem.field for problem in caught.value.problems] == ["reviewed", "remedy.steps.1", "remedy.steps.1"]


@pytest.mark.parametrize(("day", "is_fresh"), [(date(2029, 11, 24), True), (date(2029, 11, 25), False)])
def test_a_review_is_stale_on_its_third_birthday(seed: Folder, day: date, is_fresh: bool) -> None:
    """Counted by the calendar from 25 November 2026."""
    entry = msgspec.structs.replace(seed.entries["breaker-too-big-for-wire"], reviewed=date(2026, 11, 25))
    assert (not list(check_age(entry, as_of=day))) is is_fresh


def test_without_a_day_no_review_is_stale(folder: Path) -> None:
    """The check itself looks at no clock."""
    path = folder / GOOD
    path.write_text(path.read_text(encoding="utf-8").replace("2026-11-25", "1999-01-01", 1), encoding="utf-8")
    assert check_folder(folder).entries


def test_the_command_answers_three_for_a_broken_folder_and_prints_advice_for_a_good_one(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Advice goes to standard output and never fails."""
    asked = [str(folder), "--as-of", "2026-12-01"]
    path = folder / GOOD
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("Take the float out.", "The float may stay."), encoding="utf-8")
    assert main([*asked, "--advice"]) == 0
    assert "cork-float-soaked remedy.steps.1: lets something pass: 'The float may stay.'" in capsys.readouterr().out
    path.write_text(text.replace('system = "fuel"', 'system = "oil"'), encoding="utf-8")
    assert main([*asked, "--advice"]) == 3
    assert "fuel/cork-float-soaked.toml:4 system: 'oil' is not the folder 'fuel'" in capsys.readouterr().err


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
