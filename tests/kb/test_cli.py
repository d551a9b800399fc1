"""The commands: what they print, where, and with which exit code."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from kb.cli.main import cli
from tests.conftest import HOSTILE, Ran

Run = Callable[..., Ran]


def test_ask_prints_the_contract(run_cli: Run) -> None:
    """A JSON list, best first, of objects with id, title, system, urgency, score and why."""
    ran = run_cli("ask", "--json", "--limit", "3", "white strings in the fuel strainer")
    assert ran.exit_code == 0
    assert len(ran.data) == 3
    assert all({"id", "title", "system", "urgency", "score", "why"} <= hit.keys() for hit in ran.data)
    assert [hit["score"] for hit in ran.data] == sorted((hit["score"] for hit in ran.data), reverse=True)
    assert ran.data[0]["id"] == "thread-tape-in-fuel-fittings"


def test_ask_in_words_says_what_it_is_and_why(run_cli: Run) -> None:
    """The first page's urgency, summary, hazard and the words that matched."""
    ran = run_cli("ask", "white", "strings", "in", "strainner")
    assert "BEFORE FLIGHT" in ran.out
    assert "Hazard:" in ran.out
    assert "strings: " in ran.out
    assert "read as: strainer (for strainner)" in ran.err
    assert "certificated person decides" in ran.err


def test_show_prints_the_whole_entry(run_cli: Run) -> None:
    """One JSON object with every field of the record."""
    ran = run_cli("show", "--json", "enamel-over-dope")
    assert {"signs", "causes", "looks", "hazard", "remedy", "paper", "look_also", "sources"} <= ran.data.keys()


def test_show_puts_cautions_and_nevers_before_the_steps(run_cli: Run) -> None:
    """A hurried reader meets them first."""
    out = run_cli("show", "enamel-over-dope").out
    part = out[out.index("5 Put right") : out.index("6 Prove")]
    assert part.index("FIRST") < part.index("NEVER") < part.index("  1 ")


def test_show_says_that_it_is_guidance(run_cli: Run) -> None:
    """On every page."""
    assert "Guidance, not approved data" in run_cli("show", "enamel-over-dope").out


@pytest.mark.parametrize(
    ("arguments", "code", "said"),
    [
        (("ask",), 2, "the question is empty"),
        (("ask", "   "), 2, "the question is empty"),
        (("ask", "the of and"), 1, "nothing fits"),
        (("ask", "?!... --- ///"), 1, "nothing fits"),
        (("ask", "Масло течёт"), 1, "nothing fits"),
        (("ask", "--jsom", "x"), 2, "no option --jsom"),
        (("ask", "--limit", "0", "x"), 2, "0 is not in the range"),
        (("show", "enamel-over-dop"), 1, "nearest: enamel-over-dope"),
        (("show", "zzzz"), 1, "no page is called 'zzzz'"),
        (("systems", "feul"), 1, "nearest: fuel"),
        (("findings",), 1, "no findings of that kind"),
        (("findings", "--airframe", "x"), 1, "no airframe with findings is called 'x'"),
        (("add", "--airframe", "A", " "), 2, "the text of a finding is empty"),
        (("add", "--airframe", " ", "text"), 2, "the airframe is empty"),
        (("add", "text"), 2, "Missing option '--airframe'"),
        (("add", "--airframe", "A", "--entry", "enamel-over-dop", "text"), 1, "nearest: enamel-over-dope"),
        (("add", "--airframe", "A", "--system", "feul", "text"), 1, "nearest: fuel"),
        (("add", "--airframe", "A", "x" * 20_001), 2, "at most 20000"),
        ((), 2, "the screens need a terminal"),
        (("frobnicate",), 2, "No such command"),
    ],
)
def test_bad_input_gets_a_sentence_and_its_exit_code(
    run_cli: Run, arguments: tuple[str, ...], code: int, said: str
) -> None:
    """On standard error, with nothing on standard output."""
    ran = run_cli(*arguments)
    assert (ran.exit_code, ran.out) == (code, "")
    assert said in ran.err
    assert "Traceback" not in ran.err


@pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))
def test_hostile_text_is_asked_added_found_and_shown_tame(run_cli: Run, text: str) -> None:
    """No control, direction or half character reaches the terminal, and nothing fails."""
    asked = run_cli("ask", text)
    assert asked.exit_code in (0, 1)
    added = run_cli("add", "--airframe", f"H {text[:50]}", f"quibblefish {text}")
    assert added.exit_code == 0
    shown = run_cli("show", added.out.strip())
    listed = run_cli("findings")
    found = run_cli("ask", "--json", "quibblefish")
    assert found.data[0]["kind"] == "finding"
    for ran in (asked, added, shown, listed, found):
        assert not set("\x1b\x9b\u202e\u2066\x00") & set(ran.out + ran.err)


