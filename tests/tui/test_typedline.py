"""The line to type into: what is pasted there is tame before it is drawn."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from textual.app import App, ComposeResult
from textual.events import Paste

from kb.display import show_safely
from tests.conftest import HOSTILE
from tui.typedline import TypedLine, tame


class _OneLine(App[None]):
    def compose(self) -> ComposeResult:
        yield TypedLine(max_length=100)


async def _pasted(text: str, *, into: str = "") -> TypedLine:
    app = _OneLine()
    async with app.run_test() as pilot:
        line = app.query_one(TypedLine)
        line.value = into
        line.cursor_position = len(line.value)
        line.focus()
        await pilot.pause()
        line.post_message(Paste(text))
        await pilot.pause()
        strips = app.screen._compositor.render_strips()
        drawn = "".join(segment.text for strip in strips for segment in strip)
        assert not set("\x1b\x9b\x07\x00\u202e\u2066\ud800") & set(drawn)
        return line


@pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))
async def test_hostile_text_that_is_pasted_is_drawn_tame(text: str) -> None:
    """No control, direction or half character reaches the frame."""
    line = await _pasted(text)
    assert line.value == tame(text)[:100]


async def test_control_characters_part_words_and_the_cursor_stands_behind_them() -> None:
    """What was typed before stays."""
    line = await _pasted("oil\x00leak\x1b", into="old ")
    assert (line.value, line.cursor_position) == ("old oil leak ", 13)


async def test_a_paste_that_is_too_long_is_cut() -> None:
    """A pasted page is a question too; it is not refused."""
    assert (await _pasted("x" * 500, into="old ")).value == "old " + "x" * 96


async def test_a_value_set_by_the_program_is_tame_too() -> None:
    """A record's text may be offered for changing."""
    assert (await _pasted("", into="a\x1b[2Jb\u202ec")).value == "a [2Jbc"


@settings(max_examples=200, deadline=None)
@given(st.text())
def test_a_tame_text_is_one_line_that_shows_as_it_is(text: str) -> None:
    """And taming it again changes nothing."""
    once = tame(text)
    assert show_safely(once, keep_lines=False) == once
    assert tame(once) == once
