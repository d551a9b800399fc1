"""Limits of the rivet itself: size for the sheet, length, substitution, material, formed head, through a tube."""

from __future__ import annotations

from kb.limits.basis import MAKER_FIRST
from kb.limits.model import Example, Input, Limit, Ruling, compare
from kb.limits.ruling import at_least, needed, not_covered, passes, with_notes, worst
from kb.limits.sheet_metal_rivets import CAUTION, DIAMETER
from kb.limits.tables import next_up
from kb.limits.units import say
from kb.model import Source

_AC = "AC 43.13-1B"
_SIZE = Source(_AC, "4-58g(2)(a)", "Rivet diameter about three times the thickness of the sheet.", "read")
_NAVY = Source(
    "NAVEDTRA 14018", "chapter 13", "Least the thickest sheet; 3/32 in structural; length G + 1.5 D.", "read"
)
_SUBSTITUTE = Source(_AC, "4-57b", "2017 to 3/16, 2024 to 5/32: 2117 one size (1/32 in) larger.", "read")
_MATERIAL = Source(_AC, "7-2c-e", "1100 only non-structural; magnesium takes 5056; no galvanised on steel.", "read")
_PULL = Source(_AC, "4-57f(9)", "Common pull-type rivets for other trades are not approved on structure.", "read")
_TUBE = Source(_AC, "4-58a", "Through a hollow tube: at least 1/8 of its diameter, small head.", "read")
_HEAD = Source(_AC, "figure 4-6", "Formed head 1.5 D wide, 0.5 D high (FAA test bank wording).", "secondary")

SIZES = {0.09375: "3/32", 0.125: "1/8", 0.15625: "5/32", 0.1875: "3/16", 0.25: "1/4"}
"""Rivet sizes of the columns of tables 4-9 to 4-11."""
SUBSTITUTE_UP_TO = {"2017": 0.1875, "2024": 0.15625}
"""AC 43.13-1B 4-57b [read], in."""
_STEP = 0.03125


def _size(thickest: float, diameter: float | None) -> Ruling:
    larger = next_up(SIZES, 3 * thickest)
    notes = [f"about 3 t is {say(3 * thickest, 'in')}"]
    if larger:
        notes.append(f"the next size up is {larger[1]} in; the example of 4-58g takes it so (0.096 gives 1/8)")
    else:
        notes.append("3 t is past the 1/4 in of the rivet tables")
    notes.append("the Navy text has 3 t as the most, which the example of 4-58g passes: 1/8 in sheet of 0.032")
    if diameter is None:
        if larger is None:
            return not_covered("three times this sheet is past the sizes of the rivet tables", _SIZE)
        return needed(f"rivet of {larger[1]} in", larger[0], "in", source=_SIZE, notes=tuple(notes))
    ruling = worst(
        at_least("rivet against the thickest sheet", diameter, thickest, "in", source=_NAVY),
        at_least("rivet for structure", diameter, 0.09375, "in", source=_NAVY),
    )
    return with_notes(ruling, *notes)


def _length(grip: float, diameter: float) -> Ruling:
    length = grip + 1.5 * diameter
    return needed(f"length {say(length, 'in')}: grip and 1.5 diameters", length, "in", source=_NAVY)


def _substitute(alloy: str, diameter: float, fitted: float | None) -> Ruling:
    top = SUBSTITUTE_UP_TO[alloy]
    if compare(diameter, top) > 0:
        return not_covered(f"{alloy} over {say(top, 'in')} has no 2117 substitute in the paragraph", _SUBSTITUTE)
    wanted = diameter + _STEP
    if fitted is not None and compare(fitted, wanted + 0.001) > 0:
        return not_covered("the paragraph has one size larger, and no more", _SUBSTITUTE)
    note = "one size (1/32 in) larger, for general repairs; edge distance and pitch go by the larger rivet"
    return at_least("2117 rivet instead", fitted, wanted, "in", source=_SUBSTITUTE, notes=(note,))


def _material(rivet: str, structure: str) -> Ruling:
    if rivet == "common-pull-type":
        text = "beyond: common pull-type rivets are not approved on certificated structure"
        return passes(text, is_fit=False, source=_PULL)
    if structure == "magnesium":
        is_fit = rivet == "5056"
        text = "magnesium is riveted with 5056 only"
    elif structure == "steel" and rivet == "galvanised-steel":
        is_fit, text = False, "no galvanised rivets on steel"
    elif rivet == "1100":
        is_fit = structure == "non-structural-soft-alloy"
        text = "1100 only in non-structural parts of softer alloys (1100, 3003, 5052)"
    elif structure == "aluminium-structure" and rivet == "2117":
        is_fit, text = True, "2117 is the rivet most used; the maker's rivet comes first (7-2a)"
    else:
        return not_covered(f"the paragraph has no sentence on {rivet} in {structure.replace('-', ' ')}", _MATERIAL)
    return passes(f"{'within' if is_fit else 'beyond'}: {text}", is_fit=is_fit, source=_MATERIAL)


def _through_tube(tube: float, diameter: float | None) -> Ruling:
    ruling = at_least("rivet through a hollow tube", diameter, tube / 8, "in", source=_TUBE)
    return with_notes(ruling, "form a small head only: it works in shear")


def _formed_head(diameter: float) -> Ruling:
    width, height = say(1.5 * diameter, "in"), say(0.5 * diameter, "in")
    text = f"formed head {width} wide and {height} high"
    return needed(text, 1.5 * diameter, "in", source=_HEAD, notes=("the tolerance stands in figure 4-6, not read",))


