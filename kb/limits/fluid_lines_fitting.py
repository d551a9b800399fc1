"""Limits of what ends a tube: the flare, a swaged fitting, and the proof pressure of the new line."""

from __future__ import annotations

from kb.limits.basis import MAKER_FIRST
from kb.limits.model import Example, Input, Limit, Ruling, compare
from kb.limits.ruling import at_least, at_most, between, not_covered, worst
from kb.model import Source

SWAGED: dict[str, tuple[float, float]] = {
    # dash: greatest diameter, least swaged length, in
    "3": (0.2465, 0.340), "4": (0.315, 0.460), "5": (0.3815, 0.500), "6": (0.447, 0.530), "8": (0.606, 1.020),
    "10": (0.735, 1.020), "12": (0.853, 1.020), "16": (1.144, 1.160), "20": (1.30, 1.160), "24": (1.597, 1.160),
}  # fmt: skip
"""TM 1-1500-204-23-2 table 4-39, page 4-98: A and B dimensions after swaging, hydraulic tube repair only [read]."""

_FLARE = Source("FAA-H-8083-30", "p. 7-5", "Aircraft tools flare 35 to 37 degrees; never the automotive 45.", "read")
_PROOF = Source("NAVEDTRA 14018", "p. 6", "Twice operating pressure over 50 psi, else at least 100 psi.", "read")
_SWAGED = Source(
    "TM 1-1500-204-23-2", "table 4-39, page 4-98", "Greatest diameter and least length after swaging.", "read"
)

_OPEN = "Pressure off, fuel drained and caught, battery off, no flame: a line is opened only then. Cap both ends."
_OXYGEN = "No grease or oil near oxygen lines: it can ignite."


def _flare(angle: float) -> Ruling:
    return between("flare, each side from the axis", angle, 35, 37, "deg", source=_FLARE)


def _proof(operating: float, line: str, applied: float | None) -> Ruling:
    if line == "vent-or-drain":
        return not_covered("vents and drains are exempt from the proof test", _PROOF)
    least = 2 * operating if compare(operating, 50) > 0 else 100.0
    return at_least("proof pressure", applied, least, "psi", source=_PROOF)


def _swaged(dash: str, diameter: float, length: float | None, line: str) -> Ruling:
    if line != "hydraulic":
        return not_covered("the table is for the repair of hydraulic tube only", _SWAGED)
    most, least = SWAGED[dash]
    return worst(
        at_most("diameter after swaging", diameter, most, "in", source=_SWAGED),
        at_least("swaged length", length, least, "in", source=_SWAGED),
    )


LIMITS = (
    Limit(
        id="flare-angle",
        title="Angle of a flare",
        system="fluid-lines",
        inputs=(Input("angle", "From the axis, each side", "deg", 0, 90),),
        sources=(_FLARE,),
        basis=MAKER_FIRST,
        assumes=("Half of the angle between the two sides.",),
        does_not_cover=("Automotive and 45 degree fittings: they do not mate.", "Flareless fittings."),
        caution=_OPEN,
        examples=(
            Example({"angle": "37"}, "at", "FAA-H-8083-30 p. 7-5", 37),
            Example({"angle": "45"}, "beyond", "FAA-H-8083-30 p. 7-5", 37),
        ),
        rule=_flare,
    ),
    Limit(
        id="line-proof-pressure",
        title="Proof pressure of a new line",
        system="fluid-lines",
        inputs=(
            Input("operating", "Operating pressure", "psi", 0, 10000),
            Input("line", "Kind of line", choices=("pressure", "vent-or-drain"), default="pressure"),
            Input("applied", "Applied in the test", "psi", 0, 40000, optional=True),
        ),
        sources=(_PROOF,),
        basis=MAKER_FIRST,
        assumes=("A new assembly, off the aircraft, filled with the right fluid.",),
        does_not_cover=("Fuel tanks and systems in the aircraft.", "Hose: its own proof pressure (hose-pressure)."),
        caution=f"Test with liquid behind a shield, never with air: a burst throws parts. {_OXYGEN}",
        examples=(
            Example({"operating": "50", "applied": "100"}, "at", "NAVEDTRA 14018 p. 6", 100),
            Example({"operating": "1500", "applied": "2900"}, "beyond", "NAVEDTRA 14018 p. 6", 3000),
        ),
        rule=_proof,
    ),
    Limit(
        id="swaged-tube-fitting",
        title="Tube fitting after swaging",
        system="fluid-lines",
        inputs=(
            Input("dash", "Tube OD in sixteenths", choices=tuple(SWAGED)),
            Input("diameter", "Greatest diameter after swaging", "in", 0.05, 4),
            Input("length", "Swaged length", "in", 0, 4, optional=True),
            Input("line", "What it carries", choices=("hydraulic", "other")),
        ),
        sources=(_SWAGED,),
        basis=MAKER_FIRST,
        assumes=("The swaging tool and fitting of that manual.",),
        does_not_cover=("Fuel, oil and oxygen lines.",),
        caution=_OPEN,
        examples=(
            Example(
                {"dash": "6", "diameter": "0.447", "length": "0.530", "line": "hydraulic"},
                "at", "TM 1-1500-204-23-2 table 4-39", 0.447,
            ),
            Example({"dash": "6", "diameter": "0.44", "length": "0.6", "line": "other"}, "not-covered", "computed"),
        ),
        rule=_swaged,
    ),
)  # fmt: skip
