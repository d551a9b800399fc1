"""Limits of welded steel tube: dents, holes, patches, split sleeves, splices with a larger tube. AC 43.13-1B ch. 4."""

from __future__ import annotations

import math

from kb.limits.basis import MAKER_FIRST
from kb.limits.model import Example, Input, Limit, Ruling, compare
from kb.limits.ruling import at_least, at_most, passes, unmeasured, with_notes, worst
from kb.limits.units import say
from kb.model import Source

_AC = "AC 43.13-1B"
_DENT = Source(_AC, "4-94a", "Dent: depth 1/10, length 1 diameter, 1/4 of the circumference; sound.", "read")
_HOLE = Source(_AC, "4-94b", "Hole: length at most one diameter and at most 1/4 of the circumference.", "read")
_PATCH = Source(_AC, "4-94", "Patch of the same material, one gauge thicker.", "read")
_SLEEVE = Source(_AC, "4-92, figure 4-35", "Sleeve reaches 1.5 diameters past the damage on each side.", "read")
_LARGER = Source(_AC, "4-97", "Stubs 2.5 and 4.5 diameters, overlap 1.5, slack 1/16 in, wall no thinner.", "read")

CAUTION_WELD = (
    "Before any flame or arc: fabric, dope and fuel vapour out of the way, inside of the tube free of oil, fire guard;"
    " find out first whether the member is heat treated (4-102d)."
)
HEAT = "The member is of weldable steel, identified, and not heat treated (4-76, 4-102d)."
_PLACE = (
    "Where on the tube a patch may lie: figure 4-36. Remembered, not read: not in the middle third, not on a joint."
)

DIAMETER = Input("diameter", "Outside diameter of the tube", "in", 0.1, 6)
_WALL = Input("wall", "Wall of the original tube, to hold the new one against", "in", 0.01, 0.5, optional=True)


def _wall(what: str, wall: float | None, new: float | None, source: Source, *, thicker: bool) -> list[Ruling]:
    """Judge the wall of patch or sleeve against the original; nothing when either was not given."""
    if wall is None or new is None:
        return []
    return [at_least(what, new, wall, "in", equal_is_enough=not thicker, source=source)]


def _no_thinner(wall: float | None, new: float | None) -> tuple[float | None, str]:
    return None if wall is None else new, "wall no thinner than the original"


def _dent(
    diameter: float, depth: float, length: float, arc: float, cracked: str, reformed: str,
    wall: float | None, patch: float | None,
) -> Ruling:  # fmt: skip
    sound: list[Ruling] = []
    if cracked == "yes":
        sound.append(passes("beyond: crack, abrasion or sharp corner in the dent", is_fit=False, source=_DENT))
    if reformed == "no":
        sound.append(passes("beyond: it cannot be largely re-formed without cracking", is_fit=False, source=_DENT))
    ruling = worst(
        at_most("depth of the dent", depth, diameter / 10, "in", source=_DENT),
        at_most("length of the dent", length, diameter, "in", source=_DENT),
        at_most("arc of the dent", arc, math.pi * diameter / 4, "in", source=_DENT),
        *sound,
        *_wall("thickness of the patch", wall, patch, _PATCH, thicker=True),
    )
    return with_notes(ruling, *_patch_notes(ruling))


def _hole(diameter: float, length: float, arc: float, wall: float | None, patch: float | None) -> Ruling:
    ruling = worst(
        at_most("length of the hole", length, diameter, "in", source=_HOLE),
        at_most("arc of the hole", arc, math.pi * diameter / 4, "in", source=_HOLE),
        *_wall("thickness of the patch", wall, patch, _PATCH, thicker=True),
    )
    return with_notes(ruling, *_patch_notes(ruling))


def _patch_notes(ruling: Ruling) -> tuple[str, ...]:
    if ruling.verdict == "beyond":
        return ("no welded patch: split sleeve (4-92) or a new piece (4-95 to 4-97)", "never fill with welding rod")
    return ("patch: same material, one gauge thicker (4-94)", "never fill with welding rod (4-92)")


def _split_sleeve(
    diameter: float, damage: float, fitted: float | None, reach: float | None, wall: float | None, sleeve: float | None
) -> Ruling:
    rulings = [at_least("length of the sleeve", fitted, damage + 3 * diameter, "in", source=_SLEEVE)]
    if reach is not None:
        rulings.append(at_least("shorter reach past the damage", reach, 1.5 * diameter, "in", source=_SLEEVE))
    rulings += _wall("wall of the sleeve", wall, sleeve, _SLEEVE, thicker=False)
    note = "ends cut at 30 degrees, welded along both sides and both ends; reach is counted from crack or dent"
    left = unmeasured((reach, f"{say(1.5 * diameter, 'in')} past the damage on each side"), _no_thinner(wall, sleeve))
    return with_notes(worst(*rulings), note, *left)


def _larger_tube(
    diameter: float, short_stub: float, long_stub: float, bore: float, overlap: float | None, wall: float | None,
    new_wall: float | None,
) -> Ruling:  # fmt: skip
    if compare(bore, diameter) < 0:
        text = f"beyond: a bore of {say(bore, 'in')} does not go over {say(diameter, 'in')}"
        return passes(text, is_fit=False, source=_LARGER)
    rulings = [
        at_least("short stub", short_stub, 2.5 * diameter, "in", source=_LARGER),
        at_least("long stub", long_stub, 4.5 * diameter, "in", source=_LARGER),
        at_most("slack of the larger tube", bore - diameter, 0.0625, "in", source=_LARGER),
        at_least("overlap at each end", overlap, 1.5 * diameter, "in", source=_LARGER),
        *_wall("wall of the larger tube", wall, new_wall, _LARGER, thicker=False),
    ]
    left = unmeasured(_no_thinner(wall, new_wall))
    return with_notes(worst(*rulings), "let one end cool fully before the other is welded (4-97)", *left)


