"""The command narrow: what it prints, its contract for programs, its bad input, and the talk in a terminal."""

from __future__ import annotations

import io
from collections.abc import Callable

import pytest

from kb.desk import Desk
from kb.narrow import NONE
from tests.conftest import HOSTILE, Ran

Run = Callable[..., Ran]
Talk = Callable[..., str]

TAPE = "thread-tape-in-fuel-fittings"


def test_hazards_come_before_everything_else(run_cli: Run) -> None:
    """With what must be settled, its share and the reason."""
    out = run_cli("narrow", TAPE).out
    assert out.startswith("BEFORE FLIGHT    settle first (")
    assert "The cut ends of the tape are loose" in " ".join(out.split())
    assert out.index("settle first") < out.index("Look next") < out.index("Guidance, not approved data")


def test_each_cause_has_share_words_reasons_and_the_name_a_finding_keeps(run_cli: Run) -> None:
    """Per cent, the word for it, what speaks for and against, what would still be expected."""
    out = run_cli("narrow", TAPE, "--seen", "stretches", "--not", "tape-under-nut").out
    first = out[out.index("Foremost") : out.index("boss-split")]
    assert "likely, BEFORE FLIGHT" in first
    assert f"{TAPE}/taped-taper" in first
    assert "for     seen: A wet shred" in first
    assert "expect  " in first
    assert "against seen: A wet shred" in out
    assert "None of these: a cause that none of these pages names." in out


def test_without_a_terminal_lines_are_plain(run_cli: Run) -> None:
    """No bars, nothing that has to be seen."""
    out = run_cli("narrow", TAPE).out
    assert not set("█▏\x1b") & set(out)


def test_looks_come_with_minutes_access_tool_and_what_they_tell(run_cli: Run) -> None:
    """Most bits per minute first, each with the name of its sign; then what can only be asked."""
    out = " ".join(run_cli("narrow", TAPE).out.split())
    looks = out[out.index("Look next") :]
    assert f"[{TAPE}/stretches] 15 min, open, white tray, tweezers, lens: Empty the strainer bowl" in looks
    assert "bit, 0.0" in looks
    assert "a minute; seen: " in looks
    assert looks.index("Or ask whoever was there") > looks.index(" 1 ")


def test_every_answer_shows_what_it_did(run_cli: Run) -> None:
    """In the order given."""
    out = run_cli("narrow", TAPE, "--seen", "stretches", "--seen", "boss-hairline").out
    told = out[out.index("What each answer did") : out.index("Look next")]
    assert told.index("A wet shred") < told.index("A hairline")
    assert " % to " in told


def test_the_contract_for_programs(run_cli: Run) -> None:
    """One JSON object: session, says, hazards, causes by share that add up to one, looks, signs, answers, effects."""
    ran = run_cli("narrow", "--json", TAPE, "--seen", "stretches", "--not", f"{TAPE}/tape-under-nut")
    data = ran.data
    assert [(one["sign"], one["said"]) for one in data["answers"]] == [
        (f"{TAPE}/stretches", "seen"),
        (f"{TAPE}/tape-under-nut", "not-seen"),
    ]
    shares = [one["share"] for one in data["causes"]]
    assert shares == sorted(shares, reverse=True)
    assert sum(shares) == pytest.approx(1)
    assert NONE in [one["candidate"]["id"] for one in data["causes"]]
    assert data["hazards"][0]["entry"] == TAPE
    assert data["says"][-1].startswith("Guidance, not approved data")
    assert {"bits", "bits_per_minute", "if_seen", "if_not_seen"} <= data["looks"][0].keys()
    assert len(data["effects"]) == 2
    assert f"{TAPE}/strings" in [sign["id"] for sign in data["signs"]]
    assert ran.out.isascii()


def test_a_question_is_narrowed_over_several_pages(run_cli: Run) -> None:
    """Words need no quotes."""
    data = run_cli("narrow", "--json", "white", "strings", "in", "strainner").data
    assert data["pages"][0]["entry"] == TAPE
    assert len(data["pages"]) > 1
    assert data["session"] is None


def test_what_was_answered_is_kept_and_reopened_by_the_name_printed(run_cli: Run) -> None:
    """Further answers go on top; an unanswered look-up keeps nothing."""
    assert "kept" not in run_cli("narrow", TAPE).err
    first = run_cli("narrow", TAPE, "--seen", "stretches")
    name = first.err.split("--session ")[1].split()[0]
    again = run_cli("narrow", "--json", "--session", name, "--not", "tape-under-nut")
    assert [one["said"] for one in again.data["answers"]] == ["seen", "not-seen"]
    assert again.data["session"].endswith(name)
    assert len(run_cli("narrow", "--json", "--session", name).data["answers"]) == 2


