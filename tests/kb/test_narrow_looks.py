"""Next looks: the most doubt removed per minute comes first."""

from __future__ import annotations

import math
from collections.abc import Sequence

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from kb.narrow import Case, Page, build_case, next_looks, open_signs, shares
from kb.narrow.weigh import chance_seen, expected_drop
from tests.kb.narrow_pages import answer, answers_to, cases, cause, entry, two_pages


def _entropy(held: Sequence[float]) -> float:
    return -math.fsum(share * math.log2(share) for share in held if share > 0)


@given(st.data())
def test_the_expected_drop_is_entropy_now_less_mean_entropy_after(data: st.DataObject) -> None:
    """The short formula gives what both posteriors, worked out in full, give; it is never below 0."""
    case = data.draw(cases())
    answers = data.draw(answers_to(case))
    held = shares(case, answers)
    for sign in case.signs:
        if sign.id in {one.sign for one in answers}:
            continue
        seen = chance_seen(sign, held)
        after = seen * _entropy(shares(case, [*answers, answer(sign.id)]))
        after += (1 - seen) * _entropy(shares(case, [*answers, answer(sign.id, False)]))
        assert _entropy(held) - after == pytest.approx(expected_drop(sign, held), abs=1e-9)
        assert _entropy(held) - after >= -1e-9
        assert expected_drop(sign, held) >= 0


def test_a_sign_that_splits_two_equal_causes_removes_nearly_a_bit() -> None:
    """By hand: H(.5) less H(.02), for two causes of which one always and one never shows it."""
    sides = [cause("a", {"s": "always"}), cause("b", {"s": "never"})]
    case = build_case([Page(entry("alpha", sides), 1.0)])
    split = 1 + 0.98 * math.log2(0.98) + 0.02 * math.log2(0.02)
    assert expected_drop(case.signs[0], [0.5, 0.5, 0.0]) == pytest.approx(split, abs=1e-12)


@given(st.data())
def test_looks_are_ranked_by_bits_per_minute_and_ties_by_sign(data: st.DataObject) -> None:
    """Only signs without an answer are looked at."""
    case = data.draw(cases())
    answers = data.draw(answers_to(case))
    looks = next_looks(case, answers, None)
    keys = [(-one.bits_per_minute, one.look.sign) for one in looks]
    assert keys == sorted(keys)
    assert not {one.look.sign for one in looks} & {one.sign for one in answers}
    for one in looks:
        assert one.bits_per_minute == pytest.approx(one.bits / one.look.minutes)


@given(st.data())
def test_the_outcomes_of_a_look_are_what_its_answers_give(data: st.DataObject) -> None:
    """What would lead if the sign were seen, and if it were not."""
    case = data.draw(cases())
    answers = data.draw(answers_to(case))
    looks = next_looks(case, answers, 1)
    assume(looks)
    for is_seen, outcome in ((True, looks[0].if_seen), (False, looks[0].if_not_seen)):
        held = shares(case, [*answers, answer(looks[0].look.sign, is_seen)])
        assert outcome.share == pytest.approx(max(held))
        place = next(n for n, one in enumerate(case.candidates) if one.id == outcome.candidate)
        assert held[place] == pytest.approx(max(held))


def test_the_quicker_of_two_equal_looks_comes_first() -> None:
    """Minutes count: the same sign by a longer way comes later."""
    sides = [cause("a", {"s": "always", "t": "always"}), cause("b", {"s": "never", "t": "never"})]
    case = build_case([Page(entry("alpha", sides, looks=[("s", 30), ("t", 10), ("s", 5)]), 1.0)])
    assert [(one.look.sign, one.look.minutes) for one in next_looks(case, ())] == [
        ("alpha/s", 5), ("alpha/t", 10), ("alpha/s", 30)
    ]  # fmt: skip


def test_looks_that_tie_stand_by_sign_id() -> None:
    """Whatever their order on the page."""
    sides = [cause("a", {"z": "always", "b": "always"}), cause("b", {"z": "never", "b": "never"})]
    case = build_case([Page(entry("alpha", sides, looks=[("z", 10), ("b", 10)]), 1.0)])
    assert [one.look.sign for one in next_looks(case, ())] == ["alpha/b", "alpha/z"]


def test_a_look_carries_access_and_tool_and_the_limit_holds() -> None:
    """What must be opened, and what to bring."""
    looks = next_looks(two_pages(), (), 2)
    assert len(looks) == 2
    assert (looks[0].look.access, looks[0].look.tool) == ("panel", "mirror")


def test_a_look_that_tells_nothing_is_not_offered() -> None:
    """All candidates show the sign alike."""
    case = build_case([Page(entry("alpha", [cause("a", {"s": "sometimes"})], looks=[("s", 1)]), 1.0)])
    assert next_looks(case, ()) == []
    assert open_signs(case, ()) == []


def test_signs_without_a_look_can_still_be_asked_about() -> None:
    """The owner may know whether the gauge ever read right."""
    asked = open_signs(two_pages(), [answer("alpha/drip")], None)
    assert "beta/drip" in {one.sign for one in asked}
    assert "alpha/drip" not in {one.sign for one in asked}
    assert [one.bits for one in asked] == sorted((one.bits for one in asked), reverse=True)


@given(cases())
def test_looks_do_not_depend_on_the_order_of_answers(case: Case) -> None:
    """The same session in another order asks for the same look."""
    answers = [answer(sign.id) for sign in case.signs[:-1]]
    assert next_looks(case, answers) == next_looks(case, answers[::-1])
