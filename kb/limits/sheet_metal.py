"""Limits of bent sheet: inside bend radius and setback. AC 43.13-1B chapter 4 section 4."""

from __future__ import annotations

import math

from kb.limits.basis import MAKER_FIRST
from kb.limits.model import Example, Input, Limit, Ruling
from kb.limits.ruling import at_least, needed, not_covered
from kb.limits.sheet_metal_tables import BEND_SHEETS, TABLE_4_6, UNSURE_ROW
from kb.limits.tables import row_of
from kb.limits.units import say
from kb.model import Source

_AC = "AC 43.13-1B"
_BEND = Source(_AC, "table 4-6", "Recommended inside radii for 90 degree bends by alloy and thickness.", "read")
_SETBACK = Source(
    _AC, "4-56b, table 4-7", "Setback is K times radius and thickness; K is tan of half the bend.", "read"
)

_ALCLAD = "alclad may be bent over slightly smaller radii (note 1); how much is not printed"
_QUENCHED = "just after quenching it may be formed over appreciably smaller radii (note 2)"
_NOTED = {"2024-0": (_ALCLAD,), "2024-T3": (_ALCLAD, _QUENCHED), "2024-T6": (_ALCLAD,), "7075-T6": (_ALCLAD,)}

_CAUTION = "Bend across the grain, edges deburred; look for strain cracks with a glass; never heat to bend (4-58i)."
_THICKNESS = Input("thickness", "Thickness of the sheet", "in", 0.005, 0.5)


def _bend_radius(alloy: str, thickness: float, radius: float | None) -> Ruling:
    times = row_of(dict(zip(BEND_SHEETS, TABLE_4_6[alloy], strict=True)), thickness)
    if times is None:
        sheets = ", ".join(f"{sheet:.3f}" for sheet in BEND_SHEETS)
        return not_covered(f"{say(thickness, 'in')} is no column of the table ({sheets} in)", _BEND)
    low, high = times
    span = f"{low:g} to {high:g} times the thickness: {say(low * thickness, 'in')} to {say(high * thickness, 'in')}"
    if alloy == UNSURE_ROW:
        return not_covered("the columns of the 7075-0 row could not be aligned with certainty", _BEND, remembered=span)
    notes = (f"the table recommends {span}", *_NOTED.get(alloy, ()))
    return at_least("inside bend radius", radius, low * thickness, "in", source=_BEND, notes=notes)


def setback_factor(angle: float) -> float:
    """Return K for a bend of `angle` degrees, 0 to under 180; table 4-7 is this, but for misprints near 176."""
    return math.tan(math.radians(angle) / 2)


def _setback(thickness: float, radius: float, angle: float) -> Ruling:
    factor = setback_factor(angle)
    setback = factor * (radius + thickness)
    notes = [f"K is {factor:.5g}"]
    if 174 <= angle <= 178:
        notes.append("table 4-7 is misprinted near 176°: it has 26.63 where tan 88° is 28.64; computed here")
    text = f"setback {say(float(f'{setback:.4g}'), 'in')}"
    return needed(text, setback, "in", source=_SETBACK, notes=tuple(notes))


LIMITS = (
    Limit(
        id="bend-radius",
        title="Inside bend radius of aluminium sheet",
        system="sheet-metal",
        inputs=(
            Input("alloy", "Alloy and temper", choices=tuple(TABLE_4_6)),
            _THICKNESS,
            Input("radius", "Inside radius wanted or found", "in", 0, 6, optional=True),
        ),
        sources=(_BEND,),
        basis=MAKER_FIRST,
        assumes=("A 90 degree bend, cold, in bare sheet of the temper named.",),
        does_not_cover=("Thicknesses between the columns.", "7075-0, whose row could not be read with certainty."),
        caution=_CAUTION,
        examples=(
            Example({"alloy": "2024-T3", "thickness": "0.064"}, "required", "AC 43.13-1B table 4-6", 0.192),
            Example({"alloy": "2024-T3", "thickness": "0.032", "radius": "0.064"}, "at", "computed", 0.064),
            Example({"alloy": "2024-T3", "thickness": "0.032", "radius": "1/32 in"}, "beyond", "computed", 0.064),
            Example({"alloy": "2024-T3", "thickness": "0.040"}, "not-covered", "computed"),
        ),
        rule=_bend_radius,
    ),
    Limit(
        id="bend-setback",
        title="Setback of a bend",
        system="sheet-metal",
        inputs=(
            _THICKNESS,
            Input("radius", "Inside bend radius", "in", 0, 6),
            Input("angle", "Angle the sheet is bent through", "deg", 1, 179),
        ),
        sources=(_SETBACK,),
        basis=MAKER_FIRST,
        assumes=("The angle is that bent through, not the one left between the legs.",),
        does_not_cover=("The bend allowance: the metal in the bend itself.", "180 degrees, where K has no end."),
        caution=_CAUTION,
        examples=(
            Example(
                {"thickness": "0.064", "radius": "0.25", "angle": "45"},
                "required", "AC 43.13-1B 4-56b: 0.41421 times 0.314 is 0.130", 0.130062,
            ),
            Example(
                {"thickness": "0.064", "radius": "0.25", "angle": "135"},
                "required", "AC 43.13-1B 4-56b: 2.4142 times 0.314 is 0.758", 0.758063,
            ),
        ),
        rule=_setback,
    ),
)  # fmt: skip