def test_a_session_belongs_to_the_finding_named(run_cli: Run) -> None:
    """With a text it is attached; alone the finding itself is narrowed."""
    finding = run_cli("add", "--json", "--airframe", "A", "--entry", TAPE, "shreds").data["id"]
    attached = run_cli("narrow", "--json", TAPE, "--finding", finding[-8:]).data
    assert attached["finding"] == finding
    assert run_cli("narrow", "--json", "--session", attached["session"]).data["finding"] == finding
    alone = run_cli("narrow", "--json", "--finding", finding).data
    assert (alone["finding"], alone["pages"][0]["entry"]) == (finding, TAPE)


def test_what_the_aircraft_is_built_of_counts(run_cli: Run) -> None:
    """A page for another construction loses weight."""
    question = "soft spot in the wing, glue line dark"
    shares = [
        {one["candidate"]["id"]: one["share"] for one in run_cli("narrow", "--json", question, *more).data["causes"]}
        for more in ((), ("--construction", "sheet-metal"))
    ]
    assert shares[0] != shares[1]


@pytest.mark.parametrize(
    ("arguments", "code", "said"),
    [
        ((), 2, "nothing to narrow"),
        (("  ",), 2, "nothing to narrow"),
        (("Масло течёт",), 1, "nothing fits"),
        ((TAPE, "--seen", "boss-hairlin"), 1, f"nearest: {TAPE}/boss-hairline"),
        ((TAPE, "--not", "zzzzzz"), 1, "no sign of this case is called 'zzzzzz'"),
        ((TAPE, "--seen", "stretches", "--not", "stretches"), 2, "both --seen and --not"),
        (("--session", "zzzzzzzz"), 1, "no session is called 'zzzzzzzz'"),
        (("--session", "zzzzzzzz", "text"), 2, "has its question already"),
        ((TAPE, "--finding", "zzzzzzzz"), 1, "no finding is called 'zzzzzzzz'"),
        ((TAPE, "--jsom"), 2, "No such option"),
        ((TAPE, "--construction", "plastic"), 2, "'plastic' is not one of"),
    ],
)
def test_bad_input_gets_a_sentence_and_its_exit_code(
    run_cli: Run, arguments: tuple[str, ...], code: int, said: str
) -> None:
    """On standard error, with nothing on standard output."""
    ran = run_cli("narrow", *arguments)
    assert (ran.exit_code, ran.out) == (code, "")
    assert said in ran.err
    assert "Traceback" not in ran.err


@pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))
def test_hostile_text_is_narrowed_tame(run_cli: Run, text: str) -> None:
    """As question, name of a sign, of a session and of a finding."""
    runs = [
        run_cli("narrow", f"strings in the strainer {text}", "--seen", f"{TAPE}/stretches"),
        run_cli("narrow", TAPE, "--seen", text),
        run_cli("narrow", "--session", text),
        run_cli("narrow", "--finding", text),
    ]
    for ran in runs:
        assert ran.exit_code in (0, 1, 2)
        assert not set("\x1b\x9b\u202e\u2066\x00") & set(ran.out + ran.err)


@pytest.fixture
def talk(run_cli: Run, monkeypatch: pytest.MonkeyPatch) -> Talk:
    """Run the command as in a terminal with these lines typed, and return all that stands on it."""

    def run(*arguments: str, typed: str) -> str:
        monkeypatch.setattr("kb.cli.narrow._is_terminal", lambda: True)
        lines = io.StringIO(typed)
        monkeypatch.setattr("kb.cli.talk._typed", lines.readline)
        ran = run_cli("narrow", *arguments)
        assert ran.exit_code == 0
        return ran.out + ran.err

    return run


def test_in_a_terminal_bars_are_drawn_and_answers_are_taken(talk: Talk, desk: Desk) -> None:
    """Seen, not seen, cannot look, each with its effect; the end of input leaves, and everything is kept."""
    said = talk(TAPE, typed="s\nx\no\n")
    assert "█" in said
    assert "seen: A wet shred" in said
    assert "not seen: " in said
    assert "not looked at: " in said
    kept = desk.narrow.kept()
    assert [one.answers for one in kept] == [2]
    assert f"oddfix narrow --session {kept[0].id[-8:]} opens it again" in said
    assert len(desk.narrow.reopen(kept[0].id).passed) == 1


def test_a_number_answers_another_line(talk: Talk, desk: Desk) -> None:
    """As printed; a number that is not there is said, and nothing is answered."""
    from kb.narrowtelling import steps

    second = steps(desk.narrow.start(TAPE))[1].sign
    said = talk(TAPE, typed="2 x\n99s\nq\ns\n")
    answers = desk.narrow.reopen(desk.narrow.kept()[0].id).session.answers
    assert [(one.sign, one.said) for one in answers] == [(second, "not-seen")]
    assert "there is no line 99" in said


def test_undo_takes_back_and_why_tells_all(talk: Talk, desk: Desk) -> None:
    """And what is not understood brings the keys again."""
    said = talk(TAPE, typed="s\nu\nu\nw\nhello\nq\n")
    assert "taken back: A wet shred" in said
    assert "there is nothing to take back" in said
    assert said.count("s seen, x not seen, o cannot look") == 2
    assert [one.answers for one in desk.narrow.kept()] == [0]


