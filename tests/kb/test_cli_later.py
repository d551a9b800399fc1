"""Commands that are read when they are called."""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Callable

import pytest

from kb.cli.later import Later
from kb.cli.main import LATER_COMMANDS, cli
from tests.conftest import Ran


@pytest.mark.parametrize("command", LATER_COMMANDS, ids=lambda command: command.name)
def test_the_help_says_of_it_what_it_says_itself(command: Later) -> None:
    """In a line that is not cut."""
    said = command.get_short_help_str(64)
    assert said == command.read().get_short_help_str(64)
    assert not said.endswith("...")


@pytest.mark.parametrize("command", LATER_COMMANDS, ids=lambda command: command.name)
def test_its_own_help_is_its_own(command: Later, run_cli: Callable[..., Ran]) -> None:
    """Options and all."""
    name = command.name or ""
    helped = run_cli(name, "--help")
    assert helped.out.startswith(f"Usage: cli {name} [OPTIONS]")
    assert "--json" in helped.out or "Commands:" in helped.out
    assert run_cli(name, "--nonsense").exit_code == 2


def test_help_reads_none_of_them() -> None:
    """They cost other commands nothing."""
    act = "import sys, json; from kb.cli.main import cli; cli(['--help'], standalone_mode=False)"
    act += "; print('\\n' + json.dumps([*sys.modules]))"
    done = subprocess.run([sys.executable, "-c", act], capture_output=True, text=True, check=True)
    loaded = json.loads(done.stdout.splitlines()[-1])
    assert "kb.cli.main" in loaded
    assert not {"kb.cli.photo", "kb.cli.airframe", "kb.cli.own_page"} & set(loaded)
    assert {command.name for command in LATER_COMMANDS} <= set(cli.commands)
