"""A shop's table becomes findings: planned first, in one act, stopped and gone on with, refused rows kept aside."""

from __future__ import annotations

import csv
import os
import random
from collections.abc import Callable
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any

import click
import msgspec
import pytest

from kb.cli import importing as command
from kb.errors import StoreUnavailable, UsageProblem
from kb.exchange import running
from kb.exchange.columns import NAMES
from kb.exchange.export import Exporting
from kb.exchange.form import FIELDS
from kb.exchange.importing import Importing
from kb.exchange.running import ImportStopped
from kb.findings import Findings
from kb.history import History
from kb.keeping import Keeping
from kb.model import Finding
from kb.store import Store
from kb.store.merge import Incoming
from tests.conftest import Ran
from tests.kb import writers
from tests.kb.test_tables import book, write

DATA = Path(__file__).resolve().parents[3] / "shared" / "data" / "maintnet_aviation" / "problem_action.csv"

TABLE = """\
Tail No,Date,Squawk,Corrective Action,Mech,TT,Status,ATA
A-1,31/3/2020,"oil weeps at elbow, left",tightened,ab,"1,234.5",Closed,79
A-1,13/4/2020,fabric slack at rib 5,,cd,1240,open,fabric
B-2,1/5/2020,brake drags,,ab,,,rudder
"""


@pytest.fixture
def store(desk: Any) -> Store:
    """A store with pages and systems, without findings."""
    kept: Store = desk.store
    return kept


@pytest.fixture
def importing(store: Store) -> Importing:
    """Imports into that store."""
    return Importing(store)


@pytest.fixture
def table(tmp_path: Path) -> Path:
    """A shop's table of three rows."""
    return write(tmp_path / "shop.csv", TABLE)


def texts(store: Store) -> list[str]:
    """Return the texts of all findings, oldest first."""
    return [finding.text for finding in store.findings.each()]


def many(path: Path, count: int, *, bad: int = 0) -> Path:
    """Write a table of so many rows, each `bad`th of which has no text."""
    rows = (f"A,{'' if bad and number % bad == 0 else f'squawk {number}'}" for number in range(1, count + 1))
    return write(path, "\n".join(["tail no,squawk", *rows, ""]))


# ---- planning


def test_a_plan_tells_what_would_be_kept_and_writes_nothing(importing: Importing, store: Store, table: Path) -> None:
    """Counts, the first findings as they would be, and what is to be known."""
    plan = importing.plan(table)
    assert (plan.rows, plan.new, plan.bad, plan.here, plan.asks) == (3, 3, 0, 0, ())
    first = plan.first[0]
    assert (first.airframe, first.text, first.action, first.who) == (
        "A-1",
        "oil weeps at elbow, left",
        "tightened",
        "ab",
    )
    assert (first.found, first.hours, first.state, first.system) == ("2020-03-31", 1234.5, "corrected", "oil")
    assert [(content.state, content.system) for content in plan.first[1:]] == [("open", "fabric"), ("open", None)]
    assert plan.notes[0] == "days: the day comes first, as 2 rows show"
    assert plan.notes[1].startswith("1 row names no one system of ours, which is left empty: 'rudder' (1)")
    assert store.findings.count() == 0


def test_bad_rows_are_told_with_row_and_column(importing: Importing, tmp_path: Path) -> None:
    """Each by the first thing that is wrong with it."""
    rows = ["A,,1,open", "A,x,many,open", "A,x,1,perhaps", ",x,1,open", f"{'A' * 300},x,1,open", "A,x,1,open,,more"]
    path = write(tmp_path / "a.csv", "\n".join(["tail no,squawk,minutes,status", *["A,ok,5,open"] * 40, *rows]))
    plan = importing.plan(path)
    assert (plan.new, plan.bad) == (40, 6)
    said = [str(problem) for problem in plan.problems]
    assert said[0].startswith("row 42, squawk: the text of a finding is empty")
    assert said[1] == "row 43, minutes: 'many' is no number"
    assert said[2].startswith("row 44, status: 'perhaps' is no state")
    assert said[3].startswith("row 45, tail no: the airframe is empty")
    assert said[4].startswith("row 46, tail no: the airframe has 300 characters")
    assert len(said) == 5


