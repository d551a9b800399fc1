"""Limits of riveted joints: number, edge distance, pitch. AC 43.13-1B chapter 4 section 4."""

from __future__ import annotations

import math

from kb.limits.basis import MAKER_FIRST
from kb.limits.model import Example, Input, Limit, Ruling
from kb.limits.ruling import at_least, not_covered
from kb.limits.sheet_metal_tables import FASTENERS, MISPRINT_4_9, TABLE_4_9, TABLE_4_10, TABLE_4_11, Row
from kb.limits.tables import row_of
from kb.limits.units import say
from kb.model import Source

_AC = "AC 43.13-1B"
_T9 = Source(_AC, "table 4-9 and its notes", "Rivets per inch of width for the strong alloys.", "read")
_T10 = Source(_AC, "table 4-10 and its notes", "Rivets per inch of width for 2017 and 2024-T3 alclad.", "read")
_T11 = Source(_AC, "table 4-11 and its notes", "Rivets per inch of width for 5052.", "read")
_EDGE = Source(_AC, "4-57c(1)", "Edge distance 2 diameters, pitch 3, single row (restated).", "secondary")
_ROWS = Source(_AC, "4-57c(2), (3), figure 4-5", "Several rows: least spacing in a picture, not read.", "memory")
_PITCH = Source("NAVEDTRA 14018", "chapter 13", "Spacing never under 3 diameters, usually 4 to 8.", "read")

SHEETS: dict[str, tuple[dict[float, Row], Source]] = {
    "2014-T6": (TABLE_4_9, _T9),
    "2024-T3": (TABLE_4_9, _T9),
    "2024-T36": (TABLE_4_9, _T9),
    "7075-T6": (TABLE_4_9, _T9),
    "2017": (TABLE_4_10, _T10),
    "2017-alclad": (TABLE_4_10, _T10),
    "2024-T3-alclad": (TABLE_4_10, _T10),
    "5052": (TABLE_4_11, _T11),
}
FACTORS = {"as-table": 1.0, "stringer": 0.80, "intermediate-frame": 0.60, "single-lap": 0.75}
"""Notes to tables 4-9 to 4-11 [read]; stringer: in the upper wing surface or a fuselage."""

DIAMETER = Input("diameter", "Diameter of the rivet", "in", 0.03, 0.5)
CAUTION = "Drilling and driving: eye protection, chips out of the bay; keep edge distance when a hole is enlarged."


def up(value: float) -> int:
    """Return the next whole number, taking what is whole but for rounding as whole."""
    return math.ceil(value - 1e-9 * max(1.0, value))


def count(per_inch: float, width: float, place: str) -> int:
    """Return the rivets on each side of the joint, rounded as the printed examples round.

    Single lap (4-58g): the figure times 0.75, up to a tenth (3.675 is 3.7), then times the width, up. Stringer and
    frame (figure 4-20): figure times width, up; times the factor, up again.
    """
    if place == "single-lap":
        return up(up(10 * FACTORS[place] * per_inch) / 10 * width)
    return up(FACTORS[place] * up(per_inch * width))


def _count(sheet: str, thickness: float, fastener: str, width: float, place: str, fitted: float | None) -> Ruling:
    table, source = SHEETS[sheet]
    row = row_of(table, thickness)
    if row is None:
        sheets = ", ".join(f"{size:.3f}" for size in table)
        return not_covered(f"{say(thickness, 'in')} is no row of the table ({sheets} in)", source)
    printed = row[FASTENERS.index(fastener)]
    if printed is None:
        return not_covered(f"the table has no figure for {fastener} in sheet of {say(thickness, 'in')}", source)
    per_inch, notes = _figure(sheet, thickness, fastener, printed)
    required = count(per_inch, width, place)
    notes += (f"{per_inch:g} for each inch, {place}: {required} on each side of the joint",)
    return at_least("rivets or bolts on each side", fitted, float(required), "", source=source, notes=notes)


def _figure(sheet: str, thickness: float, fastener: str, printed: float) -> tuple[float, tuple[str, ...]]:
    """Return the figure to use, and notes on misprints and headings."""
    size, column, wrong, right = MISPRINT_4_9
    if SHEETS[sheet][0] is TABLE_4_9 and fastener == column and row_of({size: True}, thickness):
        text = f"the table prints {wrong}, its own note gives {right}: a suspected misprint, the higher is used"
        return right, (text,)
    if sheet == "2024-T3-alclad":
        strong = TABLE_4_9[min(TABLE_4_9, key=lambda row: abs(row - thickness))][FASTENERS.index(fastener)]
        said = "no figure" if strong is None else f"{strong:g}"
        both = f"alclad 2024-T3 stands in the headings of 4-9 ({said}) and 4-10 ({printed:g} an inch)"
        return printed, (f"{both}; the printed example uses 4-10, 4-9 asks for no fewer",)
    if sheet == "5052" and printed in (6.3, 4.7, 3.8, 3.2):
        return printed, ("where bearing rules, table 4-11 lies 3 to 4 % under its own note of 160 %; used as printed",)
    return printed, ()


