"""A finding read like a page: each key an act, and the way back."""

from __future__ import annotations

import re
from io import BytesIO
from pathlib import Path

import pytest
from PIL import Image
from textual.pilot import Pilot
from textual.widgets import OptionList, Static

from kb.desk import Desk
from tests.conftest import HOSTILE_TOGETHER
from tests.tui.driving import (
    UNTAMED,
    drive,
    frame,
    no_waiting_for_typing,
    notices,
    press,
    push,
    said,
    shown,
    trail,
    write,
)
from tui.screens.aircraft import AircraftListScreen
from tui.screens.counts import CountsScreen
from tui.screens.finding import FindingScreen
from tui.screens.findings import FindingsScreen
from tui.screens.own import OwnFindingScreen
from tui.screens.photos import PhotosScreen

__all__ = ["no_waiting_for_typing"]

TAPE = "thread-tape-in-fuel-fittings"


@pytest.fixture
def finding(desk: Desk) -> str:
    """The id of a finding that is linked to a page."""
    return desk.findings.add("white strings", airframe="A", entries=[TAPE], who="kp").id


async def test_it_is_deferred_corrected_and_opened_again_in_a_few_words(desk: Desk, finding: str) -> None:
    """Each time the page shows the new state, and a notice names the key that takes it back."""

    async def steps(pilot: Pilot[None]) -> None:
        await push(pilot, OwnFindingScreen(desk, finding))
        await press(pilot, "d")
        await write(pilot, words="no part until spring", who="kp")
        await press(pilot, "f2")
        assert "SHOP, DEFERRED" in frame(pilot)
        assert notices(pilot)[-1] == "deferred; u takes it back"
        await press(pilot, "c")
        await write(pilot, words="new fittings", minutes="45", who="mm")
        await press(pilot, "f2")
        assert "SHOP, CORRECTED" in frame(pilot)
        assert "45 minutes" in frame(pilot)
        await press(pilot, "o")
        await write(pilot, words="came back")
        await press(pilot, "f2")
        assert "SHOP, OPEN" in frame(pilot)

    await drive(desk, steps)
    kept = desk.findings.get(finding)
    assert kept.action == "no part until spring\nnew fittings\ncame back"
    assert [step.revision.said for step in desk.history.of(finding)] == ["added", "deferred", "corrected", "reopened"]
    assert [step.revision.who for step in desk.history.of(finding)] == ["kp", "kp", "mm", None]


async def test_what_an_act_needs_is_said_and_its_words_stay(desk: Desk, finding: str) -> None:
    """An empty ground, minutes in words; and Esc throws words away only at the second time."""

    async def steps(pilot: Pilot[None]) -> None:
        await push(pilot, OwnFindingScreen(desk, finding))
        await press(pilot, "d", "f2")
        assert "Not done: the ground for putting it off is empty" in said(pilot)
        await press(pilot, "escape", "c")
        await write(pilot, words="new hose", minutes="an hour")
        await press(pilot, "f2")
        assert "'an hour', are no number" in said(pilot)
        await press(pilot, "escape")
        assert "new hose" in frame(pilot)
        await press(pilot, "escape")
        assert "new hose" not in frame(pilot)

    await drive(desk, steps)
    assert desk.findings.get(finding).state == "open"


async def test_the_cause_is_chosen_among_those_of_its_pages(desk: Desk, finding: str) -> None:
    """And can be taken back."""
    causes = [cause.id for cause in desk.library.page(TAPE).causes]

    async def steps(pilot: Pilot[None]) -> None:
        await push(pilot, OwnFindingScreen(desk, finding))
        await press(pilot, "k")
        assert pilot.app.screen.query_one("#lines", OptionList).option_count == len(causes)
        await press(pilot, "enter", "f2")
        assert f"confirmed cause: {TAPE}/{causes[0]}" in said(pilot)
        await press(pilot, "k", "end", "enter", "f2")
        assert "confirmed cause" not in frame(pilot)

    await drive(desk, steps)
    assert desk.findings.get(finding).cause is None


