"""Limits of magneto and switch: sparks to expect, the check of the switch, its directive, the gap of the points."""

from __future__ import annotations

from kb.limits.basis import MAKER_FIRST, ONE_TYPE, ONE_TYPE_INPUT, of_one_type
from kb.limits.model import Example, Input, Limit, Ruling, compare
from kb.limits.ruling import at_most, between, needed, not_covered, passes, with_notes, worst
from kb.limits.units import say
from kb.model import Source

_HANDBOOK = "FAA-H-8083-32B"

_SPARKS = Source(_HANDBOOK, "page 4-24", "At 2,100 rpm about 17 sparks a second at each plug.", "read")
_SWITCH = Source(
    _HANDBOOK,
    "page 4-31",
    "Near 700 rpm, for a moment OFF: it must stop firing; 200 to 300 rpm, then back to both.",
    "read",
)
_DIRECTIVE = Source(
    "AD 76-07-12 R1", "1(a)-(d)", "Each 100 h, hot, at idle, turned past OFF to the end: it must stop firing.", "read"
)
_GAP = Source(
    _HANDBOOK,
    "page 4-29",
    "One magneto: points open 10° from neutral, then 0.018 in, 0.006 each way, on the high cam.",
    "read",
)

_RUNNING = "Engine running: chocks, brakes, somebody at the controls, nobody near the propeller."
_LIVE = "Treat the propeller as live until the ground lead is proved: a broken one shows nothing from outside."


def _sparks(speed: float) -> Ruling:
    each = speed / 120
    return needed(f"{say(each, '')} sparks a second at each plug", each, source=_SPARKS)


def _switch_check(engine: str, fall: float | None) -> Ruling:
    if engine == "fires-on":
        note = "do not fly, do not touch the propeller: a ground lead or the switch is open"
        return passes("beyond: the engine fires on with the switch off", is_fit=False, source=_SWITCH, notes=(note,))
    if fall is not None and compare(fall, 200) < 0:
        return not_covered(f"a fall of {say(fall, 'rpm')} is too short a look to know that it stops", _SWITCH)
    notes = ("back to both at once: a longer pause fires on gathered fuel",) if fall and compare(fall, 300) > 0 else ()
    return passes("within: the engine stops firing with the switch off", is_fit=True, source=_SWITCH, notes=notes)


def _switch_directive(hours: float, engine: str, same_type: str) -> Ruling:
    due = at_most("hours since the check", hours, 100.0, "h", source=_DIRECTIVE, notes=("the pilot may do the check",))
    if engine == "not-tried":
        return of_one_type(same_type, due, _DIRECTIVE)
    stops = engine == "stops"
    told = "within: it stops firing past OFF" if stops else "beyond: it fires past OFF, repair before the next flight"
    return of_one_type(same_type, worst(passes(told, is_fit=stops, source=_DIRECTIVE), due), _DIRECTIVE)


def _gap(gap: float, same_type: str) -> Ruling:
    ruling = between("gap on the high cam", gap, 0.012, 0.024, "in", source=_GAP)
    first = "the angle comes first: these points open 10° from neutral, and a gap within does not prove the timing"
    return of_one_type(same_type, with_notes(ruling, first), _GAP)


LIMITS = (
    Limit(
        id="spark-rate",
        title="Sparks to expect at each plug",
        system="ignition",
        inputs=(Input("speed", "Engine speed", "rpm", 50, 6_000),),
        sources=(_SPARKS,),
        basis="Does not depend on the certification basis; arithmetic.",
        assumes=("A four-stroke engine: one spark at each plug in two turns.",),
        does_not_cover=("Two-stroke engines.",),
        caution=_RUNNING,
        examples=(
            Example({"speed": "2100"}, "required", "computed; FAA-H-8083-32B page 4-24 prints about 17", 17.5),
        ),
        rule=_sparks,
    ),
    Limit(
        id="ignition-switch-check",
        title="Check that the switch grounds the magnetos",
        system="ignition",
        inputs=(
            Input("engine", "With the switch off the engine", choices=("stops", "fires-on")),
            Input("fall", "Fall of speed that was let come", "rpm", 0, 3_000, optional=True),
        ),
        sources=(_SWITCH,),
        basis=MAKER_FIRST,
        assumes=("At about 700 rpm, or the lowest speed, for a moment only.",),
        does_not_cover=("A wire that breaks later.", "Travel past OFF: ignition-switch-directive."),
        caution=f"{_RUNNING} Too long in OFF makes it fire back.",
        examples=(
            Example({"engine": "stops", "fall": "250"}, "within", f"{_HANDBOOK} page 4-31"),
            Example({"engine": "fires-on"}, "beyond", f"{_HANDBOOK} page 4-31"),
            Example({"engine": "stops", "fall": "50"}, "not-covered", "computed"),
        ),
        rule=_switch_check,
    ),
    Limit(
        id="ignition-switch-directive",
        title="Directive on one family of ignition switches",
        system="ignition",
        inputs=(
            Input("hours", "Hours in service since the last check", "h", 0, 20_000),
            Input("engine", "Hot, at idle, turned past OFF to the end", choices=("stops", "fires-on", "not-tried")),
            ONE_TYPE_INPUT,
        ),
        sources=(_DIRECTIVE,),
        basis="Holds for the switches the directive lists, by part number, date code and mark; whatever the aircraft.",
        assumes=("Key or lever taken through OFF to the extreme end, engine at normal idle and hot.",),
        does_not_cover=("Switches with the new date code or the white dot.", "Other families of switches."),
        caution=_RUNNING,
        examples=(
            Example({"hours": "100", "engine": "not-tried", "same-type": "yes"}, "at", "AD 76-07-12 R1", 100),
            Example({"hours": "5", "engine": "fires-on", "same-type": "yes"}, "beyond", "AD 76-07-12 R1"),
            Example({"hours": "300", "engine": "not-tried", "same-type": "no"}, "not-covered", "computed"),
        ),
        rule=_switch_directive,
    ),
    Limit(
        id="breaker-point-gap",
        title="Gap of the breaker points",
        system="ignition",
        inputs=(Input("gap", "Gap with the follower on the high cam", "in", 0, 0.5), ONE_TYPE_INPUT),
        sources=(_GAP,),
        basis=ONE_TYPE,
        assumes=("On the bench, after the points were set to open at their angle.",),
        does_not_cover=("Timing: gap is not angle.", "Any magneto but the model of the example."),
        caution=_LIVE,
        examples=(
            Example({"gap": "0.012", "same-type": "yes"}, "at", f"computed from {_HANDBOOK} page 4-29", 0.012),
            Example({"gap": "0.0119", "same-type": "yes"}, "beyond", "computed", 0.012),
            Example({"gap": "0.018", "same-type": "unknown"}, "not-covered", "computed"),
        ),
        rule=_gap,
    ),
)  # fmt: skip
