"""The nature of the airframe as evidence: it moves the causes that speak of it, and no others."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from kb.display import show_safely
from kb.errors import KbError
from kb.model import Entry
from kb.narrow import (
    NONE,
    Answer,
    Case,
    Nature,
    Page,
    build_case,
    effects,
    judge,
    read_nature,
    shares,
    with_nature,
    without_nature,
)
from kb.narrow.words import HOW_OFTEN, TRAIT_UNSAID
from tests.conftest import HOSTILE
from tests.kb.narrow_pages import cause, entry

SIGNS = {"stain": "usually"}


def _page(entry_id: str = "alpha") -> Entry:
    aged = replace(cause("aged", SIGNS), airframe={"years-30": "usually", "outdoors": "always"})
    wooden = replace(cause("wooden", SIGNS), airframe={"wood": "always", "years-30": "seldom"})
    return entry(entry_id, [aged, wooden, cause("plain", SIGNS)])


def _case() -> Case:
    return build_case([Page(_page(), 1.0)])


def _shares(case: Case, nature: Nature) -> dict[str, float]:
    held = shares(case, with_nature(case, (), nature))
    return {one.id: share for one, share in zip(case.candidates, held, strict=True)}


def test_what_is_not_known_of_the_aircraft_moves_nothing() -> None:
    """No answer is made of it."""
    assert with_nature(_case(), (), Nature()) == ()


@pytest.mark.parametrize(("years", "chance"), [(30, HOW_OFTEN["usually"]), (29, 1 - HOW_OFTEN["usually"])])
def test_years_move_a_cause_by_its_word(years: int, chance: float) -> None:
    """From the year named on it is so; a cause that says nothing counts one half."""
    held = _shares(_case(), Nature(years=years))
    assert held["alpha/aged"] / held["alpha/plain"] == pytest.approx(chance / TRAIT_UNSAID)


@pytest.mark.parametrize("outdoors", [True, False])
def test_causes_that_say_nothing_of_it_keep_their_proportion(outdoors: bool) -> None:
    """Also none of these."""
    before, after = _shares(_case(), Nature()), _shares(_case(), Nature(outdoors=outdoors))
    assert after["alpha/plain"] / after[NONE] == pytest.approx(before["alpha/plain"] / before[NONE])
    assert (after["alpha/aged"] > before["alpha/aged"]) == outdoors


@pytest.mark.parametrize(
    ("built", "is_more"), [(("wood",), True), (("tube-and-fabric", "wood"), True), (("sheet-metal",), False)]
)
def test_one_construction_of_several_is_enough(built: tuple[str, ...], is_more: bool) -> None:
    """Many old aircraft are mixed."""
    held = _shares(_case(), Nature(constructions=built))  # type: ignore[arg-type]
    assert (held["alpha/wooden"] > held["alpha/plain"]) == is_more


def test_its_effect_is_said_as_that_of_any_answer() -> None:
    """With its own words, and it speaks for and against causes."""
    case = _case()
    answers = with_nature(case, (), Nature(years=34, outdoors=True))
    told = effects(case, answers)
    assert [one.text for one in told] == [
        "The aircraft is kept outdoors, or was for years.",
        "In service 30 years or more since it was built or last rebuilt.",
    ]
    lead = judge(case, answers).standings[0]
    assert lead.candidate.id == "alpha/aged"
    assert {one.sign for one in lead.speaks_for} == {"airframe/outdoors", "airframe/years-30"}


def test_an_answer_by_hand_stands_before_what_is_known() -> None:
    """It is not counted twice; what is then told anew replaces it."""
    case = _case()
    by_hand = (Answer("airframe/outdoors", "not-seen"),)
    assert with_nature(case, by_hand, Nature(outdoors=True)) == by_hand
    assert without_nature(by_hand, Nature(outdoors=True)) == ()
    assert without_nature(by_hand, Nature(years=3)) == by_hand


def test_what_a_page_says_for_a_cause_another_page_owns_is_left_to_that_page() -> None:
    """It counts only while the owner is not in the case."""
    told = replace(cause("not-mine", SIGNS, entry="owner"), airframe={"outdoors": "always"})
    teller = entry("teller", [told, cause("mine", SIGNS)])
    owner = entry("owner", [cause("a", SIGNS), cause("b", SIGNS)])
    alone = build_case([Page(teller, 1.0)])
    both = build_case([Page(teller, 1.0), Page(owner, 1.0)])
    assert [sign.id for sign in alone.signs if sign.id.startswith("airframe/")] == ["airframe/outdoors"]
    assert not [sign for sign in both.signs if sign.id.startswith("airframe/")]


def test_a_harmless_cause_does_not_press_like_its_page() -> None:
    """The hazard counts only the causes that press."""
    harmless = replace(cause("harmless", SIGNS), urgency="information")
    page = entry("alpha", [harmless, cause("bad", SIGNS)], urgency="before-flight")
    verdict = judge(build_case([Page(page, 1.0)]), ())
    assert {one.candidate.id: one.candidate.urgency for one in verdict.standings}["alpha/harmless"] == "information"
    assert verdict.hazards[0].share == pytest.approx(0.45)


def test_nature_is_read_as_typed() -> None:
    """In any case, parted by blanks or commas; an empty line is not known."""
    assert read_nature(built=" Wood, sheet-metal", years="34", kept="Outdoors ") == Nature(
        ("wood", "sheet-metal"), 34, True
    )
    assert read_nature(built="", years=" ", kept="") == Nature()
    assert read_nature(built="", years="0", kept="indoors") == Nature((), 0, False)


@pytest.mark.parametrize(
    ("field", "text", "said"),
    [
        ("built", "plastic", "use: tube-and-fabric, wood, sheet-metal"),
        ("years", "-3", "give 0 to 120"),
        ("years", "121", "give 0"),
        ("kept", "barn", "outdoors, indoors"),
    ],
)
def test_nature_that_cannot_be_read_is_refused(field: str, text: str, said: str) -> None:
    """With what can be read."""
    with pytest.raises(KbError, match=said):
        read_nature(**{"built": "", "years": "", "kept": "", field: text})


@given(text=st.sampled_from(HOSTILE) | st.text(max_size=40), field=st.sampled_from(["built", "years", "kept"]))
def test_any_text_is_read_or_refused_tame(text: str, field: str) -> None:
    """Never a traceback, never a control character in the sentence."""
    said = ""
    try:
        read_nature(**{"built": "", "years": "", "kept": "", field: text})
    except KbError as error:
        said = str(error)
    assert show_safely(said, keep_lines=False) == said
