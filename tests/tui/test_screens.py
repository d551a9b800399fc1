"""The screens, driven by keys alone."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from pathlib import Path

import pytest
from textual.pilot import Pilot
from textual.widgets import Input, OptionList, Static, TextArea

from kb.desk import Desk
from tests.conftest import HOSTILE_TOGETHER
from tui.app import OddfixApp
from tui.pageview import Link, PageView

Steps = Callable[[Pilot[None]], Awaitable[None]]


async def _drive(desk: Desk, steps: Steps, *, size: tuple[int, int] = (80, 24), no_colour: bool = False) -> None:
    app = OddfixApp(desk, ansi_color=no_colour)
    async with app.run_test(size=size, notifications=True) as pilot:
        await _settle(pilot)
        await steps(pilot)


@pytest.fixture(autouse=True)
def no_waiting_for_typing(monkeypatch: pytest.MonkeyPatch) -> None:
    """A question is asked at once, so that no test has to wait for a clock."""
    monkeypatch.setattr("tui.screens.ask.PAUSE", 0.001)


async def _settle(pilot: Pilot[None]) -> None:
    """Wait until the typed question is asked, workers have answered and the answer is drawn."""
    for _ in range(2):
        await pilot.pause()
        while getattr(pilot.app.screen, "is_waiting", False):
            await pilot.pause()
        await pilot.app.workers.wait_for_complete()
    await pilot.pause()


async def _ask(pilot: Pilot[None], text: str) -> None:
    pilot.app.screen.query_one("#text", Input).value = text
    await _settle(pilot)


async def _press(pilot: Pilot[None], *keys: str) -> None:
    for key in keys:
        await pilot.press(key)
        await _settle(pilot)


def _frame(pilot: Pilot[None]) -> str:
    """All characters of the frame, line by line."""
    strips = pilot.app.screen._compositor.render_strips()
    return "\n".join("".join(segment.text for segment in strip) for strip in strips)


def _trail(pilot: Pilot[None]) -> str:
    return _frame(pilot).splitlines()[0].strip()


async def test_a_question_is_answered_while_typing(desk: Desk) -> None:
    """The right page first, with urgency, system and the reason below."""

    async def steps(pilot: Pilot[None]) -> None:
        await _ask(pilot, "white strings in strainner")
        lines = _frame(pilot).splitlines()
        assert "read as strainer" in lines[2]
        assert lines[4].startswith("> BEFORE FLIGHT    Plumber's thread tape")
        assert "strings: signs" in lines[5]

    await _drive(desk, steps)


async def test_the_frame_does_not_jump_while_typing(desk: Desk) -> None:
    """The hits begin on the same line whatever is typed."""

    async def steps(pilot: Pilot[None]) -> None:
        places = set()
        for text in ("", "str", "strings in gascolater", "zzzz", "gascolater turnbukle longeronn fabrik " * 5):
            await _ask(pilot, text)
            places.add(pilot.app.screen.query_one("#hits").region.y)
        assert len(places) == 1

    await _drive(desk, steps)


async def test_enter_reads_and_escape_walks_back_with_the_question_kept(desk: Desk) -> None:
    """Nothing typed is lost on the way."""

    async def steps(pilot: Pilot[None]) -> None:
        await _ask(pilot, "enamel over dope")
        await _press(pilot, "enter")
        assert _trail(pilot) == "ask > page"
        assert "not approved data" in _frame(pilot)
        await _press(pilot, "escape")
        assert _trail(pilot).startswith("ask")
        assert pilot.app.screen.query_one("#text", Input).value == "enamel over dope"

    await _drive(desk, steps)


async def test_digits_bring_the_cautions_above_the_steps(desk: Desk) -> None:
    """What must be known first stands on the same frame as the first step, or above it."""

    async def steps(pilot: Pilot[None]) -> None:
        await _ask(pilot, "enamel over dope")
        await _press(pilot, "enter", "5")
        frame = _frame(pilot)
        assert "5 Put right" in frame
        assert frame.index("FIRST") < frame.index("NEVER")

    await _drive(desk, steps)


async def test_links_are_followed_by_tab_and_enter(desk: Desk) -> None:
    """From page to page without a mouse."""

    async def steps(pilot: Pilot[None]) -> None:
        await _ask(pilot, "enamel over dope")
        await _press(pilot, "enter", "tab")
        assert isinstance(pilot.app.focused, Link)
        await _press(pilot, "enter")
        assert _trail(pilot) == "ask > page > page"

    await _drive(desk, steps)


async def test_a_finding_is_added_from_a_page_and_found_again(desk: Desk) -> None:
    """The shop's thread: read, add, ask."""

    async def steps(pilot: Pilot[None]) -> None:
        await _ask(pilot, "thread tape strings")
        await _press(pilot, "enter", "a")
        screen = pilot.app.screen
        screen.query_one("#text", TextArea).text = "purple fluff behind the wobble pump"
        await _press(pilot, "f2")
        assert "Not kept: the airframe is empty" in _frame(pilot)
        screen.query_one("#airframe", Input).value = "High-wing no. 2"
        await _press(pilot, "f2", "escape")
        await _ask(pilot, "purple fluff")
        assert "shop, open" in _frame(pilot)
        assert "1 finding" in _trail(pilot)

    await _drive(desk, steps)
    assert desk.findings.all()[0].entries == ("thread-tape-in-fuel-fittings",)


