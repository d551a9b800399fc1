"""Ranking by partial evidence: what fits, what contradicts, what is not yet known, and the look that divides best."""

from __future__ import annotations

import math
import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from kb.identify import Identification, identify, key, keys
from kb.identify.check import check_key
from kb.identify.model import Candidate, Choice, Key, KeySource, Mark, Measurement, Standing

IDS = [name.id for name in keys()]


def standing(answer: Identification, candidate: str) -> Standing:
    """The standing of one candidate."""
    return next(one for one in answer.candidates if one.id == candidate)


@st.composite
def evidence(draw: st.DrawFn) -> tuple[str, dict[str, str | float]]:
    """Any key with any answers it could be given, in any order."""
    table = key(draw(st.sampled_from(IDS)))
    chosen = draw(st.lists(st.sampled_from(table.measurements), unique_by=lambda item: item.id, max_size=5))
    answers: dict[str, str | float] = {}
    for item in chosen:
        if item.kind == "choice":
            some = draw(st.lists(st.sampled_from([c.id for c in item.choices]), min_size=1, max_size=2, unique=True))
            answers[item.id] = ",".join(some)
        else:
            figures = [
                figure if isinstance(figure, float | int) else figure[0]
                for candidate in table.candidates
                for size in candidate.sizes
                for name, figure in size.at.items()
                if name == item.id
            ]
            figures += [at for c in table.candidates for mark in c.marks if mark.measure == item.id for at in mark.at]
            anything = st.floats(item.low, item.high)
            answers[item.id] = draw(st.one_of(st.sampled_from(figures), anything) if figures else anything)
    return table.id, answers


@pytest.mark.parametrize("key_id", IDS)
def test_no_evidence_ranks_nothing_first(key_id: str) -> None:
    """Nothing measured: no place, no fit, no contradiction, and a look to begin with."""
    answer = identify(key_id, {})
    assert {one.place for one in answer.candidates} == {None}
    assert {one.verdict for one in answer.candidates} == {"not-known"}
    assert answer.next is not None
    assert "nothing measured yet" in answer.claim


@given(evidence(), st.data())
@settings(max_examples=150, deadline=None)
def test_more_evidence_never_takes_a_contradiction_back(
    case: tuple[str, dict[str, str | float]], data: st.DataObject
) -> None:
    """Whoever is contradicted by a part of the evidence is contradicted by all of it."""
    key_id, answers = case
    part = {name: answers[name] for name in answers if data.draw(st.booleans())}
    out = {one.id for one in identify(key_id, part).candidates if one.verdict == "contradicts"}
    assert out <= {one.id for one in identify(key_id, answers).candidates if one.verdict == "contradicts"}


@given(evidence(), st.randoms())
@settings(max_examples=100, deadline=None)
def test_the_order_of_evidence_does_not_matter(case: tuple[str, dict[str, str | float]], random: object) -> None:
    """The same answers, shuffled, give the same result to the last word."""
    key_id, answers = case
    names = list(answers)
    random.shuffle(names)  # type: ignore[attr-defined]
    assert identify(key_id, {name: answers[name] for name in names}) == identify(key_id, answers)


@given(evidence())
@settings(max_examples=150, deadline=None)
def test_a_place_is_never_better_than_the_evidence(case: tuple[str, dict[str, str | float]]) -> None:
    """Contradicted stand below uncontradicted; equals share a place; only what fits is said to fit."""
    key_id, answers = case
    answer = identify(key_id, answers)
    free = [one.place or 0 for one in answer.candidates if one.verdict != "contradicts"]
    out = [one.place or 0 for one in answer.candidates if one.verdict == "contradicts"]
    assert not free or not out or max(free) < min(out)
    for one in answer.candidates:
        assert (one.verdict == "fits") == bool(one.fits and not one.contradicts)
        assert {said.measurement for said in (*one.fits, *one.undecided)} <= set(answers)
        assert not set(one.still) & set(answers)


@given(evidence())
@settings(max_examples=150, deadline=None)
def test_the_next_look_is_the_one_with_most_bits(case: tuple[str, dict[str, str | float]]) -> None:
    """Never one already taken, never more than the doubt there is, and at most all candidates left."""
    key_id, answers = case
    answer = identify(key_id, answers)
    left = sum(one.verdict != "contradicts" for one in answer.candidates)
    looks = [look for look in (answer.next, *answer.others) if look is not None]
    order = [(look.last_resort, -look.gain_bits) for look in looks]
    assert order == sorted(order)
    for look in looks:
        assert look.measurement not in answers
        assert 0 < look.gain_bits <= math.log2(left) + 1e-9
        assert 1 - 1e-9 <= look.expected_left <= left + 1e-9
    assert left > 1 or not looks


