"""Limits of cylinder, cooler and stored engine: broken fins, the cooler's valve, the desiccant."""

from __future__ import annotations

from kb.limits.basis import MAKER_FIRST, ONE_TYPE, ONE_TYPE_INPUT, of_one_type
from kb.limits.model import Example, Input, Limit, Ruling
from kb.limits.ruling import at_most, between, not_covered, passes, unmeasured, with_notes, worst
from kb.model import Source

_HANDBOOK = "FAA-H-8083-32B"

_FINS = Source(
    _HANDBOOK,
    "page 6-36",
    "One engine: replace past 12 in of one fin, 6 on two side by side, 4 on three, 2 on four, 1 on five, 83 sq in.",
    "read",
)
_VALVE = Source(
    _HANDBOOK,
    "page 6-14",
    "One engine: the bypass starts to close near 65 °C, is closed at 85 °C, 2 °C each way.",
    "read",
)
_DRY = Source(
    _HANDBOOK, "pages 8-19, 8-21", "Blue is dry, lavender 30 %, white 60 %; over 30 % the desiccant is changed.", "read"
)

FINS = {1: 12.0, 2: 6.0, 3: 4.0, 4: 2.0, 5: 1.0}
"""Inches of breakage by the number of fins side by side, FAA-H-8083-32B page 6-36 [read], one engine's example."""
FIN_AREA = 83.0
CLOSED = (181.4, 188.6)
"""°F: 85 °C, 2 °C each way."""


def _fins(fins: float, broken: float, same_type: str, area: float | None) -> Ruling:
    if fins not in FINS:
        return not_covered("the example ends at five fins side by side", _FINS)
    left = unmeasured((area, "at most 83 sq in broken off one head"))
    ruling = at_most("length of breakage", broken, FINS[int(fins)], "in", source=_FINS, notes=left)
    if area is not None:
        ruling = worst(ruling, at_most("broken area of this head", area, FIN_AREA, "in2", source=_FINS))
    return of_one_type(same_type, ruling, _FINS)


def _valve(closed_at: float, same_type: str) -> Ruling:
    ruling = between("oil temperature with the valve just closed", closed_at, *CLOSED, "degF", source=_VALVE)
    return of_one_type(same_type, with_notes(ruling, "open below 150 °F, it starts to close at about that"), _VALVE)


def _desiccant(colour: str, humidity: float | None) -> Ruling:
    if humidity is not None:
        return at_most("relative humidity inside", humidity, 30.0, "%", source=_DRY)
    note = "fresh plugs over old rust look the same: look through the plug hole too"
    if colour == "blue":
        return passes("within: bright blue is dry, under 30 %", is_fit=True, source=_DRY, notes=(note,))
    if colour == "lavender":
        return at_most("relative humidity by the colour", 30.0, 30.0, "%", source=_DRY, notes=("change it soon", note))
    told = "beyond: white stands for 60 %, over 30 % the desiccant is changed"
    return passes(told, is_fit=False, source=_DRY, notes=("over half the plugs bad: spray the engine again",))


LIMITS = (
    Limit(
        id="cylinder-fins",
        title="Broken cooling fins of a cylinder",
        system="engine",
        inputs=(
            Input("fins", "Broken fins side by side at one place", "", 1, 60, whole=True),
            Input("broken", "Length of the breakage, at the base of the fin", "in", 0, 60),
            ONE_TYPE_INPUT,
            Input("area", "Area broken off this head in all, both sides of a fin", "in2", 0, 2_000, optional=True),
        ),
        sources=(_FINS,),
        basis=ONE_TYPE,
        assumes=("Fins completely broken off.",),
        does_not_cover=("Cracks, which run on into the head or barrel.", "Any engine but the one of the example."),
        caution="A cold engine: magnetos grounded, nobody moves the propeller while hands are between the fins.",
        examples=(
            Example({"fins": "1", "broken": "12", "same-type": "yes"}, "at", f"{_HANDBOOK} page 6-36", 12),
            Example({"fins": "2", "broken": "6.1", "same-type": "yes"}, "beyond", "computed", 6),
            Example({"fins": "1", "broken": "3", "same-type": "unknown"}, "not-covered", "computed"),
        ),
        rule=_fins,
    ),
    Limit(
        id="oil-cooler-valve",
        title="Bypass valve of an oil cooler",
        system="oil",
        inputs=(Input("closed-at", "Oil temperature at which it is just closed", "degF", 32, 400), ONE_TYPE_INPUT),
        sources=(_VALVE,),
        basis=ONE_TYPE,
        assumes=("Valve off the engine in a stirred bath, thermometer beside it.",),
        does_not_cover=("Any valve but the one of the example.",),
        caution="Hot oil burns and flashes: heat it outside, stirred, with a lid at hand.",
        examples=(
            Example({"closed-at": "85 degC", "same-type": "yes"}, "within", f"{_HANDBOOK} page 6-14"),
            Example({"closed-at": "180", "same-type": "yes"}, "beyond", "computed", 181.4),
            Example({"closed-at": "180", "same-type": "no"}, "not-covered", "computed"),
        ),
        rule=_valve,
    ),
    Limit(
        id="desiccant-humidity",
        title="Desiccant of a stored engine",
        system="engine",
        inputs=(
            Input("colour", "Colour of the silica gel", choices=("blue", "lavender", "white")),
            Input("humidity", "Relative humidity, where an instrument reads it", "%", 0, 100, optional=True),
        ),
        sources=(_DRY,),
        basis=MAKER_FIRST,
        assumes=("Silica gel with the blue indicator; plugs in every cylinder, openings closed.",),
        does_not_cover=("Gel with another indicator, such as orange.", "Corrosion that was there before."),
        caution="The propeller of a stored engine is not moved: it wipes the film off, and a cylinder may hold liquid.",
        examples=(
            Example({"colour": "blue"}, "within", f"{_HANDBOOK} page 8-19"),
            Example({"colour": "lavender"}, "at", f"{_HANDBOOK} page 8-19", 30),
            Example({"colour": "white"}, "beyond", f"{_HANDBOOK} page 8-19"),
        ),
        rule=_desiccant,
    ),
)  # fmt: skip