async def test_leaving_a_form_with_text_asks_first(desk: Desk) -> None:
    """Esc keeps writing, t throws away."""

    async def steps(pilot: Pilot[None]) -> None:
        await _press(pilot, "escape", "a")
        pilot.app.screen.query_one("#text", TextArea).text = "half a sentence"
        await _press(pilot, "escape")
        assert "not kept yet" in _frame(pilot)
        await _press(pilot, "escape")
        assert pilot.app.screen.query_one("#text", TextArea).text == "half a sentence"
        await _press(pilot, "escape", "t")
        assert _trail(pilot).startswith("ask")

    await _drive(desk, steps)


async def test_a_student_reads_by_system(desk: Desk) -> None:
    """Systems, the reading list, a page."""

    async def steps(pilot: Pilot[None]) -> None:
        await _press(pilot, "escape", "s")
        assert "Pitfalls by system" in _frame(pilot)
        await _press(pilot, "enter")
        assert "BEFORE FLIGHT" in _frame(pilot)
        await _press(pilot, "enter")
        assert _trail(pilot) == "ask > systems > reading > page"

    await _drive(desk, steps)


async def test_own_findings_are_listed_and_read(desk: Desk) -> None:
    """Newest first, each laid out like a page."""
    desk.findings.add("older find", airframe="A")
    desk.findings.add("newer find", airframe="B", entries=["enamel-over-dope"])

    async def steps(pilot: Pilot[None]) -> None:
        await _press(pilot, "escape", "o")
        frame = _frame(pilot)
        assert frame.index("newer find") < frame.index("older find")
        await _press(pilot, "enter", "tab", "enter")
        assert _trail(pilot) == "ask > own findings > page > page"

    await _drive(desk, steps)


async def test_the_answer_is_limited_and_the_limit_lifted(desk: Desk) -> None:
    """A list to choose from; the trail says what the answer is limited to."""
    desk.findings.add("crack in a rib", airframe="A")

    async def steps(pilot: Pilot[None]) -> None:
        await _ask(pilot, "crack in a rib")
        await _press(pilot, "escape", "f", "down", "down", "enter")
        assert "ask > only findings" in _trail(pilot)
        assert "BEFORE" not in _frame(pilot)
        await _press(pilot, "f", "enter")
        assert "BEFORE" in _frame(pilot)

    await _drive(desk, steps)


async def test_more_like_the_hit_at_hand(desk: Desk) -> None:
    """One key, and the hit itself is not among them."""

    async def steps(pilot: Pilot[None]) -> None:
        await _ask(pilot, "enamel-over-dope")
        first = _frame(pilot).splitlines()[4]
        await _press(pilot, "escape", "m")
        assert "BEFORE" in _frame(pilot)
        assert first not in _frame(pilot)

    await _drive(desk, steps)


async def test_help_names_every_key_of_the_screen(desk: Desk) -> None:
    """Read from the bindings, so a new key is never missing."""

    async def steps(pilot: Pilot[None]) -> None:
        await _press(pilot, "escape", "question_mark")
        shown = "\n".join(str(widget.render()) for widget in pilot.app.screen.query(Static))
        assert all(said in shown for said in ("add finding", "pages by system", "copy the name", "quit"))

    await _drive(desk, steps)


