"""Welded steel tube against AC 43.13-1B chapter 4."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.limits.steel_tube_inserts import FIGURE_4_42
from tests.kb.limits.asking import ask, required, verdict

PRINTED_4_42 = """
1 0.375 0.563 1.340 0.496
1-1/4 0.375 0.688 1.670 0.619
1-1/2 0.500 0.875 2.005 0.743
1-3/4 0.500 1.000 2.339 0.867
2 0.500 1.125 2.670 0.991
2-1/4 0.500 1.250 3.008 1.115
2-1/2 0.500 1.375 3.342 1.239
"""
"""AC 43.13-1B figure 4-42: size, A slot, B insert, C major axis, D."""

DENT = {"diameter": 1, "depth": 0.09, "length": 0.9, "arc": 0.7, "cracked": "no", "reformed": "yes"}


@pytest.mark.parametrize("row", PRINTED_4_42.split("\n")[1:-1])
def test_figure_4_42_row_by_row(row: str) -> None:
    """All seven sizes, all four columns."""
    size, *values = row.split()
    assert FIGURE_4_42[size] == tuple(float(value) for value in values)
    result = ask("tube-streamline", size=size)
    assert (result.verdict, result.required) == ("required", float(values[1]))
    assert all(value in " ".join(result.notes) for value in values)


def test_the_figure_has_no_row_more() -> None:
    """Seven sizes."""
    assert len(FIGURE_4_42) == 7


def test_the_insert_is_its_size_and_thicker() -> None:
    """Figure 4-42: same material, one gauge thicker; the same wall is not enough."""
    assert verdict("tube-streamline", size="2", insert=1.126) == "within"
    assert verdict("tube-streamline", size="2", insert=1.128) == "beyond"
    assert verdict("tube-streamline", size="2", insert=1.125, wall=0.049, insert_wall=0.049) == "beyond"
    assert verdict("tube-streamline", size="2", insert=1.125, wall=0.049, insert_wall=0.058) == "within"


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        ({}, "within"), ({"depth": 0.1}, "at"), ({"depth": 0.1001}, "beyond"), ({"length": 1}, "at"),
        ({"length": 1.001}, "beyond"), ({"arc": 0.785}, "within"), ({"arc": 0.7855}, "beyond"),
        ({"cracked": "yes"}, "beyond"), ({"reformed": "no"}, "beyond"),
        ({"wall": 0.049, "patch": 0.049}, "beyond"), ({"wall": 0.049, "patch": 0.058}, "within"),
    ],
)  # fmt: skip
def test_a_dent_keeps_every_condition(change: dict[str, object], expected: str) -> None:
    """4-94a: one that fails is enough; a 1 in tube has 0.100, 1.000 and 0.785 in."""
    assert verdict("tube-dent-patch", **(DENT | change)) == expected


def test_the_printed_limit_of_a_one_inch_tube() -> None:
    """4-94a worked by arithmetic: 0.100 deep, 1.000 long, 0.785 round is at the limit."""
    result = ask("tube-dent-patch", **(DENT | {"depth": "0.100", "length": "1.000", "arc": "0.785"}))
    assert result.verdict == "at"
    assert round(math.pi / 4, 3) == 0.785


def test_filling_a_dent_is_named_as_no_repair() -> None:
    """4-92: not with welding rod, whatever the verdict."""
    for change in ({}, {"depth": 0.5}):
        assert any("welding rod" in note for note in ask("tube-dent-patch", **(DENT | change)).notes)


@given(st.floats(0.1, 6), st.floats(0.1, 6), st.floats(0, 0.7))
def test_a_larger_tube_never_allows_less(first: float, second: float, depth: float) -> None:
    """The patch over one and the same dent."""
    small, large = sorted((first, second))
    typed = {"depth": repr(depth), "length": 0.1, "arc": 0.05, "cracked": "no", "reformed": "yes"}
    if verdict("tube-dent-patch", diameter=repr(small), **typed) in ("within", "at"):
        assert verdict("tube-dent-patch", diameter=repr(large), **typed) in ("within", "at")


@pytest.mark.parametrize(
    ("length", "arc", "expected"), [(1, 0.5, "at"), (1.01, 0.5, "beyond"), (0.5, 0.79, "beyond"), (0.5, 0.7, "within")]
)
def test_a_hole_keeps_both(length: float, arc: float, expected: str) -> None:
    """4-94b: one diameter and a quarter of the circumference; depth means nothing."""
    assert verdict("tube-hole-patch", diameter=1, length=length, arc=arc) == expected


@given(st.floats(0.1, 6), st.floats(0, 100))
def test_a_split_sleeve_is_the_damage_and_three_diameters(diameter: float, damage: float) -> None:
    """4-92: 1.5 diameters past it on each side."""
    asked = required("tube-split-sleeve", diameter=repr(diameter), damage=repr(damage))
    assert asked == pytest.approx(damage + 2 * 1.5 * diameter)


def test_a_split_sleeve_off_centre_or_thin_is_beyond() -> None:
    """Long enough is not enough: each side counts, and the wall."""
    good = {"diameter": 1, "damage": 2, "fitted": 6, "reach": 1.6, "wall": 0.049, "sleeve": 0.049}
    assert verdict("tube-split-sleeve", **good) == "at"
    for name, poor in (("fitted", 4.9), ("reach", 1.4), ("sleeve", 0.035)):
        assert verdict("tube-split-sleeve", **(good | {name: poor})) == "beyond"


def test_a_larger_tube_splice_keeps_all_its_figures() -> None:
    """4-97: 2.5 and 4.5 diameters, 1.5 overlap, 1/16 in slack, wall no thinner."""
    good = {
        "diameter": 1, "short_stub": 3, "long_stub": 5, "bore": 1.03, "overlap": 1.6, "wall": 0.049, "new_wall": 0.058,
    }  # fmt: skip
    assert verdict("tube-larger-splice", **good) == "within"
    poor = {"short_stub": 2.4, "long_stub": 4.4, "bore": 1.064, "overlap": 1.4, "new_wall": 0.035}
    for name, value in poor.items():
        assert verdict("tube-larger-splice", **(good | {name: value})) == "beyond"
    assert "does not go over" in ask("tube-larger-splice", **(good | {"bore": 0.99})).sentence
    assert verdict("tube-larger-splice", **(good | {"bore": "1-1/16 in"})) == "at"


def test_an_inner_sleeve_goes_in_with_a_sixteenth_at_most() -> None:
    """4-95, 4-96 (restated, secondary)."""
    for sleeve, expected in ((0.931, "beyond"), (0.93, "within"), (0.8675, "at"), (0.867, "beyond")):
        assert verdict("tube-inner-sleeve", bore=0.93, sleeve=sleeve) == expected


@pytest.mark.parametrize(
    ("limit_id", "typed"),
    [
        ("tube-inner-sleeve", {"bore": 0.93, "sleeve": 0.9}),
        ("tube-split-sleeve", {"diameter": 1, "damage": 2, "fitted": 6, "reach": 2}),
        ("tube-larger-splice", {"diameter": 1, "short_stub": 3, "long_stub": 5, "bore": 1.03, "overlap": 1.6}),
    ],
)
def test_a_wall_that_was_not_measured_is_told(limit_id: str, typed: dict[str, object]) -> None:
    """4-92, 4-96, 4-97: the wall of a sleeve is no thinner than the original; without it the verdict says so."""
    result = ask(limit_id, **typed)
    assert result.verdict == "within"
    assert "not measured: wall no thinner than the original" in result.notes


def test_a_cluster_patch_has_three_borders() -> None:
    """4-91c (restated, secondary): 1.5 diameters, 1/16 in, as thick as the heaviest."""
    good = {"diameter": 1, "reach": 1.6, "gap": 0.05, "heaviest_wall": 0.049, "plate": 0.058}
    assert verdict("tube-cluster-patch", **good) == "within"
    for name, value in (("reach", 1.49), ("gap", 0.063), ("plate", 0.035)):
        assert verdict("tube-cluster-patch", **(good | {name: value})) == "beyond"


@pytest.mark.parametrize(
    ("where", "drill", "expected"),
    [("tube", "0.098", "within"), ("tube", "1/8 in", "beyond"), ("sheet", "3/32 in", "within"),
     ("sheet", "1/8 in", "within"), ("sheet", "0.1285", "within"), ("sheet", "0.110", "not-covered"),
     ("sheet", "0.098", "not-covered"), ("sheet", "0.09", "beyond"), ("sheet", "0.14", "beyond")],
)  # fmt: skip
def test_stop_drilling_by_what_is_cracked(where: str, drill: str, expected: str) -> None:
    """4-91d for tube, 4-59a, b for sheet; No. 30 is printed for 1/8 in (3-40a), between the two stands nothing."""
    assert verdict("stop-drill", where=where, drill=drill) == expected
