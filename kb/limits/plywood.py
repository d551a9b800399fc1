"""Limits of plywood skins: bend radius and the kinds of patch. From AC 43.13-1B chapter 1 section 4 unless said."""

from __future__ import annotations

from kb.limits.model import Example, Input, Limit, Ruling
from kb.limits.ruling import at_least, at_most, not_covered, passes, unmeasured, with_notes, worst
from kb.limits.tables import row_of
from kb.limits.units import say
from kb.limits.wood import BASIS
from kb.model import Source

_AC = "AC 43.13-1B"

BEND = ("dry-90", "dry-0-or-45", "soaked-90", "soaked-0-or-45")

TABLE_1_2: dict[str, dict[float, tuple[float, float, float, float]]] = {
    "3": {
        0.035: (2.0, 1.1, 0.5, 0.1),
        0.070: (5.2, 3.2, 1.5, 0.4),
        0.100: (8.6, 5.2, 2.6, 0.8),
        0.125: (12, 7.1, 3.8, 1.2),
        0.155: (16, 10, 5.3, 1.8),
        0.185: (20, 13, 7.1, 2.6),
    },
    "5": {
        0.160: (17, 11, 6, 2),
        0.190: (21, 14, 7, 3),
        0.225: (27, 17, 10, 4),
        0.250: (31, 20, 12, 5),
        0.315: (43, 28, 16, 7),
        0.375: (54, 36, 21, 10),
    },
}
"""AC 43.13-1B table 1-2 [read], by plies and thickness in inches: least bend radius in inches at 10 % moisture, cold
mandrel (90 deg, then 0 or 45 deg to the face grain), then soaked in hot water on a cold mandrel (the same two)."""

_BEND = Source(_AC, "table 1-2", "Least bend radius by thickness, plies, moisture and grain.", "read")
_SPLAYED = Source(_AC, "1-51a", "Hole at most 15 times the skin, skin at most 1/10 in.", "read")
_SURFACE = Source(_AC, "1-51b", "Aft of 10 % chord; perimeter 50 in; corners 5t; bevel 4t; fabric laps 2 in.", "read")
_SCARF = Source(_AC, "1-51c", "Skin radius of curvature over 100t; slope not steeper than 1 in 12.", "read")
_CLOTH = Source("FAA-H-8083-31", "chapter 6", "Fabric patch on plywood (reposted text of the handbook).", "secondary")

_DUST = "Old finish and glue dust harm the lungs; keep solvents off the glue line."
_SKIN = Input("thickness", "Thickness of the skin", "in", 0.01, 1)


def _bend_radius(thickness: float, plies: str, bend: str, radius: float | None) -> Ruling:
    row = row_of(TABLE_1_2[plies], thickness)
    if row is None:
        sizes = ", ".join(f"{size:.3f}" for size in TABLE_1_2[plies])
        return not_covered(f"{say(thickness, 'in')} of {plies} plies is no row of the table ({sizes} in)", _BEND)
    return at_least("bend radius", radius, float(row[BEND.index(bend)]), "in", source=_BEND)


def _splayed_patch(thickness: float, hole: float | None) -> Ruling:
    return worst(
        at_most("largest way across the hole", hole, 15 * thickness, "in", source=_SPLAYED),
        at_most("thickness of the skin", thickness, 0.1, "in", source=_SPLAYED),
    )


def _surface_patch(
    thickness: float, place: str, perimeter: float, corner: float, bevel: float, lap: float | None
) -> Ruling:
    if place == "other":
        return passes(
            "beyond: the patch must lie wholly aft of 10 % chord, or wrap the leading edge and end aft of it",
            is_fit=False,
            source=_SURFACE,
        )
    rulings = [
        at_most("perimeter of the patch", perimeter, 50.0, "in", source=_SURFACE),
        at_least("corner radius", corner, 5 * thickness, "in", source=_SURFACE),
        at_least("bevel of the forward edges", bevel, 4 * thickness, "in", source=_SURFACE),
    ]
    if lap is not None:
        rulings.append(at_least("lap of the fabric over the old", lap, 2.0, "in", source=_SURFACE))
    return with_notes(worst(*rulings), *unmeasured((lap, "2 in of lap of the fabric over the old")))


def _scarf_patch(thickness: float, curvature: float, slope: float | None) -> Ruling:
    rulings = [at_least("radius of curvature", curvature, 100 * thickness, "in", equal_is_enough=False, source=_SCARF)]
    rulings.append(at_least("run of the scarf for one of depth", slope, 12.0, "", source=_SCARF))
    return worst(*rulings)


def _cloth_patch(hole: float, lap: float, place: str, from_frame: float) -> Ruling:
    if place != "elsewhere":
        return passes(f"beyond: no fabric patch on the {place.replace('-', ' ')}", is_fit=False, source=_CLOTH)
    ruling = worst(
        at_most("trimmed hole", hole, 1.0, "in", source=_CLOTH),
        at_least("lap of the cloth", lap, 1.0, "in", source=_CLOTH),
        at_least("distance from a frame member", from_frame, 1.0, "in", source=_CLOTH),
    )
    return with_notes(ruling, "seal the cut edges of the plywood first")


