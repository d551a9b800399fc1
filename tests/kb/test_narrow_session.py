"""A session of narrowing: answers put and taken back, each with its effect, kept and opened again."""

from __future__ import annotations

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.errors import NotFound
from kb.narrow import Answer, Session, effects, find_sign, fitting, judge, put, shares, undo
from kb.narrow.records import Matched
from tests.kb.narrow_pages import answer, answers_to, cases, two_pages


def test_a_second_answer_about_a_sign_replaces_the_first() -> None:
    """It stands last, since it was given last."""
    answers = put(put(put((), answer("a/s")), answer("a/t")), answer("a/s", False))
    assert answers == (answer("a/t"), answer("a/s", False))


@given(st.data())
def test_undo_brings_back_the_verdict_of_before(data: st.DataObject) -> None:
    """The last answer, or any one by its sign."""
    case = data.draw(cases())
    answers = tuple(data.draw(answers_to(case)))
    new = Answer(data.draw(st.sampled_from(case.signs)).id, "seen")
    before = undo(answers, new.sign)
    assert judge(case, undo(put(before, new))) == judge(case, before)
    assert judge(case, undo(put(before, new), new.sign)) == judge(case, before)


def test_undo_of_nothing_is_nothing() -> None:
    """No answer, no harm."""
    assert undo(()) == ()
    assert undo((answer("a/s"),), "a/t") == (answer("a/s"),)


@given(st.data())
def test_effects_lead_from_the_start_to_the_verdict(data: st.DataObject) -> None:
    """Each answer starts where the one before it ended; the largest move comes first."""
    case = data.draw(cases())
    answers = data.draw(answers_to(case))
    found = effects(case, answers)
    assert [one.answer for one in found] == answers
    held = dict(zip((one.id for one in case.candidates), shares(case, ()), strict=True))
    for effect in found:
        assert {move.candidate: move.before for move in effect.moves} == held
        held = {move.candidate: move.after for move in effect.moves}
        sizes = [(-abs(move.after - move.before), move.candidate) for move in effect.moves]
        assert sizes == sorted(sizes)
    assert held == {one.candidate.id: one.share for one in judge(case, answers).standings}


def test_an_effect_tells_the_sign_in_words() -> None:
    """A screen needs no look-up."""
    effect = effects(two_pages(), [answer("alpha/drip")])[0]
    assert effect.text == "The sign drip of alpha."
    assert effect.moves[0].candidate == "alpha/one"
    assert effect.moves[0].after > effect.moves[0].before
    assert effects(two_pages(), [answer("alpha/drip")], limit=2)[0].moves == effect.moves[:2]


def test_a_sign_is_found_by_its_short_name_where_only_one_page_has_it() -> None:
    """Both pages have a drip; only one has a smell."""
    case = two_pages()
    assert find_sign(case, "smell").id == find_sign(case, "beta/smell").id == "beta/smell"
    with pytest.raises(NotFound) as doubtful:
        find_sign(case, "drip")
    assert doubtful.value.nearest == ("alpha/drip", "beta/drip")
    with pytest.raises(NotFound) as mistyped:
        find_sign(case, "smel")
    assert mistyped.value.nearest[0] == "beta/smell"


def test_a_session_round_trips_through_json() -> None:
    """Kept as text, opened as it was; unknown keys are refused."""
    kept = Session(
        1,
        "white strings in the strainer",
        (Matched("alpha", 0.6), Matched("beta", 0.5)),
        (answer("alpha/drip"), Answer("beta/smell", "not-seen", by="limit: within")),
        ("wood",),
    )
    text = msgspec.json.encode(kept)
    assert msgspec.json.decode(text, type=Session) == kept
    with pytest.raises(msgspec.ValidationError):
        msgspec.json.decode(text.replace(b'"question"', b'"query"'), type=Session)


def test_a_verdict_can_be_written_as_json() -> None:
    """For --json."""
    case = two_pages()
    written = msgspec.json.decode(msgspec.json.encode(judge(case, [answer("alpha/drip")])))
    assert written["standings"][0]["candidate"]["id"] == "alpha/one"
    assert msgspec.json.decode(msgspec.json.encode(case), type=type(case)) == case


def test_answers_about_signs_that_are_gone_are_set_aside() -> None:
    """Pages change between keeping a session and opening it."""
    kept, lost = fitting(two_pages(), [answer("alpha/drip"), answer("alpha/gone")])
    assert (kept, lost) == ((answer("alpha/drip"),), (answer("alpha/gone"),))
