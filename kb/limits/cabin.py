"""Limits of acrylic windows and of registration marks."""

from __future__ import annotations

from kb.limits.model import Example, Input, Limit, Ruling, compare
from kb.limits.ruling import at_least, at_most, between, needed, not_covered, worst
from kb.limits.units import say
from kb.model import Source

_LACE = Source(
    "AC 43.13-1B",
    "3-40, 3-40a",
    "Unpressurised only: ends stop-drilled No. 30 (1/8 in); No. 40 holes 1/2 in from the crack, about 1/2 in apart.",
    "read",
)
_NUT = Source(
    "AC 43.13-1B", "3-27b", "Nuts to a firm fit, then back one full turn: snug, still turned with the fingers.", "read"
)
_HOLE = Source("type club adviser", "windows", "Hole 50 to 100 % over the screw, by shop rule.", "secondary")

_MARK = Source("14 CFR", "45.29(c)-(e)", "Width 2/3, stroke 1/6 of the height; gap 1/4 of the width.", "read")

_PLASTIC = "Drill with a blunt, slow drill and a backing block; solvents and threadlocker craze the plastic."
_BASIS = "Does not depend on the certification basis; the maker's data come first."


def _lacing(crack: float, spacing: float, from_crack: float, in_view: str) -> Ruling:
    if in_view == "yes":
        return Ruling("beyond", "beyond: no laced repair in the pilot's line of vision", source=_LACE)
    holes = f"about {2 * (int(crack / 0.5 + 1e-9) + 1)} holes for this crack, both sides together"
    return worst(
        at_most("distance between holes", spacing, 0.5, "in", source=_LACE, notes=(holes,)),
        _from_the_crack(from_crack),
    )


def _from_the_crack(distance: float) -> Ruling:
    if compare(distance, 0.5) < 0:
        return not_covered("the holes are described 1/2 in from the crack, not nearer", _LACE)
    return at_most("holes from the crack", distance, 0.5, "in", source=_LACE)


def _back_off(turns: float) -> Ruling:
    if compare(turns, 1) > 0:
        return not_covered("more than the one full turn printed: the panel may be loose", _NUT)
    return at_least("backed off after firm", turns, 1.0, "turn", source=_NUT, scale=(0.0, 2.0))


def _screw_hole(screw: float, hole: float | None) -> Ruling:
    if hole is None:
        told = f"a hole of {say(1.5 * screw, 'in')} to {say(2 * screw, 'in')}"
        return needed(told, 1.5 * screw, "in", source=_HOLE)
    return between("hole in the plastic", hole, 1.5 * screw, 2 * screw, "in", source=_HOLE)


def _mark(height: float, gap: float | None) -> Ruling:
    width = 2 * height / 3
    wide, stroke = (say(size, "in", is_difference=True) for size in (width, height / 6))
    note = f"each character {wide} wide, strokes {stroke}; the 1 as wide as a stroke, M and W as wide as high at most"
    return at_least("gap between characters", gap, width / 4, "in", source=_MARK, notes=(note,))


LIMITS = (
    Limit(
        id="registration-mark-shape",
        title="Shape of the registration marks",
        system="finish",
        inputs=(
            Input("height", "Height of the characters", "in", 0.5, 60),
            Input("gap", "Least gap between characters", "in", 0, 60, optional=True),
        ),
        sources=(_MARK,),
        basis="Does not depend on the certification basis; an identification rule.",
        assumes=("Upright roman characters without ornament.",),
        does_not_cover=("How high the marks must be: 12 in, or 2 in on some aircraft (14 CFR 45.22, 45.29).",),
        caution="Old paint holds lead and chromate: no dry sanding.",
        examples=(
            Example({"height": "12"}, "required", "computed from 14 CFR 45.29", 2),
            Example({"height": "2", "gap": "0.333333333333"}, "at", "computed from 14 CFR 45.29", 0.333333),
        ),
        rule=_mark,
    ),
    Limit(
        id="window-crack-lacing",
        title="Laced crack in an acrylic window",
        system="cabin",
        inputs=(
            Input("crack", "Length of the crack", "in", 0.1, 60),
            Input("spacing", "Greatest distance between holes", "in", 0.05, 12),
            Input("from-crack", "Holes to the crack", "in", 0.05, 12),
            Input("in-view", "In the pilot's line of vision", choices=("yes", "no")),
        ),
        sources=(_LACE,),
        basis=_BASIS,
        assumes=("A minor crack, ends stop-drilled 1/8 in, laced with brass wire, sealed.",),
        does_not_cover=(
            "Pressurised aircraft: replace, or repair by the maker's data.",
            "Cracks that take strength.",
            "Polycarbonate.",
        ),
        caution=_PLASTIC,
        examples=(
            Example(
                {"crack": "3", "spacing": "1/2", "from-crack": "1/2", "in-view": "no"},
                "at", "AC 43.13-1B 3-40a", 0.5,
            ),
        ),
        rule=_lacing,
    ),
    Limit(
        id="window-nut-back-off",
        title="Nuts of an acrylic window",
        system="cabin",
        inputs=(Input("turns", "Turns backed off after firm", "turn", 0, 10),),
        sources=(_NUT,),
        basis=_BASIS,
        assumes=("Bolts through acrylic, the original number of bolts, spacers and washers.",),
        does_not_cover=("Screws with stop collars.",),
        caution=_PLASTIC,
        examples=(
            Example({"turns": "1 turn"}, "at", "AC 43.13-1B 3-27b", 1),
            Example({"turns": "0"}, "beyond", "AC 43.13-1B 3-27b", 1),
        ),
        rule=_back_off,
    ),
    Limit(
        id="window-screw-hole",
        title="Hole for a screw in acrylic",
        system="cabin",
        inputs=(
            Input("screw", "Screw diameter", "in", 0.05, 1),
            Input("hole", "Hole diameter", "in", 0.05, 3, optional=True),
        ),
        sources=(_HOLE,),
        basis=_BASIS,
        assumes=("A shop rule; threads must not touch the plastic.",),
        does_not_cover=("Distance from the hole to the edge, which is only remembered.",),
        caution=_PLASTIC,
        examples=(Example({"screw": "3/16", "hole": "9/32"}, "at", "computed from the adviser's rule", 0.28125),),
        rule=_screw_hole,
    ),
)  # fmt: skip
