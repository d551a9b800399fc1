"""Limits of safety wire: size, twist, pigtail, and wire on a device that must break free."""

from __future__ import annotations

from kb.limits.basis import MAKER_FIRST
from kb.limits.model import Example, Input, Limit, Ruling, compare
from kb.limits.ruling import at_least, between, not_covered, passes, unmeasured, with_notes, worst
from kb.limits.units import say
from kb.model import Source

_AC = "AC 43.13-1B"

TWISTS: tuple[tuple[float, float, float, float], ...] = (
    # wire from, to (in); twists per inch from, to
    (0.020, 0.025, 8, 14),
    (0.032, 0.041, 6, 11),
    (0.051, 0.060, 4, 8),
)
"""Twists by wire as an industry standard is quoted [secondary]; they are not the circular's 6 to 8."""

_THICK = Source(_AC, "7-123b", "At least 0.032 in wire where the hole is over 0.045 in.", "read")
_THIN = Source(
    _AC, "7-123b, as a trade magazine restates it",
    "0.020 in wire allowed on holes of 0.045 to 0.062 in where the parts are less than 2 in apart.", "secondary",
)  # fmt: skip
_SINGLE = Source(_AC, "7-123a", "Single wire only for closely spaced or closed patterns, electrical parts.", "read")
_TWIST = Source(_AC, "7-123, 7-125, as a rule page restates it", "6 to 8 twists per inch.", "secondary")
_PIGTAIL = Source(_AC, "7-124f, pages 7-20 and 7-21", "Four to six turns, 1/2 to 5/8 in, bent under.", "read")
_FREE = Source(_AC, "7-123", "Emergency devices: copper or brass of 0.020 in only.", "read")

_EMERGENCY_WIRE = ("copper-or-brass", "stainless", "monel", "carbon-steel", "aluminium")
_EYES = "Wire ends fly and stab: eye protection, hold the end being cut, pick up every piece."
_NEVER_AGAIN = "New wire each time; wire is never used again (7-38)."


def _size(hole: float, apart: float, wire: float | None, method: str) -> Ruling:
    if method == "single":
        return not_covered("the sizes are for double twist; single wire has its own few places", _SINGLE)
    may_be_thin = compare(hole, 0.045) >= 0 and compare(hole, 0.062) <= 0 and compare(apart, 2.0) < 0
    if may_be_thin:
        ruling = at_least("safety wire", wire, 0.020, "in", source=_THIN)
        return with_notes(ruling, "0.032 in is the rule; 0.020 in stands only in a restatement of it")
    if compare(hole, 0.045) <= 0:
        return not_covered("no sentence gives a wire for a hole of 0.045 in or less, parts so far apart", _THICK)
    return at_least("safety wire", wire, 0.032, "in", source=_THICK)


def _twists(wire: float, twists: float) -> Ruling:
    ranges = [(low, high) for first, last, low, high in TWISTS if compare(first, wire) <= 0 <= compare(last, wire)]
    told = [f"an industry standard is quoted with {low:g} to {high:g} for this wire" for low, high in ranges]
    is_within = compare(twists, 6) >= 0 and compare(twists, 8) <= 0
    if not is_within and any(compare(twists, low) >= 0 and compare(twists, high) <= 0 for low, high in ranges):
        return not_covered(
            "6 to 8 twists per inch here, another range elsewhere: the sources disagree", _TWIST, notes=told
        )
    return between("twists per inch", twists, 6, 8, "", source=_TWIST, notes=tuple(told))


def _pigtail(turns: float, length: float | None) -> Ruling:
    left = unmeasured((length, "length of 1/2 to 5/8 in"))
    first = between("turns of the pigtail", turns, 4, 6, "", source=_PIGTAIL, notes=left)
    if length is None:
        return first
    return worst(first, between("length of the pigtail", length, 0.5, 0.625, "in", source=_PIGTAIL))


def _emergency(material: str, wire: float) -> Ruling:
    if material != "copper-or-brass":
        return passes(
            "beyond: only copper or brass wire lets an emergency device be worked", is_fit=False, source=_FREE
        )
    fits = compare(wire, 0.020) == 0
    word = "within" if fits else "beyond"
    return passes(f"{word}: copper or brass {say(wire, 'in')}, 0.02 in required", is_fit=fits, source=_FREE)