LIMITS = (
    Limit(
        id="plywood-bend-radius",
        title="Bend radius of plywood",
        system="wood",
        inputs=(
            _SKIN,
            Input("plies", "Number of plies", choices=tuple(TABLE_1_2)),
            Input("bend", "How it is bent, and the angle to the face grain", choices=BEND),
            Input("radius", "Radius wanted or found", "in", 0, 500, optional=True),
        ),
        sources=(_BEND,),
        basis=BASIS,
        assumes=("Dry means 10 % moisture, soaked means soaked in hot water; both on a cold mandrel.",),
        does_not_cover=("Thicknesses between the rows.", "Heated mandrels and steam."),
        caution="Hot water scalds; a piece that cracks while bending throws splinters.",
        examples=(
            Example({"thickness": ".070", "plies": "3", "bend": "dry-90"}, "required", "AC 43.13-1B table 1-2", 5.2),
            Example({"thickness": ".08", "plies": "3", "bend": "dry-90"}, "not-covered", "computed"),
        ),
        rule=_bend_radius,
    ),
    Limit(
        id="plywood-splayed-patch",
        title="Splayed patch in plywood skin",
        system="wood",
        inputs=(_SKIN, Input("hole", "Largest dimension of the hole", "in", 0, 60, optional=True)),
        sources=(_SPLAYED,),
        basis=BASIS,
        assumes=("The taper ring is 5 times the skin wide.",),
        does_not_cover=("Holes over a frame member.",),
        caution=_DUST,
        examples=(
            Example({"thickness": "0.10", "hole": "1.5"}, "at", "FAA-H-8083-31 chapter 6, reposted", 1.5),
            Example({"thickness": "1/8 in", "hole": "1"}, "beyond", "computed"),
        ),
        rule=_splayed_patch,
    ),
    Limit(
        id="plywood-surface-patch",
        title="Surface patch on plywood skin",
        system="wood",
        inputs=(
            _SKIN,
            Input("place", "Where it lies", choices=("aft-of-10-percent", "wraps-leading-edge", "other")),
            Input("perimeter", "Length round the patch", "in", 1, 400),
            Input("corner", "Smallest corner radius", "in", 0, 24),
            Input("bevel", "Bevel of the forward edges", "in", 0, 12),
            Input("lap", "Fabric lapping the old fabric", "in", 0, 24, optional=True),
        ),
        sources=(_SURFACE,),
        basis=BASIS,
        assumes=("At most one bay; grain as the skin; a wrapped patch ends aft of 10 % chord.",),
        does_not_cover=("Patches over more than one bay.",),
        caution=_DUST,
        examples=(
            Example(
                {"thickness": ".1", "place": "aft-of-10-percent", "perimeter": "50", "corner": ".5", "bevel": ".4"},
                "at", "AC 43.13-1B 1-51b", 50,
            ),
        ),
        rule=_surface_patch,
    ),
    Limit(
        id="plywood-scarf-patch",
        title="Scarf patch in plywood skin",
        system="wood",
        inputs=(
            _SKIN,
            Input("curvature", "Smallest radius of curvature at the opening", "in", 0.1, 100_000),
            Input("slope", "Run of the scarf for one of depth", "", 1, 100, optional=True),
        ),
        sources=(_SCARF,),
        basis=BASIS,
        assumes=("The edges are planed or accurately sanded, not rasped or sawn.",),
        does_not_cover=("The rest of the sentence before the 100t figure, which was not readable.",),
        caution=_DUST,
        examples=(
            Example({"thickness": "0.1", "curvature": "11", "slope": "12"}, "at", "AC 43.13-1B 1-51c", 12),
            Example({"thickness": "0.1", "curvature": "10", "slope": "12"}, "beyond", "AC 43.13-1B 1-51c", 10),
        ),
        rule=_scarf_patch,
    ),
    Limit(
        id="plywood-cloth-patch",
        title="Fabric patch over a hole in plywood",
        system="wood",
        inputs=(
            Input("hole", "Diameter of the trimmed hole", "in", 0, 24),
            Input("lap", "Cloth beyond the edge of the hole", "in", 0, 12),
            Input("place", "Where it is", choices=("wing-leading-edge", "frontal-fuselage", "elsewhere")),
            Input("from-frame", "Distance to the nearest frame member", "in", 0, 100),
        ),
        sources=(_CLOTH,),
        basis=BASIS,
        assumes=("The edges of the hole are sealed.",),
        does_not_cover=("Holes in load-carrying webs.",),
        caution="Dope and thinner: no flame, no spark, fresh air.",
        examples=(
            Example(
                {"hole": "1", "lap": "1", "place": "elsewhere", "from-frame": "3"},
                "at", "FAA-H-8083-31 chapter 6, reposted", 1,
            ),
        ),
        rule=_cloth_patch,
    ),
)  # fmt: skip
