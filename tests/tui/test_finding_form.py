"""The form of a finding: twins while typing, drafts that survive, nothing lost."""

from __future__ import annotations

import pytest
from textual.pilot import Pilot
from textual.widgets import TextArea

from kb.desk import Desk
from kb.drafts import Draft
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
    settle,
    trail,
    value,
    write,
)
from tui.app import OddfixApp
from tui.screens.finding import FindingScreen
from tui.screens.page import PageScreen
from tui.screens.revise import ReviseScreen
from tui.twinlist import TwinList

__all__ = ["no_waiting_for_typing"]

TAPE = "thread-tape-in-fuel-fittings"


async def test_every_field_is_reached_by_tab_and_kept(desk: Desk) -> None:
    """Text first; no field is lost."""
    typed = {
        "text": "brake hose chafed", "airframe": "00123", "place": "left strut", "found": "2026-01-05",
        "hours": "2310.5", "part": "0012-3", "minutes": "20", "action": "wrapped", "who": "kp",
    }  # fmt: skip

    async def steps(pilot: Pilot[None]) -> None:
        await push(pilot, FindingScreen(desk))
        for name, text in typed.items():
            focused = pilot.app.focused
            assert focused is not None
            assert focused.id == name
            await write(pilot, **{name: text})
            await press(pilot, "tab")
            if isinstance(pilot.app.focused, TwinList):
                await press(pilot, "tab")
        await press(pilot, "f2")
        assert trail(pilot).startswith("ask ")

    await drive(desk, steps)
    (kept,) = desk.findings.all()
    assert (kept.text, kept.airframe, kept.place, kept.found) == (
        "brake hose chafed",
        "00123",
        "left strut",
        "2026-01-05",
    )
    assert (kept.hours, kept.part, kept.minutes, kept.action, kept.who) == (2310.5, "0012-3", 20, "wrapped", "kp")


@pytest.mark.parametrize("size", [(80, 24), (60, 20), (140, 40)])
async def test_the_form_fits_with_its_text_in_sight_and_does_not_jump(desk: Desk, size: tuple[int, int]) -> None:
    """The text keeps three lines or more, and nothing moves while twins come and go."""

    async def steps(pilot: Pilot[None]) -> None:
        await push(pilot, FindingScreen(desk))
        places = set()
        for text in ("", "white strings in the strainer", "zz", "enamel over dope flaking off " * 5):
            await write(pilot, text=text)
            regions = [pilot.app.screen.query_one(name).region for name in ("#text", "#twins", "#fields")]
            places.add(tuple((region.y, region.height) for region in regions))
            assert regions[0].height >= 3
            assert "Aircraft" in frame(pilot)
        assert len(places) == 1

    await drive(desk, steps, size=size)


async def test_twins_stand_under_the_text_with_their_reason_and_keys(desk: Desk) -> None:
    """Findings of this aircraft alone, then pages; at most three and two."""
    for number in range(5):
        desk.findings.add(f"look {number}: white strings in the strainer", airframe="A")
    desk.findings.add("white strings in the strainer", airframe="B")

    async def steps(pilot: Pilot[None]) -> None:
        await push(pilot, FindingScreen(desk, airframe="A"))
        await write(pilot, text="white strings in the strainer")
        lines = [line for line in frame(pilot).splitlines() if "white · strings" in line]
        assert [line.split()[0] for line in lines] == ["F4", "shop,", "shop,", "F3", "BEFORE"]
        assert "look" in lines[0]
        await write(pilot, airframe="B")
        assert sum("shop, open" in line for line in frame(pilot).splitlines()) == 1

    await drive(desk, steps)


async def test_what_was_asked_has_its_twins_at_once(desk: Desk) -> None:
    """The form opened from the question begins with its text."""

    async def steps(pilot: Pilot[None]) -> None:
        await write(pilot, text="white strings in the strainer")
        await press(pilot, "escape", "a")
        assert value(pilot, "text") == "white strings in the strainer"
        assert "F3 BEFORE FLIGHT" in frame(pilot)
        assert not desk.drafts.all()

    await drive(desk, steps)


