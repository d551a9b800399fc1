"""Limits of turnbuckles: threads showing, safety wire by table 7-8, wraps at the ends."""

from __future__ import annotations

from typing import NamedTuple

from kb.limits.basis import MAKER_FIRST
from kb.limits.model import Example, Input, Limit, Ruling, compare
from kb.limits.ruling import at_least, at_most, not_covered, with_notes, worst
from kb.model import Source

_AC = "AC 43.13-1B"


class Safety(NamedTuple):
    """One row of table 7-8: wire in inches, whether printed "min", and whether note (1) allows steel or iron."""

    wire: float
    is_least: bool
    soft_too: bool


TABLE_7_8: dict[tuple[str, str, str], Safety] = {
    # cable, wrap, material
    ("1/16", "single", "copper-brass"): Safety(0.040, False, True),
    ("3/32", "single", "copper-brass"): Safety(0.040, False, True),
    ("1/8", "single", "stainless-monel"): Safety(0.040, False, False),
    ("1/8", "double", "copper-brass"): Safety(0.040, False, True),
    ("1/8", "single", "copper-brass"): Safety(0.057, True, True),
    ("5/32-and-up", "double", "stainless-monel"): Safety(0.040, False, True),
    ("5/32-and-up", "single", "stainless-monel"): Safety(0.057, True, True),
    ("5/32-and-up", "double", "copper-brass"): Safety(0.0512, False, False),
}
"""AC 43.13-1B table 7-8, page 7-45, 8 rows [read; the rows were matched by their order]. Annealed wire.

Note (1): galvanised or tinned steel, or soft iron, also acceptable.
"""

SOFT = "galvanised-or-soft-iron"

_THREADS = Source(_AC, "7-179, 7-181b, 7-182", "No more than three threads exposed on either side.", "read")
_WIRE = Source(_AC, "table 7-8", "Safety wire by cable, wrap and material.", "read")
_WRAPS = Source(_AC, "7-180c-d, 7-181b, 7-182", "At least four wraps around the shank at each end.", "read")

_CAUTION = (
    "Hold both shanks while the barrel turns, the surface locked: a let-go cable whips. Old wire is never used again;"
    " free, full and correct movement is checked by a second person."
)


def _threads(side_a: float, side_b: float) -> Ruling:
    return worst(
        *(
            at_most(f"threads exposed at side {name}", count, 3, "", source=_THREADS)
            for name, count in (("a", side_a), ("b", side_b))
        )
    )


def row_for(cable: str, wrap: str, material: str) -> Safety | None:
    """Return the row of table 7-8, through note (1) for steel and iron; None when the table has none."""
    if material != SOFT:
        return TABLE_7_8.get((cable, wrap, material))
    rows = (row for key, row in TABLE_7_8.items() if key[:2] == (cable, wrap) and row.soft_too)
    return next(rows, None)


def _wire(cable: str, wrap: str, material: str, wire: float | None) -> Ruling:
    row = row_for(cable, wrap, material)
    if row is None:
        return not_covered("the table has no row for this cable, wrap and wire", _WIRE)
    ruling = at_least("safety wire of the turnbuckle", wire, row.wire, "in", source=_WIRE)
    if wire is not None and not row.is_least and compare(wire, row.wire) > 0:
        return with_notes(ruling, "thicker than the wire the row names, which is not printed as a least size")
    return (
        with_notes(ruling, "double wrap is preferred; single is acceptable, not equal") if wrap == "single" else ruling
    )


def _wraps(end_a: float, end_b: float) -> Ruling:
    return worst(
        *(at_least(f"wraps at end {name}", count, 4, "", source=_WRAPS) for name, count in (("a", end_a), ("b", end_b)))
    )


LIMITS = (
    Limit(
        id="turnbuckle-threads",
        title="Threads showing at a turnbuckle",
        system="controls",
        inputs=(
            Input("side-a", "Threads exposed at one end", "", 0, 60),
            Input("side-b", "Threads exposed at the other", "", 0, 60),
        ),
        sources=(_THREADS,),
        basis=MAKER_FIRST,
        assumes=("Counted after the cable was set to tension, and again after safetying.",),
        does_not_cover=("Wear or bend of the shanks.", "Whether the cable is the right length."),
        caution=_CAUTION,
        examples=(
            Example({"side-a": "3", "side-b": "2"}, "at", "AC 43.13-1B 7-179", 3),
            Example({"side-a": "1", "side-b": "4"}, "beyond", "AC 43.13-1B 7-179", 3),
        ),
        rule=_threads,
    ),
    Limit(
        id="turnbuckle-wire",
        title="Safety wire of a turnbuckle",
        system="controls",
        inputs=(
            Input("cable", "Diameter of the cable, in", choices=("1/16", "3/32", "1/8", "5/32-and-up")),
            Input("wrap", "Single or double wrap", choices=("single", "double")),
            Input("material", "Wire, annealed", choices=("copper-brass", "stainless-monel", SOFT)),
            Input("wire", "Diameter of the wire", "in", 0.005, 0.25, optional=True),
        ),
        sources=(_WIRE,),
        basis=MAKER_FIRST,
        assumes=("Annealed, new wire.", "Stainless-monel means stainless steel, monel or K-monel."),
        does_not_cover=("Locking clips (table 7-9) and devices to TSO-C21.", "Pairs the table does not print."),
        caution=_CAUTION,
        examples=(
            Example(
                {"cable": "1/8", "wrap": "single", "material": "copper-brass", "wire": "0.057"},
                "at", "AC 43.13-1B table 7-8: 0.057 min", 0.057,
            ),
            Example(
                {"cable": "1/8", "wrap": "single", "material": "copper-brass", "wire": "0.040"},
                "beyond", "AC 43.13-1B table 7-8", 0.057,
            ),
            Example({"cable": "1/16", "wrap": "double", "material": "copper-brass"}, "not-covered", "computed"),
        ),
        rule=_wire,
    ),
    Limit(
        id="turnbuckle-wraps",
        title="Wraps of wire on the shank",
        system="controls",
        inputs=(
            Input("end-a", "Wraps at one end", "", 0, 60),
            Input("end-b", "Wraps at the other", "", 0, 60),
        ),
        sources=(_WRAPS,),
        basis=MAKER_FIRST,
        assumes=("Wire, single or double wrap.",),
        does_not_cover=("Locking clips.",),
        caution=_CAUTION,
        examples=(
            Example({"end-a": "4", "end-b": "4"}, "at", "AC 43.13-1B 7-180c, d", 4),
            Example({"end-a": "4", "end-b": "3"}, "beyond", "AC 43.13-1B 7-180c, d", 4),
        ),
        rule=_wraps,
    ),
)  # fmt: skip