async def test_a_finding_on_no_page_says_how_to_link_one(desk: Desk) -> None:
    """There is no cause to choose from then."""
    kept = desk.findings.add("odd", airframe="A")

    async def steps(pilot: Pilot[None]) -> None:
        await push(pilot, OwnFindingScreen(desk, kept.id))
        await press(pilot, "k")
        assert "e and F3 link it to one" in said(pilot)

    await drive(desk, steps)


async def test_undo_names_what_it_takes_back_and_asks(desk: Desk, finding: str) -> None:
    """Esc leaves all as it is."""
    desk.findings.defer(finding, why="no part", who="mm")

    async def steps(pilot: Pilot[None]) -> None:
        await push(pilot, OwnFindingScreen(desk, finding))
        await press(pilot, "u")
        assert "Take back the last act?" in frame(pilot)
        assert "deferred by mm" in frame(pilot)
        assert "A: white strings" in said(pilot)
        await press(pilot, "escape")
        assert "SHOP, DEFERRED" in frame(pilot)
        await press(pilot, "u", "enter")
        assert "SHOP, OPEN" in frame(pilot)
        assert notices(pilot)[-1] == "taken back: deferred"

    await drive(desk, steps)


async def test_undo_takes_back_nothing_else_when_something_else_was_done_meanwhile(desk: Desk, finding: str) -> None:
    """Somebody else works on the same store."""
    desk.findings.defer(finding, why="no part")

    async def steps(pilot: Pilot[None]) -> None:
        await push(pilot, OwnFindingScreen(desk, finding))
        await press(pilot, "u")
        other = desk.findings.add("other", airframe="B")
        await press(pilot, "enter")
        assert "something else was done meanwhile" in said(pilot)
        assert desk.findings.get(other.id).state == "open"

    await drive(desk, steps)
    assert desk.findings.get(finding).state == "deferred"


async def test_with_nothing_to_undo_a_sentence_says_so(desk: Desk) -> None:
    """And nothing is asked."""

    async def steps(pilot: Pilot[None]) -> None:
        await press(pilot, "escape", "o", "u")
        assert any("there is nothing to undo" in notice for notice in notices(pilot))

    await drive(desk, steps)


async def test_a_withdrawn_one_leaves_the_list_and_o_brings_it_back(desk: Desk, finding: str) -> None:
    """Its page can still be read."""

    async def steps(pilot: Pilot[None]) -> None:
        await press(pilot, "escape", "o", "enter", "x", "f2")
        assert "SHOP, WITHDRAWN" in frame(pilot)
        await press(pilot, "escape")
        assert "No findings of that kind" in frame(pilot)
        await push(pilot, FindingsScreen(desk, state="withdrawn"))
        await press(pilot, "enter", "o", "f2")
        assert "SHOP, OPEN" in frame(pilot)

    await drive(desk, steps)
    assert desk.findings.count() == 1


async def test_e_opens_the_form_and_the_page_shows_the_change(desk: Desk, finding: str) -> None:
    """Without leaving it."""

    async def steps(pilot: Pilot[None]) -> None:
        await push(pilot, OwnFindingScreen(desk, finding))
        await press(pilot, "e")
        assert trail(pilot) == "ask > page > revise"
        await write(pilot, text="white strings and crumbs")
        await press(pilot, "f2")
        assert "white strings and crumbs" in frame(pilot)

    await drive(desk, steps)


