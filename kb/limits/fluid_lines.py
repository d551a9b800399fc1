"""Limits of rigid tube: nick, dent, flattened bend, inside diameter, distance between supports."""

from __future__ import annotations

from kb.limits.basis import MAKER_FIRST
from kb.limits.model import Example, Input, Limit, Ruling, compare
from kb.limits.ruling import at_least, at_most, needed, not_covered, passes, with_notes
from kb.limits.units import say
from kb.model import Source

STEEL_SUPPORTS: dict[str, float] = {
    "1/4": 16, "5/16": 18, "3/8": 20, "1/2": 23, "5/8": 25.5, "3/4": 27.5, "1": 30, "1-1/4": 31.5, "1-1/2": 32.5,
}  # fmt: skip
"""MIL-H-8891A table II, inches between supports of steel lines [read; the stored page shows its values a line low]."""

_REMEMBERED_SUPPORTS: dict[tuple[str, str], float] = {
    ("steel", "1/8"): 11.5, ("steel", "3/16"): 14,
    ("aluminium", "1/8"): 9.5, ("aluminium", "3/16"): 12, ("aluminium", "1/4"): 13.5, ("aluminium", "5/16"): 15,
    ("aluminium", "3/8"): 16.5, ("aluminium", "1/2"): 19, ("aluminium", "5/8"): 22, ("aluminium", "3/4"): 24,
    ("aluminium", "1"): 26.5,
}  # fmt: skip
"""FAA figure "maximum distance between supports", remembered only."""

_HANDBOOK = "AC 65-9A"
_NICK = Source(
    _HANDBOOK,
    "repair of metal tube lines",
    "Up to 10 % of the wall may be burnished, not in the heel of a bend.",
    "read",
)
_DENT = Source(
    _HANDBOOK, "repair of metal tube lines", "Under 20 % of the diameter, unless in the heel of a bend.", "read"
)
_BEND = Source(
    "FAA-H-8083-30", "ch. 7, restated in a training text", "Flattened bend at least 75 % of OD.", "secondary"
)
_INSIDE = Source("Training slides, fluid lines", "tube size", "Inside is outside less twice the wall.", "secondary")
_SUPPORT = Source(
    "MIL-H-8891A", "table II", "Distance between supports of steel lines; about 20 % less at fittings.", "read"
)
_FIGURE = Source("FAA handbook", "figure, maximum distance between supports", "Remembered, not read.", "memory")
_OPEN = "Pressure off, fuel drained and caught, battery off, no flame: a line is opened only then. Cap both ends."
_PLACE = Input("place", "In the heel of a bend, or elsewhere", choices=("heel-of-bend", "elsewhere"))
_OUTSIDE = Input("outside-diameter", "Outside diameter of the tube", "in", 0.05, 4)
_WALL = Input("wall", "Wall thickness", "in", 0.005, 0.5)


def _nick(wall: float, depth: float, place: str, material: str) -> Ruling:
    if material != "aluminium":
        return not_covered("the sentence speaks of aluminium tube", _NICK)
    if place == "heel-of-bend":
        if depth == 0:
            return passes("within: no nick", is_fit=True, source=_NICK)
        return passes("beyond: no nick in the heel of a bend is burnished out", is_fit=False, source=_NICK)
    ruling = at_most("depth of the nick", depth, 0.10 * wall, "in", source=_NICK)
    return with_notes(
        ruling,
        "within means it may be burnished out, not left",
        "other documents allow 15 % (Army AL0907) or 20 % (battle damage): not mixed in",
    )


def _dent(outside_diameter: float, depth: float, place: str) -> Ruling:
    if place == "heel-of-bend":
        if depth == 0:
            return passes("within: no dent", is_fit=True, source=_DENT)
        return passes("beyond: no dent is let pass in the heel of a bend", is_fit=False, source=_DENT)
    return at_most("depth of the dent", depth, 0.20 * outside_diameter, "in", equal_is_enough=False, source=_DENT)


def _flattening(outside_diameter: float, smallest: float, wrinkles: str) -> Ruling:
    if wrinkles == "yes":
        return passes("beyond: no wrinkles or kinks in a bend", is_fit=False, source=_BEND)
    if compare(smallest, outside_diameter) > 0:
        return not_covered("the flattened diameter is larger than the tube: measure again", _BEND)
    return at_least("smallest diameter in the bend", smallest, 0.75 * outside_diameter, "in", source=_BEND)


def _inside(outside_diameter: float, wall: float) -> Ruling:
    inside = outside_diameter - 2 * wall
    if compare(inside, 0) <= 0:
        return not_covered("a wall of half the diameter or more leaves no bore", _INSIDE)
    return needed(f"inside diameter {say(inside, 'in')}", inside, "in", source=_INSIDE)


