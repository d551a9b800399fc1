"""Limits of exhaust and cabin air: carbon monoxide, hours and test of the muffler, hours of a combustion heater."""

from __future__ import annotations

from kb.limits.basis import MAKER_FIRST, ONE_TYPE, ONE_TYPE_INPUT, of_one_type
from kb.limits.model import Example, Input, Limit, Ruling, compare
from kb.limits.ruling import at_most, not_covered, worst
from kb.model import Source

_MONOXIDE = Source(
    "14 CFR", "23.831(a)", "Carbon monoxide not over one part in 20,000 parts of air, which is 50 ppm.", "read"
)
_MUFFLER = Source("SAIB CE-10-33R1", "muffler hours", "Replacement near 1,000 h is advised.", "secondary")
_BUBBLE = Source("FAA-H-8083-32B", "page 3-23", "About 2 psi inside under water; bubbles are leaks.", "read")
_HEATER = Source(
    "AD 2004-21-05",
    "as reported",
    "One family: inspection and decay test each 100 h or 24 calendar months.",
    "secondary",
)


def _monoxide(reading: float) -> Ruling:
    notes = ("detectors are set to warn at 35 ppm (FAA AR-09/49, as reported)",) if compare(reading, 35) >= 0 else ()
    return at_most("carbon monoxide, ppm,", reading, 50.0, "", source=_MONOXIDE, notes=notes)


def _muffler(hours: float) -> Ruling:
    notes = ("advice of a bulletin, not a rule; inspect inside whatever the hours",)
    return at_most("hours on the muffler", hours, 1000.0, "h", equal_is_enough=False, source=_MUFFLER, notes=notes)


def _bubble(pressure: float) -> Ruling:
    if compare(pressure, 2.0) < 0:
        return not_covered("the test is described at about 2 psi; with less a leak may not show", _BUBBLE)
    return at_most("test pressure", pressure, 2.0, "psi", source=_BUBBLE, notes=("about 2 psi is printed",))


def _heater(hours: float, months: float, same_type: str) -> Ruling:
    ruling = worst(
        at_most("heater hours since the test", hours, 100.0, "h", source=_HEATER),
        at_most("calendar months since the test", months, 24.0, "month", source=_HEATER),
    )
    return of_one_type(same_type, ruling, _HEATER)


LIMITS = (
    Limit(
        id="carbon-monoxide",
        title="Carbon monoxide in the cabin",
        system="exhaust",
        inputs=(Input("reading", "Parts per million", "", 0, 100_000),),
        sources=(_MONOXIDE,),
        basis="A design figure of part 23 (wording before 2017), used here for every cabin, whatever its basis.",
        assumes=("A fresh electrochemical detector, read in flight and on the ground, heat on and off.",),
        does_not_cover=("How long a person was in it.", "Card detectors past their date."),
        caution="Headache or drowsiness: land or shut down first, measure later.",
        examples=(
            Example({"reading": "50"}, "at", "computed: 1 in 20,000", 50),
            Example({"reading": "51"}, "beyond", "computed", 50),
        ),
        rule=_monoxide,
    ),
    Limit(
        id="muffler-hours",
        title="Hours on a muffler",
        system="exhaust",
        inputs=(Input("hours", "Hours on the muffler", "h", 0, 20_000),),
        sources=(_MUFFLER,),
        basis=MAKER_FIRST,
        assumes=("Single-engine aircraft with cabin heat from the muffler.",),
        does_not_cover=("A muffler cracked at any hours.",),
        caution="No lead or carbon pencil on hot metal: it cracks along the line.",
        examples=(Example({"hours": "1000"}, "beyond", "SAIB CE-10-33R1", 1000),),
        rule=_muffler,
    ),
    Limit(
        id="muffler-bubble-test",
        title="Pressure of the muffler bubble test",
        system="exhaust",
        inputs=(Input("pressure", "Air pressure inside", "psi", 0, 200),),
        sources=(_BUBBLE,),
        basis=MAKER_FIRST,
        assumes=("Muffler off, openings plugged, under water.",),
        does_not_cover=("The size of leak that may stay: the maker's.",),
        caution="Plugs fly: tie them, stand aside, regulator on the line.",
        examples=(Example({"pressure": "2"}, "at", "FAA-H-8083-32B page 3-23", 2),),
        rule=_bubble,
    ),
    Limit(
        id="heater-hours",
        title="Inspection of a combustion heater",
        system="exhaust",
        inputs=(
            Input("hours", "Heater hours since the inspection and decay test", "h", 0, 20_000),
            Input("months", "Calendar months since then", "month", 0, 1_200),
            ONE_TYPE_INPUT,
        ),
        sources=(_HEATER,),
        basis=ONE_TYPE,
        assumes=("Hours of the heater, by its own meter; the directive was read as others report it.",),
        does_not_cover=("Other families: directives go by the heater, not by the aircraft.", "Overhaul of the heater."),
        caution="A cracked burner tube puts carbon monoxide or fire into the cabin: leave it off until it is tested.",
        examples=(
            Example({"hours": "100", "months": "3", "same-type": "yes"}, "at", "AD 2004-21-05 as reported", 100),
            Example({"hours": "20", "months": "25", "same-type": "yes"}, "beyond", "computed", 24),
            Example({"hours": "20", "months": "3", "same-type": "unknown"}, "not-covered", "computed"),
        ),
        rule=_heater,
    ),
)  # fmt: skip
