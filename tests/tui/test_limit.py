"""The limit screens, driven by keys: the list, the form, the verdict while typing, the finding."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from dataclasses import replace

import msgspec
import pytest
from textual.binding import Binding
from textual.events import Paste
from textual.pilot import Pilot
from textual.widgets import Input, OptionList, TextArea

from kb.desk import Desk
from kb.limits import all_limits, judge
from tests.conftest import HOSTILE_TOGETHER
from tests.tui.test_screens import _ask, _drive, _frame, _press, _settle, _trail
from tui.pageview import Link
from tui.screens.limit import LimitScreen
from tui.screens.limits import LimitsScreen

Steps = Callable[[Pilot[None]], Awaitable[None]]
STRIP = {"wing-loading": "8.1 psf", "never-exceed": "120", "measured": "51", "method": "strip"}


@pytest.fixture(autouse=True)
def no_waiting_for_typing(monkeypatch: pytest.MonkeyPatch) -> None:
    """Questions and verdicts are asked at once, so that no test has to wait for a clock."""
    monkeypatch.setattr("tui.screens.ask.PAUSE", 0.001)
    monkeypatch.setattr("tui.screens.limit.PAUSE", 0.001)


async def _open(pilot: Pilot[None], name: str, *, entry: str | None = None) -> LimitScreen:
    desk = pilot.app.desk  # type: ignore[attr-defined]
    pilot.app.push_screen(LimitScreen(desk, name, entry=entry))
    await _settle(pilot)
    screen = pilot.app.screen
    assert isinstance(screen, LimitScreen)
    return screen


async def _type(pilot: Pilot[None], typed: dict[str, str]) -> None:
    for field in pilot.app.screen.query(Input):
        field.value = typed.get(field.name or "", field.value)
    await _settle(pilot)


def _flat(pilot: Pilot[None]) -> str:
    return " ".join(_frame(pilot).split())


async def test_from_the_question_to_a_verdict_by_keys_alone(desk: Desk) -> None:
    """l lists the limits by system, Enter opens one, typing judges, the caution stands beside the verdict."""

    async def steps(pilot: Pilot[None]) -> None:
        await _press(pilot, "escape", "l")
        assert _trail(pilot) == "ask > limits"
        lines = pilot.app.screen.query_one("#lines", OptionList)
        names = [line.name for line in pilot.app.screen._lines]  # type: ignore[attr-defined]
        assert sorted(names) == sorted(all_limits())
        lines.highlighted = names.index("fabric-strength")
        await _press(pilot, "enter")
        assert _trail(pilot) == "ask > limits > limit"
        assert "Still needed: wing-loading, never-exceed, measured, method" in _flat(pilot)
        assert "Solvent fumes" in _flat(pilot)
        await _press(pilot, *"8.1", "enter", *"120", "enter", *"51", "tab", *"str", "enter")
        assert "within, by 5 lb/in (11 %)" in _flat(pilot)
        assert "┤46├" in _frame(pilot)
        assert "Solvent fumes" in _flat(pilot)
        assert "not approved data" in _flat(pilot)

    await _drive(desk, steps)


async def test_a_pages_own_limits_stand_first(desk: Desk) -> None:
    """From the page with one key, marked, and none of them twice."""

    async def steps(pilot: Pilot[None]) -> None:
        await _ask(pilot, "fabric-weak-under-sound-coating")
        await _press(pilot, "enter", "l")
        assert _trail(pilot) == "ask > page > limits"
        lines = pilot.app.screen._lines  # type: ignore[attr-defined]
        own = desk.library.page("fabric-weak-under-sound-coating").limits
        assert [line.name for line in lines if line.edge == "THIS PAGE"] == list(own)
        assert [line.name for line in lines[: len(own)]] == list(own)
        assert len({line.name for line in lines}) == len(lines)

    await _drive(desk, steps)


async def test_a_limit_of_another_version_on_a_page_is_left_out(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    """An older program on a newer store goes on working."""
    page = desk.library.page("enamel-over-dope")
    newer = msgspec.structs.replace(page, limits=("not-made-yet", "fabric-strength"))
    monkeypatch.setattr(type(desk.library), "page", lambda self, name: newer)
    _, lines = LimitsScreen(desk, entry=page.id).read()
    assert [line.name for line in lines if line.edge == "THIS PAGE"] == ["fabric-strength"]


UNUSUAL = [
    max(all_limits().values(), key=lambda limit: len(limit.inputs)).id,
    "voltage-drop",  # one input is called as a part of the screen is
    "loading",  # pairs
    "metal-pair",  # long lists of words
    "wing-lacing-spacing",  # one input, never a verdict
]


@pytest.mark.parametrize("name", UNUSUAL)
async def test_the_form_is_made_from_the_description_and_gives_its_example(desk: Desk, name: str) -> None:
    """One line for each input, and the example's verdict as a sentence."""
    limit = all_limits()[name]
    example = limit.examples[0]

    async def steps(pilot: Pilot[None]) -> None:
        screen = await _open(pilot, limit.id)
        assert [field.name for field in screen.query(Input)] == [item.name for item in limit.inputs]
        await _type(pilot, example.inputs)
        shown = screen._shown
        assert shown is not None
        assert shown.result is not None, shown.said
        assert shown.result.sentence == judge(limit, example.inputs).sentence
        assert judge(limit, example.inputs).sentence[:50] in _flat(pilot)

    await _drive(desk, steps)


