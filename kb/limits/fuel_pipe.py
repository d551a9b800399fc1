"""How much fuel runs through a line under a head: friction, fittings, restriction. Pure arithmetic, no limits here.

Head is counted in inches of the fuel itself, so its weight never enters. Darcy-Weisbach: the loss is the velocity head
times (f L / D + the sum of the loss coefficients), with the diameter of the line.
"""

from __future__ import annotations

import math
from typing import NamedTuple

G = 9.80665 / 0.0254
"""Standard gravity, in/s² (exact by definition)."""

GAL_PER_HOUR = 231.0 / 3600.0
"""One US gallon an hour in in³/s (the gallon is 231 in³ by definition)."""

MM2 = 1.0 / 25.4**2
"""One mm²/s in in²/s."""

ROUGHNESS = 0.00152 / 25.4
"""Drawn tubing, in: 0.00152 mm, from the roughness table of the fluids library 1.3.1 (friction module) [secondary]."""

ENTRANCE = 0.5
"""Sharp entrance; four of the six sources listed by the fluids library 1.3.1 give it (fittings module) [secondary]."""

EXIT = 1.0
"""Into the bowl or an open can: all of the velocity head (fluids library 1.3.1, fittings module) [secondary]."""

ELBOW, TEE_RUN = (800.0, 0.4), (200.0, 0.1)
SELECTORS = {
    "none": (0.0, 0.0),
    "full-bore": (300.0, 0.1),
    "reduced-0.9": (500.0, 0.15),
    "reduced-0.8": (1000.0, 0.25),
    "angle": (1000.0, 2.0),
    "globe": (1500.0, 4.0),
}
"""The two constants of each fitting by the two-K method (Chemical Engineering, 24 August 1981, page 97), as printed in
the fluids library 1.3.1 [secondary]: K = first / Re + second (1 + 1 / bore in inches)."""


class Line(NamedTuple):
    """One fuel line: inches, counts, mm²/s. `selector_bore` is its smallest hole, None where it is the line's bore."""

    length: float
    bore: float
    elbows: float
    tees: float
    selector: str
    selector_bore: float | None
    extra: float
    viscosity: float


def friction_factor(reynolds: float, relative_roughness: float) -> float:
    """Return the Darcy friction factor for laminar, transitional and turbulent flow, one explicit formula.

    Source: Friction factor equation spans all fluid flow regimes, Chemical Engineering 91 (1977), pages 91-92, as
    restated in Flow, Turbulence and Combustion 90 (2013), doi 10.1007/s10494-012-9419-7.
    Under about Re 2000 it is 64 / Re.
    """
    if reynolds < 1:
        return 64.0 / reynolds  # the powers below would overflow
    turbulent = (-2.457 * math.log((7.0 / reynolds) ** 0.9 + 0.27 * relative_roughness)) ** 16
    between = (37530.0 / reynolds) ** 16
    laminar = (8.0 / reynolds) ** 12
    return float(8.0 * (laminar + (turbulent + between) ** -1.5) ** (1.0 / 12.0))


def reynolds_number(flow: float, line: Line) -> float:
    """Return the Reynolds number of a flow in gal/h."""
    return 4.0 * flow * GAL_PER_HOUR / (math.pi * line.bore * line.viscosity * MM2)


def loss_coefficient(reynolds: float, line: Line) -> float:
    """Return the sum of all loss coefficients but friction, on the velocity in the line."""
    fittings = ((line.elbows, ELBOW), (line.tees, TEE_RUN), (1.0, SELECTORS[line.selector]))
    total = ENTRANCE + EXIT + line.extra
    total += sum(count * (first / reynolds + second * (1.0 + 1.0 / line.bore)) for count, (first, second) in fittings)
    return total + restriction(line)


def restriction(line: Line) -> float:
    """Return the coefficient of a hole smaller than the line: sharp contraction, then sudden expansion.

    Both stand on the velocity in the hole and are turned onto that in the line. Source: Pipe Flow: A Practical and
    Comprehensive Guide (2012), as printed in the fluids library 1.3.1 [secondary]; the expansion is theory.
    """
    if line.selector_bore is None or line.selector_bore >= line.bore:
        return 0.0
    beta = line.selector_bore / line.bore
    jet = 1.0 + 0.622 * (1.0 - 0.215 * beta**2 - 0.785 * beta**5)
    contraction = 0.0696 * (1.0 - beta**5) * jet**2 + (jet - 1.0) ** 2
    expansion = (1.0 - beta**2) ** 2
    return float((contraction + expansion) / beta**4)


def head_lost(flow: float, line: Line) -> float:
    """Return the head lost at a flow in gal/h, in inches of fuel; grows with the flow."""
    if flow <= 0:
        return 0.0
    reynolds = reynolds_number(flow, line)
    speed = flow * GAL_PER_HOUR / (math.pi * line.bore**2 / 4.0)
    friction = friction_factor(reynolds, ROUGHNESS / line.bore) * line.length / line.bore
    return speed**2 / (2.0 * G) * (friction + loss_coefficient(reynolds, line))


def flow_under(head: float, line: Line) -> float:
    """Return the flow in gal/h that uses up a head in inches of fuel; 0 for no head."""
    if head <= 0:
        return 0.0
    low, high = 0.0, math.sqrt(2.0 * G * head / (ENTRANCE + EXIT)) * math.pi * line.bore**2 / 4.0 / GAL_PER_HOUR
    for _ in range(200):
        middle = (low + high) / 2.0
        if middle in (low, high):
            break
        if head_lost(middle, line) < head:
            low = middle
        else:
            high = middle
    return (low + high) / 2.0
