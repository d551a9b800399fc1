"""The screen narrow, driven by keys alone."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.binding import Binding
from textual.pilot import Pilot
from textual.widgets import OptionList

from kb.desk import Desk
from kb.narrow.words import percent
from kb.narrowed import Narrowed
from kb.narrowtelling import leading, steps
from tests.conftest import HOSTILE_TOGETHER
from tests.tui.test_screens import _ask, _drive, _frame, _press, _settle, _trail
from tui.screens.narrow import NarrowScreen, narrow_again, narrow_text

TAPE = "thread-tape-in-fuel-fittings"


@pytest.fixture(autouse=True)
def no_waiting_for_typing(monkeypatch: pytest.MonkeyPatch) -> None:
    """A question is asked at once."""
    monkeypatch.setattr("tui.screens.ask.PAUSE", 0.001)


async def _open(pilot: Pilot[None], desk: Desk, text: str = TAPE) -> NarrowScreen:
    narrow_text(pilot.app.screen, desk, text)  # type: ignore[arg-type]
    await _settle(pilot)
    assert isinstance(pilot.app.screen, NarrowScreen)
    return pilot.app.screen


def _at(screen: NarrowScreen) -> Narrowed:
    assert screen._narrowed is not None
    return screen._narrowed


def _notices(pilot: Pilot[None]) -> str:
    return " ".join(notice.message for notice in pilot.app._notifications)


async def test_n_narrows_the_question_from_the_hits(desk: Desk) -> None:
    """All its pages compete; Esc goes back to the question as typed."""

    async def steps_(pilot: Pilot[None]) -> None:
        await _ask(pilot, "white strings in strainer")
        await _press(pilot, "down", "n")
        assert _trail(pilot).startswith("ask > narrow")
        assert "white strings in strainer (8 pages" in _frame(pilot)
        await _press(pilot, "escape")
        assert "white strings in strainer" in _frame(pilot).splitlines()[1]

    await _drive(desk, steps_)


async def test_n_narrows_another_hit_alone(desk: Desk) -> None:
    """The one at hand, when that is not the first."""

    async def steps_(pilot: Pilot[None]) -> None:
        await _ask(pilot, "white strings in strainer")
        await _press(pilot, "down", "down", "n")
        assert "(1 page," in _frame(pilot)

    await _drive(desk, steps_)


async def test_n_narrows_from_a_page_and_from_a_finding(desk: Desk) -> None:
    """A finding's narrowing belongs to it."""
    finding = desk.findings.add("purple fluff", airframe="A", entries=[TAPE])

    async def steps_(pilot: Pilot[None]) -> None:
        await _ask(pilot, "enamel over dope")
        await _press(pilot, "enter", "n")
        assert _trail(pilot) == "ask > page > narrow"
        await _press(pilot, "escape", "escape", "escape")
        await _ask(pilot, "purple fluff")
        await _press(pilot, "down", "enter", "n")
        screen = pilot.app.screen
        assert isinstance(screen, NarrowScreen)
        assert _at(screen).finding == finding.id
        assert [page.entry for page in _at(screen).session.pages] == [TAPE]

    await _drive(desk, steps_)


async def test_hazards_stand_on_top_and_causes_as_bars_of_one_scale(desk: Desk) -> None:
    """With share, urgency in words where it must be settled, and none-of-these always in view."""

    async def steps_(pilot: Pilot[None]) -> None:
        screen = await _open(pilot, desk)
        lines = _frame(pilot).splitlines()
        assert lines[1].strip().startswith("BEFORE FLIGHT  settle first (")
        rows = [line for line in lines if "█" in line]
        first, none = rows[0], rows[-1]
        lead = leading(_at(screen), 12)[0][0]
        assert first.startswith(f"> {percent(lead.share)} ")
        assert first.rstrip(" ▁▂▃▄▅▆▇█").endswith("BEFORE FLIGHT")
        assert "none of these" in none
        assert first[2:40].count("█") / none[2:40].count("█") == pytest.approx(lead.share / 0.10, rel=0.3)

    await _drive(desk, steps_)


async def test_the_next_look_says_minutes_access_tool_and_bits(desk: Desk) -> None:
    """And asks one thing that can be answered by one key."""

    async def steps_(pilot: Pilot[None]) -> None:
        await _open(pilot, desk)
        frame = " ".join(_frame(pilot).split())
        assert "Look next (15 min, open, white tray, tweezers, lens) 1 of" in frame
        assert "a minute" in frame
        assert "Is it so? A wet shred" in frame

    await _drive(desk, steps_)