@pytest.mark.parametrize("text", HOSTILE_TOGETHER, ids=["many", "long"])
async def test_hostile_text_is_shown_tame_on_every_screen(desk: Desk, text: str) -> None:
    """In the question, the hit, the list, the finding's page and a notice."""
    desk.findings.add(f"quibblefish {text}", airframe=f"H {text[:190]}", action=f"did {text}")

    async def steps(pilot: Pilot[None]) -> None:
        frames = []
        await _ask(pilot, text[:400])
        frames.append(_frame(pilot))
        await _ask(pilot, "quibblefish")
        frames.append(_frame(pilot))
        await _press(pilot, "enter")
        frames.append(_frame(pilot))
        await _press(pilot, "escape", "o")
        frames.append(_frame(pilot))
        drawn = set("".join(frames[1:]))
        assert "quibblefish" in frames[1]
        assert not set("\x1b\x9b\x07\x00\u202e\u2066") & drawn

    await _drive(desk, steps)


@pytest.mark.parametrize("size", [(80, 24), (60, 20), (140, 40)])
async def test_the_last_line_holds_only_whole_words(desk: Desk, size: tuple[int, int]) -> None:
    """Keys are named whole or not at all, at every size."""

    async def steps(pilot: Pilot[None]) -> None:
        await _ask(pilot, "strings")
        for keys in ((), ("down",), ("enter",)):
            await _press(pilot, *keys)
            offered = pilot.app.screen.keys()  # type: ignore[attr-defined]
            shown = _frame(pilot).splitlines()[-1].strip()
            assert shown
            assert "   ".join(offered).startswith(shown)
            assert shown == "   ".join(offered)[: len(shown)]
            assert shown.split("   ")[-1] in offered

    await _drive(desk, steps, size=size)


async def test_a_wide_screen_shows_the_page_beside_the_hits(desk: Desk) -> None:
    """From 120 columns on."""

    async def steps(pilot: Pilot[None]) -> None:
        await _ask(pilot, "enamel over dope")
        await _settle(pilot)
        view = pilot.app.screen.query_one("#beside", PageView)
        assert view.display
        assert "1 See" in view.part_titles()

    await _drive(desk, steps, size=(140, 40))


async def test_no_colour_code_is_drawn_when_none_is_wanted(desk: Desk) -> None:
    """NO_COLOR means the terminal's own colours and nothing else; the current row still shows."""

    async def steps(pilot: Pilot[None]) -> None:
        await _ask(pilot, "strings")
        await _press(pilot, "down")
        styles = [s.style for strip in pilot.app.screen._compositor.render_strips() for s in strip if s.style]
        names = {colour.name for style in styles for colour in (style.color, style.bgcolor) if colour}
        assert names == {"default"}
        assert "\n> BEFORE" in _frame(pilot)

    await _drive(desk, steps, no_colour=True)


async def test_what_a_worker_cannot_do_is_said_and_the_screens_go_on(desk: Desk, store_path: Path) -> None:
    """The store is replaced by nonsense underneath."""

    async def steps(pilot: Pilot[None]) -> None:
        store_path.write_bytes(b"gone " * 500)
        for suffix in ("-wal", "-shm"):
            Path(f"{store_path}{suffix}").unlink(missing_ok=True)
        await _ask(pilot, "strings")
        assert any("damaged or is not an oddfix store" in one.message for one in pilot.app._notifications)
        assert pilot.app.is_running

    await _drive(desk, steps)


async def test_a_late_answer_is_dropped(desk: Desk) -> None:
    """The answer to an older question never overwrites a newer one."""

    async def steps(pilot: Pilot[None]) -> None:
        from tui.screens.ask import AskScreen

        await _ask(pilot, "strings")
        screen = pilot.app.screen
        assert isinstance(screen, AskScreen)
        before = screen.query_one("#hits", OptionList).option_count
        screen.post_message(AskScreen.Answered(-1, desk.search.ask("zzzz")))
        await _settle(pilot)
        assert screen.query_one("#hits", OptionList).option_count == before > 0

    await _drive(desk, steps)