async def test_what_cannot_be_used_is_said_in_a_sentence(desk: Desk) -> None:
    """With the input and its range, also while other inputs are still missing."""

    async def steps(pilot: Pilot[None]) -> None:
        await _open(pilot, "fabric-strength")
        await _type(pilot, {"measured": "5 gal"})
        assert "measured: '5 gal' does not fit; give a value from 0 to 400 lb/in" in _flat(pilot)
        await _type(pilot, STRIP | {"measured": "-1"})
        assert "out of range; give a value from 0 to 400 lb/in" in _flat(pilot)

    await _drive(desk, steps)


async def test_the_frame_does_not_jump_while_typing(desk: Desk) -> None:
    """The gauge stays on its line whatever is typed."""

    async def steps(pilot: Pilot[None]) -> None:
        screen = await _open(pilot, "fabric-strength")
        places = set()
        for measured in ("", "5", "51", "51x", "400"):
            await _type(pilot, STRIP | {"measured": measured})
            places.add(screen.query_one("#gauge").region.y)
        assert len(places) == 1

    await _drive(desk, steps)


async def test_a_late_verdict_is_dropped(desk: Desk) -> None:
    """The verdict on older inputs never overwrites a newer one."""

    async def steps(pilot: Pilot[None]) -> None:
        screen = await _open(pilot, "fabric-strength")
        await _type(pilot, STRIP)
        shown = screen._shown
        assert shown is not None
        screen.post_message(replace(shown, number=-1, result=None, said="too late"))
        await _settle(pilot)
        assert "too late" not in _flat(pilot)

    await _drive(desk, steps)


async def test_the_verdict_is_kept_as_a_finding_with_one_key(desk: Desk) -> None:
    """F2 opens the form of a finding with sentence, source and conditions; F2 again keeps it."""

    async def steps(pilot: Pilot[None]) -> None:
        await _open(pilot, "fabric-strength")
        await _press(pilot, "f2")
        assert "no verdict yet" in _flat(pilot)
        await _type(pilot, STRIP)
        await _press(pilot, "f2")
        assert _trail(pilot) == "ask > limit > finding"
        text = pilot.app.screen.query_one("#text", TextArea).text
        assert text.startswith("Strength of the covering: within")
        assert "Source: AC 43.13-1B 2-33b, table 2-1." in text
        assert "not covered: Glass cloth." in text
        pilot.app.screen.query_one("#airframe", Input).value = "High-wing no. 2"
        await _press(pilot, "f2")
        assert _trail(pilot).startswith("ask > limit")

    await _drive(desk, steps)
    kept = desk.findings.all()[0]
    assert (kept.airframe, kept.system, kept.entries) == ("High-wing no. 2", "fabric", ())