async def test_seen_and_not_seen_move_the_causes_and_say_how(desk: Desk) -> None:
    """The effect of the last answer stands below; the trail says under which name it is kept."""

    async def steps_(pilot: Pilot[None]) -> None:
        screen = await _open(pilot, desk)
        sign = steps(_at(screen))[0].sign
        await _press(pilot, "s")
        frame = _frame(pilot)
        assert "seen: A wet shred" in frame
        assert " % to " in frame
        assert f"kept as {_at(screen).handle}" in frame
        second = steps(_at(screen))[0].sign
        await _press(pilot, "x")
        kept = desk.narrow.reopen(_at(screen).id).session.answers
        assert [(one.sign, one.said) for one in kept] == [(sign, "seen"), (second, "not-seen")]

    await _drive(desk, steps_)


async def test_cannot_look_passes_and_undo_takes_back(desk: Desk) -> None:
    """Nothing moves by a pass; undo brings the look back; beyond the start it says so."""

    async def steps_(pilot: Pilot[None]) -> None:
        screen = await _open(pilot, desk)
        before = _at(screen)
        await _press(pilot, "o")
        assert _at(screen).verdict == before.verdict
        assert steps(_at(screen))[0] != steps(before)[0]
        await _press(pilot, "u")
        assert steps(_at(screen)) == steps(before)
        await _press(pilot, "u")
        assert "there is nothing to take back" in _frame(pilot)

    await _drive(desk, steps_)


async def test_left_and_right_choose_the_look_that_is_answered(desk: Desk) -> None:
    """Round the whole list, to what can only be asked."""

    async def steps_(pilot: Pilot[None]) -> None:
        screen = await _open(pilot, desk)
        offered = steps(_at(screen))
        await _press(pilot, "left")
        assert "Ask whoever was there" in _frame(pilot)
        await _press(pilot, "right", "right", "s")
        assert _at(screen).session.answers[0].sign == offered[1].sign

    await _drive(desk, steps_)


async def test_an_answer_counts_once_however_fast_the_key_is_pressed(desk: Desk) -> None:
    """A second press before the next look is drawn would answer a look nobody has read."""

    async def steps_(pilot: Pilot[None]) -> None:
        screen = await _open(pilot, desk)
        screen.action_answer("seen")
        screen.action_answer("seen")
        await _settle(pilot)
        assert len(_at(screen).session.answers) == 1

    await _drive(desk, steps_)


async def test_the_reasons_follow_the_cause_at_hand_and_enter_reads_its_page(desk: Desk) -> None:
    """Down goes to the next cause; Esc comes back to the same case."""

    async def steps_(pilot: Pilot[None]) -> None:
        screen = await _open(pilot, desk)
        second = leading(_at(screen), 12)[0][1]
        await _press(pilot, "s", "down")
        assert second.words in _frame(pilot) or screen._causes.causes[1].words in _frame(pilot)
        await _press(pilot, "enter")
        assert _trail(pilot) == "ask > narrow > page"
        await _press(pilot, "escape")
        assert len(_at(screen).session.answers) == 1

    await _drive(desk, steps_)


async def test_a_kept_case_is_listed_and_opened_again(desk: Desk) -> None:
    """Also after the program was closed: it is in the store."""
    narrowed = desk.narrow.answer(desk.narrow.start(TAPE), "stretches", "seen")
    desk.narrow.keep(narrowed)

    async def steps_(pilot: Pilot[None]) -> None:
        await _open(pilot, desk)
        await _press(pilot, "k")
        assert narrowed.handle in _frame(pilot)
        assert "1 answer" in _frame(pilot)
        await _press(pilot, "enter")
        screen = pilot.app.screen
        assert isinstance(screen, NarrowScreen)
        assert _at(screen).session == narrowed.session
        assert f"kept as {narrowed.handle}" in _trail(pilot)

    await _drive(desk, steps_)


async def test_leaving_tells_how_to_open_it_again(desk: Desk) -> None:
    """Once something has been answered."""

    async def steps_(pilot: Pilot[None]) -> None:
        screen = await _open(pilot, desk)
        await _press(pilot, "s", "escape")
        assert f"oddfix narrow --session {_at(screen).handle}" in _notices(pilot)

    await _drive(desk, steps_)


