"""How pages become candidates: shares, tallies, and one physical cause named twice."""

from __future__ import annotations

import subprocess
import sys
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.entries.folder import Folder
from kb.errors import UsageProblem
from kb.model import HowCommon
from kb.narrow import NONE, Case, Page, build_case, shares
from kb.narrow.words import HOW_COMMON, HOW_OFTEN, NONE_SHARE, NONE_SIGN, UNSAID
from tests.kb.narrow_pages import answer, answers_to, cases, cause, entry, two_pages


def _priors(case: Case) -> dict[str, float]:
    return {candidate.id: candidate.prior for candidate in case.candidates}


def _said(case: Case, sign: str) -> dict[str, float]:
    found = next(one for one in case.signs if one.id == sign)
    return {case.candidates[place].id: chance for place, chance in found.said.items()}


def test_causes_of_two_pages_compete_and_none_of_these_stands_last() -> None:
    """Candidates are in order of id, so ties never depend on how they came in."""
    case = two_pages()
    assert [one.id for one in case.candidates] == ["alpha/one", "alpha/two", "beta/one", "beta/two", NONE]


def test_before_any_answer_match_and_how_common_decide() -> None:
    """0.9 shared by match to the fifth power, then by 10 : 3 : 1."""
    priors = _priors(two_pages())
    alpha = 0.9 * 0.6**5 / (0.6**5 + 0.5**5)
    assert priors["alpha/one"] == pytest.approx(alpha * 10 / 13)
    assert priors["alpha/two"] == pytest.approx(alpha * 3 / 13)
    assert priors["beta/one"] == priors["beta/two"] == pytest.approx((0.9 - alpha) / 2)
    assert priors[NONE] == NONE_SHARE


@given(cases())
def test_shares_before_any_answer_sum_to_one_and_leave_none_its_share(case: Case) -> None:
    """Merging loses nothing."""
    assert sum(_priors(case).values()) == pytest.approx(1, abs=1e-12)
    assert shares(case, ())[-1] == pytest.approx(NONE_SHARE, abs=1e-12)


def test_the_order_of_pages_makes_no_difference() -> None:
    """Search may hand them over in any order."""
    pages = [Page(entry(name, [cause("k", {"s": "usually"})]), 0.5) for name in ("delta", "alpha", "gamma")]
    assert build_case(pages) == build_case(pages[::-1])


def test_equal_sign_ids_of_two_pages_are_two_signs() -> None:
    """A drip on one page is not the drip of another."""
    case = two_pages()
    assert {"alpha/drip", "beta/drip"} <= {sign.id for sign in case.signs}
    assert _said(case, "alpha/drip") == {"alpha/one": 0.98, "alpha/two": 0.10, NONE: NONE_SIGN}


def test_a_cause_owned_by_a_page_in_the_case_is_handed_to_that_pages_own_causes() -> None:
    """`entry = X` means: it is X; X's own causes say which way."""
    look_alike = entry("cap", [cause("blank", {"hiss": "always"}), cause("pipe", {"hiss": "usually"}, entry="vent")])
    owner = entry(
        "vent",
        [
            cause("nest", {"breath": "always"}, how_common="occasional"),
            cause("bent", {"breath": "never"}, how_common="rare"),
            cause("cap", {"breath": "seldom"}, entry="cap"),
        ],
    )
    case = build_case([Page(look_alike, 0.5), Page(owner, 0.5)])
    assert [one.id for one in case.candidates] == ["cap/blank", "vent/bent", "vent/nest", NONE]
    priors = _priors(case)
    half = 0.9 / 2  # each page
    assert priors["vent/nest"] == pytest.approx(half * 3 / 14 + half / 2 * 3 / 4)
    assert priors["vent/bent"] == pytest.approx(half * 1 / 14 + half / 2 * 1 / 4)
    assert priors["cap/blank"] == pytest.approx(half / 2 + half * 10 / 14)
    assert _said(case, "cap/hiss") == {"cap/blank": 0.98, "vent/bent": 0.80, "vent/nest": 0.80, NONE: NONE_SIGN}
    assert _said(case, "vent/breath")["cap/blank"] == HOW_OFTEN["seldom"]
    assert case.candidates[2].names == ("vent/nest", "cap/pipe")


