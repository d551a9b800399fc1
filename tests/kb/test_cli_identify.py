"""The command `identify`: lists, describes, asks and answers, each with its exit code."""

from __future__ import annotations

import os
import pty
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner

from kb.cli.main import cli
from kb.identified import choices_by_number
from kb.identify import key, keys
from tests.conftest import HOSTILE, Ran

Run = Callable[..., Ran]
Answer = Callable[[str], Ran]


@pytest.fixture
def answer(store_path: Path, monkeypatch: pytest.MonkeyPatch) -> Answer:
    """Run `identify finish` as if in a terminal, with these lines typed."""
    monkeypatch.setenv("ODDFIX_STORE", str(store_path))
    monkeypatch.setattr("kb.cli.identify._is_asked_in_a_terminal", lambda: True)

    def run(typed: str) -> Ran:
        result = CliRunner().invoke(cli, ["identify", "finish"], input=typed)
        assert result.exception is None or isinstance(result.exception, SystemExit)
        return Ran(result.exit_code, result.stdout, result.stderr)

    return run


def test_without_a_key_every_key_is_listed(run_cli: Run) -> None:
    """By name and title, at least the twelve that were promised."""
    ran = run_cli("identify")
    assert ran.exit_code == 0
    assert len(keys()) >= 12
    assert all(name.id in ran.out and name.title in " ".join(ran.out.split()) for name in keys())
    assert [row["id"] for row in run_cli("identify", "--json").data] == [name.id for name in keys()]


@pytest.mark.parametrize("name", [name.id for name in keys()])
def test_a_key_alone_shows_how_to_measure_and_what_to_beware_of(run_cli: Run, name: str) -> None:
    """Every measurement with how, choices or range, and every caution above its steps; the first look on top."""
    ran = run_cli("identify", name)
    said = " ".join(ran.out.split())
    assert (ran.exit_code, ran.out.count("1 Measure first")) == (0, 1)
    for item in key(name).measurements:
        assert " ".join(item.how.split()) in said
        assert all(f"={choice.id}" in said for choice in item.choices)
        for caution in item.cautions:
            assert said.index(" ".join(caution.split())) < said.index(
                " ".join(item.how.split()), said.index(item.title)
            )
    assert "not approved data" in said


def test_a_key_as_data_names_measurements_ranges_and_the_next_look(run_cli: Run) -> None:
    """A program can ask in our place; figures have unit and ends even where they are nought."""
    data = run_cli("identify", "thread-and-fitting", "--json").data
    by_id = {item["id"]: item for item in data["measurements"]}
    assert (by_id["cone-angle"]["unit"], by_id["cone-angle"]["high"]) == ("deg", 90)
    assert all({"low", "high", "cautions", "choices", "how"} <= item.keys() for item in by_id.values())
    assert data["next"]["measurement"] in by_id
    assert data["look_alikes"]
    assert "not approved data" in data["caution"]


def test_an_answer_has_candidates_pairs_next_look_warnings_and_sources(run_cli: Run) -> None:
    """The whole answer on standard output, with each verdict in words."""
    ran = run_cli("identify", "finish", "oil=softens", "thinner=dissolves")
    out = " ".join(ran.out.split())
    assert ran.exit_code == 0
    assert out.index("FITS 1. Nitrate dope") < out.index("NOT YET KNOWN") < out.index("CONTRADICTED")
    assert "against Drop of engine oil left on the film" in out
    assert "must not be mixed Nitrate dope or nitrocellulose lacquer | Butyrate dope" in out
    assert out.index("Measure next") < out.index("BEWARE only a removed flake") < out.index("A flake the size of")
    assert out.index("Warnings") < out.index("not covered: age") < out.index("Sources") < out.index("secondary)")
    assert "oddfix show enamel-over-dope" in out


def test_every_number_in_brackets_leads_to_a_source(run_cli: Run) -> None:
    """None is cited that is not listed, and none listed that is not cited."""
    import re

    above, _, below = run_cli("identify", "finish", "thinner=dissolves").out.partition("Sources\n")
    cited = {n for group in re.findall(r"\[([\d, ]+)\]", above) for n in group.split(", ")}
    listed = set(re.findall(r"^  \[(\d+)\]", below, flags=re.MULTILINE))
    assert cited == listed != set()


