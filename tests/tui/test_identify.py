"""The guided form of a key, driven by keys alone."""

from __future__ import annotations

from collections.abc import Awaitable, Callable

import pytest
from textual.pilot import Pilot
from textual.widgets import Input, OptionList, Static

from kb.desk import Desk
from kb.identify import keys
from tests.conftest import HOSTILE_TOGETHER
from tui.app import OddfixApp
from tui.screens.identify import KeyScreen

Steps = Callable[[Pilot[None]], Awaitable[None]]


async def _drive(desk: Desk, steps: Steps, *, size: tuple[int, int] = (80, 24), no_colour: bool = False) -> None:
    app = OddfixApp(desk, ansi_color=no_colour)
    async with app.run_test(size=size, notifications=True) as pilot:
        await _settle(pilot)
        await steps(pilot)


async def _settle(pilot: Pilot[None]) -> None:
    """Wait until workers have answered and the answer is drawn."""
    for _ in range(2):
        await pilot.pause()
        await pilot.app.workers.wait_for_complete()
    await pilot.pause()


async def _press(pilot: Pilot[None], *pressed: str) -> None:
    for one in pressed:
        await pilot.press(one)
        await _settle(pilot)


async def _open(pilot: Pilot[None], key_id: str) -> None:
    pilot.app.push_screen(KeyScreen(pilot.app.desk, key_id))  # type: ignore[attr-defined]
    await _settle(pilot)


def _frame(pilot: Pilot[None]) -> str:
    strips = pilot.app.screen._compositor.render_strips()
    return "\n".join("".join(segment.text for segment in strip) for strip in strips)


def _said(pilot: Pilot[None]) -> str:
    """The frame as running text."""
    return " ".join(_frame(pilot).split())


def _trail(pilot: Pilot[None]) -> str:
    return _frame(pilot).splitlines()[0].strip()


async def test_one_key_from_asking_lists_the_keys_and_enter_opens_one(desk: Desk) -> None:
    """The way in, and Esc all the way back."""

    async def steps(pilot: Pilot[None]) -> None:
        await _press(pilot, "escape", "i")
        assert pilot.app.screen.query_one("#lines", OptionList).option_count == len(keys())
        await _press(pilot, "enter")
        assert _trail(pilot).startswith("ask > identify > key")
        assert "Bolt by its head" in _frame(pilot)
        await _press(pilot, "escape", "escape")
        assert _trail(pilot).startswith("ask")
        assert "identify" not in _trail(pilot)

    await _drive(desk, steps)


async def test_a_page_opens_the_keys_that_name_it(desk: Desk) -> None:
    """Enamel over dope belongs to the finish key and no other."""

    async def steps(pilot: Pilot[None]) -> None:
        from tui.screens.page import PageScreen

        pilot.app.push_screen(PageScreen(desk, "enamel-over-dope"))
        await _settle(pilot)
        await _press(pilot, "i")
        assert "Keys for this page" in _frame(pilot)
        assert pilot.app.screen.query_one("#lines", OptionList).option_count == 1
        await _press(pilot, "enter")
        assert "Finish on fabric or metal" in _frame(pilot)

    await _drive(desk, steps)


async def test_a_page_without_a_key_says_so_and_offers_all(desk: Desk) -> None:
    """Never an empty list."""

    async def steps(pilot: Pilot[None]) -> None:
        from tui.screens.identify_keys import KeysScreen

        unnamed = next(
            hit.id
            for hit in desk.search.ask("compass", limit=50).hits
            if hit.kind == "entry" and not desk.identify.names_for(hit.id)
        )
        pilot.app.push_screen(KeysScreen(desk, unnamed))
        await _settle(pilot)
        assert "No key belongs to this page" in _frame(pilot)
        assert pilot.app.screen.query_one("#lines", OptionList).option_count == len(keys())

    await _drive(desk, steps)


@pytest.mark.parametrize("size", [(80, 24), (60, 20), (140, 40)])
async def test_every_key_opens_with_cautions_steps_choices_and_pairs_in_sight(
    desk: Desk, size: tuple[int, int]
) -> None:
    """At the design size, the least size and a wide one: the first look, the first candidate, a look-alike."""

    async def steps(pilot: Pilot[None]) -> None:
        for name in (key.id for key in keys()):
            await _open(pilot, name)
            said, look = _said(pilot), desk.identify.answer(name, {}).next
            assert look is not None, name
            place = said.index(look.title)
            for text in (*look.cautions, look.how):
                assert (place := said.index(" ".join(text.split()), place)) > 0, name
            assert "MUST NOT BE " in said, name
            assert "> not yet known" in said, name
            assert _frame(pilot).splitlines()[-1].strip().startswith(("1-9 answer", "Enter answer")), name

    await _drive(desk, steps, size=size)


