"""The verdict: hazards first, causes by share with what spoke for and against, and an honest none-of-these."""

from __future__ import annotations

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from kb.errors import NotFound
from kb.model import SHORT_CAUTION
from kb.narrow import NONE, Answer, Case, Page, build_case, judge, shares
from kb.narrow.words import HAZARD_SHARE, LIKELIHOOD, likelihood, percent, strength
from tests.kb.narrow_pages import answer, answers_to, cases, cause, entry, two_pages


@given(st.data())
def test_the_order_of_answers_makes_no_difference(data: st.DataObject) -> None:
    """Not even in the last bit."""
    case = data.draw(cases())
    answers = data.draw(answers_to(case))
    assert judge(case, answers) == judge(case, data.draw(st.permutations(answers)))


@given(st.data())
def test_signs_without_an_answer_change_nothing(data: st.DataObject) -> None:
    """A case without them gives the same shares."""
    case = data.draw(cases())
    answers = data.draw(answers_to(case))
    kept = {one.sign for one in answers}
    bare = Case(case.candidates, tuple(sign for sign in case.signs if sign.id in kept), case.looks)
    assert shares(bare, answers) == shares(case, answers)


@given(st.data())
def test_standings_are_ranked_and_ties_go_by_id(data: st.DataObject) -> None:
    """Shares sum to one; equal shares stand in order of id."""
    case = data.draw(cases())
    standings = judge(case, data.draw(answers_to(case))).standings
    keys = [(-one.share, one.candidate.id) for one in standings]
    assert keys == sorted(keys)
    assert sum(one.share for one in standings) == pytest.approx(1)


def test_twins_tie_by_id() -> None:
    """Two causes alike in everything stand in order of id, whatever their order on the page."""
    twins = [cause("zulu", {"s": "usually"}), cause("kilo", {"s": "usually"})]
    verdict = judge(build_case([Page(entry("alpha", twins), 1.0)]), [answer("alpha/s")])
    assert [one.candidate.id for one in verdict.standings] == ["alpha/kilo", "alpha/zulu", NONE]
    assert verdict.standings[0].share == verdict.standings[1].share


@given(st.data())
def test_posterior_odds_are_odds_without_the_answer_times_its_ratio(data: st.DataObject) -> None:
    """What a weight claims is what the answer did."""
    case = data.draw(cases())
    answers = data.draw(answers_to(case))
    assume(answers)
    standing = judge(case, answers).standings[0]
    place = case.candidates.index(standing.candidate)
    for weight in (*standing.speaks_for, *standing.speaks_against):
        without = shares(case, [one for one in answers if one.sign != weight.sign])[place]
        assert standing.share / (1 - standing.share) == pytest.approx(without / (1 - without) * weight.ratio, rel=1e-6)


def test_a_sign_speaks_for_one_cause_and_against_another() -> None:
    """With its weight in plain words."""
    standings = {one.candidate.id: one for one in judge(two_pages(), [answer("alpha/drip")]).standings}
    assert [(w.sign, w.said, w.words) for w in standings["alpha/one"].speaks_for] == [
        ("alpha/drip", "seen", "speaks for")
    ]
    assert standings["alpha/one"].speaks_against == ()
    assert standings["alpha/two"].speaks_for == ()
    assert [w.words for w in standings["alpha/two"].speaks_against] == ["speaks against"]


def test_signs_still_expected_are_the_likely_ones_not_yet_answered() -> None:
    """Surest first; an answered sign is expected no more."""
    case = two_pages()
    found = {one.candidate.id: one for one in judge(case, ()).standings}
    assert [one.sign for one in found["alpha/one"].expected] == ["alpha/drip"]
    found = {one.candidate.id: one for one in judge(case, [answer("alpha/drip", False)]).standings}
    assert found["alpha/one"].expected == ()
    assert found[NONE].expected == ()


def test_details_stop_where_asked() -> None:
    """The tail of a long list is only ranked."""
    standings = judge(two_pages(), [answer("alpha/drip")], details=1).standings
    assert standings[0].speaks_for
    assert all(not one.speaks_for and not one.speaks_against and not one.expected for one in standings[1:])


def test_a_hazard_is_named_first_also_when_it_is_not_the_likeliest() -> None:
    """A page to settle before flight that holds more than a tenth."""
    leading = entry("mild", [cause("k", {"s": "usually"})], urgency="next-inspection")
    grave = entry("grave", [cause("k", {"t": "usually"})], urgency="before-flight")
    case = build_case([Page(leading, 0.6), Page(grave, 0.5)])
    verdict = judge(case, ())
    assert verdict.standings[0].candidate.entry == "mild"
    assert [one.entry for one in verdict.hazards] == ["grave"]
    assert verdict.says[0].startswith("Settle before further flight: Page called grave")
    assert "Why grave presses." in verdict.says[0]