def test_gentle_tests_are_proposed_before_flame_and_fumes() -> None:
    """A burnt flake would divide the finishes best, and is still named after the drop of oil."""
    looks = identify("finish", {"thinner": "dissolves"})
    assert looks.next is not None
    assert looks.next.measurement == "oil"
    flame = next(look for look in looks.others if look.measurement == "flame")
    assert flame.gain_bits > looks.next.gain_bits
    assert flame.sentence.startswith("last resort: ")
    only = identify("finish", {"thinner": "dissolves", "oil": "softens"})
    assert only.next is not None
    assert only.next.last_resort


def test_the_gain_is_that_of_the_textbook() -> None:
    """Four equal candidates, a look that halves them: one bit, two left. One that names each: two bits, one left."""
    source = KeySource(id="s", document="Test", where="1", says="for this test", checked="read")

    def look(name: str, choices: str) -> Measurement:
        listed = tuple(Choice(id=one, text=one) for one in choices)
        return Measurement(id=name, kind="choice", title=name, how="look", minutes=1, choices=listed)

    candidates = tuple(
        Candidate(
            id=f"c{number}",
            title=f"candidate {number}",
            means="for this test",
            marks=(
                Mark(measure="half", any_of=("ab"[number // 2],), sources=("s",)),
                Mark(measure="each", any_of=("wxyz"[number],), sources=("s",)),
            ),
        )
        for number in range(4)
    )
    table = Key(
        format=1, id="test", title="A key for a test", about="about", not_covered=(), entries=(),
        measurements=(look("half", "ab"), look("each", "wxyz")), candidates=candidates, sources=(source,),
    )  # fmt: skip
    answer = identify(table, {})
    assert answer.next is not None
    assert (answer.next.measurement, answer.next.gain_bits, answer.next.expected_left) == ("each", 2.0, 1.0)
    assert (answer.others[0].gain_bits, answer.others[0].expected_left) == (1.0, 2.0)
    assert identify(table, {"half": "a"}).others == ()


def test_a_37_degree_end_of_nine_sixteenths_is_an_or_its_industrial_double() -> None:
    """37 degrees, 9/16 inch, 18 threads: size -6, and the root of the thread is what is left to look at."""
    answer = identify("thread-and-fitting", {"cone-angle": "37 deg", "od": "9/16 in", "tpi": 18})
    assert [one.id for one in answer.candidates if one.verdict == "fits"][:2] == ["an-flared", "industrial-37"]
    assert standing(answer, "an-flared").sizes == ("-6, 3/8 tube, 9/16-18",)
    assert standing(answer, "sae-45").verdict == "contradicts"
    assert any("leak" in pair.why for pair in answer.look_alikes if "45 degree" in pair.second)


def test_figures_of_two_sizes_do_not_make_one() -> None:
    """5/8 inch is no 37 degree size; 3/4 inch is, and so are 18 threads, but never both together."""
    answer = identify("thread-and-fitting", {"od": 0.75, "tpi": 18})
    an = standing(answer, "an-flared")
    assert an.verdict == "contradicts"
    assert "no size of it has 0.75 in with 18 per in together" in an.contradicts[0].sentence
    assert standing(identify("thread-and-fitting", {"od": 0.625}), "an-flared").verdict == "contradicts"
    assert standing(identify("thread-and-fitting", {"od": 0.625}), "sae-45").verdict == "fits"


def test_a_figure_at_the_edge_of_its_tolerance_still_fits() -> None:
    """45 degrees within 1.5: 46.5 fits, 46.6 does not."""
    assert standing(identify("thread-and-fitting", {"cone-angle": 46.5}), "sae-45").verdict == "fits"
    assert standing(identify("thread-and-fitting", {"cone-angle": 46.6}), "sae-45").verdict == "contradicts"


def test_a_size_has_the_tolerance_of_its_measurement() -> None:
    """9/16 inch within 0.012: 0.5745 is still size -6, 0.576 is no size."""
    assert standing(identify("thread-and-fitting", {"od": 0.5745}), "an-flared").sizes == ("-6, 3/8 tube, 9/16-18",)
    assert standing(identify("thread-and-fitting", {"od": 0.576}), "an-flared").verdict == "contradicts"


def test_cable_tolerance_is_on_the_plus_side_only() -> None:
    """AC 43.13-1B table 7-3: 1/8 is 0.125 to 0.139; a caliper reads 0.002 either way."""
    fits = {size: standing(identify("control-cable", {"strands": 7, "wires": 19, "diameter": size}), "c-7x19-carbon")
            for size in (0.139, 0.1421, 0.12)}  # fmt: skip
    assert fits[0.139].sizes == ("1/8, 2,000 lb",)
    assert fits[0.1421].verdict == fits[0.12].verdict == "contradicts"


def test_a_memory_decides_nothing_and_says_unverified() -> None:
    """The sizes of 1x7 are remembered only: a diameter neither fits nor contradicts it."""
    answer = identify("control-cable", {"diameter": 0.25})
    assert standing(answer, "c-1x7").verdict == "not-known"
    source = KeySource(id="m", document="A table", where="not found", says="as remembered", checked="memory")
    read = KeySource(id="r", document="A table", where="1", says="as read", checked="read")
    colour = Measurement(id="colour", kind="choice", title="Colour", how="look", minutes=1,
                         choices=(Choice(id="red", text="red"), Choice(id="blue", text="blue")))  # fmt: skip
    marks = {"a": ("red", "m"), "b": ("blue", "m"), "c": ("red", "r")}
    table = Key(
        format=1, id="test", title="A key for a test", about="about", not_covered=(), entries=(),
        measurements=(colour,), sources=(source, read),
        candidates=tuple(
            Candidate(id=name, title=name, means="for this test",
                      marks=(Mark(measure="colour", any_of=(shade,), sources=(origin,)),))
            for name, (shade, origin) in marks.items()
        ),
    )  # fmt: skip
    answer = identify(table, {"colour": "red"})
    assert [(one.id, one.verdict) for one in answer.candidates] == [
        ("c", "fits"),
        ("a", "not-known"),
        ("b", "not-known"),
    ]
    assert "unverified" in standing(answer, "a").undecided[0].sentence
    assert any("unverified" in warning for warning in answer.warnings)


def test_a_hint_orders_and_never_decides() -> None:
    """A blue fitting is only a hint: the 45 degree one stays in, below."""
    answer = identify("thread-and-fitting", {"colour": "blue"})
    assert {one.verdict for one in answer.candidates} == {"not-known"}
    assert answer.candidates[0].id == "an-flared"
    assert "a hint only" in answer.candidates[0].undecided[0].sentence


def test_not_finding_a_stamp_says_nothing() -> None:
    """No stamp found is not a proof against polyester."""
    answer = identify("fabric", {"stamp": "none"})
    assert {one.verdict for one in answer.candidates} == {"not-known"}
    assert {one.place for one in answer.candidates} == {None}


def test_a_doubtful_eye_may_give_two_choices() -> None:
    """Blue or green: both grades stay, red is out."""
    answer = identify("fuel-colour", {"colour": "blue, green"})
    assert {one.id for one in answer.candidates if one.verdict == "fits"} >= {"avgas-100ll", "avgas-100"}
    assert standing(answer, "avgas-80").verdict == "contradicts"


def test_blue_fuel_still_warns_of_jet_fuel_and_the_paper_divides() -> None:
    """The colour cannot clear it; a ring on the paper leaves the mixture and kerosene only."""
    blue = identify("fuel-colour", {"colour": "blue"})
    assert standing(blue, "avgas-with-jet").verdict == "fits"
    assert any("paper ring" in pair.why for pair in blue.look_alikes)
    ring = identify("fuel-colour", {"colour": "blue", "paper": "ring"})
    assert "Avgas with some jet fuel in it is the only one" in ring.claim
    assert ring.claim.endswith("something this key does not know is not excluded")


def test_two_purple_fuels_are_told_by_the_label_alone() -> None:
    """82UL and 115/145 are both printed as purple; tinted car gasoline is never excluded by its colour."""
    answer = identify("fuel-colour", {"colour": "purple", "paper": "clean", "water": "same"})
    fits = [one.id for one in answer.candidates if one.verdict == "fits"]
    assert fits == ["avgas-115", "avgas-82ul", "car-plain"]
    assert [look.measurement for look in (answer.next, *answer.others) if look] == ["label"]


def test_resorcinol_in_a_joint_of_1938_is_contradicted() -> None:
    """It was introduced in 1943: either the glue or the date is wrong."""
    answer = identify("wood-adhesive", {"colour": "dark-red", "year": 1938})
    assert standing(answer, "resorcinol").verdict == "contradicts"
    assert "none of the 6 candidates" in answer.claim


def test_the_cautions_come_with_the_test_that_is_next() -> None:
    """Asking for a finish names the dangers of flame and solvent before they are done."""
    answer = identify("finish", {"oil": "softens"})
    for look in (answer.next, *answer.others):
        assert look is not None
        if look.measurement in ("thinner", "mek", "flame", "copper", "smell"):
            assert look.cautions
    used = identify("finish", {"flame": "flares"})
    assert any("outdoors" in warning for warning in used.warnings)


def test_what_cannot_be_told_apart_is_said() -> None:
    """Urethane and epoxy both survive the solvent."""
    answer = identify("finish", {"thinner": "nothing"})
    assert [pair.rule for pair in answer.cannot_tell] == ["cannot be told apart by these"]
    assert {answer.cannot_tell[0].first, answer.cannot_tell[0].second} == {"Polyurethane", "Epoxy"}


def test_common_practice_is_called_by_its_name() -> None:
    """A claim that rests on the trade alone says so."""
    answer = identify("nut-kinds", {"body": "plate"})
    assert "common practice, with no document behind it" in answer.claim
    assert "(common practice, no source)" in standing(answer, "plate").fits[0].sentence


def test_every_statement_carries_document_and_place() -> None:
    """A reader can look it up."""
    said = standing(identify("rivet-head-marks", {"mark": "dimple"}), "ad-2117").fits[0]
    assert [(source.document, source.where, source.checked) for source in said.sources] == [
        ("NAVEDTRA 14315", "table 3-1", "read")
    ]


@pytest.mark.parametrize("key_id", IDS)
def test_every_candidate_can_become_the_best(key_id: str) -> None:
    """Giving each candidate's own deciding marks leaves it uncontradicted and in the first place."""
    table = key(key_id)
    for candidate in table.candidates:
        answers: dict[str, str | float] = {}
        for mark in candidate.marks:
            if mark.any_of:
                answers[mark.measure] = mark.any_of[0]
            else:
                answers[mark.measure] = mark.at[0] if mark.at else mark.low if mark.low is not None else mark.high or 0
        for name, figure in (candidate.sizes[0].at if candidate.sizes else {}).items():
            answers[name] = figure[0] if isinstance(figure, tuple) else figure
        found = standing(identify(key_id, answers), candidate.id)
        assert found.verdict == "fits", (candidate.id, found.contradicts)
        assert found.place in (1, None), candidate.id


def test_an_answer_is_quick() -> None:
    """Warm, the largest key answers in well under the budget of 60 ms."""
    identify("thread-and-fitting", {})
    start = time.perf_counter()
    for _ in range(5):
        identify("thread-and-fitting", {"od": 0.5625})
    assert (time.perf_counter() - start) / 5 < 0.06


def _offered(**evidence: str) -> list[str]:
    found = identify("finish", evidence)
    return [look.measurement for look in (found.next, *found.others) if look]


def test_tests_that_harm_come_from_mild_to_strong() -> None:
    """Oil before thinner, thinner before MEK; a stronger one is not offered while a milder one would still tell."""
    assert _offered()[0] == "oil"
    assert not {"thinner", "mek"} & set(_offered())
    assert _offered(oil="no-effect")[0] == "thinner"
    assert "mek" not in _offered(oil="no-effect")
    assert "mek" in _offered(oil="no-effect", thinner="nothing")


@pytest.mark.parametrize(
    "evidence", [{"oil": "softens"}, {"oil": "no-effect", "thinner": "dissolves"}, {"thinner": "lifts"}]
)
def test_no_stronger_solvent_is_offered_once_a_milder_one_has_answered(evidence: dict[str, str]) -> None:
    """Not as a next look, and not as what is still open for any candidate."""
    assert "mek" not in _offered(**evidence)
    found = identify("finish", evidence)
    assert not any("mek" in one.still for one in found.candidates)
    if evidence.get("oil") == "softens":
        assert not any("thinner" in one.still for one in found.candidates)


@pytest.mark.parametrize(
    ("after", "said"),
    [
        ({"oyl": ()}, "is no measurement above it"),
        ({"mek": ()}, "is no measurement above it"),
        ({"oil": ("melts",)}, "'melts' is no choice of 'oil'"),
    ],
)
def test_a_milder_measurement_that_is_none_is_refused(after: dict[str, tuple[str, ...]], said: str) -> None:
    """It must stand above the stronger one in the file, with its own choices."""
    table = key("finish")
    changed = [replace(m, after=after) if m.id == "thinner" else m for m in table.measurements]
    flaws = list(check_key(replace(table, measurements=tuple(changed)), file_id="finish"))
    assert any(said in text for _, text, _ in flaws)