def test_a_cause_two_pages_hand_to_an_absent_page_is_one_candidate() -> None:
    """It is named by the page that owns it, holds both shares, and shows the signs of both."""
    first = entry("alpha", [cause("k", {"s": "always"}), cause("away", {"s": "usually"}, entry="owner")])
    second = entry("beta", [cause("k", {"t": "always"}), cause("off", {"t": "never"}, entry="owner")])
    case = build_case([Page(first, 0.5), Page(second, 0.5)])
    assert [one.id for one in case.candidates] == ["alpha/k", "beta/k", "owner", NONE]
    owner = case.candidates[2]
    assert owner.prior == pytest.approx(0.45)
    assert (owner.entry, owner.names) == ("owner", ("alpha/away", "beta/off"))
    assert (_said(case, "alpha/s")["owner"], _said(case, "beta/t")["owner"]) == (0.80, 0.02)


def test_an_absent_owner_lends_title_and_urgency_when_it_is_known() -> None:
    """Else the naming page's urgency stands, which is the safe side."""
    naming = entry(
        "alpha", [cause("k", {"s": "always"}), cause("x", {"s": "never"}, entry="owner")], urgency="before-flight"
    )
    owner = entry("owner", [cause("z", {"u": "always"})], urgency="next-inspection")
    unknown = build_case([Page(naming, 1.0)]).candidates[1]
    known = build_case([Page(naming, 1.0)], owners={"owner": owner}).candidates[1]
    assert (unknown.id, unknown.title, unknown.urgency) == ("owner", "owner", "before-flight")
    assert (known.id, known.title, known.urgency) == ("owner", owner.title, "next-inspection")


def test_two_causes_of_one_page_handed_to_the_same_owner_are_averaged_by_share() -> None:
    """No seed page does it; the rule is there all the same."""
    page = entry(
        "alpha",
        [
            cause("a", {"s": "always"}, how_common="occasional", entry="owner"),
            cause("b", {"s": "never"}, how_common="rare", entry="owner"),
        ],
    )
    case = build_case([Page(page, 1.0)])
    assert _said(case, "alpha/s")["owner"] == pytest.approx((3 * 0.98 + 1 * 0.02) / 4)


def test_linked_seed_pages_share_their_causes(seed: Folder) -> None:
    """A look-alike on one page of the seed is the cause on the page that owns it."""
    pages = [Page(seed.entries[name], 0.5) for name in ("tank-vent-line-plugged", "fuel-cap-without-vent")]
    case = build_case(pages)
    assert "tank-vent-line-plugged/cap-at-fault" not in _priors(case)
    owners = [one for one in case.candidates if "tank-vent-line-plugged/cap-at-fault" in one.names]
    assert owners
    assert all(one.entry == "fuel-cap-without-vent" for one in owners)


@given(
    st.lists(st.sampled_from(sorted(HOW_COMMON)), min_size=2, max_size=5),
    st.integers(1, 40),
    st.data(),
)
def test_a_confirmed_cause_gains_and_the_others_of_its_page_lose(
    words: list[HowCommon], count: int, data: st.DataObject
) -> None:
    """The shop's tally moves the share the right way, before and after answers."""
    causes = [
        cause(f"k{n}", {"s": data.draw(st.sampled_from(sorted(HOW_OFTEN)))}, how_common=w) for n, w in enumerate(words)
    ]
    pages = [Page(entry("alpha", causes), 0.6), Page(entry("beta", [cause("k", {"t": "always"})]), 0.5)]
    before, after = build_case(pages), build_case(pages, {"alpha/k0": count})
    answers = data.draw(answers_to(before))
    old, new = shares(before, answers), shares(after, answers)
    assert new[0] > old[0]
    assert all(now < then for now, then in zip(new[1 : len(words)], old[1 : len(words)], strict=True))


def test_with_ten_confirmed_causes_the_shops_count_weighs_as_much_as_the_page() -> None:
    """A Dirichlet mean: pseudo-counts of 10 in all, plus what was confirmed."""
    page = entry("alpha", [cause("a", {"s": "always"}), cause("b", {"s": "never"})])
    priors = _priors(build_case([Page(page, 1.0)], {"alpha/b": 10}))
    assert priors["alpha/b"] == pytest.approx(0.9 * (5 + 10) / 20)
    assert priors["alpha/a"] == pytest.approx(0.9 * 5 / 20)