async def test_a_digit_answers_and_the_candidates_move(desk: Desk) -> None:
    """What fits and what contradicts stands below each."""

    async def steps(pilot: Pilot[None]) -> None:
        await _open(pilot, "finish")
        await _press(pilot, "2", "1")
        said = _said(pilot)
        assert "Given thinner: colour comes off, the film dissolves; oil: no effect" in said
        assert "fits oil, thinner; still open flame, " in said
        candidates = pilot.app.screen.query_one("#candidates", OptionList)
        last = str(candidates.get_option_at_index(candidates.option_count - 1).prompt)
        assert "contradicted" in last
        assert "against" in last

    await _drive(desk, steps)


async def test_enter_answers_with_the_choice_marked(desk: Desk) -> None:
    """Arrows and Enter do what digits do, also beyond the ninth choice."""

    async def steps(pilot: Pilot[None]) -> None:
        await _open(pilot, "fuel-colour")
        await _press(pilot, *["down"] * 9)
        assert "> 9" not in _frame(pilot)
        await _press(pilot, "enter")
        chosen = next(m for m in desk.identify.key("fuel-colour").measurements if m.id == "label").choices[9]
        assert f"Given label: {chosen.text}" in _said(pilot)

    await _drive(desk, steps)


async def test_undo_takes_back_and_o_leaves_out(desk: Desk) -> None:
    """What is left out is named and not asked again; u brings it back."""

    async def steps(pilot: Pilot[None]) -> None:
        await _open(pilot, "finish")
        await _press(pilot, "o")
        assert "Left out oil" in _frame(pilot)
        assert "Measure next: Drop of engine oil" not in _said(pilot)
        await _press(pilot, "1", "u")
        assert "Given" not in _frame(pilot)
        await _press(pilot, "u", "u")
        assert "Measure next: Drop of engine oil" in _said(pilot)
        assert "Left out" not in _frame(pilot)

    await _drive(desk, steps)


async def test_a_figure_is_typed_with_its_unit(desk: Desk) -> None:
    """The first digit may be pressed at once; what cannot be used is said, and kept to be corrected."""

    async def steps(pilot: Pilot[None]) -> None:
        await _open(pilot, "thread-and-fitting")
        await _press(pilot, "1")
        assert "Type a figure from 5 deg to 90 deg" in _said(pilot)
        await _press(pilot, "3", "0", "0", "enter")
        assert "cannot be 300 deg; give a figure from 5 deg to 90 deg" in _said(pilot)
        assert pilot.app.screen.query_one("#typed", Input).value == "300"
        pilot.app.screen.query_one("#typed", Input).value = "37 degrees"
        await _press(pilot, "enter")
        assert "cone-angle: 37 deg" in _said(pilot)
        assert "cannot be" not in _said(pilot)

    await _drive(desk, steps)


async def test_while_typing_letters_are_text_and_escape_leads_to_the_single_keys(desk: Desk) -> None:
    """Then a digit goes back to the figure."""

    async def steps(pilot: Pilot[None]) -> None:
        await _open(pilot, "thread-and-fitting")
        await _press(pilot, "1", "u")
        assert pilot.app.screen.query_one("#typed", Input).value == "u"
        await _press(pilot, "escape", "4")
        assert isinstance(pilot.app.focused, Input)
        assert pilot.app.focused.value == "u4"
        await _press(pilot, "escape", "u")
        assert "Given" not in _frame(pilot)

    await _drive(desk, steps)


async def test_a_choice_the_eye_cannot_decide_is_typed_as_several(desk: Desk) -> None:
    """By comma, by number or name."""

    async def steps(pilot: Pilot[None]) -> None:
        await _open(pilot, "finish")
        await _press(pilot, "slash")
        pilot.app.screen.query_one("#typed", Input).value = "1, no-effect"
        await _press(pilot, "enter")
        assert "the film softens within minutes or no effect" in _said(pilot)

    await _drive(desk, steps, size=(140, 40))


async def test_another_measurement_can_be_chosen_and_answered_anew(desk: Desk) -> None:
    """Also one already given: the new answer stands instead."""

    async def steps(pilot: Pilot[None]) -> None:
        await _open(pilot, "finish")
        await _press(pilot, "2", "m")
        assert "given" in _frame(pilot)
        await _press(pilot, "home", "enter")
        assert "Measure: Drop of engine oil" in _said(pilot)
        await _press(pilot, "1")
        assert "Given oil: the film softens" in _said(pilot)
        assert "Given oil: no effect" not in _said(pilot)

    await _drive(desk, steps)


async def test_the_pair_in_hand_is_named_until_one_is_ruled_out(desk: Desk) -> None:
    """Look-alikes never scroll away, the pair that may still be in hand first."""

    async def steps(pilot: Pilot[None]) -> None:
        await _open(pilot, "thread-and-fitting")
        apart = pilot.app.screen.query_one("#apart", Static)
        assert "MUST NOT BE MATED  37 degree flared" in str(apart.content)
        candidates = pilot.app.screen.query_one("#candidates", OptionList)
        candidates.focus()
        await _press(pilot, "end")
        assert "MUST NOT BE MATED  37 degree flared" in _frame(pilot)

    await _drive(desk, steps)