def _supports(material: str, tube: str, fittings: str, distance: float | None) -> Ruling:
    most = STEEL_SUPPORTS.get(tube) if material == "steel" else None
    if most is None:
        kept = _REMEMBERED_SUPPORTS.get((material, tube))
        return not_covered(
            "no readable row for this tube", _FIGURE, remembered=say(kept, "in") if kept is not None else None
        )
    if fittings == "yes":
        ruling = at_most("distance between supports", distance, 0.8 * most, "in", source=_SUPPORT)
        return with_notes(ruling, f"about 20 % less than {say(most, 'in')} for unions and tees in the line")
    return at_most("distance between supports", distance, most, "in", source=_SUPPORT)


LIMITS = (
    Limit(
        id="tube-nick",
        title="Nick or scratch in a tube",
        system="fluid-lines",
        inputs=(
            _WALL,
            Input("depth", "Depth of the nick", "in", 0, 0.5),
            _PLACE,
            Input("material", "Tube", choices=("aluminium", "other"), default="aluminium"),
        ),
        sources=(_NICK,),
        basis=MAKER_FIRST,
        assumes=("One scratch or nick with no crack; the wall is known, not supposed.",),
        does_not_cover=(
            "Severe die marks, seams, splits, any crack: replace.", "Steel and copper tube.",
            "Lines at or below atmospheric pressure, where an Army manual disregards a sound, open, tight tube.",
        ),
        caution=_OPEN,
        examples=(
            Example({"wall": "0.035", "depth": "0.0035", "place": "elsewhere"}, "at", "computed from AC 65-9A", 0.0035),
            Example({"wall": "0.035", "depth": "0.001", "place": "heel-of-bend"}, "beyond", "AC 65-9A"),
        ),
        rule=_nick,
    ),
    Limit(
        id="tube-dent",
        title="Dent in a tube",
        system="fluid-lines",
        inputs=(_OUTSIDE, Input("depth", "Depth of the dent", "in", 0, 4), _PLACE),
        sources=(_DENT,),
        basis=MAKER_FIRST,
        assumes=("A smooth dent without crack, nick or sharp corner.",),
        does_not_cover=("A crack or deformity of the flare: reject.", "Structural tube (other limits)."),
        caution=_OPEN,
        examples=(
            Example({"outside-diameter": "3/8", "depth": "0.074", "place": "elsewhere"}, "within", "AC 65-9A", 0.075),
            Example({"outside-diameter": "3/8", "depth": "0.075", "place": "elsewhere"}, "beyond", "AC 65-9A", 0.075),
        ),
        rule=_dent,
    ),
    Limit(
        id="tube-bend-flattening",
        title="Flattening of a bend",
        system="fluid-lines",
        inputs=(
            _OUTSIDE,
            Input("smallest", "Smallest diameter across the bend", "in", 0, 4),
            Input("wrinkles", "Wrinkles or kinks", choices=("yes", "no"), default="no"),
        ),
        sources=(_BEND,),
        basis=MAKER_FIRST,
        assumes=("The outside diameter is that of the straight tube.",),
        does_not_cover=("Least bend radius: that table was not readable.", "A bend flattened in service by a blow."),
        caution=_OPEN,
        examples=(
            Example({"outside-diameter": "1/2", "smallest": "0.375"}, "at", "computed from FAA-H-8083-30 ch. 7", 0.375),
            Example({"outside-diameter": "1/2", "smallest": "0.37"}, "beyond", "computed", 0.375),
        ),
        rule=_flattening,
    ),
    Limit(
        id="tube-inside-diameter",
        title="Inside diameter of a tube",
        system="fluid-lines",
        inputs=(_OUTSIDE, _WALL),
        sources=(_INSIDE,),
        basis="Does not depend on the certification basis.",
        assumes=("Round tube of even wall; a dash number is the outside diameter in sixteenths.",),
        does_not_cover=("Flow, and the bore of the fittings, which is smaller.",),
        caution=_OPEN,
        examples=(
            Example(
                {"outside-diameter": "10/16", "wall": "0.065"}, "required", "training slides: No. 10, 0.495 in", 0.495
            ),
        ),
        rule=_inside,
    ),
    Limit(
        id="tube-supports",
        title="Distance between supports of a tube",
        system="fluid-lines",
        inputs=(
            Input("material", "Tube", choices=("steel", "aluminium")),
            Input("tube", "Outside diameter, in", choices=("1/8", "3/16", *STEEL_SUPPORTS)),
            Input("fittings", "Unions or tees between the supports", choices=("yes", "no")),
            Input("distance", "Between supports", "in", 0, 200, optional=True),
        ),
        sources=(_SUPPORT,),
        basis=MAKER_FIRST,
        assumes=("Steel hydraulic line, cushioned clamps on structure.",),
        does_not_cover=("Aluminium tube, and steel under 1/4 in: only remembered.", "Hose (hose-supports)."),
        caution=_OPEN,
        examples=(
            Example(
                {"material": "steel", "tube": "3/8", "fittings": "no", "distance": "20"},
                "at", "MIL-H-8891A table II", 20,
            ),
            Example({"material": "aluminium", "tube": "3/8", "fittings": "no"}, "not-covered", "computed"),
        ),
        rule=_supports,
    ),
)  # fmt: skip
