"""Limits of wiring work: switch, bonding, supports, clearances, strands, battery. From AC 43.13-1B chapter 11."""

from __future__ import annotations

from kb.limits.model import Example, Input, Limit, Ruling, compare
from kb.limits.ruling import at_least, at_most, not_covered, passes, unmeasured, with_notes, worst
from kb.model import Source

_AC = "AC 43.13-1B"

TABLE_11_4 = {
    "28": {"lamp": 8.0, "inductive": 4.0, "resistive": 2.0, "motor": 3.0},
    "12": {"lamp": 5.0, "inductive": 2.0, "resistive": 1.0, "motor": 2.0},
}
"""AC 43.13-1B table 11-4, all rows [read]: switch rating is current times this. It prints 12 V, shops say 14."""

TABLE_11_13: dict[str, tuple[int, int, int, int]] = {
    # size: strands from, to, nicked allowed, broken allowed
    "24-to-14": (19, 19, 2, 0), "12-to-10": (37, 37, 4, 0), "8-to-4": (133, 133, 6, 6), "2-to-1": (665, 817, 6, 6),
    "0-to-00": (1045, 1330, 6, 6), "000": (1665, 5000, 6, 6), "0000": (2109, 5000, 6, 6),
}  # fmt: skip
"""AC 43.13-1B table 11-13, copper [read; pairing by order]; no upper strand number stands for 000 and 0000."""

_SWITCH = Source(_AC, "11-53, table 11-4", "Nominal switch rating is the continuous current times the factor.", "read")
_JUMPER = Source(_AC, "11-189", "Each connection of a jumper at most 0.003 ohm.", "read")
_FRAME = Source(_AC, "11-188f", "Exposed frames of electrical equipment under 2.5 milliohm to structure.", "read")
_STATIC = Source(
    _AC, "11-187c", "Isolated parts: under 1 ohm, clean and dry, is generally enough (repost).", "secondary"
)
_SUPPORT = Source(_AC, "11-96a, 11-118", "Supports at most 24 in apart, deflection not normally over 1/2 in.", "read")
_HOLE = Source(_AC, "11-115", "At least 3/8 in from the edge of a hole where it cannot be clamped.", "read")
_FUEL = Source(
    _AC, "11-96w", "6 in from fuel and oxygen lines; else 2 in, clamped so that a broken wire cannot touch.", "read"
)
_BEND = Source("TM 1-1500-204-23-4", "wire bundles", "Bend radius 10 times the outside diameter.", "read")
_STRANDS = Source(_AC, "table 11-13", "Nicked and broken strands allowed.", "read")
_LOCATOR = Source(
    "14 CFR", "91.207(c)", "Battery out after more than 1 cumulative hour, or at 50 % of its useful life.", "read"
)

_LIVE = "Battery off and tagged, ring off the hand; a shorted tool on the bus burns at once."
_BASIS = "Does not depend on the certification basis; the maker's wiring data come first."


def _switch(system: str, load: str, current: float, rating: float | None) -> Ruling:
    return at_least("nominal switch rating", rating, current * TABLE_11_4[system][load], "A", source=_SWITCH)


def _bonding(part: str, resistance: float) -> Ruling:
    if part == "jumper-connection":
        return at_most("resistance of the connection", resistance, 3.0, "mohm", source=_JUMPER)
    if part == "equipment-frame":
        return at_most("frame to structure", resistance, 2.5, "mohm", equal_is_enough=False, source=_FRAME)
    return at_most("part to structure", resistance, 1000.0, "mohm", equal_is_enough=False, source=_STATIC)


def _supports(spacing: float, deflection: float | None) -> Ruling:
    left = unmeasured((deflection, "at most 1/2 in of deflection between supports"))
    ruling = at_most("distance between supports", spacing, 24.0, "in", source=_SUPPORT, notes=left)
    if deflection is None:
        return ruling
    sag = at_most("deflection between supports", deflection, 0.5, "in", source=_SUPPORT)
    free = "more is allowed only where the wire can touch nothing that chafes"
    return worst(ruling, with_notes(sag, free) if sag.verdict == "beyond" else sag)


