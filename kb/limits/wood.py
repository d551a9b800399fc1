"""Limits of wood structure: moisture, grain, splices, gluing. From AC 43.13-1B chapter 1 unless said."""

from __future__ import annotations

from kb.limits.model import Example, Input, Limit, Ruling, compare
from kb.limits.ruling import at_least, between, not_covered, with_notes
from kb.limits.units import say
from kb.model import Source

_AC = "AC 43.13-1B"

SPECIES_RINGS = {"spruce": 6.0, "douglas-fir": 8.0, "western-hemlock": 6.0, "white-pine": 6.0}
"""Least annual rings per inch, from a builders' reprint of a wood table [secondary]."""

CLAMP_PSI = {"softwood": (125.0, 150.0), "hardwood": (150.0, 200.0)}
"""AC 43.13-1B 1-10b, resorcinol, called typical there [read]."""

_MOISTURE = Source(_AC, "1-29g", "8 to 16 % acceptable, 10 to 12 % preferred, fungus probable over 20 %.", "read")
_GRAIN = Source(
    _AC, "table 1-1, figure 1-4", "Slope at most 1 in 15; local excess in the inner part of a flange.", "read"
)
_GAP = Source(_AC, "1-40", "Splices apart by 3 times the longer splice (quoted by a college sheet).", "secondary")
_FEATHER = Source(_AC, "figures 1-5, 1-6", "Ends of splice plates feathered 5 to 1.", "read")
_SCARF = Source(_AC, "1-39", "Slope of a spar scarf; the figure was not readable.", "memory")
_CLAMP = Source(_AC, "1-10b", "Resorcinol: 125 to 150 psi on softwood, 150 to 200 psi on hardwood.", "read")
_STORE = Source(_AC, "1-44b", "New spar stock beside the part for at least 2 weeks before bonding.", "read")
_RINGS = Source("builders' reprint of a wood table", "annual rings", "Least rings per inch by species.", "secondary")
_KNOT = Source(_AC, "notes to table 1-1", "Knots; the notes were not readable.", "memory")

BASIS = "Does not depend on the certification basis; the maker's data come first, the circular where they are silent."
PROBE = "Seal the holes of meter pins and probes; never probe a spar at a fitting where the hole weakens it."


def _moisture(reading: float) -> Ruling:
    ruling = between("moisture of the wood", reading, 8.0, 16.0, "%", source=_MOISTURE, scale=(0.0, 30.0))
    notes = ["10 to 12 % is preferred"]
    if compare(reading, 20) > 0:
        notes.append("over 20 %: growth of fungus is probable; look for decay")
    elif compare(reading, 16) > 0:
        notes.append(
            "between 16 and 20 % the source has no word of its own: dry it out and find where the water came in"
        )
    return with_notes(ruling, *notes)


def _grain_slope(run: float, zone: str) -> Ruling:
    ruling = at_least("inches run for one inch of grain slope", run, 15.0, "", source=_GRAIN)
    if zone == "inner-flange" and ruling.verdict == "beyond":
        return not_covered("a local slope steeper than 1 in 15 is allowed there, but how steep is not printed", _GRAIN)
    return ruling


def _splice_gap(first: float, second: float, gap: float | None) -> Ruling:
    return at_least("distance between the splices", gap, 3 * max(first, second), "in", source=_GAP)


def _plate_feather(thickness: float, feather: float | None) -> Ruling:
    return at_least("length of the feathered end", feather, 5 * thickness, "in", source=_FEATHER)


def _spar_scarf(run: float, plates: str) -> Ruling:
    held = "with plates" if plates == "yes" else "without plates"
    remembered = "10 to 1 at least, 12 to 1 better, with plates; 20 to 1 in some makers' old data without plates"
    return not_covered(
        f"the slope of a spar scarf {held} ({say(run, '')} to 1) was not readable", _SCARF, remembered=remembered
    )