def test_what_the_table_does_not_say_is_asked(importing: Importing, tmp_path: Path) -> None:
    """Which aircraft, which column, which order of days; and nothing is run before."""
    path = write(tmp_path / "a.csv", "number,date\n1,1/2/2020\n2,3/4/2020\n")
    plan = importing.plan(path)
    assert [ask.partition(";")[0] for ask in plan.asks] == [
        "no column looks like what was found",
        "no column says which aircraft",
        "days: all 2 rows can be read with the day or the month first",
    ]
    with pytest.raises(UsageProblem, match="no column looks like"):
        importing.run(plan)
    said = importing.plan(path, {"text": ["number"]}, airframe="A", order="month-first")
    assert [content.found for content in said.first] == ["2020-01-02", "2020-03-04"]


def test_text_may_stand_in_several_columns(importing: Importing, tmp_path: Path) -> None:
    """They are joined, one below the other; a field can be left out too."""
    path = write(tmp_path / "a.csv", "reg,squawk,notes,mech\nA,leaks,left side,ab\nA,,only this,cd\n")
    plan = importing.plan(path, {"text": ["Squawk", "notes"], "who": []})
    assert [(content.text, content.who) for content in plan.first] == [("leaks\nleft side", None), ("only this", None)]


def test_a_workbook_is_planned_like_any_table(importing: Importing, tmp_path: Path) -> None:
    """Days come as days, so no order is asked."""
    from datetime import datetime

    path = book(tmp_path / "a.xlsx", [["Reg", "Date", "Defect"], ["A", datetime(2020, 2, 1), "=A1"], ["A", "", "worn"]])
    plan = importing.plan(path)
    assert (plan.asks, plan.new, plan.bad) == ((), 1, 1)


# ---- running


def test_an_import_is_one_act_and_undo_takes_it_back(importing: Importing, store: Store, table: Path) -> None:
    """All of it; then it can be taken in again."""
    done = importing.run(importing.plan(table), who="xy")
    assert (done.rows, done.new, done.refused, done.refused_file) == (3, 3, 0, None)
    assert [finding.said for finding in store.findings.each()] == ["imported"] * 3
    said, revisions = History(store).undo()
    assert (said, len(revisions), store.findings.count()) == ("imported", 3, 0)
    again = importing.run(importing.plan(table))
    assert (again.new, store.findings.count()) == (3, 3)


def test_the_same_file_is_here_already(importing: Importing, store: Store, table: Path) -> None:
    """It is not kept twice, even when it is read in another way."""
    importing.run(importing.plan(table))
    plan = importing.plan(table, {"action": []})
    assert (plan.done, plan.here, plan.new) == (3, 3, 0)
    assert "this file was imported on" in plan.notes[-1]
    assert importing.run(plan).new == 0
    assert store.findings.count() == 3


def test_refused_rows_are_kept_aside_with_the_reason(importing: Importing, store: Store, tmp_path: Path) -> None:
    """Their cells as they were, guarded against spreadsheets; put right there, that file is imported."""
    good = "A,good,open\n" * 8
    path = write(tmp_path / "a.csv", f'reg,squawk,status\n{good}A,=1+1,"so ""so"""\nA,\'x,?\n')
    done = importing.run(importing.plan(path))
    assert (done.new, done.refused) == (8, 2)
    assert done.refused_file == tmp_path / "a.csv.refused.csv"
    with done.refused_file.open(newline="") as file:
        header, first, second = csv.reader(file)
    assert header == ["row", "why it was refused", "reg", "squawk", "status"]
    assert first[0] == "10"
    assert first[1].startswith("status: 'so \"so\"' is no state")
    assert first[2:] == ["A", "'=1+1", 'so "so"']
    assert second[2:] == ["A", "''x", "?"]
    righted = done.refused_file.read_text().replace('"so ""so"""', "open").replace("?", "closed")
    done.refused_file.write_text(righted)
    assert importing.run(importing.plan(done.refused_file)).new == 2
    assert texts(store)[7:] == ["good", "=1+1", "'x"]


