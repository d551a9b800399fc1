"""The commands on findings: change, history, counts, twins."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from tests.conftest import HOSTILE, Ran

Run = Callable[..., Ran]
TAPE = "thread-tape-in-fuel-fittings"


@pytest.fixture
def name(run_cli: Run) -> str:
    """The handle of a finding that was just added."""
    added = run_cli("add", "--airframe", "A", "--where", "strainer", "--hours", "2310", "white strings")
    return added.out.strip()[-8:]


def test_a_finding_goes_through_its_states_by_command(run_cli: Run, name: str) -> None:
    """Each prints it as it is now, and says how to take it back."""
    for command, said, state in (
        (("defer", name, "at the annual"), "deferred", "deferred"),
        (("correct", name, "new", "hose", "--minutes", "40"), "corrected", "corrected"),
        (("reopen", name), "reopened", "open"),
        (("withdraw", name), "withdrawn", "withdrawn"),
    ):
        ran = run_cli(*command)
        assert ran.exit_code == 0
        assert f"shop, {state}" in ran.out
        assert f"{said}; oddfix undo takes it back" in ran.err
    assert run_cli("show", "--json", name).data["minutes"] == 40


def test_fields_are_changed_and_emptied(run_cli: Run, name: str) -> None:
    """An empty value empties; what is not named stays."""
    ran = run_cli("revise", name, "--where", "", "--part", "0012", "--add", "and more of them", "--json")
    assert ("place" in ran.data, ran.data["part"], ran.data["hours"]) == (False, "0012", 2310)
    assert ran.data["text"] == "white strings\nand more of them"


def test_history_says_what_each_change_was(run_cli: Run, name: str) -> None:
    """In words, with the name of each revision for restoring."""
    run_cli("defer", name, "later", "--who", "kp")
    out = run_cli("history", name).out
    assert "deferred by kp" in out
    assert "deferred (was: open)" in out
    first = run_cli("history", name, "--json").data[0]["revision"]["id"]
    assert "shop, open" in run_cli("restore", name, first[-8:]).out


def test_undo_says_what_it_took_back(run_cli: Run, name: str) -> None:
    """And ends with one when there is nothing left."""
    run_cli("link", name, TAPE)
    assert "taken back: linked, 1 finding" in run_cli("undo").err
    assert "taken back: added" in run_cli("undo").err
    assert run_cli("undo").exit_code == 2
    assert run_cli("show", "--json", name).data["state"] == "withdrawn"


def test_open_findings_are_listed_by_urgency(run_cli: Run, name: str) -> None:
    """In words at the edge."""
    run_cli("link", run_cli("add", "--airframe", "A", "strings again").out.strip(), TAPE)
    out = run_cli("findings", "--by-urgency").out
    assert out.index("BEFORE FLIGHT") < out.index("NOT JUDGED")


def test_counts_draw_bars_of_one_scale(run_cli: Run, name: str) -> None:
    """Twice as many, twice as long."""
    for text in ("one", "two"):
        run_cli("add", "--airframe", "B", text)
    lines = run_cli("counts", "airframe").out.splitlines()
    counted = {line.split()[0]: line.count("█") for line in lines}
    assert counted == {"B": 30, "A": 15}


def test_twins_are_printed_before_anything_is_added(run_cli: Run, name: str) -> None:
    """With the command that adds to the one that is there."""
    ran = run_cli("twins", "--airframe", "a", "white strings in the bowl")
    assert "A: white strings" in ran.out
    assert f"oddfix revise {name} --add" in ran.err


@pytest.mark.parametrize(
    ("arguments", "code", "said"),
    [
        (("revise", "NAME"), 2, "say what is to be changed"),
        (("revise", "NAME", "--text", ""), 2, "the text of a finding is empty"),
        (("revise", "NAME", "--hours", "x"), 2, "is no number"),
        (("revise", "nope1234", "--text", "x"), 1, "no finding is called"),
        (("confirm", "NAME"), 2, "name the cause as page/cause"),
        (("confirm", "NAME", "x/y"), 1, "no page is called 'x'"),
        (("link", "NAME", "nope"), 1, "no page is called"),
        (("reopen", "NAME"), 2, "open already"),
        (("defer", "NAME", " "), 2, "is empty; say it"),
        (("history", "nope1234"), 1, "no finding is called"),
        (("history",), 1, "no finding is in conflict"),
        (("restore", "NAME", "nope"), 1, "no revision is called"),
        (("counts", "year", "--airframe", "zz"), 1, "no findings to count"),
        (("twins", "zzzz qqqq"), 1, "nothing like it"),
        (("findings", "--by-urgency", "--state", "corrected"), 2, "leave the rest out"),
        (("findings", "--state", "deferred"), 1, "no findings of that kind"),
    ],
)
def test_bad_input_is_answered_in_a_sentence(
    run_cli: Run, name: str, arguments: tuple[str, ...], code: int, said: str
) -> None:
    """With its exit code, and the finding as it was."""
    before = run_cli("show", "--json", name).data
    ran = run_cli(*(name if word == "NAME" else word for word in arguments))
    assert ran.exit_code == code
    assert said in ran.err
    assert run_cli("show", "--json", name).data == before


@pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))
def test_hostile_text_is_changed_and_read_back_tame(run_cli: Run, name: str, text: str) -> None:
    """Through every command that prints a finding."""
    run_cli("revise", name, "--text", f"x {text}", "--where", f"w {text[:90]}", "--who", f"k {text[:90]}")
    run_cli("defer", name, f"because {text}")
    for arguments in (("history", name), ("findings",), ("twins", f"x {text}"), ("counts", "airframe"), ("undo",)):
        ran = run_cli(*arguments)
        assert ran.exit_code in (0, 1)
        assert not set("\x1b\x9b\u202e\u2066\x00") & set(ran.out + ran.err)