def test_the_same_answer_as_data(run_cli: Run) -> None:
    """One JSON object with what the text says, and more."""
    data = run_cli("identify", "thread-and-fitting", "cone-angle=37 deg", "od=9/16in", "--json").data
    assert {"claim", "given", "candidates", "next", "look_alikes", "cannot_tell", "warnings", "caution"} <= data.keys()
    assert {one["verdict"] for one in data["candidates"]} >= {"fits", "contradicts"}
    assert [item["used"] for item in data["given"]] == ["37 deg", "0.5625 in"]


def test_a_figure_is_shown_as_typed_and_as_used(run_cli: Run) -> None:
    """So that a wrong unit is seen."""
    assert "0.5625 in (typed: 9/16in)" in run_cli("identify", "thread-and-fitting", "od=9/16in").out


def test_what_no_candidate_agrees_with_is_answered_and_ends_with_one(run_cli: Run) -> None:
    """Nothing found is an answer too, with everything that contradicts."""
    ran = run_cli("identify", "finish", "thinner=lifts", "copper=green", "oil=no-effect", "flame=flares")
    assert ran.exit_code == 1
    assert "none of the 7 candidates" in " ".join(ran.out.split())
    assert "measure again" in ran.err


@pytest.mark.parametrize(
    ("arguments", "code", "said"),
    [
        (("finsh",), 1, "no key is called 'finsh'; nearest: finish"),
        (("finsh", "oil=softens"), 1, "nearest: finish"),
        (("zzzz", "--json"), 1, "no key is called 'zzzz'"),
        (("oil=softens",), 2, "name the key first"),
        (("finish", "oil"), 2, "'oil' is not NAME=VALUE"),
        (("finish", "=softens"), 2, "is not NAME=VALUE"),
        (("finish", "oill=softens"), 2, "no measurement of finish; nearest: oil"),
        (("finish", "oil=soft"), 2, "nearest: softens"),
        (("finish", "oil="), 2, "it may be: softens, no-effect"),
        (("finish", "oil=softens", "oil=no-effect"), 2, "given twice"),
        (("finish", "oil=softens", "OIL=no-effect"), 2, "given twice"),
        (("finish", "--about", "oil=softens"), 2, "--about goes with the key alone"),
        (("thread-and-fitting", "od=nan"), 2, "is not a number"),
        (("thread-and-fitting", "od=inf"), 2, "give a figure from 0.1 in to 4 in"),
        (("thread-and-fitting", "od=-1"), 2, "give a figure from 0.1 in to 4 in"),
        (("thread-and-fitting", "od=3 deg"), 2, "is a length"),
        (("finish", "--jsom"), 2, "No such option"),
    ],
)
def test_bad_input_gets_a_sentence_and_its_exit_code(
    run_cli: Run, arguments: tuple[str, ...], code: int, said: str
) -> None:
    """On standard error, with nothing on standard output."""
    ran = run_cli("identify", *arguments)
    assert (ran.exit_code, ran.out) == (code, "")
    assert said in ran.err
    assert "Traceback" not in ran.err


@pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))
def test_hostile_text_is_refused_tame(run_cli: Run, text: str) -> None:
    """As key, as name and as value."""
    for arguments in (
        (text,),
        ("finish", f"{text}=softens"),
        ("finish", f"oil={text}"),
        ("thread-and-fitting", f"od={text}"),
    ):
        ran = run_cli("identify", *arguments)
        assert ran.exit_code in (1, 2)
        assert ran.out == ""
        assert not set("\x1b\x9b\u202e\u2066\x00") & set(ran.err)
        assert len(ran.err) < 2_000