def test_refused_rows_never_overwrite_what_is_there(importing: Importing, tmp_path: Path) -> None:
    """The second file gets a number; a place that was named is refused."""
    one, other = write(tmp_path / "a.csv", "reg,squawk\nA,\n"), tmp_path / "named.csv"
    (tmp_path / "a.csv.refused.csv").write_text("mine")
    other.write_text("mine")
    assert importing.run(importing.plan(one)).refused_file == tmp_path / "a.csv.refused-2.csv"
    with pytest.raises(UsageProblem, match="is there already"):
        importing.run(importing.plan(one), refused=other)
    assert other.read_text() == (tmp_path / "a.csv.refused.csv").read_text() == "mine"


def test_a_file_changed_after_the_plan_is_looked_at_again(importing: Importing, store: Store, table: Path) -> None:
    """What was agreed to is what is kept."""
    plan = importing.plan(table)
    table.write_text(TABLE + "A-1,1/1/2020,another,,,,,\n")
    with pytest.raises(UsageProblem, match="was changed since"):
        importing.run(plan)
    assert store.findings.count() == 0


def _stop_after(batches: int) -> Callable[[], bool]:
    turns = iter(range(1, 1000))
    return lambda: next(turns) >= batches


@pytest.mark.parametrize("stop", ["asked", "keyboard", "killed"])
def test_a_stopped_import_goes_on_where_it_was(
    importing: Importing, store: Store, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, stop: str
) -> None:
    """Nothing twice, nothing left out, the refused rows all in one file, and still one act."""
    monkeypatch.setattr(running, "BATCH", 10)
    path = many(tmp_path / "a.csv", 45, bad=9)
    plan = importing.plan(path)
    stops = {"keyboard": KeyboardInterrupt, "killed": SystemExit}

    def progress(done: Any) -> None:
        if stop in stops and done.rows == 20:
            raise stops[stop]

    with pytest.raises(SystemExit if stop == "killed" else ImportStopped):
        importing.run(plan, progress=progress, is_stopped=_stop_after(2) if stop == "asked" else lambda: False)
    assert store.findings.count() == 18
    assert sorted(file.name for file in tmp_path.glob("*a.csv*")) == ["a.csv"]
    plan = importing.plan(path)
    assert (plan.rows, plan.done, plan.new, plan.here, plan.bad) == (45, 20, 22, 18, 5)
    done = importing.run(plan)
    assert (done.new, done.here, done.refused) == (22, 18, 5)
    assert texts(store) == [f"squawk {number}" for number in range(1, 46) if number % 9]
    assert len(History(store).undo()[1]) == 40