def test_a_hazard_at_or_below_the_stated_share_is_not_cried() -> None:
    """Its cause still stands in the list."""
    leading = entry("mild", [cause("k", {"s": "always"})], urgency="next-inspection")
    grave = entry("grave", [cause("k", {"t": "usually"})], urgency="before-flight")
    verdict = judge(build_case([Page(leading, 0.6), Page(grave, 0.3)]), ())
    assert verdict.hazards == ()
    assert 0 < next(one.share for one in verdict.standings if one.candidate.entry == "grave") <= HAZARD_SHARE


def test_many_small_causes_of_a_grave_page_count_together() -> None:
    """None holds the stated share alone; the page does."""
    grave = entry("grave", [cause(f"k{n}", {"t": "usually"}) for n in range(5)], urgency="before-flight")
    mild = entry("mild", [cause("k", {"s": "usually"})])
    verdict = judge(build_case([Page(mild, 0.6), Page(grave, 0.5)]), ())
    assert all(one.share < HAZARD_SHARE for one in verdict.standings if one.candidate.entry == "grave")
    assert [one.entry for one in verdict.hazards] == ["grave"]


def test_none_of_these_grows_when_nothing_fits_and_it_is_said() -> None:
    """Each sign that should show and does not, and each that should not and does, adds to it."""
    page = entry(
        "alpha",
        [
            cause("a", {"s": "always", "t": "never", "u": "always"}),
            cause("b", {"s": "always", "t": "never", "u": "never"}),
        ],
    )
    case = build_case([Page(page, 1.0)])
    steps = [(), (answer("alpha/s", False),), (answer("alpha/s", False), answer("alpha/t"))]
    grown = [judge(case, step).none_share for step in steps]
    assert grown == sorted(grown)
    assert grown[0] == pytest.approx(0.10)
    verdict = judge(case, steps[-1])
    assert verdict.nothing_fits
    assert verdict.settled is None
    assert any("Nothing on these pages fits well" in line for line in verdict.says)


def test_none_of_these_shrinks_when_something_fits() -> None:
    """A sure sign seen takes from it."""
    page = entry("alpha", [cause("a", {"s": "always", "t": "always"}), cause("b", {"s": "never", "t": "never"})])
    verdict = judge(build_case([Page(page, 1.0)]), [answer("alpha/s"), answer("alpha/t")])
    assert verdict.none_share < 0.05
    assert verdict.settled == "alpha/a"


def test_a_foremost_cause_that_is_unlikely_is_not_called_the_leader() -> None:
    """Four causes alike: 22 % each is no lead."""
    page = entry("alpha", [cause(f"k{n}", {"s": "usually"}) for n in range(4)])
    says = judge(build_case([Page(page, 1.0)]), ()).says
    assert says[:2] == ("No cause leads clearly yet.", "Foremost, 22 %, unlikely: The cause k0.")
    clear = entry("alpha", [cause("k", {"s": "usually"}), cause("m", {"s": "never"})])
    says = judge(build_case([Page(clear, 1.0)]), [answer("alpha/s")]).says
    assert says[0].startswith("Foremost, 88 %, likely: The cause k.")


@given(st.data())
def test_every_verdict_ends_with_the_caution_and_never_gives_the_signers_word(data: st.DataObject) -> None:
    """Guidance, not approved data."""
    case = data.draw(cases())
    says = judge(case, data.draw(answers_to(case))).says
    assert says[-1] == SHORT_CAUTION
    assert "airworthy" not in " ".join(says).lower()


def test_a_measured_sign_counts_like_a_seen_one() -> None:
    """A limit's verdict is an answer that says what gave it."""
    case = two_pages()
    measured = Answer("alpha/drip", "seen", by="limit: beyond")
    assert shares(case, [measured]) == shares(case, [answer("alpha/drip")])


def test_an_answer_about_a_strange_sign_or_twice_about_one_is_refused() -> None:
    """Two answers about one sign would make their order count."""
    with pytest.raises(NotFound, match="elsewhere/sign"):
        judge(two_pages(), [answer("elsewhere/sign")])
    with pytest.raises(ValueError, match="twice"):
        judge(two_pages(), [answer("alpha/drip"), answer("alpha/drip", False)])


@given(st.floats(0, 1))
def test_every_share_has_words_and_is_never_said_to_be_certain(share: float) -> None:
    """Neither 0 % nor 100 % is ever shown."""
    assert likelihood(share) in {words for _, words in LIKELIHOOD}
    assert percent(share) not in ("0 %", "100 %")


@given(st.floats(1e-6, 1e6))
def test_a_ratio_and_its_inverse_speak_as_strongly_for_as_against(ratio: float) -> None:
    """Evidence has no favourite."""
    assume(all(abs(max(ratio, 1 / ratio) / least - 1) > 1e-9 for least in (20.0, 3.0, 1.1)))
    swapped = {"for": "against", "against": "for"}
    words, other = strength(ratio), strength(1 / ratio)
    assert (words is None) == (other is None)
    if words and other:
        assert other == " ".join(swapped.get(word, word) for word in words.split())
