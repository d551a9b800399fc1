"""Limits of the magnetic compass: deviation, card, place of the swing."""

from __future__ import annotations

from kb.limits.basis import BASIS_INPUT, MAKER_FIRST, PART_23, under_part_23
from kb.limits.model import Example, Input, Limit, Ruling
from kb.limits.ruling import at_least, at_most, not_covered
from kb.model import Source

_AC = "AC 43.13-1B"

_COMPASS = Source("14 CFR", "23.1327(a)(2)", "Deviation at most 10 degrees in level flight on any heading.", "read")
_CARD = Source("14 CFR", "23.1547(d)", "Card readings as magnetic headings in steps of at most 30 degrees.", "read")
_SWING = Source(_AC, "12-37b", "Swing at least 100 yards from metal objects.", "read")


def _compass(deviation: float, electrical: str, basis: str) -> Ruling:
    ruling = at_most("deviation", deviation, 10.0, "deg", source=_COMPASS)
    if ruling.verdict == "beyond" and electrical == "yes":
        more = "more is allowed only from running electrical systems, with placard and a stabilised or gyro indicator"
        return not_covered(more, _COMPASS)
    return under_part_23(basis, ruling, _COMPASS)


def _card(step: float, basis: str) -> Ruling:
    return under_part_23(basis, at_most("step of the card", step, 30.0, "deg", source=_CARD), _CARD)


def _swing_place(distance: float) -> Ruling:
    return at_least("distance to metal objects", distance, 300.0, "ft", source=_SWING)


LIMITS = (
    Limit(
        id="compass-deviation",
        title="Deviation of the compass",
        system="instruments",
        inputs=(
            Input("deviation", "Greatest deviation on any heading", "deg", 0, 180),
            Input("electrical", "Excess comes only with electrical systems on", choices=("yes", "no"), default="no"),
            BASIS_INPUT,
        ),
        sources=(_COMPASS,),
        basis=PART_23,
        assumes=("Level flight attitude, engine running, equipment in its flight position.",),
        does_not_cover=("Remote compasses.",),
        caution="Propeller turning: nobody walks ahead of the wing; brass tools, no steel in the pockets.",
        examples=(
            Example({"deviation": "10", "basis": "part-23"}, "at", "14 CFR 23.1327(a)(2)", 10),
            Example({"deviation": "12", "electrical": "yes", "basis": "part-23"}, "not-covered", "computed"),
        ),
        rule=_compass,
    ),
    Limit(
        id="compass-card-step",
        title="Steps of the compass card",
        system="instruments",
        inputs=(Input("step", "Greatest step between headings on the card", "deg", 1, 360), BASIS_INPUT),
        sources=(_CARD,),
        basis=PART_23,
        assumes=("Made in level flight attitude with the engine running; radios on or off is stated.",),
        does_not_cover=("The deviation itself: compass-deviation.",),
        caution="Propeller turning: nobody walks ahead of the wing.",
        examples=(Example({"step": "30", "basis": "part-23"}, "at", "14 CFR 23.1547", 30),),
        rule=_card,
    ),
    Limit(
        id="compass-swing-place",
        title="Place to swing a compass",
        system="instruments",
        inputs=(Input("distance", "Distance to metal objects and cables", "ft", 0, 100_000),),
        sources=(_SWING,),
        basis=MAKER_FIRST,
        assumes=("100 yards are 300 ft.",),
        does_not_cover=("Steel in the ground that cannot be seen.",),
        caution="Propeller turning: nobody walks ahead of the wing.",
        examples=(Example({"distance": "300"}, "at", "AC 43.13-1B 12-37b", 300),),
        rule=_swing_place,
    ),
)  # fmt: skip