async def test_a_late_look_for_twins_is_dropped(desk: Desk) -> None:
    """The answer to an older text never replaces a newer one."""

    async def steps(pilot: Pilot[None]) -> None:
        await push(pilot, FindingScreen(desk))
        await write(pilot, text="white strings in the strainer")
        twins = pilot.app.screen.query_one(TwinList)
        before = twins.option_count
        twins.post_message(TwinList.Looked(-1, desk.twins.of("")))
        await settle(pilot)
        assert twins.option_count == before > 0

    await drive(desk, steps)


async def test_one_key_links_the_marked_page_and_takes_it_back(desk: Desk) -> None:
    """The page at hand in the list, or the first one."""

    async def steps(pilot: Pilot[None]) -> None:
        await push(pilot, FindingScreen(desk, airframe="A"))
        await write(pilot, text="white strings in the strainer")
        await press(pilot, "f3")
        assert f"Belongs to {TAPE}" in frame(pilot)
        await press(pilot, "f3")
        assert "Belongs to no page yet" in frame(pilot)
        await press(pilot, "tab", "down", "f3")
        assert TAPE not in frame(pilot)
        await press(pilot, "f2")

    await drive(desk, steps)
    (page,) = desk.findings.all()[0].entries
    assert page != TAPE


async def test_one_key_adds_what_is_typed_to_the_twin_after_asking(desk: Desk) -> None:
    """No second finding; the other fields and the page go with it."""
    twin = desk.findings.add("white strings in the strainer", airframe="A")

    async def steps(pilot: Pilot[None]) -> None:
        await push(pilot, FindingScreen(desk, airframe="A"))
        await write(pilot, text="white strings in the strainer again", hours="12")
        await press(pilot, "f3", "f4")
        assert "Add what is typed to the finding of A" in said(pilot)
        await press(pilot, "escape")
        assert value(pilot, "text").endswith("again")
        await press(pilot, "f4", "y")
        assert trail(pilot).startswith("ask ")

    await drive(desk, steps)
    (kept,) = desk.findings.all()
    assert kept.id == twin.id
    assert kept.text == "white strings in the strainer\nwhite strings in the strainer again\nat hours: 12"
    assert kept.entries == (TAPE,)
    assert desk.drafts.all() == []


async def test_a_twin_is_read_and_nothing_typed_is_lost(desk: Desk) -> None:
    """Enter in the list, Esc back."""

    async def steps(pilot: Pilot[None]) -> None:
        await push(pilot, FindingScreen(desk))
        await write(pilot, text="white strings in the strainer")
        await press(pilot, "tab", "enter")
        assert trail(pilot) == "ask > finding > page"
        await press(pilot, "escape")
        assert value(pilot, "text") == "white strings in the strainer"

    await drive(desk, steps)


async def test_the_aircraft_of_the_last_one_kept_is_filled_in(desk: Desk) -> None:
    """Unless the form is opened for another."""
    desk.findings.add("older", airframe="A")
    desk.findings.add("newer", airframe="High-wing no. 2")

    async def steps(pilot: Pilot[None]) -> None:
        await push(pilot, FindingScreen(desk))
        assert value(pilot, "airframe") == "High-wing no. 2"
        await press(pilot, "escape")
        assert trail(pilot).startswith("ask ")
        await push(pilot, FindingScreen(desk, airframe="A"))
        assert value(pilot, "airframe") == "A"

    await drive(desk, steps)


async def test_what_was_typed_survives_a_program_that_is_killed(desk: Desk) -> None:
    """The form is never closed; a new program on the same store offers it again."""
    app = OddfixApp(desk)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await push(pilot, FindingScreen(desk))
        await write(pilot, text="white strings in the strainer", airframe="A", hours="12")
        await press(pilot, "f3")
        left = Desk.open(desk.store.path)
        assert left.drafts.all()[0].draft == Draft(
            text="white strings in the strainer", airframe="A", hours="12", entries=(TAPE,)
        )

        async def steps(second: Pilot[None]) -> None:
            await press(second, "escape", "a")
            assert "and not kept, filled in again. F7 throws it away" in said(second)
            assert (value(second, "text"), value(second, "hours")) == ("white strings in the strainer", "12")
            assert f"Belongs to {TAPE}" in frame(second)
            await press(second, "f2")

        await drive(left, steps)
    assert [kept.text for kept in desk.findings.all()] == ["white strings in the strainer"]