def test_a_stopped_import_is_not_gone_on_with_in_another_way(
    importing: Importing, store: Store, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One file, one reading of its columns; taken back, it can be read anew."""
    monkeypatch.setattr(running, "BATCH", 10)
    path = many(tmp_path / "a.csv", 30)
    with pytest.raises(ImportStopped, match="stopped after 10 of 30 rows"):
        importing.run(importing.plan(path), is_stopped=lambda: True)
    with pytest.raises(UsageProblem, match="read its columns in another way"):
        importing.run(importing.plan(path, state="deferred"))
    History(store).undo()
    assert importing.run(importing.plan(path, state="deferred")).new == 30


def test_two_who_import_the_same_file_at_once_keep_it_once(
    importing: Importing, store: Store, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The second goes on from where the first is, and the first finds its rows taken."""
    monkeypatch.setattr(running, "BATCH", 10)
    path = many(tmp_path / "a.csv", 30)
    with pytest.raises(UsageProblem, match="imported or taken back by another command"):
        importing.run(importing.plan(path), progress=_run_by(Importing(Store(store.path)), path))
    assert texts(store) == [f"squawk {number}" for number in range(1, 31)]


def _run_by(other: Importing, path: Path) -> Callable[[Any], None]:
    def run(_: Any) -> None:
        other.run(other.plan(path))

    return run


def _import_and_tell(tell: Connection, path: Path) -> None:
    running.BATCH = 50
    importing = Importing(Store(path))
    plan = importing.plan(path.parent / "a.csv")
    importing.run(plan, progress=lambda done: tell.send_bytes(str(done.rows).encode()))


@pytest.mark.parametrize("rounds", [1, pytest.param(20, marks=pytest.mark.slow)])
def test_a_killed_import_goes_on_where_it_was(store_path: Path, rounds: int) -> None:
    """Killed at any moment and run again until it is done: every row once, in one act."""
    many(store_path.parent / "a.csv", 1_500)
    for round_ in range(rounds):
        chance = random.Random(round_)  # chooses when, hides nothing
        while (told := _killed(store_path, chance)) and int(told[-1]) < 1_500:
            assert Keeping(store_path).check().problems == ()
        _import_again(store_path)
        store = Store(store_path)
        assert texts(store) == [f"squawk {number}" for number in range(1, 1_501)]
        assert len(History(store).undo()[1]) == 1_500


def _killed(path: Path, chance: random.Random) -> list[str]:
    told: list[str] = []
    with writers.another_process(_import_and_tell, path) as (process, listen):
        moment = chance.randrange(8, 16)
        for rows in writers.told(listen):
            told.append(rows)
            if len(told) == moment:
                process.kill()
    return told


def _import_again(path: Path) -> None:
    importing = Importing(Store(path))
    importing.run(importing.plan(path.parent / "a.csv"))


def test_an_act_that_is_taken_back_meanwhile_is_not_gone_on_with(
    importing: Importing, store: Store, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Undo by somebody else while it runs ends it; nothing comes back behind their back."""
    monkeypatch.setattr(running, "BATCH", 10)
    path = many(tmp_path / "a.csv", 30)
    with pytest.raises(UsageProblem, match="taken back by another command"):
        importing.run(importing.plan(path), progress=lambda _: History(store).undo() and None)
    assert store.findings.count() == 0


def test_a_full_disk_takes_one_batch_back_and_the_rest_can_follow(store_path: Path, tmp_path: Path) -> None:
    """One sentence, the store whole; with room again the import goes on."""
    rows = "\n".join(f"A,{number} {'x' * 900}" for number in range(8_000))
    write(store_path.parent / "large.csv", f"reg,squawk\n{rows}\n")
    room = store_path.stat().st_size + 2_500_000
    said = writers.answer(writers.within, room, _import_large, store_path)
    assert len(said) == 1
    assert "the disk is full" in said[0]
    store = Store(store_path)
    kept = store.findings.count()
    assert kept % running.BATCH == 0
    assert Keeping(store_path).check().problems == ()
    done = Importing(store).run(Importing(store).plan(store_path.parent / "large.csv"))
    assert (done.new, done.here, store.findings.count()) == (8_000 - kept, kept, 8_000)


def _import_large(path: Path) -> None:
    importing = Importing(Store(path))
    importing.run(importing.plan(path.parent / "large.csv"))


def test_a_full_disk_for_the_refused_rows_keeps_the_import_open(
    importing: Importing, store: Store, tmp_path: Path
) -> None:
    """What is refused is never lost: the import ends only when its file of refused rows is whole."""
    path = write(tmp_path / "a.csv", "reg,squawk\nA,good\nA,\n")
    with pytest.raises(OSError, match="could not be written"):
        importing.run(importing.plan(path), refused=tmp_path / "nowhere" / "refused.csv")
    done = importing.run(importing.plan(path))
    assert (done.new, done.here, done.refused, store.findings.count()) == (0, 1, 1, 1)


def test_a_store_that_cannot_be_written_is_said(
    importing: Importing, store: Store, table: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The error of the store itself, nothing kept."""
    plan = importing.plan(table)

    def full(*_: Any, **__: Any) -> int:
        raise StoreUnavailable(store.path, "cannot grow, the disk is full", "make room and try again")

    monkeypatch.setattr(store.imports, "keep", full)
    with pytest.raises(StoreUnavailable, match="disk is full"):
        importing.run(plan)
    assert store.findings.count() == 0


# ---- what oddfix itself wrote


@pytest.fixture
def exported(store: Store, tmp_path: Path) -> Path:
    """An export of two findings."""
    findings = Findings(store)
    findings.add("frayed cable", airframe="A", place="bay 3", hours="12.5")
    findings.add("loose bolt", airframe="B")
    path = tmp_path / "out.csv"
    Exporting(store).to_csv(path)
    return path


def edited(path: Path, before: str, after: str) -> Path:
    """Write a changed copy of a file beside it and return its path."""
    text = path.read_text()
    assert before in text
    return write(path.with_name("edited.csv"), text.replace(before, after))


def outcome(importing: Importing, path: Path) -> tuple[int, int, int, int]:
    """Import a file; return how many were new, changed, here and refused."""
    done = importing.run(importing.plan(path))
    return done.new, done.revised, done.here, done.refused


def test_an_export_changes_nothing_in_its_own_store(importing: Importing, store: Store, exported: Path) -> None:
    """Neither a revision nor an act is made."""
    before = [store.revisions.of(finding.id) for finding in store.findings.each()]
    assert outcome(importing, exported) == (0, 0, 2, 0)
    assert [store.revisions.of(finding.id) for finding in store.findings.each()] == before
    assert History(store).undo()[0] == "added"


def test_an_edited_row_becomes_a_revision_of_its_finding(importing: Importing, store: Store, exported: Path) -> None:
    """On top of what was exported; fields can be changed and emptied."""
    path = edited(exported, "frayed cable,open", "frayed cable,deferred")
    write(path, path.read_text().replace("bay 3", ""))
    assert outcome(importing, path) == (0, 1, 1, 0)
    first = next(iter(store.findings.each()))
    assert (first.said, first.state, first.place, first.hours) == ("revised", "deferred", None, 12.5)
    assert len(store.revisions.of(first.id)) == 2


def test_an_edited_row_of_a_finding_changed_meanwhile_is_refused(
    importing: Importing, store: Store, exported: Path
) -> None:
    """Nothing of either is lost; the other row, not edited, is simply here."""
    path = edited(exported, "frayed cable", "frayed cable at the pulley")
    for finding in store.findings.each():
        Findings(store).revise(finding.id, part="123")
    plan = importing.plan(path)
    assert ["was changed meanwhile" in problem.text for problem in plan.problems] == [True]
    assert outcome(importing, path) == (0, 0, 1, 1)
    assert texts(store) == ["frayed cable", "loose bolt"]


def test_an_edited_value_is_checked_like_any_other(importing: Importing, store: Store, exported: Path) -> None:
    """A system that is not there, a number that is none, a header that was lost."""
    system = edited(exported, "frayed cable,open,", "frayed cable,open,fule")
    assert "nearest: fuel" in str(importing.plan(system).problems[0])
    hours = edited(exported, "12.5", "a few")
    assert str(importing.plan(hours).problems[0]) == "row 2: hours 'a few' is no number"
    lost = edited(exported, "said,created,revised", "said,created")
    with pytest.raises(UsageProblem, match="has lost columns of oddfix: revised"):
        importing.plan(lost)


def test_a_row_added_to_an_export_is_a_new_finding(importing: Importing, store: Store, exported: Path) -> None:
    """Without an id, with the fields it fills."""
    row = dict.fromkeys(FIELDS, "") | {"airframe": "A", "text": "'=new", "minutes": "5"}
    path = write(exported.with_name("more.csv"), exported.read_text() + ",".join(row.values()) + "\n")
    assert outcome(importing, path) == (1, 0, 2, 0)
    assert texts(store)[-1] == "=new"


def test_what_was_taken_back_comes_again_with_its_export(importing: Importing, store: Store, tmp_path: Path) -> None:
    """Import, undo, import again: the findings are there, under the same ids."""
    other = Store(tmp_path / "other.db")
    Findings(other).add("frayed cable", airframe="A")
    path = tmp_path / "out.jsonl"
    Exporting(other).to_jsonl(path)
    assert outcome(importing, path) == (1, 0, 0, 0)
    History(store).undo()
    assert store.findings.count() == 0
    assert outcome(importing, path) == (0, 1, 0, 0)
    assert [finding.id for finding in store.findings.each()] == [finding.id for finding in other.findings.each()]


def test_a_finding_from_a_table_meets_its_history_in_a_merge(
    importing: Importing, store: Store, tmp_path: Path
) -> None:
    """A table says the latest word alone; merged with all that was said before, it is the same word still."""
    other = Store(tmp_path / "other.db")
    finding = Findings(other).add("frayed cable", airframe="A")
    latest = Findings(other).revise(finding.id, place="bay 3")
    Exporting(other).to_csv(tmp_path / "out.csv")
    assert outcome(importing, tmp_path / "out.csv") == (1, 0, 0, 0)
    taken = store.merge.take(Incoming(revisions=other.revisions.of(finding.id)))
    assert (taken.revisions, taken.already) == (1, 1)
    assert list(store.findings.each()) == [latest]


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"id": "ffffffff-ffff-7fff-bfff-ffffffffffff"}, "made in the future"),
        ({"revision": "00000000-0000-7000-8000-000000000000"}, "older than itself"),
        ({"id": "no id"}, "id is not as oddfix writes it"),
        ({"state": "lost"}, "state is not as oddfix writes it"),
        ({"more": 1}, "it lacks what every finding has"),
        ({"text": None}, "text is not as oddfix writes it"),
    ],
)
def test_a_forged_row_is_refused(importing: Importing, tmp_path: Path, changes: dict[str, Any], said: str) -> None:
    """Ids that would break the order of time, and what is no finding."""
    kept = Findings(Store(tmp_path / "other.db")).add("frayed cable", airframe="A")
    whole: dict[str, Any] = msgspec.to_builtins(kept)
    path = write(tmp_path / "a.jsonl", msgspec.json.encode(whole | changes))
    plan = importing.plan(path)
    assert plan.bad == 1
    assert said in plan.problems[0].text


