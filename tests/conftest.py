"""Fixtures shared by all tests: stores in temporary folders, the seed pages loaded once, hostile text."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from kb.cli.main import cli
from kb.desk import Desk
from kb.entries.files import default_folder
from kb.entries.folder import Folder, load_folder

HOSTILE = [
    "[/", "[REF-12]", "[[a]b]", "[bold red]x[/]", "\x1b]52;c;aGk=\x07", "\x9b2J", "\u202eevil\u2066", "\x00nul",
    "日本語のねじ", "👩🏽‍🔧 wrench", "e\u0301\u0327" * 40, "'; DROP TABLE entries; --", "%s %n {0} $x",
    "\\x1b", "\ud800half", "A" * 10_000,
]  # fmt: skip
"""Text that has broken terminals, markup, widths and queries."""

HOSTILE_TOGETHER = [" ".join(text for text in HOSTILE if len(text) < 40), "e\u0301\u0327" * 40 + "A" * 9_000]
"""The same at once, many short ones and a long one: to open the screens for each takes longer than what it shows."""


def pytest_addoption(parser: pytest.Parser) -> None:
    """Add --slow: run the long tests too."""
    parser.addoption("--slow", action="store_true", help="Run the tests marked slow too; -m slow runs them alone.")


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Skip what is marked slow unless it was asked for."""
    if config.getoption("--slow") or "slow" in config.getoption("markexpr"):
        return
    for item in items:
        if item.get_closest_marker("slow"):
            item.add_marker(pytest.mark.skip(reason="slow; run with --slow"))


@pytest.fixture(scope="session")
def seed() -> Folder:
    """The pages that come with the program."""
    return load_folder(default_folder())


@pytest.fixture(scope="session")
def seeded_store(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A store file with the seed pages and an index; tests work on copies of it."""
    path = tmp_path_factory.mktemp("seeded") / "seed.db"
    Desk.open(path).search.warm()
    return path


@pytest.fixture
def store_path(seeded_store: Path, tmp_path: Path) -> Path:
    """A store of this test alone, with the seed pages and an index."""
    path = tmp_path / "shop.db"
    shutil.copy(seeded_store, path)
    shutil.copytree(f"{seeded_store}.index", f"{path}.index")
    return path


@pytest.fixture
def desk(store_path: Path) -> Desk:
    """A desk on a store of this test alone."""
    return Desk.open(store_path)


@pytest.fixture
def small_desk(tmp_path: Path) -> Desk:
    """A desk on two pages that never change, for pictures."""
    return Desk.open(tmp_path / "small.db", entries=Path(__file__).parent / "data" / "folder")


@dataclass
class Ran:
    """What a command answered."""

    exit_code: int
    out: str
    err: str

    @property
    def data(self) -> Any:
        """The JSON it printed."""
        return json.loads(self.out)


@pytest.fixture
def run_cli(store_path: Path, monkeypatch: pytest.MonkeyPatch) -> Callable[..., Ran]:
    """Run a command on a store of this test alone."""
    monkeypatch.setenv("ODDFIX_STORE", str(store_path))
    monkeypatch.delenv("ODDFIX_ENTRIES", raising=False)

    def run(*arguments: str) -> Ran:
        result = CliRunner().invoke(cli, list(arguments))
        if result.exception and not isinstance(result.exception, SystemExit):
            raise result.exception
        return Ran(result.exit_code, result.stdout, result.stderr)

    return run
