"""Limits of flexible hose: bend radius, slack, supports, pressure and heat of one printed kind."""

from __future__ import annotations

from typing import NamedTuple

from kb.limits.basis import MAKER_FIRST
from kb.limits.model import Example, Input, Limit, Ruling, compare
from kb.limits.ruling import at_least, at_most, between, not_covered, passes, unmeasured, worst
from kb.limits.units import say
from kb.model import Source

_AC = "AC 43.13-1B"


class Hose(NamedTuple):
    """One row of table 9-3: inches and psi."""

    inside: str
    outside: float
    operating: float
    burst: float
    proof: float
    bend_radius: float


TABLE_9_3: dict[str, Hose] = {
    "3": Hose("1/8", 0.45, 3000, 12000, 6000, 3.00),
    "4": Hose("3/16", 0.52, 3000, 12000, 6000, 3.00),
    "5": Hose("1/4", 0.58, 3000, 10000, 5000, 3.38),
    "6": Hose("5/16", 0.67, 2000, 9000, 4500, 4.00),
    "8": Hose("13/32", 0.77, 2000, 8000, 4000, 4.63),
    "10": Hose("1/2", 0.92, 1750, 7000, 3500, 5.50),
    "12": Hose("5/8", 1.08, 1750, 6000, 3000, 6.50),
    "16": Hose("7/8", 1.23, 800, 3200, 1600, 7.38),
    "20": Hose("1-1/8", 1.50, 600, 2500, 1250, 9.00),
    "24": Hose("1-3/8", 1.75, 500, 2000, 1000, 11.00),
    "32": Hose("1-13/16", 2.22, 350, 1400, 700, 13.25),
    "40": Hose("2-3/8", 2.88, 200, 1000, 300, 24.00),
    "48": Hose("3", 3.56, 200, 800, 300, 33.00),
}
"""AC 43.13-1B table 9-3, page 9-22, MIL-H-8794 single wire braid, all 13 sizes [read].

Proof is half of burst in every row to -32; -40 and -48 are printed 300 psi.
"""

HEAT: dict[bool, tuple[float, float]] = {True: (-65, 250), False: (-40, 275)}
"""degF for sizes -3 to -12 (True) and -16 to -48, same page [read]; greatest heat and pressure never together."""

_TABLE = Source(_AC, "9-30, table 9-3, page 9-22", "Least bend radius of MIL-H-8794 hose by size.", "read")
_PRESSURE = Source(_AC, "table 9-3, page 9-22", "Pressures and temperatures of MIL-H-8794 hose.", "read")
_SLACK = Source("NAVEDTRA 14105", "p. 5-11", "Slack of 5 to 8 % of the total length.", "read")
_SUPPORT = Source(_AC, "9-30d(3), page 9-20", "Support at least every 24 inches, closer preferred.", "read")

_CAUTION = (
    "Pressure off and fluid caught before a hose is moved; a stiff old hose cracks when it is bent for measuring. No"
    " oil or grease near oxygen."
)
_DASH = Input("dash", "Size: tube OD in sixteenths", choices=tuple(TABLE_9_3))
_KIND = Input("kind", "Marking on the hose", choices=("mil-h-8794", "other"))


def _bend_radius(dash: str, kind: str, radius: float | None) -> Ruling:
    if kind == "other":
        return not_covered("the table is for MIL-H-8794 hose; another has its maker's radius", _TABLE)
    return at_least("bend radius", radius, TABLE_9_3[dash].bend_radius, "in", source=_TABLE)


def _slack(distance: float, hose: float | None) -> Ruling:
    notes = (
        "5 to 8 % is taken of the total length, as printed, not of the distance",
        "under pressure hose changes by +2 % to -4 % in length (AC 43.13-1B fig. 9-9)",
    )
    return between("length of hose", hose, distance / 0.95, distance / 0.92, "in", source=_SLACK, notes=notes)


def _supports(distance: float) -> Ruling:
    return at_most("distance between supports", distance, 24, "in", source=_SUPPORT)


