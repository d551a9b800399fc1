"""Limits of fabric covering: strength, new cloth, lacing. All from AC 43.13-1B chapter 2."""

from __future__ import annotations

from kb.limits.model import Example, Input, Limit, Ruling, compare
from kb.limits.ruling import at_least, at_most, not_covered, unmeasured, with_notes, worst
from kb.limits.units import say
from kb.model import Source

_AC = "AC 43.13-1B"

TABLE_2_1: dict[str, tuple[float, float, float, tuple[float | None, float]]] = {
    # cloth: new lb/in, deteriorated lb/in, new tear lb, threads per inch (least, most)
    "grade-a": (80.0, 56.0, 5.0, (80.0, 84.0)),
    "intermediate": (65.0, 46.0, 4.0, (80.0, 94.0)),
    "light": (50.0, 35.0, 3.0, (None, 110.0)),
}
"""AC 43.13-1B table 2-1, all cotton rows, lb per inch of width, undoped [read]. 70 % of 65 is 45.5; it prints 46."""

_STRENGTH = Source(_AC, "2-33b, table 2-1", "Least strength by wing loading and never-exceed speed.", "read")
_REQUIRED = Source(_AC, "2-33a", "70 % of the new strength of the cloth the aircraft requires.", "read")
_PUNCH = Source(_AC, "2-34", "Punch testers indicate only; remembered, not read.", "memory")
_NEW = Source(_AC, "table 2-1", "New strength, tear strength and threads per inch of each cloth.", "read")
_LACING = Source(
    _AC, "2-11b", "Unknown spacing on tail and fuselage: twice the slipstream value of figure 2-12.", "read"
)
_CURVE = Source(_AC, "figure 2-12", "Spacing against never-exceed speed, a curve without numbers.", "read")

BASIS = (
    "Does not depend on the certification basis; the maker's data or the covering's own approval come first (2-42h)."
)
SPEED = Input("never-exceed", "Never-exceed speed on the placard", "mph", 40, 500)


def required_cloth(wing_loading: float, never_exceed: float, aircraft: str) -> str:
    """Return the cloth of table 2-1 the aircraft requires; lb/ft² and mph, boundaries as printed."""
    if aircraft == "glider" and compare(wing_loading, 8) <= 0 and compare(never_exceed, 135) <= 0:
        return "light"
    if compare(wing_loading, 9) >= 0 or compare(never_exceed, 160) >= 0:
        return "grade-a"
    return "intermediate"


def _strength(wing_loading: float, never_exceed: float, measured: float, method: str, aircraft: str) -> Ruling:
    cloth = required_cloth(wing_loading, never_exceed, aircraft)
    new, floor, _, _ = TABLE_2_1[cloth]
    if method == "punch":
        return not_covered(
            f"a punch reads coating and cloth together, so {say(measured, 'lb/in')} is an indication only",
            _PUNCH,
            notes=(f"by strip test at least {say(floor, 'lb/in')} would be required ({_AC} 2-33b, table 2-1)",),
        )
    said = "Grade A" if cloth == "grade-a" else cloth
    note = f"the aircraft requires {said} cloth, new at least {say(new, 'lb/in')}"
    source = _REQUIRED if cloth == "light" else _STRENGTH
    return at_least(
        "strength of the covering", measured, floor, "lb/in",
        source=source, scale=(0.0, new), scale_end="new", notes=(note,),
    )  # fmt: skip


def _new_cloth(cloth: str, strength: float, tear: float | None, threads: float | None) -> Ruling:
    new, _, least_tear, (fewest, most) = TABLE_2_1[cloth]
    rulings = [at_least("new strength", strength, new, "lb/in", source=_NEW)]
    if tear is not None:
        rulings.append(at_least("tear strength", tear, least_tear, "lb", source=_NEW))
    if threads is not None:
        rulings.append(at_most("threads per inch", threads, most, "", source=_NEW))
        if fewest is not None:
            rulings.append(at_least("threads per inch", threads, fewest, "", source=_NEW))
    count = f"{say(fewest, '')} to {say(most, '')}" if fewest is not None else f"at most {say(most, '')}"
    left = unmeasured((tear, f"tear strength of {say(least_tear, 'lb')}"), (threads, f"{count} threads per inch"))
    return with_notes(worst(*rulings), *left)


def _tail_lacing(slipstream_spacing: float, fitted: float | None) -> Ruling:
    note = "use figure 2-12 only where the original spacing cannot be determined (older print of it, secondary)"
    return at_most("spacing on tail or fuselage", fitted, 2 * slipstream_spacing, "in", source=_LACING, notes=(note,))