def test_a_question_of_ten_thousand_characters_is_answered(run_cli: Run) -> None:
    """A pasted page is a question too; what is over the limit is cut with a note."""
    ran = run_cli("ask", "--json", "strings in the strainer " * 500)
    assert ran.exit_code == 0
    assert "only the first 10000 characters" in ran.err


def test_a_finding_is_found_by_the_next_question_marked_as_the_shops(run_cli: Run) -> None:
    """Added and asked, with the airframe beside it."""
    added = run_cli(
        "add", "--json", "--airframe", "Bird dog 2", "--entry", "thread-tape-in-fuel-fittings",
        "purple fluff behind the wobble pump",
    )  # fmt: skip
    hit = run_cli("ask", "--json", "purple fluff wobble pump").data[0]
    assert (hit["kind"], hit["id"], hit["airframe"]) == ("finding", added.data["id"], "Bird dog 2")
    assert hit["system"] == "fuel"
    assert "shop, open" in run_cli("ask", "purple fluff wobble pump").out


def test_findings_are_listed_newest_first_by_airframe(run_cli: Run) -> None:
    """And the airframe's name may be typed in any case."""
    for airframe, text in (("One", "first"), ("Two", "second"), ("One", "third")):
        run_cli("add", "--airframe", airframe, text)
    assert [one["text"] for one in run_cli("findings", "--json").data] == ["third", "second", "first"]
    assert [one["text"] for one in run_cli("findings", "--json", "--airframe", "one").data] == ["third", "first"]


def test_systems_counts_pages_and_lists_the_most_pressing_first(run_cli: Run) -> None:
    """The student's way in."""
    counts = {row["id"]: row["pages"] for row in run_cli("systems", "--json").data}
    listed = run_cli("systems", "--json", "wood").data
    assert counts["wood"] == len(listed) >= 4
    order = ["before-flight", "before-return", "next-inspection", "information"]
    assert [order.index(e["urgency"]) for e in listed] == sorted(order.index(e["urgency"]) for e in listed)
    assert "BEFORE FLIGHT" in run_cli("systems", "wood").out


def test_a_word_behind_a_minus_leaves_out_what_has_it(run_cli: Run) -> None:
    """So that a known page stops standing in the way."""
    with_it = [hit["id"] for hit in run_cli("ask", "--json", "tape", "strings").data]
    without = [hit["id"] for hit in run_cli("ask", "--json", "tape", "-strings").data]
    assert "thread-tape-in-fuel-fittings" in with_it
    assert "thread-tape-in-fuel-fittings" not in without


def test_a_quoted_word_is_not_respelled(run_cli: Run) -> None:
    """What was typed on purpose is left alone."""
    assert "read as" not in run_cli("ask", 'white strings "strainner"').err


def test_the_store_may_be_named_before_or_after_the_command(run_cli: Run, tmp_path: Path) -> None:
    """Both are where people type it."""
    for number, arguments in enumerate((("--store", "S", "systems"), ("systems", "--store", "S"))):
        path = tmp_path / f"other{number}.db"
        assert run_cli(*(str(path) if word == "S" else word for word in arguments)).exit_code == 0
        assert path.exists()


@pytest.mark.parametrize("command", ["ask x", "show x", "systems", "findings", "add --airframe A x"])
def test_a_store_that_cannot_be_used_ends_every_command_with_four(run_cli: Run, tmp_path: Path, command: str) -> None:
    """A newer program's store, a letter instead of a store."""
    newer, letter = tmp_path / "newer.db", tmp_path / "letter.db"
    run_cli("--store", str(newer), "systems")
    with closing(sqlite3.connect(newer)) as db, db:
        db.execute("INSERT INTO _sqlite_migrations (migration_set, name, applied_at) VALUES ('oddfix', 'm9999', 'x')")
    letter.write_text("dear owner", encoding="utf-8")
    for path in (newer, letter):
        ran = run_cli("--store", str(path), *command.split())
        assert (ran.exit_code, ran.out) == (4, "")
        assert str(path) in ran.err


def test_broken_pages_end_with_three_and_all_their_problems(run_cli: Run, tmp_path: Path) -> None:
    """From `check` and from any command that loads them."""
    (tmp_path / "wood").mkdir()
    (tmp_path / "wood" / "a.toml").write_text("x", encoding="utf-8")
    for arguments in (("check", str(tmp_path)), ("ask", "--entries", str(tmp_path), "x")):
        ran = run_cli(*arguments)
        assert (ran.exit_code, ran.out) == (3, "")
        assert "wood/a.toml:1" in ran.err
        assert "systems.toml:1" in ran.err


def test_check_of_good_pages_counts_them(run_cli: Run) -> None:
    """Said in one line."""
    assert "no problem found" in run_cli("check").out


def test_every_command_has_help_that_begins_with_a_sentence() -> None:
    """Read by people at an aircraft."""
    for name, command in cli.commands.items():
        assert command.help, name
        assert command.help.split("\n\n")[0].rstrip().endswith("."), name
