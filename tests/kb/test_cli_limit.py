"""`oddfix limit`: the list, the description, the verdict with all it stands on, the asking, the keeping."""

from __future__ import annotations

import io
import sys
from collections.abc import Callable

import pytest
from click.testing import CliRunner, Result

from kb.cli import output
from kb.cli.main import cli
from kb.limits import all_limits, judge
from kb.limits.model import VERDICT_WORDS
from tests.conftest import HOSTILE, Ran
from tests.kb.test_imports import HEAVY, _command, _loaded

Run = Callable[..., Ran]
STRIP = ("wing-loading=8.1 psf", "never-exceed=120", "measured=51", "method=strip")


def test_the_list_names_every_limit_under_its_system(run_cli: Run) -> None:
    """Systems in reading order, each limit on a line of its own with its title."""
    out = run_cli("limit").out
    assert out.index("Fuel\n") < out.index("Fabric covering\n") < out.index("Propeller\n")
    for limit in all_limits().values():
        assert f"\n  {limit.id} " in out


def test_a_systems_name_lists_its_own(run_cli: Run) -> None:
    """So that nobody has to scroll through all."""
    listed = run_cli("limit", "fabric", "--json").data
    assert [one["id"] for one in listed] == [one.id for one in all_limits().values() if one.system == "fabric"]


def test_each_limit_is_described_in_full(run_cli: Run) -> None:
    """Inputs with help, sources, basis, conditions, caution and example, all on standard output."""
    for limit in all_limits().values():
        said = _words(run_cli("limit", limit.id).out)
        for item in limit.inputs:
            assert f"{item.name}: {_words(item.help)}" in said, limit.id
        for text in (limit.basis, limit.caution, *limit.assumes, *limit.does_not_cover):
            assert _words(text) in said, limit.id
        for source in limit.sources:
            assert f"{source.document} {source.where}".strip() in said, limit.id
        assert f"oddfix limit {limit.id} " in said
        assert "Guidance, not approved data" in said


def test_the_worked_example_of_each_limit_comes_out_on_the_command_line(run_cli: Run) -> None:
    """As typed in the description: its verdict, with the caution and every condition in the same answer."""
    for limit in all_limits().values():
        example = limit.examples[0]
        ran = run_cli("limit", limit.id, *(f"{item}={value}" for item, value in example.inputs.items()))
        said = _words(ran.out)
        assert ran.exit_code == 0, limit.id
        assert _words(judge(limit, example.inputs).sentence) in said, limit.id
        for text in (limit.caution, limit.basis, *limit.assumes, *limit.does_not_cover):
            assert _words(text) in said, limit.id


def _words(text: str) -> str:
    return " ".join(text.split())


def test_a_verdict_stands_with_everything_it_rests_on(run_cli: Run) -> None:
    """Sentence, gauge, figures, source and paragraph, inputs as typed and as used, pages."""
    out = run_cli("limit", "fabric-strength", *STRIP).out
    assert out.splitlines()[1].startswith("within, by 5 lb/in (11 %)")
    assert "┤46├" in out
    assert "●51" in out
    said = " ".join(out.split())
    for text in (
        "required 46 lb/in measured 51 lb/in margin 5 lb/in (11 %), room left",
        "AC 43.13-1B 2-33b, table 2-1 (read)",
        "wing-loading: 8.1 psf as typed, 8.1 lb/ft² as used",
        "measured: 51 as typed, 51 lb/in as used (no unit was given; read as lb/in)",
        "fabric-weak-under-sound-coating: Rotten cloth",
        "certificated person decides",
    ):
        assert text in said
    assert "airworthy" not in said.replace("airworthiness", "")


def test_the_caution_stands_before_the_figures(run_cli: Run) -> None:
    """A hurried reader meets it first."""
    out = run_cli("limit", "fabric-strength", *STRIP).out
    assert out.index("\ncaution ") < out.index("\nrequired ") < out.index("\nassumes ")


def test_json_holds_the_whole_result_and_its_pages(run_cli: Run) -> None:
    """The verdict never without its conditions."""
    data = run_cli("limit", "fabric-strength", *STRIP, "--json").data
    assert (data["verdict"], data["required"], data["measured"], data["margin"]) == ("within", 46, 51, 5)
    for field in ("sources", "basis", "assumes", "does_not_cover", "caution", "guidance", "given", "gauge"):
        assert data[field], field
    assert "fabric-weak-under-sound-coating" in [page["id"] for page in data["pages"]]
    assert data["finding"] is None