def _edge(diameter: float, distance: float | None) -> Ruling:
    return at_least("edge distance", distance, 2 * diameter, "in", source=_EDGE)


def _pitch(diameter: float, rows: str, pitch: float | None) -> Ruling:
    ruling = at_least("pitch", pitch, 3 * diameter, "in", source=_PITCH)
    if rows == "single" or ruling.verdict == "beyond":
        return ruling
    told = f"for guidance only, single row: {ruling.sentence}"
    return not_covered("the least spacing of several rows stands in a picture that was not read", _ROWS, notes=(told,))


LIMITS = (
    Limit(
        id="rivet-count",
        title="Number of rivets in a splice",
        system="sheet-metal",
        inputs=(
            Input("sheet", "Alloy of the sheet", choices=tuple(SHEETS)),
            Input("thickness", "Thickness of the thinnest sheet", "in", 0.01, 0.25),
            Input("fastener", "2117 protruding head rivet, or bolt", choices=FASTENERS),
            Input("width", "Width of the damage across the load", "in", 0.05, 200),
            Input("place", "Where the joint is", choices=tuple(FACTORS), default="as-table"),
            Input("fitted", "Number on one side of the joint", "", 0, 5000, whole=True, optional=True),
        ),
        sources=(_T9, _T10, _T11),
        basis=MAKER_FIRST,
        assumes=(
            "2117 rivets, solid, protruding head; nominal holes; the thinner sheet rules.",
            "Damage is trimmed and its width measured across the stress.",
        ),
        does_not_cover=(
            "Other rivet alloys, flush or pull-type rivets; thicknesses between the rows.",
            "The pattern: two rows at least spacing may need more rivets (the printed example has 40 for 37).",
        ),
        caution=CAUTION,
        examples=(
            Example(
                {"sheet": "2024-T3-alclad", "thickness": "0.032", "fastener": "1/8", "width": "10",
                 "place": "single-lap"},
                "required", "AC 43.13-1B 4-58g: 4.9 x 0.75 is 3.7, times 10 is 37", 37,
            ),
            Example(
                {"sheet": "2017", "thickness": "0.040", "fastener": "1/8", "width": "0.6",
                 "place": "intermediate-frame"},
                "required", "AC 43.13-1B figure 4-20: 3.72, 4, 2.4, use 3", 3,
            ),
            Example(
                {"sheet": "2017", "thickness": "0.040", "fastener": "1/8", "width": "2.0",
                 "place": "intermediate-frame", "fitted": "8"},
                "at", "AC 43.13-1B figure 4-20: 12.4, 13, 7.8, use 8", 8,
            ),
        ),
        rule=_count,
    ),
    Limit(
        id="rivet-edge-distance",
        title="Edge distance of a rivet",
        system="sheet-metal",
        inputs=(DIAMETER, Input("distance", "Centre of the hole to the edge", "in", 0, 6, optional=True)),
        sources=(_EDGE,),
        basis=MAKER_FIRST,
        assumes=("Single row, protruding head. After enlarging a hole, the new rivet's diameter counts (4-57b).",),
        does_not_cover=("Flush rivets and several rows: figure 4-5.",),
        caution=CAUTION,
        examples=(
            Example({"diameter": "1/8 in", "distance": "1/4 in"}, "at", "computed from AC 43.13-1B 4-57c(1)", 0.25),
            Example({"diameter": "1/8 in", "distance": "0.2"}, "beyond", "computed from AC 43.13-1B 4-57c(1)", 0.25),
        ),
        rule=_edge,
    ),
    Limit(
        id="rivet-pitch",
        title="Pitch of rivets in a row",
        system="sheet-metal",
        inputs=(
            DIAMETER,
            Input("rows", "Rows in the joint", choices=("single", "several"), default="single"),
            Input("pitch", "Least distance between centres", "in", 0, 12, optional=True),
        ),
        sources=(_PITCH, _EDGE),
        basis=MAKER_FIRST,
        assumes=("Usual spacing is 4 to 8 diameters; the pattern of the next parallel seam comes first.",),
        does_not_cover=("The least spacing of double and several rows: figure 4-5.",),
        caution=CAUTION,
        examples=(
            Example({"diameter": "1/8 in", "pitch": "3/8 in"}, "at", "computed from NAVEDTRA 14018 ch. 13", 0.375),
            Example({"diameter": "1/8 in", "pitch": "0.37"}, "beyond", "computed from NAVEDTRA 14018 ch. 13", 0.375),
        ),
        rule=_pitch,
    ),
)  # fmt: skip
