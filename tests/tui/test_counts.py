"""Lists and counts: by urgency, by aircraft and state, what is found most; a long list stays quick."""

from __future__ import annotations

import pytest
from textual.pilot import Pilot
from textual.widgets import OptionList

from kb.desk import Desk
from kb.model import Content
from tests.tui.driving import drive, frame, press, push, said, trail
from tui.screens.counts import CountsScreen
from tui.screens.findings import FindingsScreen
from tui.screens.listing import ListScreen

TAPE = "thread-tape-in-fuel-fittings"


def _edges(pilot: Pilot[None]) -> list[str]:
    """What stands at the left edge of each row."""
    return [line[1:19].strip(" >") for line in frame(pilot).splitlines()[3:-2:2] if line.strip()]


async def test_open_ones_stand_by_urgency_in_words(desk: Desk) -> None:
    """Of one aircraft if chosen; those on no page last."""
    desk.findings.add("odd", airframe="A")
    desk.findings.add("strings", airframe="A", entries=[TAPE])
    desk.findings.add("strings too", airframe="B", entries=[TAPE])

    async def steps(pilot: Pilot[None]) -> None:
        await press(pilot, "escape", "o", "b")
        assert _edges(pilot) == ["BEFORE FLIGHT", "BEFORE FLIGHT", "NOT JUDGED"]
        await press(pilot, "f", "down", "enter")
        assert "most pressing first: A" in frame(pilot)
        assert _edges(pilot) == ["BEFORE FLIGHT", "NOT JUDGED"]
        await press(pilot, "b")
        assert _edges(pilot) == ["shop, open", "shop, open"]

    await drive(desk, steps)


async def test_one_state_is_chosen_and_left_again(desk: Desk) -> None:
    """Withdrawn ones only when asked for."""
    kept = desk.findings.add("gone", airframe="A")
    desk.findings.withdraw(kept.id)
    desk.findings.add("here", airframe="A")

    async def steps(pilot: Pilot[None]) -> None:
        await push(pilot, FindingsScreen(desk))
        assert _edges(pilot) == ["shop, open"]
        await press(pilot, "s", "end", "enter")
        assert _edges(pilot) == ["shop, withdrawn"]
        await press(pilot, "s", "home", "enter")
        assert _edges(pilot) == ["shop, open"]

    await drive(desk, steps)


async def test_an_aircraft_without_findings_has_an_empty_list(desk: Desk) -> None:
    """In both orders, and nothing is called a mistake."""
    desk.airframes.keep("00123", about="tail wheel")

    async def steps(pilot: Pilot[None]) -> None:
        await push(pilot, FindingsScreen(desk, airframe="00123", by_urgency=True))
        assert "No findings of that kind" in frame(pilot)
        await press(pilot, "b")
        assert "No findings of that kind" in frame(pilot)
        assert not pilot.app._notifications

    await drive(desk, steps)


async def test_a_finding_added_from_the_list_stands_in_it(desk: Desk) -> None:
    """With the aircraft of the list filled in."""

    async def steps(pilot: Pilot[None]) -> None:
        await push(pilot, FindingsScreen(desk))
        await press(pilot, "a")
        pilot.app.screen.query_one("#airframe").value = "A"  # type: ignore[attr-defined]
        pilot.app.screen.query_one("#text").text = "purple fluff"  # type: ignore[attr-defined]
        await press(pilot, "f2")
        assert "A: purple fluff" in frame(pilot)

    await drive(desk, steps)


async def test_a_long_list_says_what_it_shows_and_redraws_two_rows_a_move(
    desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    """300 of 400 are read; moving draws the row left and the row reached, no more."""
    _keep_many(desk, 400)

    async def steps(pilot: Pilot[None]) -> None:
        await push(pilot, FindingsScreen(desk))
        assert "The first 300 of 400" in said(pilot)
        assert pilot.app.screen.query_one("#lines", OptionList).option_count == 300
        drawn: list[int] = []
        row = ListScreen._row

        def counted(self: ListScreen, number: int, current: int | None) -> object:
            drawn.append(number)
            return row(self, number, current)

        monkeypatch.setattr(ListScreen, "_row", counted)
        await press(pilot, "down")
        assert sorted(drawn) == [0, 1]
        assert frame(pilot).count("\n> ") == 1
        await press(pilot, "end")
        assert sorted(drawn) == [0, 1, 1, 299]

    await drive(desk, steps)


async def test_the_place_in_the_list_is_kept_when_coming_back(desk: Desk) -> None:
    """By the finding, not by the number."""
    _keep_many(desk, 12)

    async def steps(pilot: Pilot[None]) -> None:
        await push(pilot, FindingsScreen(desk))
        await press(pilot, "down", "down", "enter")
        desk.findings.add("newest", airframe="A")
        await press(pilot, "escape")
        lines = pilot.app.screen.query_one("#lines", OptionList)
        assert lines.highlighted == 3

    await drive(desk, steps)


async def test_counts_step_through_by_one_key_with_bars_of_equal_scale(desk: Desk) -> None:
    """System, nature, cause, page, aircraft, state, year."""
    for _ in range(3):
        desk.findings.add("strings", airframe="A", entries=[TAPE])
    desk.findings.add("odd", airframe="B", system="fabric")

    async def steps(pilot: Pilot[None]) -> None:
        await push(pilot, CountsScreen(desk))
        bars = [line.count("█") for line in frame(pilot).splitlines() if "█" in line]
        assert bars == [50, 17]
        seen = []
        for _ in range(7):
            seen.append(said(pilot).split("most, by ")[1].split()[0])
            await press(pilot, "b")
        assert seen == ["system", "nature", "cause", "page", "airframe", "state", "year"]
        await press(pilot, "left", "left", "left", "down", "enter")
        assert trail(pilot) == "ask > counts > own findings"
        assert "B: odd" in frame(pilot)
        assert "A: strings" not in frame(pilot)

    await drive(desk, steps)


async def test_a_count_that_cannot_be_listed_says_so(desk: Desk) -> None:
    """And a page or cause leads to its page."""
    desk.findings.add("strings", airframe="A", entries=[TAPE])

    async def steps(pilot: Pilot[None]) -> None:
        await push(pilot, CountsScreen(desk, airframe="A"))
        await press(pilot, "b", "enter")
        assert any("cannot be listed" in one.message for one in pilot.app._notifications)
        await press(pilot, "b", "b", "enter")
        assert trail(pilot) == "ask > counts > page"

    await drive(desk, steps)


async def test_nothing_to_count_is_said(desk: Desk) -> None:
    """At every size."""

    async def steps(pilot: Pilot[None]) -> None:
        await push(pilot, CountsScreen(desk))
        assert "No findings to count yet" in frame(pilot)

    await drive(desk, steps, size=(60, 20))


def _keep_many(desk: Desk, count: int) -> None:
    for number in range(count):
        desk.store.revisions.add(Content(airframe="A", text=f"finding {number}"))
