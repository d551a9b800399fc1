"""What is known of each aircraft: said, changed, cleared, never overwritten."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from kb.airframes import Airframes
from kb.desk import Desk
from kb.errors import KbError, NotFound, UsageProblem
from kb.store import Store
from tests.conftest import HOSTILE, Ran

Run = Callable[..., Ran]


def test_what_is_not_said_stays_as_it_was(desk: Desk) -> None:
    """Each record says all that is known; the history holds every one."""
    desk.airframes.keep("No. 3", construction="wood", built=1946, who="kp")
    desk.airframes.keep("No. 3", outdoors=False, about="new fabric in 1998")
    last = desk.airframes.keep("No. 3", built=1947)
    assert (last.construction, last.built, last.outdoors, last.about) == ("wood", 1947, False, "new fabric in 1998")
    assert [(one.built, one.who) for one in desk.airframes.history("No. 3")] == [
        (1946, "kp"),
        (1946, None),
        (1947, None),
    ]


def test_what_was_said_can_be_unsaid(desk: Desk) -> None:
    """By name, since None leaves it as it was."""
    desk.airframes.keep("No. 3", outdoors=True, built=1946, about="x")
    kept = desk.airframes.keep("No. 3", clear=["outdoors", "about"])
    assert (kept.outdoors, kept.about, kept.built) == (None, None, 1946)


@pytest.mark.parametrize(
    ("values", "said"),
    [
        ({}, "say what is known of it"),
        ({"construction": "any"}, "'any' is no construction; use: tube-and-fabric, wood, sheet-metal"),
        ({"built": 1899}, "it was not built in 1899"),
        ({"built": 9999}, "it was not built in 9999"),
        ({"about": "x" * 20_001}, "has 20001 characters"),
        ({"about": "  "}, "is empty"),
        ({"clear": ["name"]}, "'name' is nothing said of an airframe"),
        ({"clear": ["built"], "built": 1946}, "said and cleared at once"),
        ({"built": 1946, "who": "x" * 201}, "the initials has 201 characters"),
    ],
)
def test_what_makes_no_sense_is_refused(desk: Desk, values: dict[str, object], said: str) -> None:
    """In one sentence, and nothing is kept."""
    with pytest.raises(UsageProblem, match=said):
        desk.airframes.keep("No. 3", **values)  # type: ignore[arg-type]
    with pytest.raises(UsageProblem, match="the airframe is empty"):
        desk.airframes.keep(" ", built=1946)
    assert desk.airframes.all() == []


def test_every_airframe_is_known_by_record_or_by_findings(desk: Desk) -> None:
    """With what is open on it; withdrawn findings do not count."""
    desk.findings.add("a", airframe="B")
    desk.findings.add("b", airframe="b", state="corrected")
    gone = desk.findings.add("c", airframe="B")
    desk.findings.withdraw(gone.id)
    desk.airframes.keep("A", built=1950)
    desk.airframes.keep("b", built=1940)
    listed = [
        (one.name.upper(), one.open, one.findings, one.record and one.record.built) for one in desk.airframes.all()
    ]
    assert listed == [("A", 0, 0, 1950), ("B", 1, 2, 1940)]
    assert [desk.airframes.get(name) for name in ("a", " B ")] == list(desk.airframes.all())


def test_a_name_that_is_off_is_answered_with_the_nearest(desk: Desk) -> None:
    """Both when it is read and, as a hint, before it is kept."""
    desk.findings.add("a", airframe="High-wing no. 3")
    for ask in (desk.airframes.get, desk.airframes.history):
        with pytest.raises(NotFound, match=r"nearest: High-wing no\. 3"):
            ask("Highwing no 3")
    assert desk.airframes.near("Highwing no 3") == ("High-wing no. 3",)
    assert desk.airframes.near("HIGH-wing no. 3") == ()


def test_the_years_are_counted_to_the_day_of_the_store(tmp_path: Path) -> None:
    """None when the year is not known."""
    store = Store(tmp_path / "s.db", clock=lambda: datetime(2020, 5, 1, tzinfo=UTC))
    airframes = Airframes(store)
    assert airframes.years("A") is None
    airframes.keep("A", built=1946)
    assert airframes.years("a") == 74
    airframes.keep("A", clear=["built"])
    assert airframes.years("A") is None


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(name=st.text(min_size=1, max_size=210) | st.sampled_from(HOSTILE), about=st.text(min_size=1) | st.none())
def test_any_text_is_kept_or_refused_in_one_sentence(desk: Desk, name: str, about: str | None) -> None:
    """And found again by the name it was given."""
    try:
        kept = desk.airframes.keep(name, built=1946, about=about)
    except KbError:
        return
    assert desk.airframes.get(kept.name).record == desk.airframes.history(kept.name)[-1]
    assert kept.name in [one.name for one in desk.airframes.all()]


def test_the_command_says_and_lists(run_cli: Run) -> None:
    """One command, with what is open; hostile text is shown, not obeyed."""
    assert run_cli("airframe").exit_code == 1
    run_cli("add", "--airframe", "No. 3", "white strings")
    said = run_cli("airframe", "no. 3", "--built", "1946", "--outdoors", "--about", "\x1b[2J", "--json")
    assert (said.data["open"], said.data["name"], said.data["record"]["outdoors"]) == (1, "No. 3", True)
    assert "built 1946; kept outdoors; \\x1b[2J" in run_cli("airframe", "NO. 3").out
    assert "new here; if it is not, it may be No. 3" in run_cli("airframe", "No 3", "--indoors").err
    assert run_cli("airframe", "--built", "1946").exit_code == 2
    assert run_cli("airframe", "No 3", "--built", "12").exit_code == 2
    assert [one["name"] for one in run_cli("airframe", "--json").data] == ["No 3", "No. 3"]
    run_cli("airframe", "No. 3", "--clear", "built")
    assert [one.get("built") for one in run_cli("airframe", "No. 3", "--history", "--json").data] == [1946, None]
    assert run_cli("airframe", "nowhere").exit_code == 1