async def test_nothing_to_narrow_is_said_on_the_screen(desk: Desk) -> None:
    """And its keys do no harm."""

    async def steps_(pilot: Pilot[None]) -> None:
        narrow_again(pilot.app.screen, desk, "zzzzzzzz")  # type: ignore[arg-type]
        await _settle(pilot)
        await _press(pilot, "s", "x", "o", "u", "b", "left", "a", "y")
        assert "no session is called 'zzzzzzzz'" in _frame(pilot)

    await _drive(desk, steps_)


async def test_what_cannot_be_kept_is_said_and_the_answer_stands(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    """A locked store takes nothing from the person at the aircraft."""
    from kb.errors import StoreUnavailable

    def locked(_: Narrowed) -> None:
        raise StoreUnavailable(Path("shop.db"), "is locked by another program", "try again")

    async def steps_(pilot: Pilot[None]) -> None:
        screen = await _open(pilot, desk)
        monkeypatch.setattr(desk.narrow, "keep", locked)
        await _press(pilot, "s")
        assert "is locked by another program" in _notices(pilot)
        assert _trail(pilot).endswith("not kept")
        await _press(pilot, "x")
        assert len(_at(screen).session.answers) == 2

    await _drive(desk, steps_)


async def test_the_frame_does_not_jump_from_answer_to_answer(desk: Desk) -> None:
    """Causes, looks and keys stand where they stood."""

    async def steps_(pilot: Pilot[None]) -> None:
        screen = await _open(pilot, desk, "white strings in strainer engine quits")
        places = set()
        for key in ("", "s", "x", "o", "u", "b"):
            if key:
                await _press(pilot, key)
            names = ("#causes", "#none", "#why", "#next", "#effect", "#caution")
            places.add(tuple(screen.query_one(name).region for name in names))
        assert len(places) == 1

    await _drive(desk, steps_)


@pytest.mark.parametrize(("width", "is_beside"), [(140, True), (80, False), (60, False)])
async def test_the_next_look_stands_beside_where_there_is_room_and_below_elsewhere(
    desk: Desk, width: int, is_beside: bool
) -> None:
    """And everything that must be seen is on the frame."""

    async def steps_(pilot: Pilot[None]) -> None:
        screen = await _open(pilot, desk, "white strings in strainer engine quits")
        causes, looks = screen.query_one("#causes").region, screen.query_one("#next").region
        assert (looks.x >= causes.right) is is_beside
        assert (looks.y >= causes.bottom) is not is_beside
        frame = " ".join(_frame(pilot).split())
        for said in ("BEFORE FLIGHT", "none of these", "Look next", "Is it so?", "a certificated person decides"):
            assert said in frame

    await _drive(desk, steps_, size=(width, 40 if is_beside else 24 if width == 80 else 20))


async def test_without_colour_the_cause_at_hand_and_the_danger_still_show(desk: Desk) -> None:
    """By a mark and by words; no colour code is drawn."""

    async def steps_(pilot: Pilot[None]) -> None:
        await _open(pilot, desk)
        strips = pilot.app.screen._compositor.render_strips()
        styles = [segment.style for strip in strips for segment in strip if segment.style]
        assert {colour.name for style in styles for colour in (style.color, style.bgcolor) if colour} == {"default"}
        assert "\n> " in _frame(pilot)
        assert "BEFORE FLIGHT" in _frame(pilot)

    await _drive(desk, steps_, no_colour=True)


@pytest.mark.parametrize("text", HOSTILE_TOGETHER, ids=["many", "long"])
async def test_hostile_text_is_shown_tame(desk: Desk, text: str) -> None:
    """In the question, on the screen and in the list of what is kept."""

    async def steps_(pilot: Pilot[None]) -> None:
        screen = await _open(pilot, desk, f"strings in the strainer {text}")
        first = _frame(pilot)
        assert "strings in the strainer" in first
        await _press(pilot, "s", "k")
        assert "strings in the strainer" in _frame(pilot)
        assert screen.app.is_running
        assert not set("\x1b\x9b\x07\x00\u202e\u2066") & set(first + _frame(pilot))

    await _drive(desk, steps_)


async def test_a_finding_is_added_for_the_page_of_the_cause_at_hand(desk: Desk) -> None:
    """The shop's thread goes on."""

    async def steps_(pilot: Pilot[None]) -> None:
        await _open(pilot, desk)
        await _press(pilot, "a")
        assert _trail(pilot) == "ask > narrow > finding"
        assert TAPE in _frame(pilot)

    await _drive(desk, steps_)


def test_every_key_has_an_id_and_a_description() -> None:
    """Help is made from them."""
    bindings = [binding for binding in NarrowScreen.BINDINGS if isinstance(binding, Binding)]
    assert bindings
    assert all(binding.id and binding.description for binding in bindings)


async def test_the_list_of_causes_can_be_walked_to_its_end(desk: Desk) -> None:
    """Every cause drawn can be reached."""

    async def steps_(pilot: Pilot[None]) -> None:
        screen = await _open(pilot, desk, "white strings in strainer engine quits")
        await _press(pilot, "end")
        causes = screen.query_one("#causes", OptionList)
        assert causes.highlighted == len(screen._causes.causes) - 1

    await _drive(desk, steps_)


STRAP = "ground-strap-on-paint-or-magnesium"


async def _to(pilot: Pilot[None], screen: NarrowScreen, sign: str) -> None:
    """Go to the look at one sign."""
    place = [step.sign for step in steps(_at(screen))].index(sign)
    await _press(pilot, *["right"] * place)


async def test_m_measures_by_the_limit_and_its_verdict_comes_back_as_the_answer(desk: Desk) -> None:
    """What the sign is about stands in the form already; the answer says what it rests on, and it is kept."""

    async def steps_(pilot: Pilot[None]) -> None:
        screen = await _open(pilot, desk, STRAP)
        await _to(pilot, screen, f"{STRAP}/high-joint-ohms")
        assert "m measures: limit bonding-resistance" in _frame(pilot)
        await _press(pilot, "m")
        assert _trail(pilot) == "ask > narrow > measure"
        assert "jumper-connection" in _frame(pilot)
        await _press(pilot, "f3")
        assert "no verdict yet" in _notices(pilot)
        await _press(pilot, "tab", *"5mohm", "f3")
        assert pilot.app.screen is screen
        answer = desk.narrow.reopen(_at(screen).id).session.answers[0]
        assert (answer.sign, answer.said) == (f"{STRAP}/high-joint-ohms", "seen")
        assert "limit bonding-resistance, beyond" in str(answer.by)
        assert "seen: More than 0.003 ohm" in _frame(pilot)

    await _drive(desk, steps_)


async def test_leaving_the_form_answers_nothing(desk: Desk) -> None:
    """And where no limit settles the look, m says so."""

    async def steps_(pilot: Pilot[None]) -> None:
        screen = await _open(pilot, desk, STRAP)
        await _press(pilot, "m")
        assert "no limit settles this look" in _notices(pilot)
        await _to(pilot, screen, f"{STRAP}/high-joint-ohms")
        await _press(pilot, "m", "escape")
        assert pilot.app.screen is screen
        assert _at(screen).touched == ()

    await _drive(desk, steps_)


async def test_b_tells_what_is_known_of_the_aircraft(desk: Desk) -> None:
    """Three lines; what cannot be read is said there; what it did is told, and the form remembers it."""

    async def steps_(pilot: Pilot[None]) -> None:
        screen = await _open(pilot, desk, "hose-liner-breaking-up")
        before = _at(screen).verdict
        await _press(pilot, "b", "tab", *"old", "f2")
        assert "give 0 to 120" in _frame(pilot)
        await _press(pilot, *["backspace"] * 3, *"34", "tab", *"outd", "right", "enter")
        assert pilot.app.screen is screen
        assert (_at(screen).session.years, _at(screen).session.outdoors) == (34, True)
        assert _at(screen).verdict != before
        assert "the aircraft: 34 years in service; kept outdoors" in _frame(pilot)
        await _press(pilot, "b")
        assert "34" in _frame(pilot)
        assert "outdoors" in _frame(pilot)
        await _press(pilot, "escape")
        assert pilot.app.screen is screen

    await _drive(desk, steps_)


@pytest.mark.parametrize("size", [(60, 20), (80, 24), (140, 40)])
async def test_the_form_of_the_aircraft_fits(desk: Desk, size: tuple[int, int]) -> None:
    """On every size."""

    async def steps_(pilot: Pilot[None]) -> None:
        await _open(pilot, desk)
        await pilot.resize_terminal(*size)
        await _press(pilot, "b")
        for label in ("Built of", "Years in service", "Kept", "F2 use it"):
            assert label in _frame(pilot)

    await _drive(desk, steps_)