def test_a_broken_key_ends_with_three_and_all_its_problems(
    run_cli: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """File, line and remedy of each."""
    from kb.identify import load

    head = 'format = 1\nid = "broken"\ntitle = "Broken key"\n'
    (tmp_path / "broken.toml").write_text(head, encoding="utf-8")
    monkeypatch.setattr(load, "FOLDER", tmp_path)
    load.keys.cache_clear()
    try:
        ran = run_cli("identify", "broken")
    finally:
        load.keys.cache_clear()
    assert (ran.exit_code, ran.out) == (3, "")
    assert "broken.toml:" in ran.err
    assert ran.err.count("broken.toml:") > 1


def test_a_terminal_is_asked_one_measurement_at_a_time(answer: Answer) -> None:
    """Number, name; the questions go to standard error, the answer to standard output."""
    ran = answer("2\ndissolves\n.\n")
    assert ran.exit_code == 0
    assert ran.err.index("oil? ") < ran.err.index("thinner? ") < ran.err.index("copper? ")
    assert ran.err.index("BEWARE  solvent: fresh air") < ran.err.index("One small spot, a damp rag")
    assert "Measure next: " not in ran.out
    out = " ".join(ran.out.split())
    assert "thinner colour comes off" in out
    assert "oil no effect" in out


def test_a_stronger_solvent_is_not_asked_for_once_a_milder_one_has_answered(answer: Answer) -> None:
    """Oil softened the film: neither thinner nor MEK comes up."""
    ran = answer("1\n" + "\n" * 8 + ".\n")
    assert ran.err.count("oil? ") == 1
    assert "thinner? " not in ran.err
    assert "mek? " not in ran.err


def test_an_empty_line_leaves_a_measurement_out_and_u_takes_a_step_back(answer: Answer) -> None:
    """Left out it is not asked again; undone it is."""
    asked = answer("\n3\nu\nu\n.\n").err
    names = [word for word in asked.split() if word.endswith("?")]
    assert names[0] == names[4] == "oil?"
    assert names[1] == names[3] != "oil?"


def test_what_cannot_be_used_is_said_and_asked_again(answer: Answer) -> None:
    """The near miss is named and nothing is lost."""
    ran = answer("sofens\n9\n1\n.\n")
    assert ran.err.count("oil? ") == 3
    said = " ".join(ran.err.split())
    assert "nearest: softens" in said
    assert "cannot be '9'" in said
    assert "oil the film softens" in " ".join(ran.out.split())


def test_the_end_of_input_and_broken_bytes_end_in_an_answer(answer: Answer) -> None:
    """Ctrl-D after one answer is enough said; with none, the key itself is printed."""
    assert "film softens" in answer("1\n").out
    assert "What can be measured" in answer("").out


def test_asked_to_the_end_the_questions_stop(answer: Answer) -> None:
    """With everything left out the key is described, and no question comes twice."""
    ran = answer("\n" * 50)
    names = [word for word in ran.err.split() if word.endswith("?")]
    asked = [item for item in key("finish").measurements if not item.after]
    assert len(names) == len(set(names)) == len(asked)
    assert "What can be measured" in ran.out


@pytest.mark.parametrize("option", ["--json", "--about"])
def test_a_terminal_is_not_asked_when_the_description_is_wanted(
    run_cli: Run, monkeypatch: pytest.MonkeyPatch, option: str
) -> None:
    """Nothing waits for an answer."""
    monkeypatch.setattr("kb.cli.identify._is_asked_in_a_terminal", lambda: True)
    ran = run_cli("identify", "finish", option)
    assert ran.exit_code == 0
    assert "? " not in ran.err


def test_numbers_stand_for_choices_by_the_order_shown() -> None:
    """Several by comma; what is no number of a choice stays as typed."""
    thinner = next(item for item in key("finish").measurements if item.id == "thinner")
    assert choices_by_number(thinner, "1, 3") == "dissolves,nothing"
    assert choices_by_number(thinner, "lifts,2") == "lifts,lifts"
    assert choices_by_number(thinner, "0") == "0"
    assert choices_by_number(thinner, "²") == "²"


_IN_A_TERMINAL = "import fcntl, termios; fcntl.ioctl(0, termios.TIOCSCTTY, 0); from kb.cli.main import main; main()"
"""Takes standard input as the terminal that Ctrl-C comes from, then runs the command line."""


@pytest.mark.parametrize(("typed", "code"), [(b"1\n.\n", 0), (b"1\n\x03", 130)])
def test_a_real_terminal_is_asked_and_ctrl_c_ends_with_130(store_path: Path, typed: bytes, code: int) -> None:
    """Through a pseudo-terminal, as a person types."""
    ours, theirs = pty.openpty()
    with subprocess.Popen(
        [sys.executable, "-c", _IN_A_TERMINAL, "identify", "finish"],
        stdin=theirs, stdout=subprocess.PIPE, stderr=subprocess.PIPE, start_new_session=True,
        env=os.environ | {"ODDFIX_STORE": str(store_path)},
    ) as process:  # fmt: skip
        os.close(theirs)
        assert process.stderr is not None
        seen = b""
        while b"oil? " not in seen and (more := os.read(process.stderr.fileno(), 4096)):
            seen += more
        assert b"oil? " in seen
        os.write(ours, typed)
        out, _ = process.communicate(timeout=30)
    os.close(ours)
    assert process.returncode == code
    assert (b"film softens" in out) == (code == 0)