async def test_a_verdict_from_a_page_belongs_to_that_page(desk: Desk) -> None:
    """The finding is linked to it."""

    async def steps(pilot: Pilot[None]) -> None:
        await _open(pilot, "fabric-strength", entry="enamel-over-dope")
        await _type(pilot, STRIP)
        await _press(pilot, "f2")
        pilot.app.screen.query_one("#airframe", Input).value = "A"
        await _press(pilot, "f2")

    await _drive(desk, steps)
    assert desk.findings.all()[0].entries == ("enamel-over-dope",)


async def test_walking_back_loses_nothing_typed(desk: Desk) -> None:
    """The form comes back as it was, says so, and is emptied by one key."""

    async def steps(pilot: Pilot[None]) -> None:
        await _open(pilot, "fabric-strength")
        await _type(pilot, STRIP)
        await _press(pilot, "escape")
        screen = await _open(pilot, "fabric-strength")
        assert "within, by 5 lb/in" in _flat(pilot)
        assert "as typed before" in _trail(pilot)
        await _press(pilot, "f4")
        assert not any(field.value for field in screen.query(Input))
        assert "Still needed" in _flat(pilot)

    await _drive(desk, steps)


async def test_the_pages_that_use_a_limit_are_followed_from_its_verdict(desk: Desk) -> None:
    """By Tab and Enter, most pressing first."""

    async def steps(pilot: Pilot[None]) -> None:
        screen = await _open(pilot, "fabric-strength")
        links = list(screen.query(Link))
        assert [link._entry_id for link in links] == [
            page.id for page in desk.library.pages_with_limit("fabric-strength")
        ]
        links[0].focus()
        await _press(pilot, "enter")
        assert _trail(pilot) == "ask > limit > page"

    await _drive(desk, steps)


@pytest.mark.parametrize("text", HOSTILE_TOGETHER, ids=["many", "long"])
async def test_hostile_text_is_shown_tame_in_the_form(desk: Desk, text: str) -> None:
    """Pasted into a field: what could drive the terminal is not taken, the rest is refused in a sentence."""

    async def steps(pilot: Pilot[None]) -> None:
        screen = await _open(pilot, "fabric-strength")
        screen.query(Input).first().post_message(Paste(text[:400]))
        await _settle(pilot)
        frame = _frame(pilot)
        assert "wing-loading:" in frame or "Still needed: wing-loading" in frame
        assert not set("\x1b\x9b\x07\x00\u202e\u2066") & set(frame)

    await _drive(desk, steps)


@pytest.mark.parametrize("size", [(80, 24), (60, 20), (140, 40)])
async def test_verdict_and_caution_share_the_first_frame_at_every_size(desk: Desk, size: tuple[int, int]) -> None:
    """Without scrolling; the last line holds whole words only."""

    async def steps(pilot: Pilot[None]) -> None:
        screen = await _open(pilot, "fabric-strength")
        await _type(pilot, STRIP)
        assert "within, by 5 lb/in" in _flat(pilot)
        assert "caution Solvent fumes" in _flat(pilot)
        offered = screen.keys()
        assert _frame(pilot).splitlines()[-1].strip().split("   ")[-1] in offered

    await _drive(desk, steps, size=size)


async def test_no_colour_code_is_drawn_when_none_is_wanted(desk: Desk) -> None:
    """The verdict's word stands without it."""

    async def steps(pilot: Pilot[None]) -> None:
        await _open(pilot, "fabric-strength")
        await _type(pilot, STRIP | {"measured": "40"})
        pilot.app.screen.query_one("#answer").focus()
        await _settle(pilot)
        styles = [s.style for strip in pilot.app.screen._compositor.render_strips() for s in strip if s.style]
        assert {colour.name for style in styles for colour in (style.color, style.bgcolor) if colour} == {"default"}
        assert "beyond, by 6 lb/in" in _flat(pilot)

    await _drive(desk, steps, no_colour=True)


def test_every_key_has_an_id_and_a_description() -> None:
    """Help is made from them."""
    bindings = [binding for binding in LimitScreen.BINDINGS if isinstance(binding, Binding)]
    assert bindings
    assert all(binding.id and binding.description for binding in bindings)
