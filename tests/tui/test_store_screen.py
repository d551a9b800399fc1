"""The shop's list: tables and packs in and out, own pages, check and backup, each a thin face over the Desk."""

from __future__ import annotations

import threading
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot
from textual.widgets import OptionList

from kb.desk import Desk
from kb.errors import UsageProblem
from kb.exchange.planned import Imported, Plan, Progress
from tests.conftest import HOSTILE_TOGETHER
from tests.tui.driving import UNTAMED, drive, frame, notices, press, push, said, settle, trail, write
from tui.screens.importing import ImportScreen
from tui.screens.own import OwnFindingScreen
from tui.screens.own_pages import OwnPagesScreen
from tui.screens.shop import LINES, ShopScreen


async def _choose(pilot: Pilot[None], desk: Desk, name: str) -> None:
    """Open the shop's list and choose a line of it by keys."""
    await push(pilot, ShopScreen(desk))
    place = [line.name for line in LINES].index(name)
    await press(pilot, *["down"] * place, "enter")


async def test_one_key_from_asking_opens_the_list_and_every_line_leads_somewhere(desk: Desk) -> None:
    """By keys alone, and back."""

    async def steps(pilot: Pilot[None]) -> None:
        await press(pilot, "escape", "w")
        assert trail(pilot) == "ask > shop"
        lines = pilot.app.screen.query_one("#lines", OptionList)
        assert lines.option_count == len(LINES)
        for place in range(len(LINES)):
            screen = pilot.app.screen
            lines.highlighted = place
            await press(pilot, "enter")
            assert pilot.app.screen is not screen, LINES[place].name
            await press(pilot, "escape")
            assert pilot.app.screen is screen
        assert not any("not done" in (one.title or "") for one in pilot.app._notifications)

    await drive(desk, steps)


async def test_a_table_is_looked_at_then_taken_in_with_progress(desk: Desk, tmp_path: Path) -> None:
    """Nothing is kept before F3; what is refused lies beside the file."""
    table = tmp_path / "shop.csv"
    rows = "".join(f"brake hose chafed {number},A{number % 3},{number + 13}/2/2024\n" for number in range(15))
    table.write_text(f"Discrepancy,Reg,Date\n{rows},A,1/2/2024\n")

    async def steps(pilot: Pilot[None]) -> None:
        await _choose(pilot, desk, "import")
        await write(pilot, file=str(table))
        await press(pilot, "f3")
        assert desk.findings.count() == 0
        await press(pilot, "f2")
        assert "15 new, 0 changed, 0 here already, 1 to be refused" in said(pilot)
        assert "text Discrepancy" in said(pilot)
        assert desk.findings.count() == 0
        await press(pilot, "f3")
        assert "Taken in: 15 new" in said(pilot)
        assert "16 of 16 rows" in said(pilot)
        assert "█" in frame(pilot)

    await drive(desk, steps)
    assert desk.findings.count() == 15
    assert "row" in (tmp_path / "shop.csv.refused.csv").read_text()


async def test_what_the_plan_asks_is_said_in_the_lines_above(desk: Desk, tmp_path: Path) -> None:
    """The columns, the aircraft; a plan made of other words is no plan any more."""
    table = tmp_path / "odd.csv"
    table.write_text("Xx,Yy\nbrake hose chafed,7\n")

    async def steps(pilot: Pilot[None]) -> None:
        await push(pilot, ImportScreen(desk))
        await write(pilot, file=str(table))
        await press(pilot, "f2")
        assert "Say it in the lines above, then F2" in said(pilot)
        assert "F3" not in frame(pilot).splitlines()[-1]
        await write(pilot, columns="text=Xx; minutes=Yy", airframe="00123")
        await press(pilot, "f2")
        assert "1 new" in said(pilot)
        await write(pilot, airframe="00124")
        assert "F3" not in frame(pilot).splitlines()[-1]
        await press(pilot, "f2", "f3")

    await drive(desk, steps)
    (kept,) = desk.findings.all()
    assert (kept.airframe, kept.minutes, kept.text) == ("00124", 7, "brake hose chafed")


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"file": "/nowhere/at/all.csv"}, "nowhere"),
        ({"columns": "text"}, "'text' is not written as field=Header"),
        ({"order": "backwards"}, "'backwards' is no order of days"),
    ],
)
async def test_what_cannot_be_read_is_said_in_a_sentence(
    desk: Desk, tmp_path: Path, fields: dict[str, str], sentence: str
) -> None:
    """And the lines stay as typed."""
    table = tmp_path / "shop.csv"
    table.write_text("Discrepancy,Reg\nx,A\n")

    async def steps(pilot: Pilot[None]) -> None:
        await push(pilot, ImportScreen(desk))
        await write(pilot, **{"file": str(table)} | fields)
        await press(pilot, "f2")
        assert sentence in said(pilot)

    await drive(desk, steps)


