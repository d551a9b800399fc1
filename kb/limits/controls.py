"""Limits of control runs: fairlead angle, splice distance, cable size, pins, and tension as far as it was printed."""

from __future__ import annotations

from kb.limits.basis import BASIS_INPUT, MAKER_FIRST, PART_23, under_part_23
from kb.limits.model import Example, Input, Limit, Ruling, compare
from kb.limits.ruling import at_least, at_most, needed, not_covered, passes
from kb.model import Source

_AC = "AC 43.13-1B"

_FAIRLEAD = Source(_AC, "7-149n; 14 CFR 23.689(c)", "No fairlead turns a cable by more than 3 degrees.", "read")
_PULLEY = Source(_AC, "7-149m", "Alignment of a pulley with its cable; that paragraph was not readable.", "memory")
_SPLICE = Source(_AC, "7-147a", "No splice closer than 2 inches to any fairlead or pulley.", "read")
_SIZE = Source("14 CFR 23.689", "(a)(1), (f)", "Primary control cable at least 1/8 in; tab cable may be less.", "read")
_PIN = Source(
    "14 CFR 23.689", "(d), amendment 23-7", "No clevis pin held by a cotter pin alone under load or motion.", "read"
)
_METER = Source(
    "Army TM 1-1500-204-23-9", "para 7-3c, fig. 7-6", "Riser 2, 3/16 in cable, dial 48 is 70 lb by that table.", "read"
)
_CHART = Source(
    "Army TM 1-1500-204-23-9", "para 7-3d, fig. 7-7", "1/8 in 7x19 cable at 85 °F is rigged to 70 lb.", "read"
)

_LOCKED = "Lock or support the surface before a cable is slackened: it falls, and a loose balance weight breaks hands."
_AFTER = "Every control touched is checked for free, full and correct movement by a second person."
_CABLES = ("1/16", "3/32", "1/8", "5/32", "3/16", "7/32", "1/4")


def _fairlead(angle: float, place: str) -> Ruling:
    if place == "pulley":
        return not_covered(
            "the figure for a pulley was not readable", _PULLEY, remembered="within 2 degrees of the plane of the cable"
        )
    return at_most("turn of the cable at the fairlead", angle, 3, "deg", source=_FAIRLEAD)


def _splice(distance: float) -> Ruling:
    return at_least("splice to fairlead or pulley, over the whole travel", distance, 2, "in", source=_SPLICE)


def _primary(diameter: float, use: str, basis: str) -> Ruling:
    if use == "trim-tab":
        note = "a tab cable may be thinner where the airplane can be controlled with the tab in its worst position"
        return not_covered("no size is given for a trim tab cable", _SIZE, notes=(note,))
    ruling = at_least("primary control cable", diameter, 0.125, "in", source=_SIZE)
    return under_part_23(basis, ruling, _SIZE)


def _pin(held_by: str, moves: str, basis: str) -> Ruling:
    fits = held_by != "cotter-only" or moves == "no"
    word = "within" if fits else "beyond"
    told = f"{word}: no clevis pin held by a cotter pin alone where there is load or motion"
    return under_part_23(basis, passes(told, is_fit=fits, source=_PIN), _PIN)


def _dial(instrument: str, riser: float, cable: str, dial: float) -> Ruling:
    if instrument != "tm-fig-7-6":
        return not_covered("each tensiometer has its own table and riser; read the card kept with it", _METER)
    if compare(riser, 2) == 0 and cable == "3/16" and compare(dial, 48) == 0:
        return needed("70 lb, by the table of that one instrument only", 70, "lb", source=_METER)
    return not_covered("only one point of that instrument's table was read", _METER)


def _rigging(chart: str, cable: str, temperature: float) -> Ruling:
    if chart != "tm-fig-7-7":
        return not_covered("tension comes only from the type's own chart at the day's temperature", _CHART)
    if cable == "1/8" and compare(temperature, 85) == 0:
        return needed("70 lb, by that one type's chart only", 70, "lb", source=_CHART)
    return not_covered("only one point of that chart was read", _CHART)


