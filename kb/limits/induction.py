"""Limits of induction and ignition: carburettor heat, filter, idle, magnetos."""

from __future__ import annotations

from kb.limits.basis import BASIS_INPUT, MAKER_FIRST, PART_23, under_part_23
from kb.limits.model import Example, Input, Limit, Ruling, compare
from kb.limits.ruling import at_least, at_most, between, not_covered, unmeasured, with_notes, worst
from kb.limits.units import say
from kb.model import Source

HEAT_RISE = {
    "venturi-sea-level": 90.0,
    "venturi-altitude": 120.0,
    "ice-resisting-altitude": 100.0,
    "ice-resisting-altitude-with-fluid": 40.0,
    "ice-resisting-sea-level": 60.0,
    "injection-with-ice-catching-parts": 75.0,
    "injection-without": 60.0,
}
"""14 CFR 23.1093(a)(1)-(6) before 2017 [read]: degrees F of rise in air of 30 °F, at 75 % of maximum continuous power
(60 % for the ice-resisting altitude rows). The 90 of CAR 3 is only remembered."""

_HEAT = Source("14 CFR", "23.1093(a)", "Heat rise in air of 30 °F at 75 % of maximum continuous power.", "read")
_FLUID = Source("14 CFR", "23.1095", "De-icing fluid at least 2.5 times the root of the power, lb/h.", "read")
_FILTER = Source(
    "AD 84-26-02", "(a), (b)", "Paper filters out by 500 h in service; hours unknown, within 100 h.", "read"
)
_IDLE = Source(
    "FAA-H-8083-32B", "page 2-30", "Slow pull to cut-off: rise of 10 to 50 rpm by installation.", "secondary"
)
_INJECTION = Source("FAA-H-8083-32B", "page 2-30", "One family of fuel injection: rise of 25 to 50 rpm.", "read")
_DROP = Source(
    "FAA-H-8083-32B", "page 4-31", "Drop generally 25 to 75 rpm, even between both; the type's limits rule.", "read"
)
_SHIELD = Source(
    "TM 1-1500-204-23-1",
    "ignition harness, note at figure 7-18",
    "More than 3 wire strands broken in 1 inch, or insulation damaged: replace the lead.",
    "read",
)
_POINTS = Source("FAA-H-8083-32B", "page 4-39", "Never spread breaker points over 1/16 in.", "secondary")
_NEEDED = Source(
    "AC 43.13-1B", "8-19, caution", "Points no further open than absolutely necessary: the spring weakens.", "read"
)

_RUNNING = "Engine running: chocks, brakes, somebody at the controls, nobody near the propeller."
_HOT_MAGNETO = "Treat the propeller as live: a grounding lead may be broken."


def _carburettor_heat(kind: str, outside: float, heated: float, basis: str) -> Ruling:
    rise, wanted = heated - outside, HEAT_RISE[kind]
    if compare(outside, 30) != 0:
        told = f"here the rise is {say(rise, 'degF', is_difference=True)}, the figure at 30 °F is {say(wanted, 'degF')}"
        return not_covered("the figure is for air of 30 °F", _HEAT, notes=(told,))
    return under_part_23(basis, at_least("rise of temperature", rise, wanted, "degF", source=_HEAT), _HEAT)


def _fluid_rate(power: float, basis: str, rate: float | None) -> Ruling:
    return under_part_23(basis, at_least("fluid rate", rate, 2.5 * power**0.5, "lb/h", source=_FLUID), _FLUID)


def _paper_filter(hours: float, known: str) -> Ruling:
    what, top = ("hours on the filter", 500.0) if known == "yes" else ("hours since the time was found unknown", 100.0)
    return at_most(what, hours, top, "h", source=_FILTER, notes=("at the limit means due now",))


def _idle_rise(rise: float) -> Ruling:
    ruling = between("rise at cut-off", rise, 10.0, 50.0, "rpm", source=_IDLE, scale=(0.0, 100.0))
    return with_notes(
        ruling,
        "less is too lean, more too rich; the figure of the installation rules",
        f"one family of fuel injection wants 25 to 50 rpm ({_INJECTION.document} {_INJECTION.where})",
    )


def _magneto_drop(left: float, right: float, type_drop: float | None, type_difference: float | None) -> Ruling:
    hot = [side for side, drop in (("left", left), ("right", right)) if compare(drop, 0) == 0]
    notes = tuple(f"no drop on the {side} magneto: it may not be grounded, treat the propeller as live" for side in hot)
    if type_drop is None:
        typical = "25 to 75 rpm each is typical and no limit"
        return not_covered("the drop and difference are figures of the type", _DROP, notes=(typical, *notes))
    rulings = [at_most("greater drop", max(left, right), type_drop, "rpm", source=_DROP)]
    if type_difference is not None:
        rulings.append(at_most("difference", abs(left - right), type_difference, "rpm", source=_DROP))
    untold = unmeasured((type_difference, "the difference between the two, by the type's figure"))
    return with_notes(worst(*rulings), *notes, *untold)


def _shield(broken: float) -> Ruling:
    return at_most("broken shield strands in one inch", broken, 3.0, "", source=_SHIELD)


def _points(spread: float) -> Ruling:
    ruling = at_most("spread of the points", spread, 0.0625, "in", source=_POINTS)
    return with_notes(ruling, "within it too, no further than the look needs (AC 43.13-1B 8-19)")


