"""README and DEVELOPERS keep saying what is so."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

import pytest
from textual.binding import Binding

import kb
from kb.cli.main import cli
from kb.cli.sections import SECTIONS
from tui.app import OddfixApp
from tui.screens.ask import AskScreen
from tui.screens.finding import FindingScreen
from tui.screens.page import PageScreen

ROOT = Path(__file__).parent.parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")


@pytest.mark.parametrize("name", sorted(cli.commands))
def test_every_command_stands_in_the_readme(name: str) -> None:
    """In its table, with its own options named there or in its help."""
    assert f"`oddfix {name}" in README


def test_every_command_has_its_place_in_the_help() -> None:
    """Once, in the order of the work."""
    listed = [name for names in SECTIONS.values() for name in names.split()]
    assert sorted(listed) == sorted(cli.commands)


@pytest.mark.parametrize("screen", [OddfixApp, AskScreen, PageScreen, FindingScreen])
def test_every_key_has_an_id_and_a_description(screen: type) -> None:
    """Help is made from them."""
    bindings = [binding for binding in screen.BINDINGS if isinstance(binding, Binding)]  # type: ignore[attr-defined]
    assert bindings
    assert all(binding.id and binding.description for binding in bindings)


def test_every_room_stands_in_the_developers_map() -> None:
    """A stranger finds each folder and top module of kb named."""
    package = Path(kb.__file__).parent
    rooms = [p.name for p in package.iterdir() if (p / "__init__.py").exists()]
    modules = [p.name for p in package.glob("*.py") if not p.name.startswith("__")]
    missing = [name for name in rooms + modules if f"kb/{name}" not in DEVELOPERS]
    assert not missing


def test_the_readme_has_its_two_commands_each_on_one_line() -> None:
    """They are read from there by CI."""
    for name in ("run command", "test command"):
        block = re.search(rf"<!-- {name} -->\n```sh\n(.+)\n```", README)
        assert block
        assert block.group(1).startswith("python3 -m venv .venv && ")


def test_the_top_level_holds_what_it_may() -> None:
    """Dot-files apart."""
    tracked = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False).stdout
    top = {line.split("/")[0] for line in tracked.splitlines() if not line.startswith(".")}
    if not top:
        pytest.skip("not a git checkout")
    assert top <= {"README.md", "DEVELOPERS.md", "pyproject.toml", "kb", "tui", "tests", "seed_entries"}


def test_the_count_of_pages_in_the_readme_is_true() -> None:
    """Said under Changes."""
    count = len(list((ROOT / "seed_entries").glob("*/*.toml")))
    assert f"{count} pages over" in README