async def test_a_draft_is_forgotten_once_it_is_kept_or_thrown_away(desk: Desk) -> None:
    """And only then; throwing away asks first."""

    async def steps(pilot: Pilot[None]) -> None:
        await push(pilot, FindingScreen(desk, airframe="A"))
        await write(pilot, text="first")
        assert [kept.draft.text for kept in desk.drafts.all()] == ["first"]
        await press(pilot, "f2")
        assert desk.drafts.all() == []
        await push(pilot, FindingScreen(desk, airframe="A"))
        await write(pilot, text="second")
        await press(pilot, "escape", "t")
        assert desk.drafts.all() == []
        await push(pilot, FindingScreen(desk, airframe="A"))
        await write(pilot, text="third")
        await press(pilot, "f7", "escape")
        assert value(pilot, "text") == "third"
        await press(pilot, "f7", "t")
        assert (value(pilot, "text"), desk.drafts.all()) == ("", [])

    await drive(desk, steps)


async def test_a_form_can_be_left_as_a_draft_to_go_on_with_later(desk: Desk) -> None:
    """Esc, d."""

    async def steps(pilot: Pilot[None]) -> None:
        await push(pilot, FindingScreen(desk))
        await write(pilot, text="half a sentence")
        await press(pilot, "escape", "d")
        assert trail(pilot).startswith("ask ")
        await press(pilot, "escape", "a")
        assert value(pilot, "text") == "half a sentence"

    await drive(desk, steps)


async def test_a_form_opened_from_a_page_loses_neither_the_draft_nor_its_own(desk: Desk) -> None:
    """The draft is named, one key goes to it, the same key goes back."""
    desk.drafts.keep(desk.drafts.new_name(), Draft(text="older half sentence", airframe="A"))

    async def steps(pilot: Pilot[None]) -> None:
        await push(pilot, PageScreen(desk, TAPE))
        await press(pilot, "a")
        assert "F9 goes to a draft not kept: older half sentence" in said(pilot)
        assert f"Belongs to {TAPE}" in frame(pilot)
        await write(pilot, text="new half sentence")
        await press(pilot, "f9")
        assert value(pilot, "text") == "older half sentence"
        assert "Belongs to no page yet" in frame(pilot)
        assert {kept.draft.text for kept in desk.drafts.all()} == {"older half sentence", "new half sentence"}
        await press(pilot, "f9")
        assert value(pilot, "text") == "new half sentence"
        await write(pilot, airframe="B")
        await press(pilot, "f2")

    await drive(desk, steps)
    assert desk.findings.all()[0].entries == (TAPE,)
    assert [kept.draft.text for kept in desk.drafts.all()] == ["older half sentence"]


async def test_a_second_form_above_the_first_does_not_take_its_draft(desk: Desk) -> None:
    """The first one is still open below."""

    async def steps(pilot: Pilot[None]) -> None:
        await push(pilot, FindingScreen(desk))
        await write(pilot, text="white strings in the strainer")
        await press(pilot, "tab", "enter", "a")
        assert value(pilot, "text") == ""
        assert "not kept" not in frame(pilot)

    await drive(desk, steps)


