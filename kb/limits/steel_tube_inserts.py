"""Limits of steel tube: inner sleeve, streamline tube insert, patch at a cluster, stop-drilling. AC 43.13-1B ch. 4."""

from __future__ import annotations

from kb.limits.basis import MAKER_FIRST
from kb.limits.model import Example, Input, Limit, Ruling, compare
from kb.limits.ruling import at_least, at_most, needed, not_covered, passes, unmeasured, with_notes, worst
from kb.limits.steel_tube import CAUTION_WELD, DIAMETER, HEAT
from kb.limits.tables import row_of
from kb.limits.units import say
from kb.model import Source

_AC = "AC 43.13-1B"
FIGURE_4_42: dict[str, tuple[float, float, float, float]] = {
    "1": (0.375, 0.563, 1.340, 0.496),
    "1-1/4": (0.375, 0.688, 1.670, 0.619),
    "1-1/2": (0.500, 0.875, 2.005, 0.743),
    "1-3/4": (0.500, 1.000, 2.339, 0.867),
    "2": (0.500, 1.125, 2.670, 0.991),
    "2-1/4": (0.500, 1.250, 3.008, 1.115),
    "2-1/2": (0.500, 1.375, 3.342, 1.239),
}
"""AC 43.13-1B figure 4-42 [read], all seven rows, in: A slot, B outside diameter of the insert, C major axis, D."""

_STREAMLINE = Source(_AC, "figure 4-42", "Streamline tube with round insert, one gauge thicker.", "read")
_INNER = Source(_AC, "4-95, 4-96, figure 4-37", "Inner sleeve, as restated on owners' and welders' pages.", "secondary")
_CLUSTER = Source(_AC, "4-91c", "Formed patch plate at a cluster, as restated on a training page.", "secondary")
_STOP_TUBE = Source(_AC, "4-91d", "Cracks in a tube stop-drilled No. 40 (0.098 in) before the sleeve.", "read")
_STOP_SHEET = Source(_AC, "4-59a, b", "Cracks in sheet stop-drilled 3/32 or 1/8 in, then reinforced.", "read")

_STOP_SIZES = {
    "tube": {0.098: "No. 40"},
    "sheet": {0.09375: "3/32 in", 0.125: "1/8 in", 0.1285: "1/8 in (No. 30)"},
}
"""Holes by diameter in inches. AC 43.13-1B 3-40a prints No. 30, 0.1285 in, for 1/8 in, so it is that here too."""


def _streamline(size: str, insert: float | None, wall: float | None, insert_wall: float | None) -> Ruling:
    slot, outside, major, d = FIGURE_4_42[size]
    note = f"size {size}: slot A {slot:.3f}, insert B {outside:.3f}, major axis C {major:.3f}, D {d:.3f} in"
    rulings: list[Ruling] = []
    if insert is None:
        rulings.append(
            needed(f"insert: outside diameter {say(outside, 'in')} required", outside, "in", source=_STREAMLINE)
        )
    else:
        is_fit = row_of({outside: True}, insert) is True
        text = f"insert {say(insert, 'in')}, the figure has {outside:.3f} in"
        rulings.append(passes(f"{'within' if is_fit else 'beyond'}: {text}", is_fit=is_fit, source=_STREAMLINE))
    if wall is not None and insert_wall is not None:
        what = "wall of the insert"
        rulings.append(at_least(what, insert_wall, wall, "in", equal_is_enough=False, source=_STREAMLINE))
    return with_notes(worst(*rulings), note, "insert: same material, one gauge thicker than the streamline tube")


def _inner_sleeve(
    bore: float, sleeve: float, gap: float | None, wall: float | None, sleeve_wall: float | None
) -> Ruling:
    if compare(sleeve, bore) > 0:
        text = f"beyond: {say(sleeve, 'in')} does not go into a bore of {say(bore, 'in')}"
        return passes(text, is_fit=False, source=_INNER)
    rulings = [at_most("sleeve under the bore", bore - sleeve, 0.0625, "in", source=_INNER)]
    if wall is not None and sleeve_wall is not None:
        rulings.append(at_least("wall of the sleeve", sleeve_wall, wall, "in", source=_INNER))
    told = ["30 degree scarf, gap between the ends 1/8 in, rosette welds"]
    if gap is not None:
        told.append(f"gap found {say(gap, 'in')}; no tolerance is printed for the 1/8 in")
    walls = None if wall is None else sleeve_wall
    return with_notes(worst(*rulings), *told, *unmeasured((walls, "wall no thinner than the original")))


def _cluster(
    diameter: float, reach: float | None, gap: float | None, heaviest_wall: float | None, plate: float | None
) -> Ruling:
    rulings = [at_least("reach of the finger", reach, 1.5 * diameter, "in", source=_CLUSTER)]
    if gap is not None:
        rulings.append(at_most("gap to the contour before welding", gap, 0.0625, "in", source=_CLUSTER))
    if heaviest_wall is not None and plate is not None:
        rulings.append(at_least("thickness of the plate", plate, heaviest_wall, "in", source=_CLUSTER))
    plate_note = "plate: material and thickness of the heaviest tube; judge each finger by itself"
    left = unmeasured((gap, "at most 1/16 in from the contour before welding"))
    return with_notes(worst(*rulings), plate_note, *left)