LIMITS = (
    Limit(
        id="carburettor-heat-rise",
        title="Rise of carburettor heat",
        system="induction",
        inputs=(
            Input("kind", "Fuel metering and engine", choices=tuple(HEAT_RISE)),
            Input("outside", "Outside air", "degF", -60, 130),
            Input("heated", "Air at the carburettor with full heat", "degF", -60, 400),
            BASIS_INPUT,
        ),
        sources=(_HEAT,),
        basis=PART_23,
        assumes=("75 % of maximum continuous power (60 % for ice-resisting altitude engines), no visible moisture.",),
        does_not_cover=("Outside air other than 30 °F.", "Engines under an older rule."),
        caution=_RUNNING + " Heated air is mostly unfiltered: short runs.",
        examples=(
            Example(
                {"kind": "venturi-sea-level", "outside": "30", "heated": "118", "basis": "part-23"},
                "beyond", "computed from 14 CFR 23.1093(a)(1)", 90,
            ),
            Example(
                {"kind": "venturi-sea-level", "outside": "30", "heated": "120", "basis": "part-23"},
                "at", "computed from 14 CFR 23.1093(a)(1)", 90,
            ),
        ),
        rule=_carburettor_heat,
    ),
    Limit(
        id="carburettor-fluid-rate",
        title="Rate of carburettor de-icing fluid",
        system="induction",
        inputs=(
            Input("power", "Maximum continuous power", "hp", 10, 5000),
            BASIS_INPUT,
            Input("rate", "Rate measured", "lb/h", 0, 2000, optional=True),
        ),
        sources=(_FLUID,),
        basis=PART_23,
        assumes=("The quantity for the time required is there as well.",),
        does_not_cover=("The quantity of fluid (23.1097).",),
        caution="Fluid burns with a flame that is hardly seen.",
        examples=(Example({"power": "100", "basis": "part-23"}, "required", "computed from 14 CFR 23.1095", 25),),
        rule=_fluid_rate,
    ),
    Limit(
        id="paper-air-filter",
        title="Hours on a paper induction filter",
        system="induction",
        inputs=(
            Input("hours", "Hours on the filter, or since the directive found them unknown", "h", 0, 20_000),
            Input("known", "Are the filter's hours known", choices=("yes", "no"), default="yes"),
        ),
        sources=(_FILTER,),
        basis="Does not depend on the certification basis; the hours of a directive.",
        assumes=("A paper induction filter in a small aircraft: the directive names them all.",),
        does_not_cover=(
            "Foam and fabric filters.",
            "The look at each 100 h and annual inspection: a torn, loose or dirty filter goes at any hours.",
        ),
        caution="Look for pieces already gone into the engine.",
        examples=(
            Example({"hours": "499"}, "within", "computed from AD 84-26-02", 500),
            Example({"hours": "500"}, "at", "AD 84-26-02", 500),
        ),
        rule=_paper_filter,
    ),
    Limit(
        id="idle-mixture-rise",
        title="Rise of speed at idle cut-off",
        system="induction",
        inputs=(Input("rise", "Rise before the engine dies", "rpm", 0, 1000),),
        sources=(_IDLE, _INJECTION),
        basis=MAKER_FIRST,
        assumes=("A slow pull to cut-off at idle, engine hot.",),
        does_not_cover=("Engines without a mixture cut-off.",),
        caution=_RUNNING,
        examples=(
            Example({"rise": "10"}, "at", "FAA-H-8083-32B page 2-30", 10),
            Example({"rise": "0"}, "beyond", "FAA-H-8083-32B page 2-30", 10),
        ),
        rule=_idle_rise,
    ),
    Limit(
        id="magneto-drop",
        title="Drop of speed on one magneto",
        system="ignition",
        inputs=(
            Input("left", "Drop on the left", "rpm", 0, 2000),
            Input("right", "Drop on the right", "rpm", 0, 2000),
            Input("type-drop", "Greatest drop of the type", "rpm", 1, 1000, optional=True),
            Input("type-difference", "Greatest difference of the type", "rpm", 1, 1000, optional=True),
        ),
        sources=(_DROP,),
        basis=MAKER_FIRST,
        assumes=("At the speed and mixture the type asks for.",),
        does_not_cover=("Types whose figures are not at hand.",),
        caution=_RUNNING + " " + _HOT_MAGNETO,
        examples=(
            Example({"left": "60", "right": "70"}, "not-covered", "computed"),
            Example(
                {"left": "60", "right": "70", "type-drop": "125", "type-difference": "50"},
                "within", "computed", 125,
            ),
        ),
        rule=_magneto_drop,
    ),
    Limit(
        id="ignition-shield-strands",
        title="Broken shield strands of an ignition lead",
        system="ignition",
        inputs=(Input("broken", "Broken strands in the worst inch", "", 0, 200, whole=True),),
        sources=(_SHIELD,),
        basis=MAKER_FIRST,
        assumes=("The shield only; the insulation below is sound.",),
        does_not_cover=("A strand pushed through the insulation: replace.",),
        caution=_HOT_MAGNETO,
        examples=(
            Example({"broken": "3"}, "at", "TM 1-1500-204-23-1", 3),
            Example({"broken": "4"}, "beyond", "TM 1-1500-204-23-1", 3),
        ),
        rule=_shield,
    ),
    Limit(
        id="breaker-point-spread",
        title="Spreading breaker points to look at them",
        system="ignition",
        inputs=(Input("spread", "How far they are opened by hand", "in", 0, 1),),
        sources=(_POINTS, _NEEDED),
        basis=MAKER_FIRST,
        assumes=("Opened by hand, not by the cam.",),
        does_not_cover=("The working gap: the magneto maker's figure.",),
        caution=_HOT_MAGNETO,
        examples=(Example({"spread": "1/16 in"}, "at", "FAA-H-8083-32B page 4-39", 0.0625),),
        rule=_points,
    ),
)  # fmt: skip