def test_leaving_without_an_answer_keeps_nothing(talk: Talk, desk: Desk) -> None:
    """A look at a case leaves no trace."""
    assert "opens it again" not in talk(TAPE, typed="q\n")
    assert desk.narrow.kept() == []


def test_when_all_is_looked_at_it_is_said(talk: Talk) -> None:
    """And a further answer does no harm."""
    said = talk(TAPE, typed="s\n" * 12)
    assert "There is nothing left to look at" in said
    assert "there is no line 1" in said


STRAP = "ground-strap-on-paint-or-magnesium"


def test_a_measurement_is_judged_by_its_limit_and_answers_the_sign(run_cli: Run) -> None:
    """Verdict, condition and caution first; the answer says what it rests on; the session keeps it."""
    ran = run_cli("narrow", STRAP, "--measured", "bonding-resistance resistance=5 milliohm")
    out = " ".join(ran.out.split())
    assert out.startswith("Resistance of a bond (bonding-resistance")
    assert "beyond" in out
    assert "caution" in out
    assert out.index("caution") < out.index("What each answer did")
    assert "seen: More than 0.003 ohm" in out
    assert "limit bonding-resistance, beyond" in out
    again = run_cli("narrow", "--session", _session(ran), "--json").data
    assert again["answers"][0]["by"].startswith("limit bonding-resistance, beyond")


def test_a_measurement_that_is_not_covered_sets_nothing_and_says_so(run_cli: Run) -> None:
    """A cold reading is none."""
    ran = run_cli(
        "narrow", "low-compression-on-one-cylinder", "--json",
        "--measured", "low-hot reading=50 engine=cold maker-data=no",
    )  # fmt: skip
    assert ran.data["answers"] == []
    assert ran.data["measured"][0]["verdict"] == "not-covered"
    plain = run_cli("narrow", "low-compression-on-one-cylinder", "--measured", "compression reading=50 maker-data=yes")
    assert "not covered" in plain.out
    assert "settles no sign" in " ".join(plain.out.split())


def test_signs_with_a_limit_say_how_they_are_measured(run_cli: Run) -> None:
    """In the lists and in JSON."""
    assert "--measured 'bonding-resistance INPUT=VALUE ...'" in " ".join(run_cli("narrow", STRAP).out.split())
    signs = {sign["id"]: sign["limit"] for sign in run_cli("narrow", STRAP, "--json").data["signs"]}
    assert signs[f"{STRAP}/high-joint-ohms"] == "bonding-resistance"
    assert signs[f"{STRAP}/white-case"] is None


@pytest.mark.parametrize(
    ("measurement", "code"),
    [
        ("", 1),
        ("nonsense x=1", 1),
        ("white-case x=1", 2),
        ("bonding-resistance resistance=lots", 2),
        ("bonding-resistance", 2),
        ("bonding-resistance lots", 2),
        ("bonding-resistance ohms=3", 1),
        *((text, None) for text in HOSTILE),
    ],
)
def test_a_bad_measurement_is_one_sentence(run_cli: Run, measurement: str, code: int | None) -> None:
    """With its exit code; nothing is printed and nothing kept."""
    ran = run_cli("narrow", STRAP, "--measured", measurement)
    assert ran.exit_code in ((1, 2) if code is None else (code,))
    assert ran.out == ""
    assert "Traceback" not in ran.err


def test_what_is_known_of_the_aircraft_moves_causes_and_is_kept(run_cli: Run) -> None:
    """Told as any other evidence; a kept session can be told more."""
    sign = run_cli("narrow", "hose-liner-breaking-up", "--json").data["signs"][0]["id"]
    ran = run_cli("narrow", "hose-liner-breaking-up", "--years", "34", "--outdoors", "--seen", sign)
    out = " ".join(ran.out.split())
    assert "34 years in service; kept outdoors" in out
    assert "seen: In service 10 years or more since it was built or last rebuilt." in out
    told = run_cli("narrow", "--session", _session(ran), "--indoors", "--construction", "wood", "--json").data
    assert (told["years"], told["outdoors"], told["constructions"]) == (34, False, ["wood"])


@pytest.mark.parametrize("years", ["-1", "121", "old", "1e3"])
def test_years_that_cannot_be_are_refused(run_cli: Run, years: str) -> None:
    """As wrong usage."""
    assert run_cli("narrow", STRAP, "--years", years).exit_code == 2


def test_a_line_is_measured_in_the_talk(talk: Talk) -> None:
    """m and the inputs; what cannot be read is said and asked again; a line without a limit is answered by eye."""
    number = 3  # the line of the strap's resistance
    said = talk(STRAP, typed=f"{number} m resistance=lots\n1 m x=1\n{number} M resistance=5 milliohm\n")
    told = " ".join(said.split())
    assert "'lots' is not a number" in told
    assert "has no limit that settles it" in told
    assert "limit bonding-resistance, beyond" in told
    assert "Resistance of a bond (bonding-resistance" in told


def _session(ran: Ran) -> str:
    """Return the name printed to open the session again."""
    return ran.err.split("--session ")[1].split()[0]