def _hole_clearance(clearance: float) -> Ruling:
    return at_least("wire to the edge of the hole", clearance, 0.375, "in", source=_HOLE)


def _fuel_distance(distance: float, held: str) -> Ruling:
    if compare(distance, 6) < 0 and held == "yes":
        return at_least(
            "wire to the line", distance, 2.0, "in", source=_FUEL, notes=("6 in is asked for where possible",)
        )
    return at_least("wire to the line", distance, 6.0, "in", source=_FUEL)


def _bend(diameter: float, radius: float | None) -> Ruling:
    return at_least("bend radius", radius, 10 * diameter, "in", source=_BEND)


def _strands(conductor: str, size: str, strands: float, nicked: float, broken: float) -> Ruling:
    if conductor == "aluminium":
        return passes(
            "beyond: aluminium wire may have no nicked or broken strand" if nicked or broken else "within: none found",
            is_fit=not (nicked or broken), source=_STRANDS,
        )  # fmt: skip
    fewest, most, most_nicked, most_broken = TABLE_11_13[size]
    if not fewest <= strands <= most:
        span = str(fewest) if fewest == most else f"{fewest} and more"
        return not_covered(f"the table is for {span} strands in this size", _STRANDS)
    return worst(
        at_most("nicked strands", nicked, float(most_nicked), "", source=_STRANDS),
        at_most("broken strands", broken, float(most_broken), "", source=_STRANDS),
    )


def _locator(used: float, life_used: float) -> Ruling:
    return worst(
        at_most("use of the battery, added up", used, 60.0, "min", source=_LOCATOR),
        at_most("useful life gone", life_used, 50.0, "%", equal_is_enough=False, source=_LOCATOR),
    )


