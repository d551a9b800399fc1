"""Limits of control cable in service: broken wires, wear, old terminals; and the presses of an oval sleeve."""

from __future__ import annotations

from kb.limits.basis import MAKER_FIRST
from kb.limits.model import Example, Input, Limit, Ruling, compare
from kb.limits.ruling import at_most, needed, not_covered, passes, with_notes
from kb.model import Source

_AC = "AC 43.13-1B"


_BROKEN = Source(
    _AC, "7-149a-e, i", "One broken wire in a critical area: replace. Elsewhere: look for corrosion.", "read"
)
_OLD_COUNT = Source("AC 43.13-1A", "cable inspection", "A count of wires per inch; remembered, superseded.", "memory")
_WEAR = Source(_AC, "7-149g, fig. 7-17", "Wires that seem to blend together are worn 40 to 50 %: replace.", "read")
_OLD = Source(
    "CASA AD/GENERAL/87", "amendment 1",
    "Terminals of 303Se or 304, 15 years or of unknown age: detailed visual inspection.", "read",
)  # fmt: skip
_SLEEVE = Source(
    _AC, "7-148b, c", "Copper sleeves up to 3/8 in; centre first, thimble side, then the far side.", "read"
)
_BETWEEN = Source("Sleeve maker's bulletin", "as restated", "Never press between two earlier presses.", "secondary")

_SNAG = "Run a cloth, never a bare hand, along the cable: a broken wire goes deep. Lock the surface before slackening."


def _broken(broken: float, runs_over: str, from_fitting: float, interior: str) -> Ruling:
    if interior == "corroded":
        return passes("beyond: corrosion of the inner strands, replace the cable", is_fit=False, source=_BROKEN)
    is_critical = runs_over == "yes" or compare(from_fitting, 12) <= 0
    if broken == 0:
        note = "some broken wires show only when the cable is slack and bent"
        return passes("within: no broken wire found", is_fit=True, source=_BROKEN, notes=(note,))
    if is_critical:
        return passes(
            "beyond: one broken wire in a critical fatigue area is enough to replace", is_fit=False, source=_BROKEN
        )
    if interior == "not-opened":
        return needed("away from anything that wears: slacken, reverse-twist, open, look for corrosion", source=_BROKEN)
    return not_covered(
        "no count of broken wires is given away from the critical areas", _OLD_COUNT,
        remembered="the older edition counted six per inch in 7x19 and three in 7x7; it is superseded",
    )  # fmt: skip


def _wear(worn: float, blend: str) -> Ruling:
    if blend == "yes":
        return passes("beyond: outer wires that blend together are worn 40 to 50 %", is_fit=False, source=_WEAR)
    note = "the circular says 40 to 50 %; the lower figure is taken"
    return at_most("wear of the outer wires", worn, 40, "%", equal_is_enough=False, source=_WEAR, notes=(note,))


def _terminal(steel: str, control: str, years: float | None) -> Ruling:
    if steel == "other" or control == "trim-or-flap":
        return not_covered("the directive speaks of 303Se and 304 terminals on pitch, roll and yaw cables", _OLD)
    if years is None:
        return needed("age unknown counts as over 15 years: detailed visual inspection", source=_OLD)
    ruling = at_most("years in service", years, 15, "year", equal_is_enough=False, source=_OLD)
    return with_notes(
        ruling,
        "beyond means the detailed inspection is due, not that the terminal has failed",
        "a US bulletin, as a news page prints it, advises replacement at 15 years in warm salt air (secondary)",
    )


def _sleeve(diameter: float, sleeve: str, presses: str) -> Ruling:
    if sleeve == "other":
        return not_covered("sleeves not of copper need engineering approval", _SLEEVE)
    if compare(diameter, 0.375) > 0:
        return not_covered("compressed sleeves are for cable up to 3/8 in", _SLEEVE)
    if presses == "centre-thimble-far":
        return passes(
            "within: centre, thimble side, far side is the order of three presses", is_fit=True, source=_SLEEVE
        )
    if presses == "ends-then-centre":
        return passes("beyond: a press between two earlier presses", is_fit=False, source=_BETWEEN)
    return passes("beyond: three presses go centre, thimble side, far side", is_fit=False, source=_SLEEVE)