def _stop_drill(where: str, drill: float | None) -> Ruling:
    source, sizes = (_STOP_TUBE, _STOP_SIZES["tube"]) if where == "tube" else (_STOP_SHEET, _STOP_SIZES["sheet"])
    said = " or ".join(size for size in sizes.values() if "No. 30" not in size)
    after = "then the split sleeve (4-92)" if where == "tube" else "then reinforce; thicker sheet alone does not help"
    if drill is None:
        return needed(f"stop-drill {said}", source=source, notes=(after,))
    is_fit = row_of(sizes, drill, within=0.002) is not None
    if not is_fit and compare(drill, min(sizes)) > 0 and compare(drill, max(sizes)) < 0:
        return not_covered(f"{say(drill, 'in')} lies between the two printed holes, {said}", source, notes=(after,))
    text = f"{'within' if is_fit else 'beyond'}: hole {say(drill, 'in')}, the source has {said}"
    return passes(text, is_fit=is_fit, source=source, notes=(after,))


LIMITS = (
    Limit(
        id="tube-streamline",
        title="Insert for a splice in streamline tube",
        system="steel-tube",
        inputs=(
            Input("size", "Size of the streamline tube (equivalent round)", choices=tuple(FIGURE_4_42)),
            Input("insert", "Outside diameter of the insert", "in", 0.1, 4, optional=True),
            Input("wall", "Wall of the streamline tube", "in", 0.01, 0.5, optional=True),
            Input("insert-wall", "Wall of the insert", "in", 0.01, 0.5, optional=True),
        ),
        sources=(_STREAMLINE,),
        basis=MAKER_FIRST,
        assumes=(HEAT, "A thousandth either way is the same size; the figure prints no tolerance."),
        does_not_cover=(
            "Brace struts: a repetitive directive may govern them; look for it first. Place of the splice: 4-101a.",
            "Sizes between the seven rows.",
        ),
        caution=CAUTION_WELD,
        examples=(
            Example({"size": "1-1/2"}, "required", "AC 43.13-1B figure 4-42", 0.875),
            Example({"size": "2", "insert": "1.125"}, "within", "AC 43.13-1B figure 4-42"),
            Example({"size": "2", "insert": "1.0"}, "beyond", "computed"),
        ),
        rule=_streamline,
    ),
    Limit(
        id="tube-inner-sleeve",
        title="Splice with an inner sleeve",
        system="steel-tube",
        inputs=(
            Input("bore", "Inside diameter of the original tube", "in", 0.1, 6),
            Input("sleeve", "Outside diameter of the sleeve", "in", 0.1, 6),
            Input("gap", "Gap between the tube ends", "in", 0, 2, optional=True),
            Input("wall", "Wall of the original tube", "in", 0.01, 0.5, optional=True),
            Input("sleeve-wall", "Wall of the sleeve", "in", 0.01, 0.5, optional=True),
        ),
        sources=(_INNER,),
        basis=MAKER_FIRST,
        assumes=(HEAT, "Same material as the original tube."),
        does_not_cover=("Length of the sleeve and place of the rosettes: figure 4-37, not read.",),
        caution=CAUTION_WELD,
        examples=(
            Example({"bore": "0.93", "sleeve": "0.875"}, "within", "computed from AC 43.13-1B 4-96", 0.0625),
            Example({"bore": "0.93", "sleeve": "0.86"}, "beyond", "computed from AC 43.13-1B 4-96", 0.0625),
        ),
        rule=_inner_sleeve,
    ),
    Limit(
        id="tube-cluster-patch",
        title="Patch plate over a dent at a cluster",
        system="steel-tube",
        inputs=(
            DIAMETER,
            Input("reach", "How far the finger reaches along this tube", "in", 0, 60, optional=True),
            Input("gap", "Greatest gap to the contour before welding", "in", 0, 1, optional=True),
            Input("heaviest-wall", "Wall of the heaviest tube in the cluster", "in", 0.01, 0.5, optional=True),
            Input("plate", "Thickness of the plate", "in", 0.01, 0.5, optional=True),
        ),
        sources=(_CLUSTER,),
        basis=MAKER_FIRST,
        assumes=(HEAT, "The tubes at the joint are not cracked; old finish is off."),
        does_not_cover=("Clusters with cracks or a fitting welded in.",),
        caution=CAUTION_WELD,
        examples=(
            Example({"diameter": "0.75"}, "required", "computed from AC 43.13-1B 4-91c", 1.125),
            Example({"diameter": "0.75", "reach": "1.2", "gap": "1/16 in"}, "at", "computed", 0.0625),
        ),
        rule=_cluster,
    ),
    Limit(
        id="stop-drill",
        title="Stop-drilling a crack",
        system="sheet-metal",
        inputs=(
            Input("where", "What is cracked", choices=("tube", "sheet")),
            Input("drill", "Diameter of the hole", "in", 0.01, 1, optional=True),
        ),
        sources=(_STOP_TUBE, _STOP_SHEET),
        basis=MAKER_FIRST,
        assumes=("The end of the crack was found with penetrant or a glass, and the hole takes it in.",),
        does_not_cover=("Fittings: cracked means replace (4-60a).", "Whether the crack may be repaired at all."),
        caution="A stop-drilled crack without reinforcement is no repair; deburr, and mind what lies behind the skin.",
        examples=(
            Example({"where": "tube", "drill": "0.098"}, "within", "AC 43.13-1B 4-91d"),
            Example({"where": "sheet", "drill": "1/8 in"}, "within", "AC 43.13-1B 4-59a"),
            Example({"where": "sheet", "drill": "1/16 in"}, "beyond", "computed from AC 43.13-1B 4-59a"),
        ),
        rule=_stop_drill,
    ),
)  # fmt: skip