async def test_photos_are_added_drawn_written_and_left_out(desk: Desk, finding: str, tmp_path: Path) -> None:
    """What is no picture is refused in a sentence."""
    picture, page = tmp_path / "strainer.png", tmp_path / "page.txt"
    body = BytesIO()
    Image.new("RGB", (64, 48), (200, 30, 30)).save(body, "PNG")
    picture.write_bytes(body.getvalue())
    page.write_text("no picture")

    async def steps(pilot: Pilot[None]) -> None:
        await push(pilot, OwnFindingScreen(desk, finding))
        await press(pilot, "p", "a")
        await write(pilot, line=str(page))
        await press(pilot, "f2")
        assert "page.txt" in said(pilot)
        await write(pilot, line=str(picture))
        await press(pilot, "f2")
        assert "strainer.png" in frame(pilot)
        assert frame(pilot).count("▀") > 50
        await press(pilot, "w")
        await write(pilot, line=str(tmp_path))
        await press(pilot, "f2")
        await press(pilot, "x", "f2")
        assert "No photo yet" in frame(pilot)

    await drive(desk, steps)
    assert len(list(tmp_path.glob("strainer-*.png"))) == 1
    assert desk.findings.get(finding).photos == ()


async def test_the_list_of_photos_draws_no_colour_when_none_is_wanted(desk: Desk, finding: str) -> None:
    """It says so instead."""
    body = BytesIO()
    Image.new("RGB", (64, 48), (200, 30, 30)).save(body, "PNG")
    desk.photos.add(finding, [body.getvalue()])

    async def steps(pilot: Pilot[None]) -> None:
        await push(pilot, PhotosScreen(desk, finding))
        assert "No colours here" in frame(pilot)

    await drive(desk, steps, no_colour=True)


async def test_what_is_known_of_an_aircraft_is_said_and_unsaid(desk: Desk, finding: str) -> None:
    """Each change is kept; what makes no sense is refused and stays to be corrected."""

    async def steps(pilot: Pilot[None]) -> None:
        await push(pilot, AircraftListScreen(desk))
        assert "1 open" in frame(pilot)
        await press(pilot, "e")
        await write(pilot, construction="wood", built="soon", outdoors="outdoors", about="tail wheel")
        await press(pilot, "f2")
        assert "Not kept: 'soon' is no year" in said(pilot)
        await write(pilot, built="1946")
        await press(pilot, "f2")
        assert "wood; built 1946; kept outdoors; tail wheel" in frame(pilot)
        await press(pilot, "e")
        await write(pilot, outdoors="", about="")
        await press(pilot, "escape")
        assert "Esc again throws it away" in frame(pilot)
        await press(pilot, "f2")
        assert "wood; built 1946" in frame(pilot)
        assert "outdoors" not in frame(pilot)
        await press(pilot, "v")
        assert frame(pilot).index("kept outdoors") < frame(pilot).rindex("wood; built 1946")

    await drive(desk, steps)
    assert len(desk.airframes.history("A")) == 2


@pytest.mark.parametrize("text", HOSTILE_TOGETHER, ids=["many", "long"])
async def test_hostile_text_is_tame_on_every_screen_of_a_finding(desk: Desk, tmp_path: Path, text: str) -> None:
    """The page, its history, a revision, the form, the lists, the questions."""
    kept = desk.findings.add(f"qq {text}", airframe=f"H {text[:190]}", action=text, place=text[:190], who=text[:190])
    desk.findings.correct(kept.id, action=text, who=text[:190])
    desk.airframes.keep(kept.airframe, about=f"q {text}")
    body = BytesIO()
    Image.new("RGB", (64, 48), (200, 30, 30)).save(body, "PNG")
    photo = tmp_path / re.sub(r"[/\0]", "", text.encode("utf-8", "replace").decode())[:80]
    photo.write_bytes(body.getvalue())
    desk.photos.add(kept.id, [photo])

    async def steps(pilot: Pilot[None]) -> None:
        frames = []
        await push(pilot, OwnFindingScreen(desk, kept.id))
        for keys in (("u",), ("escape", "v"), ("enter",), ("r",), ("escape", "escape", "escape", "e"), ("escape", "d")):
            await press(pilot, *keys)
            frames.append(frame(pilot))
        await push(pilot, PhotosScreen(desk, kept.id))
        frames.append(frame(pilot))
        await push(pilot, AircraftListScreen(desk))
        for keys in (("e",), ("escape", "v"), ("escape", "b"), ("b", "b"), ("escape", "enter"), ("f",)):
            await press(pilot, *keys)
            frames.append(frame(pilot))
        assert not UNTAMED & set("".join(frames))

    await drive(desk, steps)


