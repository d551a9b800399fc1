"""Flow in a fuel line against the fluids library, and against what physics says of head, length and bore."""

from __future__ import annotations

import math

import fluids
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.limits.fuel_expect import VISCOSITY
from kb.limits.fuel_pipe import (
    ELBOW,
    ENTRANCE,
    EXIT,
    ROUGHNESS,
    SELECTORS,
    TEE_RUN,
    Line,
    flow_under,
    friction_factor,
    head_lost,
    restriction,
    reynolds_number,
)
from tests.kb.limits.asking import ask, verdict

INCH, GALLON = 0.0254, 231 * 0.0254**3
PLAIN = Line(96.0, 0.305, 3.0, 1.0, "angle", None, 0.0, VISCOSITY)
HOOPER = {
    "full-bore": "Valve, Gate, Full line size, Beta = 1",
    "reduced-0.9": "Valve, Ball, Reduced trim, Beta = 0.9",
    "reduced-0.8": "Valve, Plug, Reduced trim, Beta = 0.8",
    "angle": "Valve, Globe, Angle or Y-type",
    "globe": "Valve, Globe, Standard",
}

lines = st.builds(
    Line,
    length=st.floats(2, 1200),
    bore=st.floats(0.05, 2),
    elbows=st.integers(0, 20).map(float),
    tees=st.integers(0, 20).map(float),
    selector=st.sampled_from(list(SELECTORS)),
    selector_bore=st.none() | st.floats(0.02, 2),
    extra=st.floats(0, 100),
    viscosity=st.floats(0.2, 20),
)


@given(st.floats(1, 1e8), st.floats(0, 0.05))
def test_friction_is_the_formula_as_the_library_has_it(reynolds: float, roughness: float) -> None:
    """The one explicit formula of 1977, laminar to turbulent."""
    assert friction_factor(reynolds, roughness) == pytest.approx(fluids.friction.Churchill_1977(reynolds, roughness))


@pytest.mark.parametrize("reynolds", [0.01, 1, 10, 100, 1000, 1800])
def test_laminar_friction_is_64_over_reynolds(reynolds: float) -> None:
    """And the library's laminar factor."""
    assert friction_factor(reynolds, 1e-4) == pytest.approx(64 / reynolds, rel=2e-3)
    assert fluids.friction.friction_laminar(reynolds) == pytest.approx(64 / reynolds)


@pytest.mark.parametrize("roughness", [0, 1e-5, 2e-4, 1e-3, 0.01])
@pytest.mark.parametrize("reynolds", [5e3, 1e4, 3e4, 1e5, 1e6])
def test_turbulent_friction_lies_near_the_implicit_formula(reynolds: float, roughness: float) -> None:
    """Within 4 % of the general solution the library takes for exact."""
    assert friction_factor(reynolds, roughness) == pytest.approx(fluids.friction.Clamond(reynolds, roughness), rel=0.04)


def test_roughness_entrance_and_exit_are_those_of_the_library() -> None:
    """Drawn tube 0.00152 mm; entrance 0.5; exit 1."""
    assert pytest.approx(fluids.friction._roughness["Brass"]) == ROUGHNESS * INCH
    assert fluids.fittings.entrance_sharp(method="Crane") == ENTRANCE
    assert fluids.fittings.exit_normal() == EXIT


def test_the_constants_of_the_fittings_are_as_printed() -> None:
    """The two constants of the 1981 article, row by row as the library prints them."""
    for name, printed in HOOPER.items():
        assert fluids.fittings.Hooper[printed] == SELECTORS[name]
    assert fluids.fittings.Hooper["Elbow, 90°, Standard (R/D = 1), Screwed"] == ELBOW
    assert fluids.fittings.Hooper["Tee, Run, Screwed"] == TEE_RUN
    assert set(SELECTORS) == {"none", *HOOPER}


def _head_by_the_library(flow: float, line: Line) -> float:
    """Inches of fuel lost at gal/h, built from the library's own pieces."""
    bore, area = line.bore * INCH, math.pi * (line.bore * INCH) ** 2 / 4
    speed = flow * GALLON / 3600 / area
    reynolds = fluids.Reynolds(V=speed, D=bore, nu=line.viscosity * 1e-6)
    friction = fluids.friction_factor(Re=reynolds, eD=ROUGHNESS / line.bore, Method="Churchill_1977")
    total = fluids.K_from_f(fd=friction, L=line.length * INCH, D=bore) + 1.5 + line.extra
    for count, name in (
        (line.elbows, "Elbow, 90°, Standard (R/D = 1), Screwed"),
        (line.tees, "Tee, Run, Screwed"),
        (1 if line.selector != "none" else 0, HOOPER.get(line.selector, HOOPER["angle"])),
    ):
        total += count * fluids.fittings.Hooper2K(Di=line.bore, Re=reynolds, name=name)
    return float(fluids.head_from_K(K=total, V=speed) / INCH)