def test_a_tally_of_a_page_does_not_move_the_weight_between_pages() -> None:
    """What a shop often finds must not answer every question."""
    pages = [
        Page(entry("alpha", [cause("a", {"s": "always"}), cause("b", {"s": "never"})]), 0.5),
        Page(entry("beta", [cause("k", {"t": "always"})]), 0.5),
    ]
    assert _priors(build_case(pages, {"alpha/a": 1000}))["beta/k"] == pytest.approx(0.45)


def test_a_page_for_another_construction_counts_a_tenth() -> None:
    """Not nothing: wooden wings stand on steel tube fuselages."""
    wood = entry("alpha", [cause("k", {"s": "always"})], construction=["wood"])
    any_ = entry("beta", [cause("k", {"s": "always"})])
    pages = [Page(wood, 0.5), Page(any_, 0.5)]
    assert _priors(build_case(pages))["alpha/k"] == pytest.approx(0.45)
    assert _priors(build_case(pages, constructions=["wood", "tube-and-fabric"]))["alpha/k"] == pytest.approx(0.45)
    assert _priors(build_case(pages, constructions=["sheet-metal"]))["alpha/k"] == pytest.approx(0.9 * 0.1 / 1.1)


def test_a_cause_whose_pages_do_not_speak_of_a_sign_seldom_shows_it() -> None:
    """So a sign seen speaks for its own page's causes."""
    case = two_pages()
    before, after = shares(case, ()), shares(case, [answer("beta/smell")])
    assert HOW_OFTEN["seldom"] == UNSAID
    assert after[0] / before[0] == pytest.approx(after[1] / before[1])
    assert after[2] / after[0] == pytest.approx(before[2] / before[0] * 0.80 / 0.10)


def test_a_withdrawn_page_is_left_out() -> None:
    """Its links still lead somewhere, but it explains nothing."""
    gone = entry("alpha", [cause("k", {"s": "always"})], withdrawn=date(2026, 1, 1))
    kept = entry("beta", [cause("k", {"t": "always"}), cause("x", {"t": "never"}, entry="alpha")])
    assert list(_priors(build_case([Page(gone, 1.0), Page(kept, 0.5)]))) == ["alpha", "beta/k", NONE]
    with pytest.raises(UsageProblem, match="no page to narrow"):
        build_case([Page(gone, 1.0)])


def test_a_hair_of_a_match_still_leaves_a_share() -> None:
    """A share of 0 could never be raised again by evidence."""
    pages = [Page(entry(name, [cause("k", {"s": "always"})]), match) for name, match in (("a", 1.0), ("b", 1e-300))]
    assert 0 < _priors(build_case(pages))["b/k"] < 1e-9


@pytest.mark.parametrize("match", [0.0, -0.1, 1.1, float("nan")])
def test_a_match_out_of_range_is_a_mistake(match: float) -> None:
    """A search score is above 0 and at most 1."""
    with pytest.raises(ValueError, match="match"):
        build_case([Page(entry("alpha", [cause("k", {"s": "always"})]), match)])


def test_a_page_twice_and_a_tally_below_zero_are_mistakes() -> None:
    """Neither can come from a person."""
    page = Page(entry("alpha", [cause("k", {"s": "always"})]), 0.5)
    with pytest.raises(ValueError, match="twice"):
        build_case([page, page])
    with pytest.raises(ValueError, match="below 0"):
        build_case([page], {"alpha/k": -1})


def test_narrowing_loads_no_other_capability_no_store_and_nothing_heavy() -> None:
    """Records in, records out; near names are looked for only when a name is wrong."""
    act = "import sys, kb.narrow; sys.stdout.write(' '.join(sys.modules))"
    done = subprocess.run([sys.executable, "-c", act], capture_output=True, text=True, check=True)
    loaded = set(done.stdout.split())
    assert not {"numpy", "scipy", "sqlite3", "rapidfuzz", "kb.store", "kb.search", "kb.entries", "tui"} & loaded