LIMITS = (
    Limit(
        id="rivet-size",
        title="Rivet diameter for the sheet",
        system="sheet-metal",
        inputs=(
            Input("thickest", "Thickness of the thickest sheet joined", "in", 0.01, 0.25),
            Input("diameter", "Diameter of the rivet", "in", 0.03, 0.5, optional=True),
        ),
        sources=(_SIZE, _NAVY),
        basis=MAKER_FIRST,
        assumes=("Copy the size of the maker's seam where there is one; this is for a new one.",),
        does_not_cover=("Too large a rivet: the two sources differ, and the note gives both.",),
        caution=CAUTION,
        examples=(
            Example({"thickest": "0.032"}, "required", "AC 43.13-1B 4-58g: 3 x 0.032 is 0.096, use 1/8", 0.125),
            Example({"thickest": "0.032", "diameter": "1/16 in"}, "beyond", "computed from NAVEDTRA 14018", 0.09375),
        ),
        rule=_size,
    ),
    Limit(
        id="rivet-length",
        title="Length of a solid rivet",
        system="sheet-metal",
        inputs=(Input("grip", "Thickness of all sheets together", "in", 0.01, 3), DIAMETER),
        sources=(_NAVY,),
        basis=MAKER_FIRST,
        assumes=("Protruding head: length is counted under the head.",),
        does_not_cover=("Flush and pull-type rivets.",),
        caution=CAUTION,
        examples=(
            Example(
                {"grip": "0.064", "diameter": "1/8 in"}, "required", "computed from NAVEDTRA 14018 ch. 13", 0.2515
            ),
        ),
        rule=_length,
    ),
    Limit(
        id="rivet-substitution",
        title="2117 rivet instead of 2017 or 2024",
        system="sheet-metal",
        inputs=(
            Input("alloy", "Alloy of the original rivet", choices=tuple(SUBSTITUTE_UP_TO)),
            DIAMETER,
            Input("fitted", "Diameter of the 2117 rivet", "in", 0.03, 0.5, optional=True),
        ),
        sources=(_SUBSTITUTE,),
        basis=MAKER_FIRST,
        assumes=("General repairs; edge distance and pitch still meet the minimum.",),
        does_not_cover=("Larger rivets, and rivets of any other alloy.",),
        caution=CAUTION,
        examples=(
            Example(
                {"alloy": "2017", "diameter": "3/16 in"}, "required", "AC 43.13-1B 4-57b: 3/16 or less", 0.21875
            ),
            Example(
                {"alloy": "2024", "diameter": "5/32 in", "fitted": "3/16 in"},
                "at", "AC 43.13-1B 4-57b: 5/32 or less, one size larger", 0.1875,
            ),
            Example({"alloy": "2024", "diameter": "3/16 in"}, "not-covered", "AC 43.13-1B 4-57b"),
        ),
        rule=_substitute,
    ),
    Limit(
        id="rivet-material",
        title="Rivet material for the structure",
        system="sheet-metal",
        inputs=(
            Input(
                "rivet", "Rivet", choices=("1100", "2117", "5056", "monel", "galvanised-steel", "common-pull-type")
            ),
            Input(
                "structure", "What it joins",
                choices=("aluminium-structure", "non-structural-soft-alloy", "magnesium", "steel"),
            ),
        ),
        sources=(_MATERIAL, _PULL),
        basis=MAKER_FIRST,
        assumes=("The rivet is known by its head mark.",),
        does_not_cover=("Strength and corrosion of the pair: see rivet-count and the metal pair.",),
        caution=CAUTION + " Magnesium chips burn: no sparks, no water on them.",
        examples=(
            Example({"rivet": "2117", "structure": "magnesium"}, "beyond", "AC 43.13-1B 7-2c-e"),
            Example({"rivet": "5056", "structure": "magnesium"}, "within", "AC 43.13-1B 7-2c-e"),
            Example({"rivet": "monel", "structure": "aluminium-structure"}, "not-covered", "computed"),
        ),
        rule=_material,
    ),
    Limit(
        id="rivet-through-tube",
        title="Solid rivet through a hollow tube",
        system="sheet-metal",
        inputs=(
            Input("tube", "Outside diameter of the tube", "in", 0.1, 4),
            Input("diameter", "Diameter of the rivet", "in", 0.03, 0.5, optional=True),
        ),
        sources=(_TUBE,),
        basis=MAKER_FIRST,
        assumes=("A solid rivet that works in shear.",),
        does_not_cover=("Bolts and hollow rivets.",),
        caution=CAUTION + " Too large a head crushes the tube.",
        examples=(
            Example({"tube": "1", "diameter": "1/8 in"}, "at", "computed from AC 43.13-1B 4-58a", 0.125),
            Example({"tube": "1.25", "diameter": "1/8 in"}, "beyond", "computed from AC 43.13-1B 4-58a", 0.15625),
        ),
        rule=_through_tube,
    ),
    Limit(
        id="rivet-formed-head",
        title="Formed head of a rivet",
        system="sheet-metal",
        inputs=(DIAMETER,),
        sources=(_HEAD,),
        basis=MAKER_FIRST,
        assumes=("Solid rivet, driven square.",),
        does_not_cover=("How much more or less may pass: figure 4-6, not read.",),
        caution=CAUTION,
        examples=(Example({"diameter": "1/8 in"}, "required", "computed from AC 43.13-1B figure 4-6", 0.1875),),
        rule=_formed_head,
    ),
)  # fmt: skip
