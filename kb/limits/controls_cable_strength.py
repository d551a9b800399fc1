"""Limits of new control cable: breaking strength, proof load, diameter, lay. From AC 43.13-1B chapter 7."""

from __future__ import annotations

from typing import NamedTuple

from kb.limits.basis import MAKER_FIRST
from kb.limits.model import Example, Input, Limit, Ruling, compare
from kb.limits.ruling import at_least, between, not_covered, passes, worst
from kb.limits.units import say
from kb.model import Source

_AC = "AC 43.13-1B"


class Cable(NamedTuple):
    """One row of table 7-3: inches, inches over nominal, growth at a cut end in inches, pounds."""

    diameter: float
    tolerance: float
    growth: float
    carbon: float
    cres: float | None


TABLE_7_3: dict[str, Cable] = {
    "1/32-3x7": Cable(1 / 32, 0.006, 0.006, 110, 110),
    "3/64-7x7": Cable(3 / 64, 0.008, 0.008, 270, 270),
    "1/16-7x7": Cable(1 / 16, 0.010, 0.009, 480, 480),
    "1/16-7x19": Cable(1 / 16, 0.010, 0.009, 480, 480),
    "3/32-7x7": Cable(3 / 32, 0.012, 0.010, 920, 920),
    "3/32-7x19": Cable(3 / 32, 0.012, 0.010, 1000, 920),
    "1/8-7x19": Cable(1 / 8, 0.014, 0.011, 2000, 1760),
    "5/32-7x19": Cable(5 / 32, 0.016, 0.017, 2800, 2400),
    "3/16-7x19": Cable(3 / 16, 0.018, 0.019, 4200, 3700),
    "7/32-7x19": Cable(7 / 32, 0.018, 0.020, 5600, 5000),
    "1/4-7x19": Cable(1 / 4, 0.018, 0.021, 7000, 6400),
    "9/32-7x19": Cable(9 / 32, 0.020, 0.023, 8000, 7800),
    "5/16-7x19": Cable(5 / 16, 0.022, 0.024, 9800, 9000),
    "11/32-7x19": Cable(11 / 32, 0.024, 0.025, 12500, None),
    "3/8-7x19": Cable(3 / 8, 0.026, 0.027, 14400, 12000),
    "7/16-6x19-iwrc": Cable(7 / 16, 0.030, 0.030, 17600, 16300),
    "1/2-6x19-iwrc": Cable(1 / 2, 0.033, 0.033, 22800, 22800),
}
"""AC 43.13-1B table 7-3, page 7-28, rows 1/32 to 1/2 [read]: MIL-W-83420 composition A (carbon) and B (CRES).

Column B has one entry fewer than A; that its gap is at 11/32 is an inference.
"""

LAY: dict[str, tuple[float, float]] = {"3x7": (5, 8), "7x7": (6, 8)}
"""Length of lay in cable diameters, AC 43.13-1B 7-142 [read]."""

PROOF_SHARE = 0.60

_STRENGTH = Source(_AC, "table 7-3", "Least breaking strength, and tolerance on diameter, plus only.", "read")
_PROOF = Source(
    _AC, "7-146, 7-148, restated by an exam-preparation page", "60 % of the breaking strength.", "secondary"
)
_HOLD = Source(_AC, "7-146, page 7-30", "The proof load is held for 3 minutes, with a guard in place.", "read")
_LAY = Source(_AC, "7-142", "Lay of 3x7 is 5 to 8, of 7x7 is 6 to 8 cable diameters.", "read")

_SNAG = "Run a cloth, never a bare hand, along the cable: a broken wire goes deep. Cut ends spring: eye protection."
_PULL = "A cable that parts whips: guard in place, nobody in line, proof bench only, never in the aircraft."
_CABLE = Input("cable", "Diameter and construction", choices=tuple(TABLE_7_3))
_MATERIAL = Input("material", "MIL-W-83420 composition A carbon, B CRES", choices=("carbon", "cres"))


def _breaking(cable: str, material: str) -> float | None:
    row = TABLE_7_3[cable]
    return row.carbon if material == "carbon" else row.cres


def _gap_note(material: str) -> tuple[str, ...]:
    told = "the CRES column has one entry fewer than the carbon column; that the gap is at 11/32 is an inference"
    return (told,) if material == "cres" else ()


def _strength(cable: str, material: str, rated: float | None) -> Ruling:
    least = _breaking(cable, material)
    if least is None:
        return not_covered("the CRES column has no value for this row", _STRENGTH)
    return at_least("breaking strength", rated, least, "lb", source=_STRENGTH, notes=_gap_note(material))


