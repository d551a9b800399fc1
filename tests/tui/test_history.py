"""The history of a finding on the screen: read, compare, restore, settle."""

from __future__ import annotations

import msgspec
from textual.pilot import Pilot
from textual.widgets import OptionList

from kb.desk import Desk
from kb.ids import new_id
from kb.store.merge import Incoming
from tests.tui.driving import drive, frame, press, push, said, shown
from tui.screens.history import HistoryScreen
from tui.screens.own import OwnFindingScreen


async def test_revisions_stand_in_order_with_who_and_what_changed(desk: Desk) -> None:
    """Oldest first."""
    kept = desk.findings.add("white strings", airframe="A", who="kp")
    desk.findings.defer(kept.id, why="no part", who="mm")

    async def steps(pilot: Pilot[None]) -> None:
        await push(pilot, HistoryScreen(desk, kept.id))
        text = frame(pilot)
        assert text.index("added by kp") < text.index("deferred by mm")
        assert "state: deferred · action: no part" in text
        assert "CONFLICT" not in text

    await drive(desk, steps)


async def test_a_revision_is_shown_whole_beside_what_it_is_now_and_restored(desk: Desk) -> None:
    """Fields that differ are marked; the way back goes through a question."""
    kept = desk.findings.add("white strings", airframe="A")
    desk.findings.revise(kept.id, text="crumbs", place="strainer")

    async def steps(pilot: Pilot[None]) -> None:
        await push(pilot, OwnFindingScreen(desk, kept.id))
        await press(pilot, "v", "enter")
        lines = frame(pilot).splitlines()
        assert any(line.split() == ["*", "text", "white", "strings", "crumbs"] for line in lines)
        assert any(line.split() == ["airframe", "A", "A"] for line in lines)
        await press(pilot, "r", "enter")
        assert "now:" in frame(pilot)
        assert "crumbs" not in shown(pilot)
        await press(pilot, "escape")
        assert pilot.app.screen.query_one("#lines", OptionList).option_count == 3
        await press(pilot, "escape")
        assert "white strings" in frame(pilot)

    await drive(desk, steps)
    assert desk.findings.get(kept.id).said == "restored"


async def test_a_conflict_stands_on_the_first_line_and_r_settles_it(desk: Desk) -> None:
    """Two shops changed the same revision apart."""
    kept = desk.findings.add("white strings", airframe="A")
    (first,) = [step.revision for step in desk.history.of(kept.id)]
    mine = desk.findings.revise(kept.id, text="mine")
    theirs = msgspec.structs.replace(
        first, id=new_id(after=first.id), previous=first.id, said="revised", text="theirs", who="xx", shop="other"
    )
    desk.store.merge.take(Incoming(revisions=[theirs]))

    async def steps(pilot: Pilot[None]) -> None:
        await push(pilot, HistoryScreen(desk, kept.id))
        assert frame(pilot).splitlines()[1].strip().startswith("CONFLICT: 2 shops say different things")
        assert frame(pilot).count("one of several") == 2
        await press(pilot, "down", "r")
        assert "Let the finding say again" in said(pilot)
        await press(pilot, "enter")
        assert "CONFLICT" not in frame(pilot)

    await drive(desk, steps)
    assert desk.history.conflicts() == []
    assert desk.findings.get(kept.id).text == mine.text
