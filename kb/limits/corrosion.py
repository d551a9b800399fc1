"""Limits of corrosion work: depth class, blending, abrasives, clocks. From AC 43.13-1B chapter 6 unless said."""

from __future__ import annotations

from kb.limits.model import Example, Input, Limit, Ruling, compare
from kb.limits.ruling import at_least, at_most, between, needed, not_covered, with_notes
from kb.limits.units import say
from kb.model import Source

_AC = "AC 43.13-1B"

GRITS: dict[str, dict[str, float]] = {
    "ferrous": {"aluminium-oxide": 150, "silicon-carbide": 180},
    "aluminium": {"aluminium-oxide": 150},
    "clad-aluminium": {"aluminium-oxide": 240},
    "magnesium": {"aluminium-oxide": 240},
    "titanium": {"aluminium-oxide": 150, "silicon-carbide": 180},
}
"""AC 43.13-1B table 6-1 [read]: coarsest paper for removal; no silicon carbide on aluminium, clad or not."""

NOZZLE_PSI = {"clad": (30.0, 40.0), "not-clad": (40.0, 45.0)}
"""AC 43.13-1B page 6-28 (2): direct pressure blasting of aluminium with glass beads, sizes 10 to 13 [read]."""

_CLASS = Source("TM 1-1520-238-23", "1.49.14", "Light to 0.001 in, moderate to 0.010 in, severe deeper.", "read")
_BLEND = Source(_AC, "6-115c", "Dish-outs blended 20 to 1, length to depth; figure 6-15 was not seen.", "read")
_GRIT = Source(_AC, "table 6-1", "Abrasives for each metal.", "read")
_BLAST = Source(_AC, "page 6-28 (2)", "Nozzle pressure, 15 s dwell, approval under 0.0625 in.", "read")
_PRIME = Source(_AC, "6-167, note", "Primer on sanded steel within 1 hour.", "read")
_SODA = Source("TM 10-6140-200-14", "4-6f", "One pound of bicarbonate of soda to one gallon of water.", "read")
_TABLE, _PAGE = "AC 43.13-1B table 6-1", "AC 43.13-1B page 6-28 (2)"
_DUST = "Sanding dust of old primer holds chromate: mask, wet methods, no blowing."
_BASIS = (
    "Does not depend on the certification basis; the maker's rework limit decides, or an engineering designee (6-113)."
)


def _depth_class(depth: float, thickness: float | None) -> Ruling:
    light = compare(depth, 0.001) <= 0
    ruling = at_most("depth of the pits", depth, 0.010, "in", source=_CLASS)
    if ruling.verdict == "beyond":
        ruling = with_notes(ruling, "severe: heavy mechanical removal, then repair or replace")
    else:
        ruling = with_notes(ruling, "light: hand sanding" if light else "moderate: hand or light mechanical sanding")
    if thickness is not None:
        share = 100 * depth / thickness
        ruling = with_notes(
            ruling, f"{say(share, '%')} of the gauge is gone; the class says nothing of the strength left"
        )
    return ruling


def _blend(depth: float, length: float | None) -> Ruling:
    least, sure = 20 * depth, 40 * depth
    unclear = f"20 to 1 may mean the whole dish ({say(least, 'in')}) or each side of the pit ({say(sure, 'in')} in all)"
    if length is None:
        return needed(f"make the dish {say(sure, 'in')} long; {unclear}", sure, "in", source=_BLEND)
    if compare(length, sure) >= 0 or compare(length, least) < 0:
        ruling = at_least(
            "length of the dish", length, sure if compare(length, sure) >= 0 else least, "in", source=_BLEND
        )
        return with_notes(ruling, unclear)
    return not_covered(f"a dish of {say(length, 'in')} lies between the two readings; {unclear}", _BLEND)


def _grit(metal: str, abrasive: str, grit: float) -> Ruling:
    if abrasive not in GRITS[metal]:
        allowed = "no silicon carbide on aluminium" if "aluminium" in metal else "the table has no such paper for it"
        if "aluminium" in metal:
            return Ruling("beyond", f"beyond: {allowed}", source=_GRIT)
        return not_covered(allowed, _GRIT)
    return at_least("grit number", grit, GRITS[metal][abrasive], "", source=_GRIT)


def _blasting(cladding: str, thickness: float, pressure: float) -> Ruling:
    if compare(thickness, 0.0625) < 0:
        return not_covered("metal thinner than 0.0625 in needs engineering approval before it is blasted", _BLAST)
    low, high = NOZZLE_PSI[cladding]
    notes = ("never longer than 15 s on one spot; not for heavy corrosion",)
    return between("nozzle pressure", pressure, low, high, "psi", source=_BLAST, notes=notes)


def _primer_clock(elapsed: float) -> Ruling:
    return at_most("time since sanding", elapsed, 60.0, "min", source=_PRIME)


def _soda(battery: str, water: float, soda: float | None) -> Ruling:
    if battery != "lead-acid":
        return not_covered("soda is wrong for alkaline electrolyte; ask the battery maker for its neutraliser", _SODA)
    if soda is None:
        return needed(
            f"{say(water, 'lb')} of bicarbonate of soda in {say(water, 'gal')} of water", water, "lb", source=_SODA
        )
    return at_least("bicarbonate of soda", soda, water, "lb", source=_SODA)