def test_a_revision_of_another_finding_is_refused(importing: Importing, store: Store, exported: Path) -> None:
    """Ids mixed up by hand."""
    one, other = (finding.id for finding in store.findings.each())
    path = edited(exported, f"{one},{one}", f"{one},{other}")
    assert "belongs to another finding" in importing.plan(path).problems[0].text


def test_refused_json_lines_can_be_imported_from_their_table(
    importing: Importing, store: Store, tmp_path: Path
) -> None:
    """The line stands in one cell there."""
    kept = Findings(Store(tmp_path / "other.db")).add("frayed cable", airframe="A")
    good = msgspec.json.encode(kept).decode()
    done = importing.run(
        importing.plan(write(tmp_path / "a.jsonl", good + "\n" + good.replace("frayed", "fr\\q") + "\n"))
    )
    assert (done.new, done.refused) == (1, 1)
    assert done.refused_file is not None
    done.refused_file.write_text(done.refused_file.read_text().replace("fr\\q", "slack"))
    again = importing.run(importing.plan(done.refused_file))
    assert (again.revised, texts(store)) == (1, ["slack cable"])


# ---- real shorthand


def test_real_records_of_a_shop_are_taken_in_whole(importing: Importing, store: Store, tmp_path: Path) -> None:
    """Six thousand rows of shorthand, exported again and read back the same."""
    if not DATA.is_file():
        message = "the open data folder maintnet_aviation is not beside the project"
        pytest.fail(message) if os.environ.get("CI") else pytest.skip(message)
    plan = importing.plan(DATA, airframe="the fleet")
    assert {guess.field: guess.headers for guess in plan.columns} == {"text": ("problem",), "action": ("action",)}
    done = importing.run(plan, refused=tmp_path / "refused.csv")
    assert (done.rows, done.new, done.refused) == (6_169, 6_169, 0)
    Exporting(store).to_csv(tmp_path / "out.csv")
    other = Store(tmp_path / "other.db")
    assert Importing(other).run(Importing(other).plan(tmp_path / "out.csv")).new == 6_169
    assert list(other.findings.each()) == list(store.findings.each())