LIMITS = (
    Limit(
        id="safety-wire-size",
        title="Size of safety wire",
        system="hardware",
        inputs=(
            Input("hole", "Diameter of the wire hole", "in", 0.005, 0.5),
            Input("apart", "Distance between the parts wired together", "in", 0, 48),
            Input("wire", "Diameter of the wire", "in", 0.005, 0.25, optional=True),
            Input("method", "Double twist, or single wire", choices=("double-twist", "single"), default="double-twist"),
        ),
        sources=(_THICK, _THIN, _SINGLE),
        basis=MAKER_FIRST,
        assumes=("Double twist, pulling in the direction of tightening, tight but not over-stressed.", _NEVER_AGAIN),
        does_not_cover=("Turnbuckles (turnbuckle-wire).", "Emergency devices (emergency-device-wire).", "Single wire."),
        caution=_EYES,
        examples=(
            Example({"hole": "0.050", "apart": "3", "wire": "0.032"}, "at", "AC 43.13-1B 7-123b", 0.032),
            Example({"hole": "0.070", "apart": "1", "wire": "0.020"}, "beyond", "AC 43.13-1B 7-123b", 0.032),
            Example(
                {"hole": "0.050", "apart": "1.5", "wire": "0.025"}, "within", "AC 43.13-1B 7-123b, restated", 0.020
            ),
        ),
        rule=_size,
    ),
    Limit(
        id="safety-wire-twists",
        title="Twists of safety wire",
        system="hardware",
        inputs=(
            Input("wire", "Diameter of the wire", "in", 0.005, 0.25),
            Input("twists", "Twists in one inch", "", 0, 40),
        ),
        sources=(_TWIST,),
        basis=MAKER_FIRST,
        assumes=("The circular's one figure, 6 to 8, as it is restated.", _NEVER_AGAIN),
        does_not_cover=("Ranges by wire size: quoted from elsewhere and shown as notes.", "Nicked or kinked wire."),
        caution=_EYES,
        examples=(
            Example({"wire": "0.032", "twists": "7"}, "within", "AC 43.13-1B 7-123, restated: 6 to 8"),
            Example({"wire": "0.032", "twists": "5"}, "beyond", "computed", 6),
            Example({"wire": "0.020", "twists": "10"}, "not-covered", "computed"),
        ),
        rule=_twists,
    ),
    Limit(
        id="safety-wire-pigtail",
        title="Pigtail of safety wire",
        system="hardware",
        inputs=(
            Input("turns", "Complete turns", "", 0, 40),
            Input("length", "Length of the pigtail", "in", 0, 6, optional=True),
        ),
        sources=(_PIGTAIL,),
        basis=MAKER_FIRST,
        assumes=("The end is bent back or under and inward.", _NEVER_AGAIN),
        does_not_cover=("The twist along the run (safety-wire-twists).",),
        caution=_EYES,
        examples=(
            Example({"turns": "5", "length": "1/2"}, "at", "AC 43.13-1B 7-124f", 0.5),
            Example({"turns": "3"}, "beyond", "AC 43.13-1B 7-124f", 4),
        ),
        rule=_pigtail,
    ),
    Limit(
        id="emergency-device-wire",
        title="Wire on an emergency device",
        system="hardware",
        inputs=(
            Input("material", "Wire fitted", choices=_EMERGENCY_WIRE),
            Input("wire", "Diameter of the wire", "in", 0.005, 0.25),
        ),
        sources=(_FREE,),
        basis=MAKER_FIRST,
        assumes=("Breaking the wire is part of working the device: exit handle guard, extinguisher, gear release.",),
        does_not_cover=("Wire that only keeps a part from coming loose.",),
        caution="Secure the extinguisher, release or exit before touching its wire; it may go off. " + _EYES,
        examples=(
            Example({"material": "copper-or-brass", "wire": "0.020"}, "within", "AC 43.13-1B 7-123"),
            Example({"material": "stainless", "wire": "0.020"}, "beyond", "AC 43.13-1B 7-123"),
        ),
        rule=_emergency,
    ),
)  # fmt: skip