def test_a_unit_typed_apart_and_a_name_with_an_underscore_are_understood(run_cli: Run) -> None:
    """What a shell makes of words typed without quotes."""
    words = ("wing_loading=8.1", "psf", "never-exceed=120", "mph", "measured=51", "lb/in", "METHOD=strip")
    assert run_cli("limit", "fabric-strength", *words, "--json").data["verdict"] == "within"


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (("fabric-strenth",), 1, "nearest: fabric-strength"),
        (("zzzz",), 1, "no limit is called 'zzzz'; oddfix limit lists them all"),
        (("fabric-strength", "mesured=51"), 1, "nearest: wing-loading, never-exceed, measured"),
        (("fabric-strength", "51"), 2, "'51' is not INPUT=VALUE; the inputs of fabric-strength are: wing-loading"),
        (("fabric-strength", "measured=51", "measured=52"), 2, "measured: is given twice"),
        (("fabric-strength", "measured=51"), 2, "wing-loading: is needed"),
        (("fabric-strength", *STRIP[:2], "measured=nan", STRIP[3]), 2, "measured: 'nan' is not a number"),
        (("fabric-strength", *STRIP[:2], "measured=-1", STRIP[3]), 2, "from 0 to 400 lb/in"),
        (("fabric-strength", *STRIP[:2], "measured=5 gal", STRIP[3]), 2, "measured: '5 gal' does not fit"),
        (("fabric-strength", *STRIP[:3], "method=guess"), 2, "give one of: strip, punch"),
        (("fabric-strength", *STRIP[:3], "method="), 2, "method: is needed"),
        (("fabric-strength", *STRIP, "--keep"), 2, "--keep needs --airframe"),
        (("fabric-strength", *STRIP, "--keep", "--airframe", "A", "--entry", "zzz"), 1, "no page is called"),
    ],
)
def test_bad_input_gets_a_sentence_and_its_exit_code(
    run_cli: Run, words: tuple[str, ...], code: int, said: str
) -> None:
    """On standard error, with nothing on standard output, and nothing kept."""
    ran = run_cli("limit", *words)
    assert (ran.exit_code, ran.out) == (code, "")
    assert said in ran.err
    assert run_cli("findings").exit_code == 1


def test_beyond_and_not_covered_are_answers_not_failures(run_cli: Run) -> None:
    """Exit code 0, the verdict in words."""
    beyond = run_cli("limit", "fabric-strength", *STRIP[:2], "measured=45", "method=strip")
    punch = run_cli("limit", "fabric-strength", *STRIP[:3], "method=punch")
    assert (beyond.exit_code, punch.exit_code) == (0, 0)
    assert "\nbeyond, by 1 lb/in" in beyond.out
    assert f"\n{VERDICT_WORDS['not-covered']}: " in punch.out


def test_a_verdict_is_kept_as_a_finding_with_its_source_and_conditions(run_cli: Run) -> None:
    """Found by the next question, under the system of the limit, or that of the page named."""
    kept = run_cli("limit", "fabric-strength", *STRIP, "--keep", "--airframe", "Low-wing 4", "--who", "ab", "--json")
    finding = run_cli("show", kept.data["finding"], "--json").data
    assert finding["text"].startswith("Strength of the covering: within, by 5 lb/in")
    assert "Source: AC 43.13-1B 2-33b, table 2-1." in finding["text"]
    for text in all_limits()["fabric-strength"].does_not_cover:
        assert f"not covered: {text}" in finding["text"]
    assert (finding["airframe"], finding["system"], finding["who"]) == ("Low-wing 4", "fabric", "ab")
    run_cli("limit", "fabric-strength", *STRIP, "--keep", "--airframe", "B", "--entry", "enamel-over-dope")
    assert run_cli("findings", "--json").data[0]["entries"] == ["enamel-over-dope"]
    assert run_cli("ask", "--json", "--only", "findings", "strength of the covering").data[0]["kind"] == "finding"


@pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))
def test_hostile_words_are_shown_tame(run_cli: Run, text: str) -> None:
    """As a name, an input's name and a value."""
    for words in (
        (text,),
        ("fabric-strength", text),
        ("fabric-strength", f"{text}=1"),
        ("wood-moisture", f"reading={text}"),
    ):
        ran = run_cli("limit", *words)
        assert ran.exit_code in (1, 2)
        assert not set("\x1b\x9b\x07\x00\u202e\u2066") & set(ran.out + ran.err)


# asking in a terminal


@pytest.fixture
def ask(run_cli: Run, monkeypatch: pytest.MonkeyPatch) -> Callable[..., Result]:
    """Run the command as in a terminal, with these lines typed."""
    monkeypatch.setattr("kb.cli.limit._may_ask", lambda as_json: not as_json)

    def run(*words: str, lines: str) -> Result:
        return CliRunner().invoke(cli, ["limit", *words], input=lines)

    return run


def test_a_terminal_is_asked_for_what_is_missing_one_at_a_time(ask: Callable[..., Result]) -> None:
    """A slip is said at once and asked again; Enter leaves out what may be left out."""
    ran = ask("fabric-strength", "never-exceed=120", lines="8.1\n5 gal\n51\nstrip\n\n")
    assert ran.exit_code == 0
    assert "within, by 5 lb/in" in ran.stdout
    assert ran.stderr.index("wing-loading:") < ran.stderr.index("measured:")
    assert "'5 gal' does not fit" in ran.stderr
    assert "never-exceed:" not in ran.stderr
    assert "powered when left out" in " ".join(ran.stderr.split())
    assert "caution: Solvent fumes" in ran.stderr


def test_nothing_is_asked_when_nothing_is_missing(ask: Callable[..., Result]) -> None:
    """Nor what may be left out."""
    assert ask("fabric-strength", *STRIP, lines="").exit_code == 0


def test_a_slip_on_the_command_line_is_said_before_anything_is_asked(ask: Callable[..., Result]) -> None:
    """Nobody types four answers for nothing."""
    ran = ask("fabric-strength", "measured=lots", lines="8.1\n")
    assert (ran.exit_code, ran.stdout) == (2, "")
    assert "wing-loading" not in ran.stderr


def test_leaving_off_in_the_middle_ends_as_interrupted(ask: Callable[..., Result]) -> None:
    """With 130 and no verdict."""
    ran = ask("fabric-strength", lines="8.1\n")
    assert (ran.exit_code, ran.stdout) == (130, "")


def test_about_describes_and_json_never_asks(ask: Callable[..., Result]) -> None:
    """For scripts, and for those who only want to read."""
    assert "\ninputs " in ask("fabric-strength", "--about", lines="").stdout
    assert ask("fabric-strength", "--json", lines="").exit_code == 0


# drawing and loading


class _Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


@pytest.mark.parametrize(
    ("no_colour", "term", "coloured"), [("", "xterm", True), ("1", "xterm", False), ("", "dumb", False)]
)
def test_colour_only_in_a_terminal_that_wants_it(
    monkeypatch: pytest.MonkeyPatch, no_colour: str, term: str, coloured: bool
) -> None:
    """The text is the same with and without."""
    monkeypatch.setenv("NO_COLOR", no_colour)
    monkeypatch.setenv("TERM", term)
    monkeypatch.setattr(sys, "stdout", terminal := _Terminal())
    output.pieces([("0 ──", "quiet"), ("●51\x1b[2J", "within")])
    assert ("\x1b[32m" in terminal.getvalue()) is coloured
    assert "\\x1b[2J" in terminal.getvalue()
    monkeypatch.setattr(sys, "stdout", pipe := io.StringIO())
    output.pieces([("0 ──", "quiet"), ("●51", "within")])
    assert pipe.getvalue() == "0 ──●51\n"


@pytest.mark.parametrize(
    "words", [(), ("fabric-strength",), ("fabric-strength", *STRIP)], ids=["list", "about", "verdict"]
)
def test_list_description_and_everyday_verdict_load_nothing_scientific(
    words: tuple[str, ...], store_path: object
) -> None:
    """Neither pint nor numpy nor the screens."""
    loaded = _loaded(_command("limit", *words), store_path)  # type: ignore[arg-type]
    assert not (HEAVY | {"numpy", "pint", "fluids"}) & loaded