LIMITS = (
    Limit(
        id="tube-dent-patch",
        title="Welded patch over a dent in a steel tube",
        system="steel-tube",
        inputs=(
            DIAMETER,
            Input("depth", "Greatest depth of the dent", "in", 0, 6),
            Input("length", "Length of the dent along the tube", "in", 0, 120),
            Input("arc", "How far it goes round, measured on the tube", "in", 0, 20),
            Input("cracked", "Crack, abrasion or sharp corner in it", choices=("yes", "no")),
            Input("reformed", "Can it be largely re-formed without cracking", choices=("yes", "no")),
            _WALL,
            Input("patch", "Thickness of the patch", "in", 0.01, 0.5, optional=True),
        ),
        sources=(_DENT, _PATCH),
        basis=MAKER_FIRST,
        assumes=(HEAT, "All conditions hold together: one that fails rules the patch out."),
        does_not_cover=(_PLACE, "Dents at a cluster: see tube-cluster-patch.", "A tube bent as a whole (4-91d)."),
        caution=CAUTION_WELD,
        examples=(
            Example(
                {"diameter": "1", "depth": "0.100", "length": "1.000", "arc": "0.785", "cracked": "no",
                 "reformed": "yes"},
                "at", "computed from AC 43.13-1B 4-94a: 1 in tube, the limit in all three", 0.1,
            ),
            Example(
                {"diameter": "1", "depth": "0.05", "length": "0.5", "arc": "0.5", "cracked": "yes", "reformed": "yes"},
                "beyond", "computed from AC 43.13-1B 4-94a",
            ),
        ),
        rule=_dent,
    ),
    Limit(
        id="tube-hole-patch",
        title="Welded patch over a hole in a steel tube",
        system="steel-tube",
        inputs=(
            DIAMETER,
            Input("length", "Length of the hole along the tube", "in", 0, 120),
            Input("arc", "How far it goes round, measured on the tube", "in", 0, 20),
            _WALL,
            Input("patch", "Thickness of the patch", "in", 0.01, 0.5, optional=True),
        ),
        sources=(_HOLE, _PATCH),
        basis=MAKER_FIRST,
        assumes=(HEAT, "The hole is dressed to sound metal before it is measured."),
        does_not_cover=(_PLACE, "Holes from rust inside: the wall round them is thin too (6-42)."),
        caution=CAUTION_WELD,
        examples=(
            Example(
                {"diameter": "0.75", "length": "0.75", "arc": "0.5"}, "at", "computed from AC 43.13-1B 4-94b", 0.75
            ),
            Example(
                {"diameter": "1", "length": "0.5", "arc": "0.8"}, "beyond", "computed from AC 43.13-1B 4-94b", 0.785398
            ),
        ),
        rule=_hole,
    ),
    Limit(
        id="tube-split-sleeve",
        title="Length of a welded split sleeve",
        system="steel-tube",
        inputs=(
            DIAMETER,
            Input("damage", "Length of the crack or dent along the tube", "in", 0, 120),
            Input("fitted", "Length of the sleeve", "in", 0, 240, optional=True),
            Input("reach", "Shorter of its two reaches past the damage", "in", 0, 120, optional=True),
            _WALL,
            Input("sleeve", "Wall of the sleeve", "in", 0.01, 0.5, optional=True),
        ),
        sources=(_SLEEVE,),
        basis=MAKER_FIRST,
        assumes=(
            HEAT,
            "Same material; inside diameter of the sleeve about the outside diameter of the tube.",
            "Member straightened and cracks stop-drilled first (4-91d).",
        ),
        does_not_cover=("Bolted sleeves: only if the maker or the authority says so (4-93).", "Joints and clusters."),
        caution=CAUTION_WELD,
        examples=(
            Example({"diameter": "1", "damage": "2"}, "required", "computed from AC 43.13-1B 4-92", 5),
            Example({"diameter": "1", "damage": "2", "fitted": "5", "reach": "1.5"}, "at", "computed", 5),
            Example({"diameter": "1", "damage": "2", "fitted": "5", "reach": "1.4"}, "beyond", "computed", 1.5),
        ),
        rule=_split_sleeve,
    ),
    Limit(
        id="tube-larger-splice",
        title="Splice with a larger tube",
        system="steel-tube",
        inputs=(
            DIAMETER,
            Input("short-stub", "Length of the shorter stub", "in", 0, 120),
            Input("long-stub", "Length of the longer stub", "in", 0, 240),
            Input("bore", "Inside diameter of the larger tube", "in", 0.1, 7),
            Input("overlap", "Shorter overlap at the two ends", "in", 0, 60, optional=True),
            _WALL,
            Input("new-wall", "Wall of the larger tube", "in", 0.01, 0.5, optional=True),
        ),
        sources=(_LARGER,),
        basis=MAKER_FIRST,
        assumes=(HEAT, "Stubs cut square; ends of the larger tube fishmouthed, sharp radius filed out."),
        does_not_cover=("Splices by inner sleeve: see tube-inner-sleeve.", "Streamline tube: see tube-streamline."),
        caution=CAUTION_WELD,
        examples=(
            Example(
                {"diameter": "1", "short-stub": "2.5", "long-stub": "4.5", "bore": "1.0625", "overlap": "1.5"},
                "at", "computed from AC 43.13-1B 4-97", 2.5,
            ),
            Example(
                {"diameter": "1", "short-stub": "3", "long-stub": "5", "bore": "1.07", "overlap": "2"},
                "beyond", "computed from AC 43.13-1B 4-97", 0.0625,
            ),
        ),
        rule=_larger_tube,
    ),
)  # fmt: skip