LIMITS = (
    Limit(
        id="fairlead-angle",
        title="Turn of a cable at a fairlead",
        system="controls",
        inputs=(
            Input("angle", "Turn of the cable", "deg", 0, 180),
            Input("place", "What turns it", choices=("fairlead", "pulley"), default="fairlead"),
        ),
        sources=(_FAIRLEAD,),
        basis="The circular gives it for any aircraft, part 23 (wording before 2017) gives the same; maker first.",
        assumes=("The greatest turn anywhere in the travel of the control.",),
        does_not_cover=("Alignment of a pulley: its figure is only remembered.", "Wear of the fairlead itself."),
        caution=_LOCKED,
        examples=(
            Example({"angle": "3"}, "at", "AC 43.13-1B 7-149n", 3),
            Example({"angle": "4"}, "beyond", "AC 43.13-1B 7-149n", 3),
            Example({"angle": "1", "place": "pulley"}, "not-covered", "computed"),
        ),
        rule=_fairlead,
    ),
    Limit(
        id="cable-splice-distance",
        title="Splice near a fairlead or pulley",
        system="controls",
        inputs=(Input("distance", "Least distance in the travel", "in", 0, 400),),
        sources=(_SPLICE,),
        basis=MAKER_FIRST,
        assumes=("The least distance is taken with the control at both ends of its travel.",),
        does_not_cover=("Whether the splice itself is sound.",),
        caution=f"{_LOCKED} {_AFTER}",
        examples=(
            Example({"distance": "2"}, "at", "AC 43.13-1B 7-147a", 2),
            Example({"distance": "1.5"}, "beyond", "AC 43.13-1B 7-147a", 2),
        ),
        rule=_splice,
    ),
    Limit(
        id="primary-cable-size",
        title="Least size of a primary control cable",
        system="controls",
        inputs=(
            Input("diameter", "Nominal diameter", "in", 0.01, 1),
            Input("use", "What it moves", choices=("primary", "trim-tab")),
            BASIS_INPUT,
        ),
        sources=(_SIZE,),
        basis=PART_23,
        assumes=("Primary control: pitch, roll or yaw.",),
        does_not_cover=("Aircraft of an older basis: the size in the type data stands.", "Trim tab cables."),
        caution="A cable is replaced by the same size and quality (7-147), never chosen by this figure.",
        examples=(
            Example({"diameter": "1/8", "use": "primary", "basis": "part-23"}, "at", "14 CFR 23.689(a)(1)", 0.125),
            Example({"diameter": "3/32", "use": "primary", "basis": "part-23"}, "beyond", "14 CFR 23.689(a)(1)", 0.125),
            Example({"diameter": "3/32", "use": "primary", "basis": "car-3"}, "not-covered", "computed"),
        ),
        rule=_primary,
    ),
    Limit(
        id="clevis-pin-cotter",
        title="Clevis pin held by a cotter pin alone",
        system="controls",
        inputs=(
            Input("held-by", "What holds the pin", choices=("cotter-only", "nut-and-cotter", "other-lock")),
            Input("moves", "Is there load or motion at the pin", choices=("yes", "no")),
            BASIS_INPUT,
        ),
        sources=(_PIN,),
        basis=PART_23,
        assumes=("A pin of the control system.",),
        does_not_cover=("Aircraft of an older basis, which may have such pins by their type design.", "Wear of pins."),
        caution=f"{_LOCKED} {_AFTER}",
        examples=(
            Example({"held-by": "cotter-only", "moves": "yes", "basis": "part-23"}, "beyond", "14 CFR 23.689(d)"),
            Example({"held-by": "cotter-only", "moves": "yes", "basis": "car-4a"}, "not-covered", "computed"),
        ),
        rule=_pin,
    ),
    Limit(
        id="tensiometer-reading",
        title="Tension from the dial of a tensiometer",
        system="controls",
        inputs=(
            Input("instrument", "Whose table", choices=("tm-fig-7-6", "another")),
            Input("riser", "Number of the riser", "", 1, 9, whole=True),
            Input("cable", "Diameter of the cable, in", choices=_CABLES),
            Input("dial", "Reading of the dial", "", 0, 300),
        ),
        sources=(_METER,),
        basis="Does not depend on the certification basis; it depends on the instrument.",
        assumes=("The very instrument, its card and its riser for the cable.",),
        does_not_cover=("Every other instrument and every other point: read the card kept with it.",),
        caution=f"{_LOCKED} Take the meter off before the control is moved.",
        examples=(
            Example(
                {"instrument": "tm-fig-7-6", "riser": "2", "cable": "3/16", "dial": "48"},
                "required", "Army TM 1-1500-204-23-9 para 7-3c: 70 lb", 70,
            ),
            Example({"instrument": "another", "riser": "2", "cable": "3/16", "dial": "48"}, "not-covered", "computed"),
        ),
        rule=_dial,
    ),
    Limit(
        id="cable-rigging-tension",
        title="Rigging tension at a temperature",
        system="controls",
        inputs=(
            Input("chart", "Whose chart", choices=("tm-fig-7-7", "another-type")),
            Input("cable", "Diameter of the cable, in", choices=_CABLES),
            Input("temperature", "Of aircraft and cable", "degF", -80, 180),
        ),
        sources=(_CHART,),
        basis="Does not depend on the certification basis; it depends on the type's own chart.",
        assumes=("The chart's own type; aircraft and cable at one temperature.",),
        does_not_cover=("Every other type and every other point: no general tension is printed for any aircraft.",),
        caution=f"{_LOCKED} Too tight hides friction and wears pulleys; too loose flutters. {_AFTER}",
        examples=(
            Example(
                {"chart": "tm-fig-7-7", "cable": "1/8", "temperature": "85"},
                "required", "Army TM 1-1500-204-23-9 para 7-3d(1)-(3): 70 lb", 70,
            ),
            Example({"chart": "another-type", "cable": "1/8", "temperature": "85"}, "not-covered", "computed"),
        ),
        rule=_rigging,
    ),
)  # fmt: skip