LIMITS = (
    Limit(
        id="cable-broken-wires",
        title="Broken wires of a control cable",
        system="controls",
        inputs=(
            Input("broken", "Broken wires found", "", 0, 250, whole=True),
            Input("runs-over", "At a pulley, sleeve, fairlead, or flexed or rubbed there", choices=("yes", "no")),
            Input("from-fitting", "To the nearest swaged fitting", "in", 0, 1000),
            Input(
                "interior", "Inner strands", choices=("not-opened", "clean", "corroded"), default="not-opened"
            ),
        ),
        sources=(_BROKEN,),
        basis=MAKER_FIRST,
        assumes=("Critical: at anything that bends or rubs the cable, or within 1 foot of a swaged fitting.",),
        does_not_cover=(
            "A count away from the critical areas: looser counts belong to one type's manual only.",
            "Jacketed cable: any crack or necking of the jacket replaces it (7-149f).",
        ),
        caution=_SNAG,
        examples=(
            Example({"broken": "1", "runs-over": "no", "from-fitting": "12"}, "beyond", "AC 43.13-1B 7-149a, b"),
            Example({"broken": "1", "runs-over": "no", "from-fitting": "13"}, "required", "AC 43.13-1B 7-149i"),
            Example({"broken": "0", "runs-over": "yes", "from-fitting": "2"}, "within", "computed"),
        ),
        rule=_broken,
    ),
    Limit(
        id="cable-wear",
        title="Wear of the outer wires",
        system="controls",
        inputs=(
            Input("worn", "Of the wire's diameter", "%", 0, 100),
            Input("blend", "Do single wires seem to blend together", choices=("yes", "no"), default="no"),
        ),
        sources=(_WEAR,),
        basis=MAKER_FIRST,
        assumes=("The worst place, cleaned with a dry cloth, with the cable turned and slackened.",),
        does_not_cover=("Inner wear, which can be faster than outer (7-149h): part the strands.", "Corrosion."),
        caution=_SNAG + " No solvent soak: it washes the oil out of the core.",
        examples=(
            Example({"worn": "39"}, "within", "AC 43.13-1B 7-149g", 40),
            Example({"worn": "40"}, "beyond", "AC 43.13-1B 7-149g", 40),
        ),
        rule=_wear,
    ),
    Limit(
        id="cable-terminal-age",
        title="Age of stainless cable terminals",
        system="controls",
        inputs=(
            Input("steel", "Steel of the terminal", choices=("303se-or-304", "other")),
            Input("control", "What the cable moves", choices=("pitch-roll-or-yaw", "trim-or-flap")),
            Input("years", "In service; leave out when unknown", "year", 0, 120, optional=True),
        ),
        sources=(_OLD,),
        basis="An Australian directive for aeroplanes to 5,700 kg; elsewhere guidance only, not a US limit.",
        assumes=("Years of the terminal itself, not of the aircraft.",),
        does_not_cover=("Corrosion, pits or cracks seen at any age: replace.", "Terminals of other steels."),
        caution=_SNAG + " A terminal with a crack can part in the hand: no tension while it is looked at.",
        examples=(
            Example(
                {"steel": "303se-or-304", "control": "pitch-roll-or-yaw", "years": "15"},
                "beyond", "CASA AD/GENERAL/87 amendment 1: 15 years or more", 15,
            ),
            Example({"steel": "303se-or-304", "control": "pitch-roll-or-yaw"}, "required", "CASA AD/GENERAL/87"),
        ),
        rule=_terminal,
    ),
    Limit(
        id="oval-sleeve",
        title="Order of presses on an oval sleeve",
        system="controls",
        inputs=(
            Input("diameter", "Nominal diameter of the cable", "in", 0.01, 1),
            Input("sleeve", "What it is made of", choices=("copper", "other")),
            Input(
                "presses", "Order of three presses", choices=("centre-thimble-far", "ends-then-centre", "another-order")
            ),
        ),
        sources=(_SLEEVE, _BETWEEN),
        basis=MAKER_FIRST,
        assumes=("Three presses, the sleeve centred in the right groove, cable end just past the sleeve.",),
        does_not_cover=("The maker's go gauge, which decides.", "Number of presses by size (table 7-6 not readable)."),
        caution="Wire ends spring when cut: eye protection. Proof-load the eye before it flies.",
        examples=(
            Example(
                {"diameter": "1/8", "sleeve": "copper", "presses": "centre-thimble-far"},
                "within", "AC 43.13-1B 7-148c",
            ),
            Example(
                {"diameter": "1/8", "sleeve": "copper", "presses": "ends-then-centre"},
                "beyond", "sleeve maker's bulletin, as restated",
            ),
        ),
        rule=_sleeve,
    ),
)  # fmt: skip
