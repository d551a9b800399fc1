"""Keeping and changing findings: what is refused, what changes, what stays."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from kb.desk import Desk
from kb.errors import KbError, NotFound, UsageProblem
from kb.findings import Findings
from kb.store import Store

TAPE = "thread-tape-in-fuel-fittings"


def test_a_finding_keeps_every_field(desk: Desk) -> None:
    """As given, and the system of its first page."""
    kept = desk.findings.add(
        "white strings", airframe="00123", entries=[TAPE], place="strainer", found="2024-02-29", hours="2310.5",
        part="0012-3", minutes=20, action="placarded", who="kp",
    )  # fmt: skip
    assert desk.findings.get(kept.id) == kept
    assert (kept.system, kept.hours, kept.part, kept.found) == ("fuel", 2310.5, "0012-3", "2024-02-29")


@pytest.mark.parametrize(
    ("values", "said"),
    [
        ({"hours": "abc"}, "the hours in service, 'abc', is no number"),
        ({"hours": "nan"}, "is not between 0 and"),
        ({"hours": -1}, "is not between 0 and"),
        ({"minutes": 1e9}, "is not between 0 and"),
        ({"found": "29.2.2023"}, "is no day; write it as year-month-day"),
        ({"found": "2023-02-29"}, "is no day"),
        ({"found": "2999-01-01"}, "is not between 1900 and today"),
        ({"place": "x" * 201}, "the place has 201 characters, at most 200"),
        ({"cause": "boss-split"}, "write it as page/cause"),
        ({"cause": f"{TAPE}/nope"}, "no cause is called 'nope'"),
        ({"entries": ["nope"]}, "no page is called 'nope'"),
        ({"photos": ("0" * 64,)}, "no photo is called"),
        ({"system": "feul"}, "nearest: fuel"),
    ],
)
def test_a_field_that_cannot_be_kept_is_named_and_nothing_is_kept(
    desk: Desk, values: dict[str, object], said: str
) -> None:
    """One sentence, and no half finding."""
    with pytest.raises(KbError, match=said):
        desk.findings.add("text", airframe="A", **values)  # type: ignore[arg-type]
    kept = desk.findings.add("text", airframe="A")
    with pytest.raises(KbError, match=said):
        desk.findings.revise(kept.id, **values)  # type: ignore[arg-type]
    assert desk.findings.all() == [kept]


def test_a_revision_changes_what_is_named_and_nothing_else(desk: Desk) -> None:
    """None empties a field."""
    kept = desk.findings.add("text", airframe="A", place="wing", part="7")
    changed = desk.findings.revise(kept.id, text="better text", place=None, who="kp")
    assert (changed.text, changed.place, changed.part, changed.who) == ("better text", None, "7", "kp")
    assert (changed.id, changed.created) == (kept.id, kept.created)


def test_a_change_made_from_an_outdated_view_is_refused(desk: Desk) -> None:
    """Nobody writes over what somebody else has just written."""
    kept = desk.findings.add("text", airframe="A")
    desk.findings.revise(kept.id, text="theirs", who="kp")
    with pytest.raises(UsageProblem, match="changed meanwhile by kp"):
        desk.findings.revise(kept.id, text="mine", seen=kept.revision)
    assert desk.findings.get(kept.id).text == "theirs"


def test_the_states_follow_the_work(desk: Desk) -> None:
    """Deferred, corrected, opened again; the words of each stand below one another."""
    name = desk.findings.add("text", airframe="A").id
    desk.findings.defer(name, why="at the annual")
    done = desk.findings.correct(name, action="new hose", minutes=40)
    assert (done.state, done.action, done.minutes) == ("corrected", "at the annual\nnew hose", 40)
    assert desk.findings.reopen(name, why="leaks again").state == "open"
    with pytest.raises(UsageProblem, match="open already"):
        desk.findings.reopen(name)


@pytest.mark.parametrize("act", ["defer", "correct"])
def test_a_state_needs_its_ground(desk: Desk, act: str) -> None:
    """Deferred without a why is how things get lost."""
    name = desk.findings.add("text", airframe="A").id
    with pytest.raises(UsageProblem, match="is empty; say it in a few words"):
        getattr(desk.findings, act)(name, **{"why" if act == "defer" else "action": "  "})


def test_a_withdrawn_finding_leaves_lists_counts_and_search_but_not_the_store(desk: Desk) -> None:
    """It is found by its name, and can be opened again."""
    kept = desk.findings.add("quibblefish in the bilge", airframe="A")
    desk.search.warm()
    desk.findings.withdraw(kept.id)
    assert (desk.findings.all(), desk.findings.count(), desk.findings.airframes()) == ([], 0, [])
    assert not [hit for hit in desk.search.ask("quibblefish").hits if hit.kind == "finding"]
    assert desk.findings.get(kept.id).state == "withdrawn"
    desk.findings.reopen(kept.id)
    assert desk.search.ask("quibblefish").hits[0].id == kept.id


def test_a_link_gives_pages_and_the_system(desk: Desk) -> None:
    """Each page once, in the order of linking."""
    kept = desk.findings.add("text", airframe="A")
    desk.findings.link(kept.id, [TAPE])
    linked = desk.findings.link(kept.id, ["enamel-over-dope", TAPE])
    assert (linked.entries, linked.system) == ((TAPE, "enamel-over-dope"), "fuel")


def test_a_confirmed_cause_is_counted_until_it_is_taken_back(desk: Desk) -> None:
    """The tallies of narrowing follow the latest word."""
    cause = f"{TAPE}/{desk.library.page(TAPE).causes[0].id}"
    kept = desk.findings.add("text", airframe="A")
    desk.findings.confirm(kept.id, cause)
    assert desk.store.findings.tallies([cause]) == {cause: 1}
    desk.findings.confirm(kept.id, None)
    assert desk.store.findings.tallies([cause]) == {}


def test_what_is_seen_later_stands_below(desk: Desk) -> None:
    """Adding to a twin instead of keeping it twice."""
    kept = desk.findings.add("first seen", airframe="A")
    assert desk.findings.add_to(kept.id, "seen again").text == "first seen\nseen again"
    assert desk.findings.count() == 1


def test_the_shop_stands_on_what_it_writes(desk: Desk) -> None:
    """Once it has a name."""
    desk.store.name_shop("North field")
    assert desk.findings.add("text", airframe="A").shop == "North field"


def test_a_day_is_one_by_the_clock_of_the_store(tmp_path: Path) -> None:
    """Tomorrow there is still the future."""
    findings = Findings(Store(tmp_path / "s.db", clock=lambda: datetime(2020, 5, 4, tzinfo=UTC)))
    assert findings.add("text", airframe="A", found="2020-05-04").found == "2020-05-04"
    with pytest.raises(UsageProblem, match="2020-05-05"):
        findings.add("text", airframe="A", found="2020-05-05")


def test_a_name_that_fits_two_findings_is_refused(desk: Desk) -> None:
    """Too few characters say nothing."""
    kept = desk.findings.add("text", airframe="A")
    with pytest.raises(NotFound):
        desk.findings.get(kept.id[-3:])


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=25, deadline=None)
@given(text=st.text(min_size=1), place=st.text(max_size=200))
def test_any_text_is_kept_or_refused_in_a_sentence(desk: Desk, text: str, place: str) -> None:
    """Blanks at the ends and half characters apart, what went in comes out."""
    stored = text.encode("utf-8", "replace").decode().strip()
    if not stored:
        with pytest.raises(UsageProblem, match="empty"):
            desk.findings.add(text, airframe="A", place=place)
        return
    kept = desk.findings.add(text, airframe="A", place=place)
    assert kept.text == stored
    assert (kept.place or "") == place.encode("utf-8", "replace").decode().strip()
