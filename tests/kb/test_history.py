"""The history of findings: steps, going back, taking back."""

from __future__ import annotations

import msgspec
import pytest

from kb.desk import Desk
from kb.errors import NotFound, UsageProblem
from kb.ids import new_id
from kb.model import Finding
from kb.store.merge import Incoming


def says(finding: Finding) -> tuple[str, str, str | None]:
    """What a test looks at."""
    return finding.text, finding.state, finding.action


def test_every_change_is_a_step_with_what_it_changed(desk: Desk) -> None:
    """Oldest first, with the initials of who made it."""
    kept = desk.findings.add("text", airframe="A", who="kp")
    desk.findings.correct(kept.id, action="new hose", who="mm")
    first, second = desk.history.of(kept.id)
    assert [change.field for change in first.changes] == ["airframe", "text", "state"]
    assert [(c.field, c.before, c.after) for c in second.changes] == [
        ("state", "open", "corrected"),
        ("action", None, "new hose"),
    ]
    assert (first.revision.who, second.revision.who, second.is_head) == ("kp", "mm", True)


def test_an_older_word_can_be_restored_and_stays_in_between(desk: Desk) -> None:
    """Restoring removes nothing."""
    kept = desk.findings.add("first", airframe="A")
    desk.findings.revise(kept.id, text="second")
    desk.history.restore(kept.id, kept.revision[-8:], who="kp")
    assert [step.revision.text for step in desk.history.of(kept.id)] == ["first", "second", "first"]
    assert desk.findings.get(kept.id).said == "restored"


def test_undo_goes_back_act_by_act(desk: Desk) -> None:
    """The last first; an added finding is withdrawn in the end."""
    kept = desk.findings.add("first", airframe="A")
    desk.findings.revise(kept.id, text="second")
    desk.findings.defer(kept.id, why="later")
    seen = []
    for _ in range(3):
        desk.history.undo()
        seen.append(says(desk.findings.get(kept.id)))
    assert seen == [("second", "open", None), ("first", "open", None), ("first", "withdrawn", None)]
    with pytest.raises(UsageProblem, match="nothing to undo"):
        desk.history.undo()


def test_undo_is_refused_when_the_finding_came_back_changed(desk: Desk) -> None:
    """A revision that came by a merge stands on top; undo would bury it."""
    kept = desk.findings.add("first", airframe="A")
    revision = desk.store.revisions.of(kept.id)[0]
    merged = msgspec.structs.replace(revision, id=new_id(after=revision.id), previous=revision.id, text="theirs")
    desk.store.merge.take(Incoming(revisions=[merged]))
    with pytest.raises(UsageProblem, match="was changed since"):
        desk.history.undo()


def test_two_words_on_one_finding_stand_side_by_side_until_one_is_chosen(desk: Desk) -> None:
    """The later counts meanwhile; restoring settles it."""
    kept = desk.findings.add("first", airframe="A")
    revision = desk.store.revisions.of(kept.id)[0]
    ours = desk.findings.revise(kept.id, text="ours")
    theirs = msgspec.structs.replace(revision, id=new_id(after=revision.id), previous=revision.id, text="theirs")
    desk.store.merge.take(Incoming(revisions=[theirs]))
    assert [finding.id for finding in desk.history.conflicts()] == [kept.id]
    assert {step.revision.text for step in desk.history.of(kept.id) if step.is_head} == {"ours", "theirs"}
    assert desk.findings.get(kept.id).text == "theirs"
    desk.history.restore(kept.id, ours.revision)
    assert desk.history.conflicts() == []
    assert desk.findings.get(kept.id).text == "ours"


def test_taking_what_is_here_already_changes_nothing(desk: Desk) -> None:
    """A revision has one id everywhere."""
    kept = desk.findings.add("first", airframe="A")
    revisions = desk.store.revisions.of(kept.id)
    assert desk.store.merge.take(Incoming(revisions=revisions)).revisions == 0
    assert desk.store.revisions.of(kept.id) == revisions


def test_a_revision_arriving_late_does_not_hide_the_latest_word_from_search(desk: Desk) -> None:
    """Older by its id, newer by its number."""
    kept = desk.findings.add("first", airframe="A")
    revision = desk.store.revisions.of(kept.id)[0]
    late = msgspec.structs.replace(revision, id=new_id(after=revision.id), previous=revision.id, text="quibblefish")
    desk.findings.revise(kept.id, text="snorklewort")
    desk.search.warm()
    desk.store.merge.take(Incoming(revisions=[late]))
    assert desk.search.ask("snorklewort").hits[0].id == kept.id
    assert not [hit for hit in desk.search.ask("quibblefish").hits if hit.kind == "finding"]


@pytest.mark.parametrize("name", ["nope", "zz", ""])
def test_a_revision_there_is_not_is_refused(desk: Desk, name: str) -> None:
    """And nothing is restored."""
    kept = desk.findings.add("first", airframe="A")
    with pytest.raises(NotFound, match="no revision is called"):
        desk.history.restore(kept.id, name)
    assert len(desk.history.of(kept.id)) == 1


def test_what_undo_would_take_back_is_told_and_nothing_else_is_taken_back(desk: Desk) -> None:
    """Somebody else may have done something since it was told."""
    kept = desk.findings.add("first", airframe="A")
    act = desk.history.last_act()
    assert (act.said, [one.finding for one in act.revisions]) == ("added", [kept.id])
    desk.findings.defer(kept.id, why="no part")
    with pytest.raises(UsageProblem, match="something else was done meanwhile"):
        desk.history.undo(act=act.number)
    assert desk.findings.get(kept.id).state == "deferred"
    desk.history.undo(act=desk.history.last_act().number)
    assert desk.history.last_act() == act
