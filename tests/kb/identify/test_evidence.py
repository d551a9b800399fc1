"""Bad input: one sentence that names the measurement and what it may be."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.identify import EvidenceProblem, identify, key
from kb.identify.evidence import read_evidence
from kb.identify.quantity import read_figure

FITTING = key("thread-and-fitting")
OD = next(item for item in FITTING.measurements if item.id == "od")
TPI = next(item for item in FITTING.measurements if item.id == "tpi")
ANGLE = next(item for item in FITTING.measurements if item.id == "cone-angle")


@pytest.mark.parametrize(
    ("typed", "inches"),
    [("9/16 in", 0.5625), ("9/16", 0.5625), ("1-1/16 in", 1.0625), ("1 1/16\"", 1.0625), ("0.5625in", 0.5625),
     (".5625 inch", 0.5625), ("14.2875 mm", 0.5625), ("14,2875mm", 0.5625), ("1.42875 cm", 0.5625),
     ("562.5 thou", 0.5625), (0.5625, 0.5625), ("  0.5625  IN. ", 0.5625)],
)  # fmt: skip
def test_a_length_is_read_in_inches_and_millimetres(typed: str | float, inches: float) -> None:
    """As a mechanic writes it."""
    assert read_figure(OD, typed) == pytest.approx(inches)


@pytest.mark.parametrize(("typed", "per_inch"), [("18", 18), ("18 tpi", 18), ("18 per in", 18), ("18/in", 18),
                                                 ("1 mm", 25.4), ("1.5 mm pitch", 16.9333)])  # fmt: skip
def test_a_pitch_in_millimetres_is_turned_into_threads_per_inch(typed: str, per_inch: float) -> None:
    """25.4 over the pitch."""
    assert read_figure(TPI, typed) == pytest.approx(per_inch, rel=1e-4)


@pytest.mark.parametrize("typed", ["37 deg", "37 degrees", "37\N{DEGREE SIGN}", "37", 37])
def test_an_angle_is_read_in_degrees(typed: str | float) -> None:
    """With or without its sign."""
    assert read_figure(ANGLE, typed) == 37


@pytest.mark.parametrize(
    ("name", "typed", "said"),
    [
        ("od", "37 deg", "od .* is a length .* 'deg' is not a unit of that"),
        ("cone-angle", "9/16 in", "is an angle in degrees"),
        ("od", "nan", "od .* is not a number; give a figure from 0.1 in to 4 in"),
        ("od", "inf", "od .* cannot be inf in"),
        ("od", "-0.5 in", "cannot be -0.5 in; give a figure from"),
        ("od", "0", "cannot be 0 in"),
        ("od", "900 in", "cannot be 900 in"),
        ("od", "about half", "cannot be read in 'about half'"),
        ("od", "1/0 in", "cannot be read in '1/0'"),
        ("od", "", "cannot be read"),
        ("tpi", "0 mm", "cannot be 0 per in"),
        ("cone-angle", "370", "cannot be 370 deg; give a figure from 5 deg to 90 deg"),
        ("seal", "cone outsde", "nearest: cone-outside"),
        ("seal", "", "cannot be ''; it may be: cone-outside"),
        ("angle", "37", "'angle' is no measurement of thread-and-fitting; nearest: cone-angle"),
        ("zzz", "1", "'zzz' is no measurement of thread-and-fitting; they are: seal"),
    ],
)
def test_what_cannot_be_used_is_answered_in_one_sentence(name: str, typed: str, said: str) -> None:
    """It names the measurement, what is wrong and what it may be."""
    with pytest.raises(EvidenceProblem, match=said) as caught:
        identify("thread-and-fitting", {name: typed})
    assert "\n" not in str(caught.value)
    assert caught.value.exit_code == 2


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf, -1.0, 1e300, True])
def test_a_figure_that_is_no_figure_is_refused(value: float) -> None:
    """Also when it comes as a number and not as text."""
    with pytest.raises(EvidenceProblem, match="od"):
        identify("thread-and-fitting", {"od": value})


def test_a_choice_is_known_by_its_id_or_its_words() -> None:
    """Capitals, underscores and spaces are all one."""
    for typed in ("one-dash", "One Dash", "one_dash", " one dash "):
        assert identify("bolt-head-marks", {"mark": typed}).given[0].choices == ("one-dash",)
    assert identify("bolt-head-marks", {"mark": "raised cross or asterisk"}).given[0].choices == ("cross",)
    comma = "burns and glows like paper, soft grey ash"
    assert identify("fabric", {"burn": comma}).given[0].choices == ("paper",)


def test_the_same_measurement_given_twice_is_refused() -> None:
    """Two spellings of one name must not overwrite one another."""
    with pytest.raises(EvidenceProblem, match="given twice"):
        identify("thread-and-fitting", {"cone-angle": 37, "cone_angle": 45})


def test_what_was_typed_stands_beside_what_was_used() -> None:
    """A bare number shows the unit it was taken in."""
    read = read_evidence(FITTING, {"od": "14.29 mm", "cone-angle": 37})
    assert [(item.measurement, item.typed, item.used) for item in read] == [
        ("cone-angle", "37", "37 deg"),
        ("od", "14.29 mm", "0.5626 in"),
    ]


@given(st.floats(0.11, 3.9))
def test_units_never_change_what_fits(inches: float) -> None:
    """The same diameter in inches and in millimetres stands the same everywhere."""
    inch = identify("thread-and-fitting", {"od": f"{inches:.3f} in"})
    metric = identify("thread-and-fitting", {"od": f"{float(f'{inches:.3f}') * 25.4:.6f} mm"})
    assert [(one.id, one.verdict, one.sizes) for one in inch.candidates] == [
        (one.id, one.verdict, one.sizes) for one in metric.candidates
    ]


@given(st.text(max_size=40), st.text(max_size=40))
def test_no_text_breaks_it(name: str, typed: str) -> None:
    """Any text is either used or refused with a sentence."""
    for table, measurement in (("thread-and-fitting", "od"), ("fabric", "burn"), ("fabric", name)):
        try:
            answer = identify(table, {measurement: typed})
        except EvidenceProblem:
            continue
        assert answer.given[0].typed == typed