def _proof(cable: str, material: str, applied: float | None, held: float | None) -> Ruling:
    least = _breaking(cable, material)
    if least is None:
        return not_covered("the CRES column has no value for this row", _STRENGTH)
    load = at_least("proof load", applied, PROOF_SHARE * least, "lb", source=_PROOF, notes=_gap_note(material))
    if applied is not None and compare(applied, least) >= 0:
        told = f"beyond: {say(applied, 'lb')} is the breaking strength or more, no longer a proof load"
        return passes(told, is_fit=False, source=_STRENGTH)
    time = at_least("time held", held, 3, "min", source=_HOLD)
    return worst(load, time)


def _diameter(cable: str, measured: float) -> Ruling:
    row = TABLE_7_3[cable]
    return between(
        "diameter of the cable", measured, row.diameter, row.diameter + row.tolerance, "in", source=_STRENGTH
    )


def _lay(construction: str, diameter: float, lay: float) -> Ruling:
    low, high = LAY[construction]
    return between("length of lay", lay, low * diameter, high * diameter, "in", source=_LAY)


LIMITS = (
    Limit(
        id="cable-strength",
        title="Breaking strength of flexible cable",
        system="controls",
        inputs=(_CABLE, _MATERIAL, Input("rated", "On its certificate", "lb", 1, 100000, optional=True)),
        sources=(_STRENGTH,),
        basis=MAKER_FIRST,
        assumes=("New cable to MIL-W-83420, replaced by the same size and quality.",),
        does_not_cover=("Non-flexible 1x7 and 1x19 (table 7-4 was not readable).", "MIL-C-18375.", "Worn cable."),
        caution=_PULL,
        examples=(
            Example(
                {"cable": "1/8-7x19", "material": "carbon", "rated": "2000"}, "at", "AC 43.13-1B table 7-3", 2000
            ),
            Example({"cable": "1/8-7x19", "material": "cres"}, "required", "AC 43.13-1B table 7-3", 1760),
            Example({"cable": "11/32-7x19", "material": "cres"}, "not-covered", "AC 43.13-1B table 7-3: no value"),
        ),
        rule=_strength,
    ),
    Limit(
        id="cable-proof-load",
        title="Proof load of a cable assembly",
        system="controls",
        inputs=(
            _CABLE, _MATERIAL,
            Input("applied", "Load applied", "lb", 0, 100000, optional=True),
            Input("held", "For how long", "min", 0, 600, optional=True),
        ),
        sources=(_PROOF, _HOLD, _STRENGTH),
        basis=MAKER_FIRST,
        assumes=("Swaged terminals that develop the full strength of the cable.",),
        does_not_cover=("Woven or wrap-soldered splices, which are weaker.", "Slip of the terminal: check the mark."),
        caution=_PULL,
        examples=(
            Example(
                {"cable": "1/8-7x19", "material": "carbon", "applied": "1200", "held": "3"},
                "at", "computed: 0.60 of AC 43.13-1B table 7-3", 1200,
            ),
            Example({"cable": "1/8-7x19", "material": "cres"}, "required", "computed", 1056),
        ),
        rule=_proof,
    ),
    Limit(
        id="cable-diameter",
        title="Diameter of new cable",
        system="controls",
        inputs=(_CABLE, Input("measured", "Across the strands", "in", 0.01, 2)),
        sources=(_STRENGTH,),
        basis=MAKER_FIRST,
        assumes=("Away from a cut end; across the crowns of the strands.",),
        does_not_cover=("A cut end, which may be thicker by the growth of table 7-3.", "Wear (cable-wear)."),
        caution=_SNAG,
        examples=(
            Example({"cable": "1/8-7x19", "measured": "0.139"}, "at", "AC 43.13-1B table 7-3: plus 0.014", 0.139),
            Example({"cable": "1/8-7x19", "measured": "0.124"}, "beyond", "AC 43.13-1B table 7-3: plus only", 0.125),
        ),
        rule=_diameter,
    ),
    Limit(
        id="cable-lay",
        title="Lay of flexible cable",
        system="controls",
        inputs=(
            Input("construction", "Strands by wires", choices=tuple(LAY)),
            Input("diameter", "Nominal diameter", "in", 0.01, 1),
            Input("lay", "One full turn of a strand", "in", 0.01, 20),
        ),
        sources=(_LAY,),
        basis=MAKER_FIRST,
        assumes=("Cable slack, not opened.",),
        does_not_cover=("7x19 and non-flexible cable.",),
        caution=_SNAG,
        examples=(
            Example({"construction": "7x7", "diameter": "3/32", "lay": "0.75"}, "at", "AC 43.13-1B 7-142", 0.75),
        ),
        rule=_lay,
    ),
)  # fmt: skip