async def test_closing_the_program_saves_what_waits(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    """Even when the moment after the last key has not passed."""
    monkeypatch.setattr("tui.draftline.PAUSE", 3600.0)
    app = OddfixApp(desk)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        pilot.app.push_screen(FindingScreen(desk))
        await pilot.pause()
        pilot.app.screen.query_one("#text", TextArea).text = "half"
        await pilot.pause()
    assert [kept.draft.text for kept in desk.drafts.all()] == ["half"]


async def test_a_draft_that_cannot_be_saved_is_told_of_and_writing_goes_on(
    desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Once, on the line of the draft."""
    from kb.errors import StoreUnavailable

    def refuse(*_: object) -> None:
        raise StoreUnavailable(desk.store.path, "is full", "make room")

    async def steps(pilot: Pilot[None]) -> None:
        monkeypatch.setattr(desk.drafts, "keep", refuse)
        await push(pilot, FindingScreen(desk))
        await write(pilot, text="half a sentence")
        assert "cannot be saved as a draft" in said(pilot)
        assert value(pilot, "text") == "half a sentence"

    await drive(desk, steps)


async def test_what_is_refused_is_said_and_stays_to_be_corrected(desk: Desk) -> None:
    """One sentence; the field is still as typed."""

    async def steps(pilot: Pilot[None]) -> None:
        await push(pilot, FindingScreen(desk, airframe="A"))
        await write(pilot, text="text", hours="abc")
        await press(pilot, "f2")
        assert "Not kept: the hours in service, 'abc', is no number" in said(pilot)
        assert value(pilot, "hours") == "abc"

    await drive(desk, steps)
    assert desk.findings.count() == 0


async def test_a_revision_changes_what_was_changed_and_empties_what_was_emptied(desk: Desk) -> None:
    """Several lines of an action stay several lines."""
    kept = desk.findings.add("strings", airframe="A", action="one\ntwo", place="strainer", hours=123456.7)

    async def steps(pilot: Pilot[None]) -> None:
        await push(pilot, ReviseScreen(desk, kept))
        assert value(pilot, "action") == "one\ntwo"
        assert not desk.drafts.all(finding=kept.id)
        await write(pilot, text="white strings", place="", who="mm")
        await press(pilot, "f2")

    await drive(desk, steps)
    step = desk.history.of(kept.id)[-1]
    assert {change.field for change in step.changes} == {"text", "place"}
    assert (step.revision.who, step.revision.hours) == ("mm", 123456.7)


async def test_a_change_is_refused_when_somebody_else_was_quicker_and_then_put_onto_theirs(desk: Desk) -> None:
    """The draft of it is filled in above what they changed."""
    kept = desk.findings.add("strings", airframe="A")

    async def steps(pilot: Pilot[None]) -> None:
        await push(pilot, ReviseScreen(desk, kept))
        desk.findings.revise(kept.id, place="strainer", who="kp")
        await write(pilot, text="white strings")
        await press(pilot, "f2")
        assert "was changed meanwhile by kp" in said(pilot)
        await press(pilot, "escape", "d")
        await push(pilot, ReviseScreen(desk, desk.findings.get(kept.id)))
        assert (value(pilot, "text"), value(pilot, "place")) == ("white strings", "strainer")
        await press(pilot, "f2")

    await drive(desk, steps)
    now = desk.findings.get(kept.id)
    assert (now.text, now.place) == ("white strings", "strainer")
    assert desk.drafts.all(finding=kept.id) == []


@pytest.mark.parametrize("text", HOSTILE_TOGETHER, ids=["many", "long"])
async def test_hostile_text_is_tame_in_the_form_its_twins_and_its_draft(desk: Desk, text: str) -> None:
    """Typed here, kept before, or left as a draft."""
    desk.findings.add(f"white strings in the strainer {text}", airframe="A")
    desk.drafts.keep(
        desk.drafts.new_name(), Draft(text=f"white strings in the strainer {text}", airframe="A", place=text)
    )

    async def steps(pilot: Pilot[None]) -> None:
        await push(pilot, FindingScreen(desk))
        assert "shop, open" in frame(pilot)
        frames = [frame(pilot)]
        await write(pilot, text=f"{text} white strings", who=text)
        frames.append(frame(pilot))
        await press(pilot, "f4")
        frames.append(frame(pilot))
        await press(pilot, "y")
        assert not UNTAMED & set("".join(frames))
        assert not any("Traceback" in notice for notice in notices(pilot))

    await drive(desk, steps)
    assert len(desk.findings.all()) == 1