LIMITS = (
    Limit(
        id="switch-rating",
        title="Rating of a switch",
        system="electrical",
        inputs=(
            Input("system", "DC system as the table prints it; 12 stands for 12 and 14 V", choices=tuple(TABLE_11_4)),
            Input("load", "What it switches", choices=("lamp", "inductive", "resistive", "motor")),
            Input("current", "Continuous current of the load", "A", 0.01, 500),
            Input("rating", "Nominal rating of the switch", "A", 0.1, 2000, optional=True),
        ),
        sources=(_SWITCH,),
        basis=_BASIS,
        assumes=("An aircraft switch with a DC rating, never one derated for AC.",),
        does_not_cover=("Silver contacts under 8 V or 0.5 A.", "Switches that only look like the original."),
        caution=_LIVE,
        examples=(
            Example({"system": "28", "load": "lamp", "current": "3"}, "required", "computed from table 11-4", 24),
            Example({"system": "12", "load": "motor", "current": "6", "rating": "12"}, "at", "computed", 12),
        ),
        rule=_switch,
    ),
    Limit(
        id="bonding-resistance",
        title="Resistance of a bond",
        system="electrical",
        inputs=(
            Input("part", "What is bonded", choices=("jumper-connection", "equipment-frame", "isolated-part")),
            Input("resistance", "Measured with a milliohm instrument", "mohm", 0, 100_000),
        ),
        sources=(_JUMPER, _FRAME, _STATIC),
        basis=_BASIS,
        assumes=("Clean, dry, measured by milliohm instrument or millivolt drop.",),
        does_not_cover=("Lightning protection.", "Bonds by self-tapping screws, which are not allowed (11-188e)."),
        caution="No bonding current near open fuel or vapour.",
        examples=(
            Example({"part": "jumper-connection", "resistance": "0.003 ohm"}, "at", "AC 43.13-1B 11-189", 3),
            Example({"part": "equipment-frame", "resistance": "2.5"}, "beyond", "AC 43.13-1B 11-188f", 2.5),
        ),
        rule=_bonding,
    ),
    Limit(
        id="wire-supports",
        title="Supports of a wire bundle",
        system="electrical",
        inputs=(
            Input("spacing", "Greatest distance between clamps or grommets", "in", 0.5, 240),
            Input("deflection", "Deflection midway between supports", "in", 0, 24, optional=True),
        ),
        sources=(_SUPPORT,),
        basis=_BASIS,
        assumes=("No duct, trough or conduit. Tape, ties and cord are no primary support.",),
        does_not_cover=("Wires in conduit.",),
        caution=_LIVE,
        examples=(Example({"spacing": "24", "deflection": "1/2 in"}, "at", "AC 43.13-1B 11-96a", 24),),
        rule=_supports,
    ),
    Limit(
        id="wire-hole-clearance",
        title="Wire through a hole without a clamp",
        system="electrical",
        inputs=(Input("clearance", "Wire to the edge of the hole", "in", 0, 12),),
        sources=(_HOLE,),
        basis=_BASIS,
        assumes=("The wire cannot be clamped at the hole.",),
        does_not_cover=("Grommets: every hole has one or a liner (11-96c).",),
        caution=_LIVE,
        examples=(Example({"clearance": "3/8 in"}, "at", "AC 43.13-1B 11-115", 0.375),),
        rule=_hole_clearance,
    ),
    Limit(
        id="wire-fuel-line-distance",
        title="Wire beside a fuel or oxygen line",
        system="electrical",
        inputs=(
            Input("distance", "Least distance", "in", 0, 60),
            Input("held", "6 in impossible, and clamped so a broken wire cannot touch", choices=("yes", "no")),
        ),
        sources=(_FUEL,),
        basis=_BASIS,
        assumes=("The wire runs along or across a line with fuel or oxygen.",),
        does_not_cover=("Crossing through a common clamp.",),
        caution="Power off before a wire is moved beside a fuel line; no grease near oxygen.",
        examples=(
            Example({"distance": "2", "held": "yes"}, "at", "AC 43.13-1B 11-96w", 2),
            Example({"distance": "2", "held": "no"}, "beyond", "AC 43.13-1B 11-96w", 6),
        ),
        rule=_fuel_distance,
    ),
    Limit(
        id="wire-bend-radius",
        title="Bend radius of a wire or cable",
        system="electrical",
        inputs=(
            Input("diameter", "Outside diameter of wire or bundle", "in", 0.01, 6),
            Input("radius", "Radius of the bend", "in", 0, 100, optional=True),
        ),
        sources=(_BEND,),
        basis=_BASIS,
        assumes=("Not at a terminal strip.",),
        does_not_cover=("Terminal strips, where 3 times is only remembered.", "Coaxial cable."),
        caution=_LIVE,
        examples=(Example({"diameter": "0.25", "radius": "2.5"}, "at", "TM 1-1500-204-23-4", 2.5),),
        rule=_bend,
    ),
    Limit(
        id="nicked-strands",
        title="Nicked and broken strands",
        system="electrical",
        inputs=(
            Input("conductor", "Metal", choices=("copper", "aluminium")),
            Input("size", "AN wire sizes", choices=tuple(TABLE_11_13)),
            Input("strands", "Strands in the wire", "", 1, 5000, whole=True),
            Input("nicked", "Nicked strands", "", 0, 5000, whole=True),
            Input("broken", "Broken strands", "", 0, 5000, whole=True),
        ),
        sources=(_STRANDS,),
        basis=_BASIS,
        assumes=("Counted under a lens at the stripped end.",),
        does_not_cover=("Other strandings.", "Wires damaged away from the terminal."),
        caution=_LIVE,
        examples=(
            Example(
                {"conductor": "copper", "size": "24-to-14", "strands": "19", "nicked": "2", "broken": "0"},
                "at", "AC 43.13-1B table 11-13", 2,
            ),
        ),
        rule=_strands,
    ),
    Limit(
        id="locator-battery",
        title="Battery of the emergency locator",
        system="electrical",
        inputs=(
            Input("used", "Time of use, added up", "min", 0, 100_000),
            Input("life-used", "Share of useful life (or of charge) gone", "%", 0, 100),
        ),
        sources=(_LOCATOR,),
        basis="Does not depend on the certification basis; an operating rule.",
        assumes=("The new expiry date stands outside the unit and in the log.",),
        does_not_cover=("The inspection each 12 calendar months.",),
        caution="Switch to off before the unit is moved; a test in free air calls rescuers.",
        examples=(Example({"used": "60", "life-used": "20"}, "at", "14 CFR 91.207(c)", 60),),
        rule=_locator,
    ),
)  # fmt: skip