def _pressure(dash: str, kind: str, operating: float, temperature: float | None) -> Ruling:
    if kind == "other":
        return not_covered("the table is for MIL-H-8794 hose; another has its maker's pressure", _PRESSURE)
    row = TABLE_9_3[dash]
    low, high = HEAT[int(dash) <= 12]
    notes = (
        f"proof {row.proof:,.0f} psi, burst {row.burst:,.0f} psi",
        *unmeasured((temperature, f"{say(low, 'degF')} to {say(high, 'degF')}, never both greatest at once")),
    )
    pressed = at_most("operating pressure", operating, row.operating, "psi", source=_PRESSURE, notes=notes)
    if temperature is None:
        return pressed
    if compare(operating, row.operating) == 0 and compare(temperature, high) == 0:
        return passes("beyond: greatest heat and greatest pressure not together", is_fit=False, source=_PRESSURE)
    return worst(pressed, between("temperature", temperature, low, high, "degF", source=_PRESSURE))


LIMITS = (
    Limit(
        id="hose-bend-radius",
        title="Bend radius of a hose",
        system="fluid-lines",
        inputs=(_DASH, _KIND, Input("radius", "Smallest radius of the bend", "in", 0.1, 200, optional=True)),
        sources=(_TABLE,),
        basis=MAKER_FIRST,
        assumes=("The flexible part alone bends, with the controls or engine at the worst end of their travel.",),
        does_not_cover=("Hose of another marking, PTFE hose.", "Preformed hose, which keeps its own shape."),
        caution=_CAUTION,
        examples=(
            Example({"dash": "6", "kind": "mil-h-8794", "radius": "4"}, "at", "AC 43.13-1B table 9-3", 4),
            Example({"dash": "8", "kind": "mil-h-8794", "radius": "4.5"}, "beyond", "AC 43.13-1B table 9-3", 4.63),
            Example({"dash": "8", "kind": "other", "radius": "4.5"}, "not-covered", "computed"),
        ),
        rule=_bend_radius,
    ),
    Limit(
        id="hose-slack",
        title="Slack of a hose",
        system="fluid-lines",
        inputs=(
            Input("distance", "Between the fittings, straight", "in", 1, 600),
            Input("hose", "Flexible length between the fittings", "in", 0.5, 1000, optional=True),
        ),
        sources=(_SLACK,),
        basis=MAKER_FIRST,
        assumes=("A straight run; end fittings do not count as flexible length; the lay line does not spiral.",),
        does_not_cover=("A run with bends, where the radius decides.", "Twist."),
        caution=_CAUTION,
        examples=(
            Example({"distance": "20"}, "required", "computed from NAVEDTRA 14105 p. 5-11: 21.05 to 21.74", 20 / 0.92),
            Example(
                {"distance": "20", "hose": "20"}, "beyond", "NAVEDTRA 14105 p. 5-11: never stretched tight", 20 / 0.95
            ),
        ),
        rule=_slack,
    ),
    Limit(
        id="hose-supports",
        title="Distance between supports of a hose",
        system="fluid-lines",
        inputs=(Input("distance", "Between supports", "in", 0, 400),),
        sources=(_SUPPORT,),
        basis=MAKER_FIRST,
        assumes=("Clamps that hold without squeezing.",),
        does_not_cover=("Rigid tube (tube-supports).",),
        caution=_CAUTION,
        examples=(
            Example({"distance": "24"}, "at", "AC 43.13-1B 9-30d(3)", 24),
            Example({"distance": "2.5 ft"}, "beyond", "AC 43.13-1B 9-30d(3)", 24),
        ),
        rule=_supports,
    ),
    Limit(
        id="hose-pressure",
        title="Pressure and heat of a hose",
        system="fluid-lines",
        inputs=(
            _DASH, _KIND,
            Input("operating", "Operating pressure", "psi", 0, 20000),
            Input("temperature", "Of the fluid or the place", "degF", -120, 1000, optional=True),
        ),
        sources=(_PRESSURE,),
        basis=MAKER_FIRST,
        assumes=("Sound hose within its life; hydraulic, pneumatic, coolant, fuel or oil.",),
        does_not_cover=("Hose of another marking.", "Age: the maker's life governs.", "Fire sleeves and fire zones."),
        caution=_CAUTION,
        examples=(
            Example({"dash": "6", "kind": "mil-h-8794", "operating": "2000"}, "at", "AC 43.13-1B table 9-3", 2000),
            Example(
                {"dash": "6", "kind": "mil-h-8794", "operating": "2000", "temperature": "250"},
                "beyond", "AC 43.13-1B page 9-22: not together",
            ),
        ),
        rule=_pressure,
    ),
)  # fmt: skip