LIMITS = (
    Limit(
        id="corrosion-depth-class",
        title="Corrosion class by depth",
        system="corrosion",
        inputs=(
            Input("depth", "Depth of the deepest pit", "in", 0, 1),
            Input("thickness", "Gauge of the metal there", "in", 0.005, 5, optional=True),
        ),
        sources=(_CLASS,),
        basis=_BASIS,
        assumes=("A military depth class; AC 43.13-1B does not print one.",),
        does_not_cover=("What depth may stay: the maker's limit decides.", "Exfoliation and cracks."),
        caution=_DUST,
        examples=(
            Example({"depth": "0.010"}, "at", "TM 1-1520-238-23 1.49.14", 0.01),
            Example({"depth": "0.001", "thickness": "0.020"}, "within", "TM 1-1520-238-23 1.49.14", 0.01),
            Example({"depth": "0.011"}, "beyond", "TM 1-1520-238-23 1.49.14", 0.01),
        ),
        rule=_depth_class,
    ),
    Limit(
        id="corrosion-blend",
        title="Length of a blended dish",
        system="corrosion",
        inputs=(
            Input("depth", "Depth of the finished dish", "in", 0.0005, 0.5),
            Input("length", "Length of the dish along its long axis", "in", 0, 60, optional=True),
        ),
        sources=(_BLEND,),
        basis=_BASIS,
        assumes=("An elliptical dish, long axis spanwise on wing and horizontal tail.", "Aluminium or steel."),
        does_not_cover=("Whether that depth may be taken off at all: compare with the rework limit.", "Propellers."),
        caution="Take steel nutplates and fasteners out first; measure the gauge before the blending.",
        examples=(
            Example({"depth": "0.005", "length": "0.2"}, "at", "computed from AC 43.13-1B 6-115c", 0.2),
            Example({"depth": "0.005", "length": "0.1"}, "not-covered", "computed"),
            Example({"depth": "0.005", "length": "0.09"}, "beyond", "computed", 0.1),
        ),
        rule=_blend,
    ),
    Limit(
        id="abrasive-grit",
        title="Coarsest abrasive paper",
        system="corrosion",
        inputs=(
            Input("metal", "Metal", choices=tuple(GRITS)),
            Input("abrasive", "Grain of the paper", choices=("aluminium-oxide", "silicon-carbide")),
            Input("grit", "Grit number", "", 12, 3000),
        ),
        sources=(_GRIT,),
        basis=_BASIS,
        assumes=("Removal or fairing; finish to 400 grit.", "Clad: minor scratches only. Titanium: cleaning only."),
        does_not_cover=("Garnet paper, pads, wheels and wool: read the table.",),
        caution=_DUST + " Magnesium dust burns: dry talc or sand, never water.",
        examples=(
            Example({"metal": "aluminium", "abrasive": "aluminium-oxide", "grit": "150"}, "at", _TABLE, 150),
            Example({"metal": "aluminium", "abrasive": "silicon-carbide", "grit": "400"}, "beyond", _TABLE),
        ),
        rule=_grit,
    ),
    Limit(
        id="bead-blasting",
        title="Bead blasting of aluminium",
        system="corrosion",
        inputs=(
            Input("cladding", "Clad or not", choices=tuple(NOZZLE_PSI)),
            Input("thickness", "Gauge of the metal", "in", 0.005, 5),
            Input("pressure", "Nozzle pressure, direct pressure machine", "psi", 1, 200),
        ),
        sources=(_BLAST,),
        basis=_BASIS,
        assumes=("Glass beads, sizes 10 to 13.",),
        does_not_cover=("Heavy corrosion and exfoliation: not by blasting.", "Metals other than aluminium."),
        caution="Face and head cover, breathing air; ground the blaster and the part against static.",
        examples=(
            Example({"cladding": "clad", "thickness": "0.08", "pressure": "40"}, "at", _PAGE, 40),
            Example({"cladding": "clad", "thickness": "0.04", "pressure": "35"}, "not-covered", _PAGE),
        ),
        rule=_blasting,
    ),
    Limit(
        id="steel-primer-clock",
        title="Primer on sanded steel",
        system="corrosion",
        inputs=(Input("elapsed", "Time from the end of sanding to the primer", "min", 0, 100_000),),
        sources=(_PRIME,),
        basis=_BASIS,
        assumes=("Clean, dry steel in shop air.",),
        does_not_cover=("Steel that shows bloom before the hour is over: sand again.",),
        caution="Primer fumes: no flame, fresh air.",
        examples=(Example({"elapsed": "60 min"}, "at", "AC 43.13-1B 6-167, note", 60),),
        rule=_primer_clock,
    ),
    Limit(
        id="battery-acid-soda",
        title="Soda solution for battery acid",
        system="corrosion",
        inputs=(
            Input("battery", "Kind of battery", choices=("lead-acid", "nickel-cadmium")),
            Input("water", "Water to be used", "gal", 0.05, 100),
            Input("soda", "Bicarbonate of soda put in", "lb", 0, 200, optional=True),
        ),
        sources=(_SODA,),
        basis="Does not depend on the certification basis; the battery maker's instructions come first.",
        assumes=("Spilled acid on metal or floor; finish when it no longer fizzes, then rinse.",),
        does_not_cover=("Skin and eyes: water only, for 15 minutes.", "Nickel-cadmium batteries."),
        caution="None of it may enter the cells; wear goggles and gloves.",
        examples=(
            Example({"battery": "lead-acid", "water": "2 gal"}, "required", "TM 10-6140-200-14 4-6f", 2),
            Example({"battery": "nickel-cadmium", "water": "2 gal"}, "not-covered", "computed"),
        ),
        rule=_soda,
    ),
)  # fmt: skip
