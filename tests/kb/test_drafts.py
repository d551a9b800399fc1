"""Drafts: what was typed and is not kept yet is there after anything."""

from __future__ import annotations

import msgspec
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from kb.desk import Desk
from kb.drafts import Draft
from tests.conftest import HOSTILE

FORM = "form-1"


def test_the_latest_word_of_a_form_replaces_the_one_before(desk: Desk) -> None:
    """And dropping it forgets it."""
    desk.drafts.keep(FORM, Draft(text="wh"))
    desk.drafts.keep(FORM, Draft(text="white strings", airframe="00123", entries=("a",)))
    (kept,) = Desk(desk.store).drafts.all()
    assert (kept.name, kept.draft) == (FORM, Draft(text="white strings", airframe="00123", entries=("a",)))
    desk.drafts.drop(FORM)
    assert desk.drafts.all() == []


def test_each_form_has_its_own_draft_newest_first(desk: Desk) -> None:
    """A second form never writes over the first."""
    for text in ("first", "second"):
        desk.drafts.keep(desk.drafts.new_name(), Draft(text=text))
    assert [kept.draft.text for kept in desk.drafts.all()] == ["second", "first"]


def test_the_draft_of_a_change_is_offered_for_that_finding_alone(desk: Desk) -> None:
    """Not as a new finding."""
    desk.drafts.keep(FORM, Draft(text="more", finding="f1", seen="r1"))
    assert desk.drafts.all() == desk.drafts.all(finding="f2") == []
    assert [kept.draft.seen for kept in desk.drafts.all(finding="f1")] == ["r1"]


def test_a_draft_that_cannot_be_read_is_left_where_it_is(desk: Desk) -> None:
    """Another program may know it; this one goes on."""
    desk.store.drafts.put("other", b'{"text": 5}')
    desk.store.drafts.put("worse", b"[")
    assert desk.drafts.all() == []
    assert len(desk.store.drafts.all()) == 2


def test_a_draft_reads_as_words_with_the_fields_below() -> None:
    """Nothing typed is left out when it goes to another finding."""
    draft = Draft(text=" strings ", airframe="A", place="strainer", hours=" 12 ", action="placarded", who="kp")
    assert draft.as_words() == "strings\nwhere: strainer\nat hours: 12\ndone: placarded"


@pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))
def test_hostile_text_is_kept_as_typed(desk: Desk, text: str) -> None:
    """Save half characters, which no store can hold."""
    desk.drafts.keep(FORM, Draft(text=text, who=text))
    assert desk.drafts.all()[0].draft.text == text.encode("utf-8", "replace").decode()


@settings(max_examples=50, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(text=st.text(), action=st.text(), entries=st.lists(st.text(alphabet=st.characters(codec="utf-8"))))
def test_any_draft_comes_back_whole(small_desk: Desk, text: str, action: str, entries: list[str]) -> None:
    """Whatever was typed."""
    small_desk.drafts.keep(FORM, Draft(text=text, action=action, entries=tuple(entries)))
    (kept,) = small_desk.drafts.all()
    assert kept.draft.text.encode() == text.encode("utf-8", "replace")
    assert (kept.draft.entries, kept.draft.action.encode()) == (tuple(entries), action.encode("utf-8", "replace"))


def test_a_change_holds_only_what_was_changed(desk: Desk) -> None:
    """What was emptied is None; numbers come back as they were."""
    kept = desk.findings.add("strings", airframe="A", hours=123456.7, minutes=20, place="strainer", who="kp")
    before = Draft.of(kept, finding=kept.id, seen=kept.revision)
    assert before.changes(before) == {}
    after = msgspec.structs.replace(before, text="white strings", place=" ", who="mm")
    assert after.changes(before) == {"text": "white strings", "place": None}
    assert desk.findings.revise(kept.id, **after.changes(before)).hours == 123456.7


def test_a_change_is_put_onto_what_somebody_else_changed_meanwhile() -> None:
    """Both stand; where both changed one field, the form's own word does, and is seen before it is kept."""
    before = Draft(text="strings", place="strainer", part="1", entries=("a", "b"), seen="r1")
    mine = msgspec.structs.replace(before, text="white strings", part="2", entries=("a", "c"))
    theirs = msgspec.structs.replace(before, place="bowl", part="3", entries=("a", "b", "d"), seen="r2")
    assert mine.onto(before, theirs) == Draft(
        text="white strings", place="bowl", part="2", entries=("a", "d", "c"), seen="r2"
    )