@pytest.mark.parametrize("size", [(80, 24), (60, 20), (140, 40)])
async def test_the_last_line_of_every_screen_holds_whole_pairs(desk: Desk, finding: str, size: tuple[int, int]) -> None:
    """At the design size, the least size and a wide one."""

    async def steps(pilot: Pilot[None]) -> None:
        await push(pilot, OwnFindingScreen(desk, finding))
        for keys in ((), ("v",), ("enter",), ("escape", "escape", "p"), ("escape", "k"), ("escape", "e"), ("escape",)):
            await press(pilot, *keys)
            offered = pilot.app.screen.keys()  # type: ignore[attr-defined]
            last = str(pilot.app.screen.query_one(".keys", Static).content)
            assert last
            assert last.split("   ")[-1] in offered

    await drive(desk, steps, size=size)


async def test_a_page_is_linked_by_its_name(desk: Desk) -> None:
    """A wrong name is answered with the nearest."""
    kept = desk.findings.add("odd", airframe="A")

    async def steps(pilot: Pilot[None]) -> None:
        await push(pilot, OwnFindingScreen(desk, kept.id))
        await press(pilot, "g")
        await write(pilot, line=f"{TAPE}s")
        await press(pilot, "f2")
        assert TAPE in said(pilot)
        await write(pilot, line=TAPE)
        await press(pilot, "f2")
        assert "3 Pages" in frame(pilot)

    await drive(desk, steps)
    assert desk.findings.get(kept.id).entries == (TAPE,)


async def test_a_change_that_is_not_kept_yet_is_told_of_on_the_page(desk: Desk, finding: str) -> None:
    """As a finding that is still typed is on the first screen."""

    async def steps(pilot: Pilot[None]) -> None:
        await push(pilot, OwnFindingScreen(desk, finding))
        await press(pilot, "e")
        await write(pilot, text="half a change")
        await press(pilot, "escape", "d")
        assert "a change is not kept yet: e" in trail(pilot)
        await press(pilot, "escape")
        await push(pilot, FindingScreen(desk))
        await write(pilot, text="half a finding")
        await press(pilot, "escape", "d")
        assert "1 not kept yet: a" in trail(pilot)

    await drive(desk, steps)


async def test_no_colour_code_is_drawn_when_none_is_wanted(desk: Desk, finding: str) -> None:
    """On the form with its twins, the finding, its windows and the counts."""

    async def steps(pilot: Pilot[None]) -> None:
        names: set[str] = set()
        await push(pilot, OwnFindingScreen(desk, finding))
        for keys in ((), ("d",), ("escape", "v"), ("enter",), ("escape", "escape", "e"), ("escape", "a"), ("tab",)):
            await press(pilot, *keys)
            styles = [one.style for strip in pilot.app.screen._compositor.render_strips() for one in strip if one.style]
            names |= {colour.name for style in styles for colour in (style.color, style.bgcolor) if colour}
        await push(pilot, CountsScreen(desk))
        styles = [one.style for strip in pilot.app.screen._compositor.render_strips() for one in strip if one.style]
        names |= {colour.name for style in styles for colour in (style.color, style.bgcolor) if colour}
        assert names == {"default"}

    await drive(desk, steps, no_colour=True)


async def test_help_names_every_act(desk: Desk, finding: str) -> None:
    """Read from the bindings."""

    async def steps(pilot: Pilot[None]) -> None:
        await push(pilot, OwnFindingScreen(desk, finding))
        await press(pilot, "question_mark")
        for word in ("revise: the form again", "confirm the cause", "undo the last act", "narrow down", "photos"):
            assert word in shown(pilot)

    await drive(desk, steps)