@given(st.floats(0.5, 200), lines)
def test_the_head_lost_is_the_librarys(flow: float, line: Line) -> None:
    """Every flow and line (without a restriction), within a millionth; the library's gravity is the same 9.80665."""
    line = line._replace(selector_bore=None)
    if reynolds_number(flow, line) >= 2040:  # under that the library switches to 64 / Re
        assert head_lost(flow, line) == pytest.approx(_head_by_the_library(flow, line), rel=1e-6)
    else:
        assert head_lost(flow, line) == pytest.approx(_head_by_the_library(flow, line), rel=0.01)


@pytest.mark.parametrize("share", [0.3, 0.5, 0.7, 0.9])
def test_a_restriction_is_contraction_and_expansion(share: float) -> None:
    """Both are the library's, turned from the velocity in the hole onto that in the line."""
    line = PLAIN._replace(selector_bore=share * PLAIN.bore)
    in_the_hole = fluids.fittings.contraction_sharp(Di1=1, Di2=share) + fluids.fittings.diffuser_sharp(Di1=share, Di2=1)
    assert restriction(line) == pytest.approx(in_the_hole / share**4)


def test_a_hole_as_wide_as_the_line_restricts_nothing() -> None:
    """Nor a wider one."""
    assert restriction(PLAIN._replace(selector_bore=PLAIN.bore)) == 0
    assert restriction(PLAIN._replace(selector_bore=1.0)) == 0


@given(lines, st.floats(0.01, 240), st.floats(1.0001, 5))
def test_more_head_never_gives_less_flow(line: Line, head: float, times: float) -> None:
    """Monotone in head, and the flow found uses the head up."""
    low, high = flow_under(head, line), flow_under(head * times, line)
    assert 0 < low < high
    assert head_lost(low, line) == pytest.approx(head, rel=1e-6)


@given(lines, st.floats(0.01, 240), st.floats(1.001, 5))
def test_a_longer_line_never_passes_more(line: Line, head: float, times: float) -> None:
    """Monotone in length."""
    assert flow_under(head, line._replace(length=line.length * times)) < flow_under(head, line)


@given(lines, st.floats(0.01, 240), st.floats(1.01, 3))
def test_a_wider_line_never_passes_less(line: Line, head: float, times: float) -> None:
    """Monotone in bore, the rest unchanged and no restriction."""
    line = line._replace(selector_bore=None)
    assert flow_under(head, line._replace(bore=line.bore * times)) > flow_under(head, line)


@given(lines, st.floats(0.01, 240), st.floats(0.1, 0.99))
def test_a_smaller_hole_never_passes_more(line: Line, head: float, share: float) -> None:
    """Nor another elbow."""
    free = line._replace(selector_bore=None)
    assert flow_under(head, free._replace(selector_bore=share * line.bore)) < flow_under(head, free)
    assert flow_under(head, free._replace(elbows=free.elbows + 1)) < flow_under(head, free)


def test_no_head_no_flow() -> None:
    """Nor under a negative one, and no flow loses no head."""
    assert flow_under(0, PLAIN) == flow_under(-1, PLAIN) == head_lost(0, PLAIN) == 0


def test_the_viscosity_is_that_of_the_article() -> None:
    """0.501 mPa s over 687.70 kg/m³ at 298.15 K, iso-octane."""
    assert pytest.approx(0.501e-3 / 687.70 * 1e6, abs=0.005) == VISCOSITY


def test_verdict_and_head_at_the_carburettor_agree() -> None:
    """The flow falls short where the head left is less than the carburettor asks for, and only there."""
    for head in (2, 5, 8, 12, 20, 30):
        line = {"head": head, "length": 8, "bore": 0.25, "elbows": 4, "inlet_head": 2, "wanted": 9}
        left = head - head_lost(9, Line(96.0, 0.25, 4.0, 0.0, "angle", None, 0.0, VISCOSITY))
        assert (verdict("fuel-flow-to-expect", **line) == "within") == (left > 2)
        assert any("leaves" in note and "margin" in note for note in ask("fuel-flow-to-expect", **line).notes)


def test_a_carburettor_that_asks_for_all_the_head_gets_nothing() -> None:
    """Beyond with a flow wanted, and said without one."""
    line = {"head": 10, "length": 8, "bore": 0.305, "inlet_head": 10}
    assert verdict("fuel-flow-to-expect", **line, wanted=5) == "beyond"
    assert any("nothing flows" in note for note in ask("fuel-flow-to-expect", **line).notes)


def test_a_measured_flow_is_compared_and_never_judged() -> None:
    """The share is told; a shortfall names where to look."""
    result = ask("fuel-flow-to-expect", head=30, length=8, bore=0.305, measured=7)
    assert result.verdict == "required"
    assert any("restriction" in note for note in result.notes)


def test_the_unit_of_viscosity_and_flow_change_nothing() -> None:
    """Centistokes are mm²/s; litres an hour are gallons."""
    plain = ask("fuel-flow-to-expect", head=30, length=8, bore=0.305, viscosity=1, wanted=9)
    other = ask(
        "fuel-flow-to-expect", head="762 mm", length="96 in", bore="7.747 mm", viscosity="1 cSt",
        wanted="34.068706056 l/h",
    )  # fmt: skip
    assert (plain.verdict, plain.measured) == (other.verdict, other.measured)