def _clamp_pressure(force: float, area: float, wood: str, adhesive: str) -> Ruling:
    if adhesive != "resorcinol":
        return not_covered("the adhesive's maker gives its pressure; some epoxies need much less", _CLAMP)
    low, high = CLAMP_PSI[wood]
    loads = f"{say(area, 'in2')} of {wood} needs {say(low * area, 'lb')} to {say(high * area, 'lb')}"
    return between("pressure on the joint", force / area, low, high, "psi", source=_CLAMP, notes=(loads,))


def _stock_storage(stored: float) -> Ruling:
    return at_least("storage beside the part", stored, 14.0, "day", source=_STORE)


def _annual_rings(species: str, rings: float) -> Ruling:
    return at_least("annual rings per inch", rings, SPECIES_RINGS[species], "", source=_RINGS)


def _knot(diameter: float) -> Ruling:
    return not_covered(
        f"for a knot of {say(diameter, 'in')} the sources disagree",
        _KNOT,
        remembered="3/8 in for a sound hard knot, under severe conditions; an answer key to FAA-H-8083-31 says 3/4 in",
    )


LIMITS = (
    Limit(
        id="wood-moisture",
        title="Moisture of structural wood",
        system="wood",
        inputs=(Input("reading", "Meter reading, corrected for temperature and species", "%", 0, 100),),
        sources=(_MOISTURE,),
        basis=BASIS,
        assumes=("The meter was corrected for temperature and species.",),
        does_not_cover=("Decay: any amount is repaired or replaced (1-28a).", "Surface wetness after rain."),
        caution=PROBE,
        examples=(
            Example({"reading": "16 %"}, "at", "AC 43.13-1B 1-29g", 16),
            Example({"reading": "11"}, "within", "AC 43.13-1B 1-29g"),
            Example({"reading": "21"}, "beyond", "AC 43.13-1B 1-29g", 16),
        ),
        rule=_moisture,
    ),
    Limit(
        id="wood-grain-slope",
        title="Grain slope of a spar",
        system="wood",
        inputs=(
            Input("run", "Inches along the piece for one inch of slope (15 means 1 in 15)", "", 1, 1000),
            Input("zone", "Where in the spar", choices=("outer-eighth", "inner-flange", "elsewhere")),
        ),
        sources=(_GRAIN,),
        basis=BASIS,
        assumes=("Spruce, Douglas or noble fir, hemlock, northern white pine or Port Orford cedar.",),
        does_not_cover=("Spiral grain seen on one face only: look at two faces.", "Plywood."),
        caution="Judge the grain on bare wood; do not scrape a finish off at a fitting to see it.",
        examples=(
            Example({"run": "15", "zone": "outer-eighth"}, "at", "AC 43.13-1B figure 1-4", 15),
            Example({"run": "12", "zone": "inner-flange"}, "not-covered", "computed"),
        ),
        rule=_grain_slope,
    ),
    Limit(
        id="spar-splice-gap",
        title="Distance between spar splices",
        system="wood",
        inputs=(
            Input("first", "Length of one splice or reinforcing plate", "in", 0.5, 240),
            Input("second", "Length of the other", "in", 0.5, 240),
            Input("gap", "Clear distance between them", "in", 0, 600, optional=True),
        ),
        sources=(_GAP,),
        basis=BASIS,
        assumes=("Neither lies under a wing, gear, engine mount or strut fitting, where no splice is allowed.",),
        does_not_cover=("Whether a splice is allowed at that place.", "How many splices one spar may have."),
        caution="Support the wing before a spar is opened.",
        examples=(Example({"first": "20", "second": "30", "gap": "90"}, "at", "computed", 90),),
        rule=_splice_gap,
    ),
    Limit(
        id="splice-plate-feather",
        title="Feathered end of a splice plate",
        system="wood",
        inputs=(
            Input("thickness", "Thickness of the plate", "in", 0.02, 2),
            Input("feather", "Length over which the end is tapered", "in", 0, 24, optional=True),
        ),
        sources=(_FEATHER,),
        basis=BASIS,
        assumes=("A bonded plate of spruce or plywood.",),
        does_not_cover=("Plates held by bolts.",),
        caution="A plate end cut square starts cracks: look there first.",
        examples=(Example({"thickness": "1/8 in", "feather": "5/8 in"}, "at", "AC 43.13-1B figure 1-5", 0.625),),
        rule=_plate_feather,
    ),
    Limit(
        id="spar-scarf-slope",
        title="Slope of a spar scarf",
        system="wood",
        inputs=(
            Input("run", "Inches of scarf for one inch of depth", "", 1, 50),
            Input("plates", "Reinforcing plates fitted", choices=("yes", "no")),
        ),
        sources=(_SCARF,),
        basis=BASIS,
        assumes=("A scarf cut in the general direction of the grain.",),
        does_not_cover=("Any verdict: the printed slope was not readable.",),
        caution="Never open a sound scarf to measure it; measure the glue line on the edge.",
        examples=(Example({"run": "10", "plates": "yes"}, "not-covered", "computed"),),
        rule=_spar_scarf,
    ),
    Limit(
        id="glue-clamp-pressure",
        title="Clamping pressure on a glued joint",
        system="wood",
        inputs=(
            Input("force", "Clamping force on the whole joint", "lb", 0, 200_000),
            Input("area", "Area of the joint", "in2", 0.1, 5_000),
            Input("wood", "Kind of wood", choices=tuple(CLAMP_PSI)),
            Input("adhesive", "Adhesive", choices=("resorcinol", "epoxy", "other")),
        ),
        sources=(_CLAMP,),
        basis=BASIS,
        assumes=("The pressure is even over the joint, and comes before the adhesive is too thick to flow.",),
        does_not_cover=("Other adhesives: their makers give the pressure.", "Thin pieces that clamps would crush."),
        caution="Overtightened clamps crush the fibres; use pads.",
        examples=(
            Example(
                {"force": "1250", "area": "10", "wood": "softwood", "adhesive": "resorcinol"},
                "at", "computed from AC 43.13-1B 1-10b", 125,
            ),
        ),
        rule=_clamp_pressure,
    ),
    Limit(
        id="spar-stock-storage",
        title="Storage of new spar stock before bonding",
        system="wood",
        inputs=(Input("stored", "Time beside the part it will be bonded to", "day", 0, 3650),),
        sources=(_STORE,),
        basis=BASIS,
        assumes=("The stock lay in the same area as the part.",),
        does_not_cover=("Whether the two have come to the same moisture: measure both.",),
        caution=PROBE,
        examples=(Example({"stored": "14 days"}, "at", "AC 43.13-1B 1-44b", 14),),
        rule=_stock_storage,
    ),
    Limit(
        id="wood-annual-rings",
        title="Annual rings of replacement wood",
        system="wood",
        inputs=(
            Input("species", "Species", choices=tuple(SPECIES_RINGS)),
            Input("rings", "Rings counted over one inch, the widest inch", "", 0, 100),
        ),
        sources=(_RINGS,),
        basis=BASIS,
        assumes=("Counted on the end grain, across the rings.",),
        does_not_cover=("Whether the species may stand in for the original: table 1-1.", "Strength of the piece."),
        caution="Cut end samples from stock, never from a fitted part.",
        examples=(Example({"species": "spruce", "rings": "6"}, "at", "computed", 6),),
        rule=_annual_rings,
    ),
    Limit(
        id="wood-knot",
        title="Knot in a spar",
        system="wood",
        inputs=(Input("diameter", "Largest diameter of the knot", "in", 0.01, 6),),
        sources=(_KNOT,),
        basis=BASIS,
        assumes=("A sound, hard knot; spike knots are not acceptable.",),
        does_not_cover=("Any size: the notes of table 1-1 were not readable and other sources disagree.",),
        caution="Do not dig a knot out to see how deep it goes.",
        examples=(Example({"diameter": "3/8 in"}, "not-covered", "computed"),),
        rule=_knot,
    ),
)  # fmt: skip