# ---- the command


def test_the_command_shows_the_plan_and_needs_a_yes(run_cli: Callable[..., Ran], table: Path) -> None:
    """Without a terminal nothing is kept unless --yes is said."""
    ran = run_cli("import", str(table), "--dry-run")
    assert ran.exit_code == 0
    assert "text           Squawk (by its name, 100 of 100)" in ran.out
    assert "3 new, 0 changed, 0 here already, 0 to be refused" in ran.out
    assert run_cli("import", str(table)).exit_code == 2
    assert run_cli("findings").exit_code == 1
    assert "3 new, 0 changed, 0 here already, 0 refused" in run_cli("import", str(table), "--yes").out
    assert run_cli("findings", "--airframe", "A-1", "--json").data[0]["text"] == "fabric slack at rib 5"
    assert run_cli("import", str(table)).exit_code == 0


def test_the_help_names_every_field(run_cli: Callable[..., Ran]) -> None:
    """So that a column can be named for it."""
    told = run_cli("import", "--help").out.replace(",", " ").replace(".", " ").split()
    assert set(NAMES) <= set(told)


def test_the_command_answers_in_json(run_cli: Callable[..., Ran], table: Path) -> None:
    """The plan, and what was done."""
    plan = run_cli("import", str(table), "--dry-run", "--json", "--column", "who=").data
    assert plan["new"] == 3
    assert plan["unused"] == ["Mech"]
    assert run_cli("import", str(table), "--yes", "--json").data["new"] == 3