async def test_an_import_that_runs_is_stopped_by_its_key_and_not_left_before(
    desk: Desk, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Progress is shown meanwhile: rows, rate, time left."""
    table = tmp_path / "shop.csv"
    table.write_text("Discrepancy,Reg\nbrake hose chafed,A\n")
    begun = threading.Event()

    def run(_: Plan, *, progress: Callable[[Progress], None], is_stopped: Callable[[], bool], **__: Any) -> Imported:
        progress(Progress(rows=500, of=2000, rate=1000.0, left=1.5))
        begun.set()
        while not is_stopped():
            pass
        raise UsageProblem("stopped after 500 rows; it goes on when it is run again")

    monkeypatch.setattr(desk.importing, "run", run)

    async def steps(pilot: Pilot[None]) -> None:
        await push(pilot, ImportScreen(desk))
        await write(pilot, file=str(table))
        await press(pilot, "f2")
        await pilot.press("f3")
        while not begun.is_set():
            await pilot.pause()
        await pilot.press("escape")
        while not notices(pilot):
            await pilot.pause()
        assert "500 of 2,000 rows, 1,000 a second, 2 s left" in said(pilot)
        assert any("F7 stops" in notice for notice in notices(pilot))
        assert frame(pilot).splitlines()[-1].strip() == "F7 stop   F8 keys"
        await press(pilot, "f7")
        assert "it goes on when it is run again" in said(pilot)
        await press(pilot, "escape")
        assert "import" not in trail(pilot)

    await drive(desk, steps)


async def test_findings_are_written_as_tables_and_never_over_a_file(desk: Desk, tmp_path: Path) -> None:
    """Of one aircraft or all."""
    desk.findings.add("strings", airframe="A")
    desk.findings.add("odd", airframe="B")

    async def steps(pilot: Pilot[None]) -> None:
        await _choose(pilot, desk, "csv")
        await press(pilot, "down", "enter")
        await write(pilot, line=str(tmp_path / "a.csv"))
        await press(pilot, "enter")
        assert "1 finding written to" in notices(pilot)[-1]
        await _choose(pilot, desk, "jsonl")
        await press(pilot, "enter")
        await write(pilot, line=str(tmp_path / "a.csv"))
        await press(pilot, "enter")
        assert "there already" in said(pilot)
        await write(pilot, line=str(tmp_path / "all.jsonl"))
        await press(pilot, "enter")

    await drive(desk, steps)
    assert (tmp_path / "a.csv").read_text().count("strings") == 1
    assert len((tmp_path / "all.jsonl").read_text().splitlines()) == 2


async def test_a_pack_is_written_looked_at_and_taken_in_by_another_shop(
    desk: Desk, small_desk: Desk, tmp_path: Path
) -> None:
    """Nothing comes in before it is told; a damaged one is refused."""
    desk.findings.add("white strings", airframe="A", who="kp")
    pack = tmp_path / "for-you.zip"

    async def write_it(pilot: Pilot[None]) -> None:
        await _choose(pilot, desk, "pack")
        await press(pilot, "enter", "w")
        await write(pilot, line=str(pack))
        await press(pilot, "enter")
        assert "1 findings in 1 revisions" in said(pilot)
        assert "left out: who" in said(pilot)

    async def take_it(pilot: Pilot[None]) -> None:
        await _choose(pilot, small_desk, "merge")
        await write(pilot, line=str(pack))
        await press(pilot, "enter")
        assert "Nothing is kept yet" in said(pilot)
        assert small_desk.findings.count() == 0
        await press(pilot, "f2")
        assert "Taken in: " in said(pilot)
        assert "1 new findings" in said(pilot)
        await press(pilot, "escape", "enter")
        pack.write_bytes(pack.read_bytes()[:-9])
        await write(pilot, line=str(pack))
        await press(pilot, "enter")
        assert "Not done: " in said(pilot)

    await drive(desk, write_it)
    await drive(small_desk, take_it)
    (taken,) = small_desk.findings.all()
    assert (taken.text, taken.who) == ("white strings", None)


async def test_the_store_is_checked_and_backed_up(desk: Desk, tmp_path: Path) -> None:
    """The report says what it holds."""

    async def steps(pilot: Pilot[None]) -> None:
        await _choose(pilot, desk, "check")
        assert "The store is whole." in frame(pilot)
        assert "entries" in frame(pilot)
        await press(pilot, "escape")
        await _choose(pilot, desk, "backup")
        await write(pilot, line=str(tmp_path / "copy.db"))
        await press(pilot, "enter")
        assert "checked and kept" in notices(pilot)[-1]

    await drive(desk, steps)
    assert Desk.open(tmp_path / "copy.db").library.size() == desk.library.size()


async def test_the_shop_is_named(desk: Desk) -> None:
    """An empty name is refused."""

    async def steps(pilot: Pilot[None]) -> None:
        await _choose(pilot, desk, "name-shop")
        await press(pilot, "enter")
        assert "Not done: the name of the shop is empty" in said(pilot)
        await write(pilot, line="North hangar")
        await press(pilot, "enter")
        assert "North hangar, store" in said(pilot)

    await drive(desk, steps)
    assert desk.store.shop() == "North hangar"


async def test_a_finding_becomes_a_page_written_to_be_filled_in_and_kept_when_it_is_right(
    desk: Desk, tmp_path: Path
) -> None:
    """A page that breaks a rule is refused with the reason."""
    kept = desk.findings.add("purple fluff behind the pump", airframe="A", system="fuel")
    file = tmp_path / "page.toml"

    async def steps(pilot: Pilot[None]) -> None:
        await push(pilot, OwnFindingScreen(desk, kept.id))
        await press(pilot, "m")
        await write(pilot, line=str(file))
        await press(pilot, "enter")
        assert notices(pilot)[-1] == f"written to {file}"
        assert "purple fluff" in file.read_text()
        await push(pilot, OwnPagesScreen(desk))
        assert "No own page yet" in frame(pilot)
        await press(pilot, "k")
        await write(pilot, line=str(file))
        await press(pilot, "f2")
        assert "Not done: " in said(pilot)

    await drive(desk, steps)


async def test_what_another_shop_said_differently_is_listed(desk: Desk) -> None:
    """Empty is said too."""

    async def steps(pilot: Pilot[None]) -> None:
        await _choose(pilot, desk, "conflicts")
        assert "No finding is said differently" in frame(pilot)

    await drive(desk, steps, size=(60, 20))


@pytest.mark.parametrize("text", HOSTILE_TOGETHER, ids=["many", "long"])
async def test_hostile_file_names_and_tables_are_shown_tame(desk: Desk, tmp_path: Path, text: str) -> None:
    """In the plan, in refusals, in notices."""
    table = tmp_path / "shop.csv"
    safe = text.replace("\x00", "").encode("utf-8", "replace").decode().replace('"', "'")
    table.write_text(f'Discrepancy,Reg,"{safe[:300]}"\n"{safe}",A,x\n', encoding="utf-8")
    desk.store.name_shop(safe[:100])

    async def steps(pilot: Pilot[None]) -> None:
        frames = []
        await push(pilot, ShopScreen(desk))
        frames.append(frame(pilot))
        await push(pilot, ImportScreen(desk))
        for name in (str(table), text):
            await write(pilot, file=name)
            await press(pilot, "f2")
            frames.append(frame(pilot))
        await settle(pilot)
        assert not UNTAMED & set("".join(frames))

    await drive(desk, steps)
