"""What each command loads: heavy libraries stay out of the way of light ones."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

_REPORT = "import sys, json; {act}; sys.stderr.write(json.dumps(sorted(sys.modules)))"
HEAVY = {"sklearn", "scipy", "textual", "PIL", "tomli_w", "openpyxl"}


def _loaded(act: str, store: Path) -> set[str]:
    environment = os.environ | {"ODDFIX_STORE": str(store)}
    command = [sys.executable, "-c", _REPORT.format(act=act)]
    done = subprocess.run(command, env=environment, capture_output=True, text=True, check=True)
    listed: list[str] = __import__("json").loads(done.stderr[done.stderr.index('["') :])
    return set(listed)


def _command(*arguments: str) -> str:
    return f"from kb.cli.main import cli; cli({list(arguments)!r}, standalone_mode=False)"


@pytest.mark.parametrize(
    "arguments", [("--help",), ("show", "enamel-over-dope"), ("systems",), ("findings",), ("store", "where")]
)
def test_light_commands_load_nothing_heavy(arguments: tuple[str, ...], store_path: Path) -> None:
    """Help, a page and the lists load neither scikit-learn, scipy, textual nor numpy."""
    act = _command(*arguments) if arguments != ("findings",) else "import kb.findings"
    assert not (HEAVY | {"numpy"}) & _loaded(act, store_path)


def test_asking_with_an_index_loads_no_scikit_learn(store_path: Path) -> None:
    """The index is opened, not rebuilt."""
    loaded = _loaded(_command("ask", "strings in the strainer"), store_path)
    assert not (HEAVY | {"sqlite_utils"}) & loaded


@pytest.mark.parametrize("module", ["kb.model", "kb.text", "kb.display", "kb.errors", "kb.page"])
def test_the_ground_loads_no_store(module: str, store_path: Path) -> None:
    """The lowest room knows nothing of files."""
    assert not {"sqlite3", "sqlite_utils", "numpy"} & _loaded(f"import {module}", store_path)


def test_the_screens_load_no_numpy_before_the_first_frame(store_path: Path) -> None:
    """The search behind the ask screen is opened by a worker."""
    assert not {"numpy", "sklearn", "sqlite_utils"} & _loaded("import tui.app", store_path)