@pytest.mark.parametrize(
    ("arguments", "code", "said"),
    [
        (["nowhere.csv"], 3, "is no file"),
        (["TABLE", "--column", "text"], 2, "not written as FIELD=HEADER"),
        (["TABLE", "--column", "text=Nothing"], 2, "no column is headed 'Nothing'"),
        (["TABLE", "--yes", "--column", "airframe="], 2, "say it for all rows with --airframe"),
        (["HEADER", "--yes"], 1, "no row below its header"),
    ],
)
def test_the_command_says_what_is_wrong(
    run_cli: Callable[..., Ran], table: Path, tmp_path: Path, arguments: list[str], code: int, said: str
) -> None:
    """In one sentence, with its exit code."""
    header = write(tmp_path / "header.csv", "tail no,squawk\n")
    files = {"TABLE": str(table), "HEADER": str(header)}
    ran = run_cli("import", *(files.get(argument, argument) for argument in arguments))
    assert ran.exit_code == code
    assert said in ran.err


def test_the_command_asks_in_a_terminal(
    run_cli: Callable[..., Ran], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Columns are changed one at a time, what is missing is named, a mistake is said and asked again."""
    answers = iter(["yes", "airframe:C-3", "text=Nothing", "action=b", "month-first", "yes"])
    monkeypatch.setattr(command, "_has_terminal", lambda: True)
    monkeypatch.setattr(click, "prompt", lambda *_, **__: next(answers))
    path = write(tmp_path / "a.csv", "squawk,b,date\nleaks,wiped,1/2/2020\n")
    ran = run_cli("import", str(path))
    assert ran.exit_code == 0
    assert "no column is headed 'Nothing'" in ran.err
    kept: Finding = msgspec.convert(run_cli("findings", "--json").data[0], Finding)
    assert (kept.airframe, kept.action, kept.found) == ("C-3", "wiped", "2020-01-02")
    assert list(answers) == []


def test_a_no_keeps_nothing(run_cli: Callable[..., Ran], table: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """And ends as an interrupt does."""
    monkeypatch.setattr(command, "_has_terminal", lambda: True)
    monkeypatch.setattr(click, "prompt", lambda *_, **__: "no")
    assert run_cli("import", str(table)).exit_code == 130
    assert run_cli("findings").exit_code == 1