def _wing_lacing(never_exceed: float) -> Ruling:
    return not_covered(
        f"the lacing spacing for {say(never_exceed, 'mph')} has to be read from the printed curve",
        _CURVE,
        remembered="about 2-1/2 in in the slipstream and 3-1/2 in elsewhere at modest speed, a rule of thumb",
    )


LIMITS = (
    Limit(
        id="fabric-strength",
        title="Strength of the covering",
        system="fabric",
        inputs=(
            Input("wing-loading", "Greatest weight by wing area", "lb/ft2", 1, 60),
            SPEED,
            Input("measured", "Breaking strength of a 1 in strip, coatings off", "lb/in", 0, 400),
            Input("method", "How it was measured", choices=("strip", "punch")),
            Input("aircraft", "What it covers", choices=("powered", "glider"), default="powered"),
        ),
        sources=(_STRENGTH, _REQUIRED),
        basis=BASIS,
        assumes=(
            "The strip comes from an exposed place and every coating was off before the pull.",
            "Cotton or linen, or another covering held to the figure of the cloth the aircraft requires.",
        ),
        does_not_cover=(
            "Coverings whose own approved instructions give another test or figure.",
            "Glass cloth.",
            "A weak spot beside the strip: stain, ringworm, mildew, battery acid.",
        ),
        caution="Solvent fumes and fire when the coating is taken off; repair the hole before flight.",
        examples=(
            Example(
                {"wing-loading": "8.1", "never-exceed": "120", "measured": "46", "method": "strip"},
                "at", "AC 43.13-1B 2-33a: Grade A on an aircraft that needs intermediate may go down to 46", 46,
            ),
            Example(
                {"wing-loading": "8.1 psf", "never-exceed": "120 mph", "measured": "51 lb/in", "method": "strip"},
                "within", "computed", 46,
            ),
            Example(
                {"wing-loading": "9", "never-exceed": "100", "measured": "55.9", "method": "strip"},
                "beyond", "computed", 56,
            ),
        ),
        rule=_strength,
    ),
    Limit(
        id="fabric-new-cloth",
        title="New cotton cloth",
        system="fabric",
        inputs=(
            Input("cloth", "Which cloth it is sold as", choices=tuple(TABLE_2_1)),
            Input("strength", "Breaking strength new, undoped", "lb/in", 0, 400),
            Input("tear", "Tear strength new", "lb", 0, 100, optional=True),
            Input("threads", "Threads per inch, warp or fill", "", 1, 400, optional=True),
        ),
        sources=(_NEW,),
        basis=BASIS,
        assumes=("Undoped cloth, warp and fill judged one after the other.",),
        does_not_cover=("Polyester, glass and linen.", "Whether it may go on this aircraft: see fabric-strength."),
        caution="Cut samples from the end of the roll, not from cloth already sewn.",
        examples=(
            Example(
                {"cloth": "intermediate", "strength": "65", "tear": "4", "threads": "94"},
                "at", "AC 43.13-1B table 2-1", 65,
            ),
        ),
        rule=_new_cloth,
    ),
    Limit(
        id="tail-lacing-spacing",
        title="Lacing on tail and fuselage, original spacing unknown",
        system="fabric",
        inputs=(
            Input("slipstream-spacing", "Wing spacing in the slipstream, as read from figure 2-12", "in", 0.25, 6),
            Input("fitted", "Greatest spacing found", "in", 0, 24, optional=True),
        ),
        sources=(_LACING,),
        basis=BASIS,
        assumes=(
            "The original spacing cannot be determined.",
            "Figure 2-12 was read for this aircraft's never-exceed speed.",
        ),
        does_not_cover=("Wings: read figure 2-12 itself.",),
        caution="Count through the tape; do not strip tape to measure sound lacing.",
        examples=(Example({"slipstream-spacing": "2.5", "fitted": "5"}, "at", "computed", 5),),
        rule=_tail_lacing,
    ),
    Limit(
        id="wing-lacing-spacing",
        title="Lacing on the wing",
        system="fabric",
        inputs=(SPEED,),
        sources=(_CURVE,),
        basis=BASIS,
        assumes=("The original spacing cannot be determined; otherwise it stands.",),
        does_not_cover=("Any number: the figure is a curve, and tables of it are someone's reading.",),
        caution="Count through the tape; do not strip tape to measure sound lacing.",
        examples=(Example({"never-exceed": "140"}, "not-covered", "computed"),),
        rule=_wing_lacing,
    ),
)  # fmt: skip