async def test_the_whole_answer_and_one_candidate_are_read_with_their_sources(desk: Desk) -> None:
    """By w and by Enter on a candidate; Esc comes back with nothing lost."""

    async def steps(pilot: Pilot[None]) -> None:
        await _open(pilot, "finish")
        await _press(pilot, "1", "w")
        shown = "\n".join(str(widget.content) for widget in pilot.app.screen.query(Static))
        assert all(
            part in shown for part in ("2 Candidates", "3 Keep apart", "4 Measure next", "5 Warnings", "6 Sources")
        )
        assert "not approved data" in shown
        await _press(pilot, "escape", "tab", "enter")
        shown = "\n".join(str(widget.content) for widget in pilot.app.screen.query(Static))
        assert "1 What speaks for and against it" in shown
        assert "Sources" in shown
        await _press(pilot, "escape")
        assert "Given oil" in _frame(pilot)

    await _drive(desk, steps)


async def test_leaving_with_answers_asks_first(desk: Desk) -> None:
    """Esc goes on, t throws away; with none given it leaves at once."""

    async def steps(pilot: Pilot[None]) -> None:
        await _open(pilot, "finish")
        await _press(pilot, "1", "escape")
        assert "kept only here" in _frame(pilot)
        await _press(pilot, "escape")
        assert "Given oil" in _frame(pilot)
        await _press(pilot, "escape", "t")
        assert _trail(pilot).startswith("ask")
        await _open(pilot, "finish")
        await _press(pilot, "o", "escape")
        assert not isinstance(pilot.app.screen, KeyScreen)

    await _drive(desk, steps)


async def test_when_all_is_left_out_the_form_says_so(desk: Desk) -> None:
    """And does not claim that nothing would tell."""

    async def steps(pilot: Pilot[None]) -> None:
        await _open(pilot, "finish")
        await _press(pilot, *"oooooo")
        assert "All that would tell was left out" in _said(pilot)
        await _press(pilot, "o", "3", "slash", "u")
        assert "Measure next" in _said(pilot)

    await _drive(desk, steps)


@pytest.mark.parametrize("text", HOSTILE_TOGETHER, ids=["many", "long"])
async def test_hostile_text_typed_is_refused_tame(desk: Desk, text: str) -> None:
    """In a choice and in a figure; the sentence is drawn literally."""

    async def steps(pilot: Pilot[None]) -> None:
        for name, pressed in (("finish", "slash"), ("thread-and-fitting", "1")):
            await _open(pilot, name)
            await _press(pilot, pressed)
            pilot.app.screen.query_one("#typed", Input).value = f"x{text[:300]}"
            await _press(pilot, "enter")
            said = str(pilot.app.screen.query_one("#said", Static).content)
            assert "cannot be" in said
            assert not set("\x1b\x9b\x07\x00\u202e\u2066") & set(said)
            assert "Given oil" not in _frame(pilot)

    await _drive(desk, steps)


async def test_no_colour_code_is_drawn_when_none_is_wanted(desk: Desk) -> None:
    """The current rows and the rules of pairs still show, in words and signs."""

    async def steps(pilot: Pilot[None]) -> None:
        await _open(pilot, "finish")
        await _press(pilot, "2")
        styles = [s.style for strip in pilot.app.screen._compositor.render_strips() for s in strip if s.style]
        assert {c.name for style in styles for c in (style.color, style.bgcolor) if c} == {"default"}
        assert "> 1  colour comes off" in _frame(pilot)
        assert "BEWARE" in _frame(pilot)

    await _drive(desk, steps, no_colour=True)


async def test_a_late_answer_is_dropped(desk: Desk) -> None:
    """The answer to older steps never overwrites newer ones."""

    async def steps(pilot: Pilot[None]) -> None:
        await _open(pilot, "finish")
        await _press(pilot, "1")
        key = desk.identify.key("finish")
        late = KeyScreen.Judged(-1, (), key, desk.identify.answer("finish", {}))
        pilot.app.screen.post_message(late)
        await _settle(pilot)
        assert "Given oil" in _frame(pilot)

    await _drive(desk, steps)


async def test_help_names_the_keys_of_the_form(desk: Desk) -> None:
    """Read from the bindings."""

    async def steps(pilot: Pilot[None]) -> None:
        await _open(pilot, "finish")
        await _press(pilot, "question_mark")
        shown = "\n".join(str(widget.content) for widget in pilot.app.screen.query(Static))
        assert all(said in shown for said in ("cannot take it", "undo", "choose the measurement", "the whole answer"))

    await _drive(desk, steps)
