"""Narrowing on the desk: what starts a case, what an answer does, and what is kept."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from kb.desk import Desk
from kb.errors import NotFound, UsageProblem
from kb.kept import SessionUnreadable
from kb.narrow import NONE, Nature, Page, build_case, judge
from kb.narrow.words import percent
from kb.narrowed import Narrowed
from kb.narrowing import PAGES, NothingToNarrow
from kb.narrowtelling import AT_LEAST, bar, fit_line, is_pressing, leading, none_of_these, short, steps, why
from tests.conftest import HOSTILE

TAPE = "thread-tape-in-fuel-fittings"
QUESTION = "white strings in the fuel strainer"


def _share(narrowed: Narrowed, name: str) -> float:
    return next(one.share for one in narrowed.verdict.standings if one.candidate.id == name)


def test_a_page_is_narrowed_by_its_own_causes_alone(desk: Desk) -> None:
    """And the verdict is that of kb.narrow on the same records: nothing is weighed here."""
    narrowed = desk.narrow.start(TAPE)
    entry = desk.library.page(TAPE)
    owners = {cause.entry: desk.library.page(cause.entry) for cause in entry.causes if cause.entry}
    case = build_case([Page(entry, 1.0)], owners=owners)
    assert narrowed.case == case
    assert narrowed.verdict == judge(case, ())


def test_a_question_makes_the_causes_of_its_pages_compete(desk: Desk) -> None:
    """At most eight pages, with the match that search gave them; findings are no pages."""
    desk.findings.add(QUESTION, airframe="A")
    narrowed = desk.narrow.start(QUESTION)
    matches = [page.match for page in narrowed.session.pages]
    assert narrowed.session.pages[0].entry == TAPE
    assert 1 < len(matches) <= PAGES
    assert matches == sorted(matches, reverse=True)
    assert len({one.entry for one in narrowed.case.candidates}) > 2


def test_a_finding_is_narrowed_by_the_pages_it_is_linked_to(desk: Desk) -> None:
    """And the session belongs to it; without pages its text is asked."""
    linked = desk.findings.add("shreds", airframe="A", entries=[TAPE, "hose-liner-breaking-up"])
    free = desk.findings.add(QUESTION, airframe="A")
    narrowed = desk.narrow.start(linked.id[-8:])
    assert [page.entry for page in narrowed.session.pages] == [TAPE, "hose-liner-breaking-up"]
    assert narrowed.finding == linked.id
    assert desk.narrow.start_finding(free.id).session.pages[0].entry == TAPE


def test_a_finding_is_narrowed_on_what_the_shop_keeps_of_its_airframe(desk: Desk) -> None:
    """Construction and where it is kept, not its years; what is said now stands before what is kept."""
    desk.airframes.keep("A", construction="wood", outdoors=True, built=1946)
    finding = desk.findings.add("shreds", airframe="A", entries=[TAPE])
    assert desk.narrow.start_finding(finding.id).session.nature == Nature(("wood",), None, True)
    said = Nature(("sheet-metal",), 12, False)
    assert desk.narrow.start_finding(finding.id, nature=said).session.nature == said
    other = desk.findings.add("shreds", airframe="B", entries=[TAPE])
    assert desk.narrow.start_finding(other.id).session.nature == Nature()


@pytest.mark.parametrize(("text", "error"), [("", UsageProblem), ("  \n ", UsageProblem), ("zzzz", NothingToNarrow)])
def test_nothing_to_narrow_is_said(desk: Desk, text: str, error: type[Exception]) -> None:
    """An empty text is wrong usage; a question that no page fits finds nothing."""
    with pytest.raises(error):
        desk.narrow.start(text)


def test_an_empty_text_names_the_sessions_that_can_be_reopened(desk: Desk) -> None:
    """Who lost the name of a session finds it there."""
    narrowed = desk.narrow.start(TAPE)
    desk.narrow.keep(narrowed)
    with pytest.raises(UsageProblem, match=narrowed.handle):
        desk.narrow.start("")


def test_a_confirmed_cause_raises_its_share_at_once(desk: Desk) -> None:
    """Also on a desk that has narrowed before; the count is not remembered too long."""
    before = desk.narrow.start(TAPE)
    for _ in range(10):
        desk.findings.add("split boss", airframe="A", cause=f"{TAPE}/boss-split")
    after = desk.narrow.start(TAPE)
    assert _share(after, f"{TAPE}/boss-split") > _share(before, f"{TAPE}/boss-split") + 0.2


def test_what_the_aircraft_is_built_of_changes_the_case_and_keeps_the_answers(desk: Desk) -> None:
    """Pages written for another construction lose weight."""
    narrowed = desk.narrow.start("soft spot in the wing, glue line dark")
    answered = desk.narrow.answer(narrowed, steps(narrowed)[0].sign, "seen")
    built = desk.narrow.nature_of(answered, Nature(("sheet-metal",)))
    assert built.session.answers == answered.session.answers
    assert built.session.constructions == ("sheet-metal",)
    assert built.verdict != answered.verdict
    assert desk.narrow.nature_of(built, Nature()).verdict == answered.verdict


def test_an_answer_moves_the_causes_and_says_how(desk: Desk) -> None:
    """From share to share, the largest move first."""
    start = desk.narrow.start(TAPE)
    moved = desk.narrow.answer(start, "boss-hairline", "seen")
    cause = f"{TAPE}/boss-split"
    before, after = percent(_share(start, cause)), percent(_share(moved, cause))
    assert moved.note.startswith("seen: A hairline edged with fuel dye")
    assert f"{before} to {after}: The wrapped taper" in moved.note
    assert f"{TAPE}/boss-hairline" not in [step.sign for step in steps(moved)]


def test_an_unknown_sign_names_the_nearest(desk: Desk) -> None:
    """So that it can be typed again."""
    with pytest.raises(NotFound, match=f"nearest: {TAPE}/boss-hairline"):
        desk.narrow.answer(desk.narrow.start(TAPE), "boss-hairlin", "seen")


def test_a_sign_that_cannot_be_looked_at_moves_nothing_and_is_not_offered_again(desk: Desk) -> None:
    """Until it is taken back."""
    start = desk.narrow.start(TAPE)
    sign = steps(start)[0].sign
    passed = desk.narrow.pass_over(start, sign)
    assert passed.verdict == start.verdict
    assert passed.passed == (sign,)
    assert sign not in [step.sign for step in steps(passed)]
    assert steps(desk.narrow.undo(passed)) == steps(start)


def test_passing_over_an_answered_sign_takes_its_answer_away(desk: Desk) -> None:
    """It was not looked at after all."""
    start = desk.narrow.start(TAPE)
    answered = desk.narrow.answer(start, "stretches", "seen")
    assert desk.narrow.pass_over(answered, "stretches").verdict == start.verdict


@settings(deadline=None)  # the first case of a desk reads its pages
@given(acts=st.lists(st.tuples(st.integers(0, 6), st.sampled_from(["seen", "not-seen", "pass"])), max_size=8))
def test_undo_walks_every_act_back(acts: list[tuple[int, str]], undone_desk: Desk) -> None:
    """Answers and passes alike, one at a time, in any order, down to the start; then it says there is nothing."""
    narrow = undone_desk.narrow
    start = at = narrow.start(TAPE)
    for number, act in acts:
        sign = start.case.signs[number].id
        if act == "pass":
            at = narrow.pass_over(at, sign)
        else:
            at = narrow.answer(at, sign, "seen" if act == "seen" else "not-seen")
    assert len(at.touched) == len({number for number, _ in acts})
    for _ in at.touched:
        fewer = narrow.undo(at)
        assert fewer.touched == at.touched[:-1]
        assert fewer.note.startswith("taken back")
        at = fewer
    assert at.verdict == start.verdict
    assert narrow.undo(at).note == "there is nothing to take back"


@pytest.fixture(scope="module")
def undone_desk(seeded_store: Path) -> Desk:
    """A desk that is only read."""
    return Desk.open(seeded_store)


def test_a_kept_session_opens_as_it_was(desk: Desk) -> None:
    """By its id or the end of it: question, pages, answers, passes, what it is built of, verdict, looks."""
    narrowed = desk.narrow.answer(desk.narrow.start(QUESTION, nature=Nature(("wood",), 34, True)), "stretches", "seen")
    narrowed = desk.narrow.pass_over(narrowed, steps(narrowed)[0].sign)
    desk.narrow.keep(narrowed)
    for name in (narrowed.id, narrowed.handle, narrowed.handle.upper()):
        assert desk.narrow.reopen(name) == replace(narrowed, note="")


def test_keeping_again_replaces_and_does_not_double(desk: Desk) -> None:
    """A session is working paper."""
    narrowed = desk.narrow.start(TAPE)
    desk.narrow.keep(narrowed)
    desk.narrow.keep(desk.narrow.answer(narrowed, "stretches", "seen"))
    assert [(one.id, one.answers) for one in desk.narrow.kept()] == [(narrowed.id, 1)]


def test_an_answer_about_a_sign_that_is_gone_is_left_out_and_told(desk: Desk) -> None:
    """The pages have changed since."""
    narrowed = desk.narrow.answer(desk.narrow.start(TAPE), "stretches", "seen")
    gone = replace(narrowed.session.answers[0], sign=f"{TAPE}/long-gone")
    desk.narrow.keep(
        replace(
            narrowed,
            session=replace(narrowed.session, answers=(gone, *narrowed.session.answers)),
            touched=(gone.sign, *narrowed.touched),
        )
    )
    opened = desk.narrow.reopen(narrowed.id)
    assert opened.forgotten == (gone,)
    assert opened.verdict == narrowed.verdict
    assert opened.touched == narrowed.touched


def test_a_session_of_another_program_is_refused_in_one_sentence_and_left_out_of_the_list(desk: Desk) -> None:
    """Nothing of it is guessed."""
    name = desk.store.sessions.put(b'{"format": 2}')
    with pytest.raises(SessionUnreadable, match="cannot be read"):
        desk.narrow.reopen(name)
    assert desk.narrow.kept() == []


def test_a_session_is_attached_to_a_finding_and_stays_so(desk: Desk) -> None:
    """Also when it is kept again."""
    finding = desk.findings.add("shreds", airframe="A")
    narrowed = desk.narrow.attach(desk.narrow.start(TAPE), finding.id[-8:])
    desk.narrow.keep(desk.narrow.answer(narrowed, "stretches", "seen"))
    assert desk.narrow.reopen(narrowed.id).finding == finding.id
    with pytest.raises(NotFound, match="no finding is called"):
        desk.narrow.attach(narrowed, "zzzzzzzz")


@pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))
def test_hostile_text_is_narrowed_kept_and_reopened(desk: Desk, text: str) -> None:
    """Questions, names of signs, sessions and findings may hold anything."""
    narrowed = desk.narrow.start(f"strings in the strainer {text}")
    desk.narrow.keep(narrowed)
    assert desk.narrow.reopen(narrowed.id).session == narrowed.session
    with pytest.raises(NotFound):
        desk.narrow.answer(narrowed, text, "seen")
    for find in (desk.narrow.reopen, desk.narrow.start_finding, desk.narrow.start_page):
        with pytest.raises(NotFound):
            find(text)


def test_the_likeliest_of_every_hazard_and_at_least_four_causes_are_shown(desk: Desk) -> None:
    """The rest is told as a sum, none-of-these by itself; together they are everything."""
    narrowed = desk.narrow.start(QUESTION)
    shown, left, share = leading(narrowed, 1)
    names = [one.candidate.id for one in shown]
    assert {hazard.likeliest for hazard in narrowed.verdict.hazards} <= set(names)
    assert NONE not in names
    assert len(names) + left + 1 == len(narrowed.case.candidates)
    total = sum(one.share for one in shown) + share + none_of_these(narrowed).share
    assert total == pytest.approx(1)
    assert len(leading(narrowed, 12)[0]) >= AT_LEAST


def test_nothing_fits_is_said_only_when_none_of_these_leads_clearly(desk: Desk) -> None:
    """Before any answer many causes share the rest, and none of them leads; that is no misfit."""
    wide = desk.narrow.start("strings")
    assert wide.verdict.standings[0].candidate.id == NONE
    assert not wide.verdict.nothing_fits
    assert not any("fits well" in line for line in wide.verdict.says)
    assert "Nothing here fits" not in fit_line(wide)
    for sign in wide.case.signs:
        wide = desk.narrow.answer(wide, sign.id, "seen")
    assert wide.verdict.nothing_fits
    assert "Nothing here fits well; none of these" in fit_line(wide)


def test_a_harmless_cause_is_not_marked_as_pressing(desk: Desk) -> None:
    """Though its page is one to settle before flight."""
    narrowed = desk.narrow.start(TAPE)
    pressing = {one.candidate.id: is_pressing(narrowed, one) for one in narrowed.verdict.standings}
    assert pressing[f"{TAPE}/taped-taper"]
    assert not pressing[f"{TAPE}/proper-lubricant"]


def test_reasons_carry_their_word_and_weight(desk: Desk) -> None:
    """For, against, expect; in this order."""
    narrowed = desk.narrow.answer(desk.narrow.start(TAPE), "boss-hairline", "seen")
    told = {one.candidate.id: why(one) for one in narrowed.verdict.standings}
    split = told[f"{TAPE}/boss-split"]
    assert split[0][0] == "for"
    assert "hairline" in split[0][1]
    assert split[-1][0] == "expect"
    assert told["hose-liner-breaking-up"][0][0] == "against"


@given(share=st.floats(0, 1), cells=st.integers(4, 60))
def test_bars_have_one_scale_and_never_vanish(share: float, cells: int) -> None:
    """The whole is as long for every bar, and a share however small still shows."""
    assert 1 <= len(bar(share, cells)) <= cells
    assert len(bar(1.0, cells)) == cells


@given(text=st.text(max_size=80), most=st.integers(2, 60))
def test_short_text_is_never_longer_than_asked_and_marks_its_cut(text: str, most: int) -> None:
    """A cut is never silent."""
    cut = short(text, most)
    assert len(cut) <= most
    assert cut == " ".join(text.split()) or cut.endswith("…")
