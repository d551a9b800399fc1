"""Yes-or-no rules of the fuel system: vent, strainer, drains, selector, marks. Part 23 alone."""

from __future__ import annotations

from kb.limits.basis import BASIS_INPUT, PART_23, under_part_23
from kb.limits.model import Example, Input, Limit, Ruling
from kb.limits.ruling import all_met
from kb.model import Source

_VENT = Source("14 CFR", "23.975(a)(1)-(7)", "Seven conditions of a fuel tank vent.", "read")
_STRAINER = Source("14 CFR", "23.997", "Strainer between tank outlet and carburettor or pump.", "read")
_DRAINS = Source("14 CFR", "23.999", "Drains of the fuel system and their valves.", "read")
_SELECTOR = Source("14 CFR", "23.995(a)-(g)", "Valves and controls of the fuel system.", "read")
_MARKS = Source("14 CFR", "23.1557(c), 23.1555(c), (d)", "Marks at the filler and at the selector.", "read")

VENT = {
    "from-top": "opens at the top of the expansion space",
    "not-obstructed": "cannot be closed by ice or dirt",
    "no-siphon": "cannot siphon in flight",
    "relief": "relieves pressure rapidly",
    "airspaces-joined": "airspaces of tanks with joined outlets are joined",
    "no-water-trap": "no low place holds water on the ground or level, or it has a drain",
    "no-hazard-no-loss": "discharges neither into the cabin nor as a fire hazard, and loses none on a 1 % slope",
}
"""14 CFR 23.975(a)(1)-(7) [read]; the loss on a slope has its own limit, fuel-vent-ramp."""
STRAINER = {
    "accessible": "can be reached for draining and cleaning",
    "removable": "its screen or element comes out easily",
    "trap-and-drain": "has a sediment trap and a drain, or comes off easily for draining",
    "own-support": "its weight does not hang on the lines",
    "capacity": "still passes the flow when dirty",
}
"""14 CFR 23.997 [read]."""
DRAINS = {
    "empties-all": "at least one drain empties the whole system in ground attitude",
    "clear": "drains discharge clear of the aircraft",
    "locked": "the valve has a positive lock in the closed position",
    "accessible": "the valve is easy to reach and to work",
    "catchable": "the fuel can be caught for examination",
    "visible": "its closing can be seen",
    "protected": "a wheels-up landing does not make it spill",
}
"""14 CFR 23.999 [read]."""
SELECTOR = {
    "shut-off": "fuel of each engine can be shut off rapidly in flight",
    "no-valve-behind-firewall": "no shut-off valve stands on the engine side of a firewall",
    "guarded-reopens": "guarded against inadvertent use, and can be opened again in flight",
    "supported": "loads on valve and control do not reach the lines",
    "stays-put": "neither gravity nor vibration moves it",
    "right-assembly": "handle connection and check valves are hard to assemble wrongly",
    "off-apart": "off needs a separate and distinct action, and changing tanks cannot pass through off",
}
"""14 CFR 23.995(a)-(g) [read]. The action for off, (g), is later than CAR 3: its absence there is no discrepancy."""
MARKS = {
    "filler": "filler: Avgas and the least grade",
    "oil-filler": "oil filler: Oil and its designation",
    "positions": "selector: each tank position",
    "sequence": "selector: the sequence, where one must be followed",
    "restricted": "placard for a tank of restricted use, where there is one",
    "usable": "usable fuel of each position at the selector, or at the gauge without a selector",
}
"""14 CFR 23.1557(c), 23.1555(c), (d) [read]. The capacity at the filler is not asked for."""

FIRE = "Fuel runs in the open: no ignition source, bonded cans, extinguisher."
_OLDER = "CAR 3 and CAR 4a aircraft: their own rule, which was not read."


def _vent(
    from_top: str, not_obstructed: str, no_siphon: str, relief: str, airspaces_joined: str, no_water_trap: str,
    no_hazard_no_loss: str, basis: str,
) -> Ruling:  # fmt: skip
    answers = (from_top, not_obstructed, no_siphon, relief, airspaces_joined, no_water_trap, no_hazard_no_loss)
    return under_part_23(basis, all_met(VENT, answers, _VENT), _VENT)


def _strainer(
    accessible: str, removable: str, trap_and_drain: str, own_support: str, capacity: str, basis: str
) -> Ruling:
    answers = (accessible, removable, trap_and_drain, own_support, capacity)
    return under_part_23(basis, all_met(STRAINER, answers, _STRAINER), _STRAINER)


def _drains(
    empties_all: str, clear: str, locked: str, accessible: str, catchable: str, visible: str, protected: str, basis: str
) -> Ruling:
    answers = (empties_all, clear, locked, accessible, catchable, visible, protected)
    return under_part_23(basis, all_met(DRAINS, answers, _DRAINS), _DRAINS)


def _selector(
    shut_off: str, no_valve_behind_firewall: str, guarded_reopens: str, supported: str, stays_put: str,
    right_assembly: str, off_apart: str, basis: str,
) -> Ruling:  # fmt: skip
    answers = (
        shut_off, no_valve_behind_firewall, guarded_reopens, supported, stays_put, right_assembly, off_apart,
    )  # fmt: skip
    return under_part_23(basis, all_met(SELECTOR, answers, _SELECTOR), _SELECTOR)


def _marks(
    filler: str, oil_filler: str, positions: str, sequence: str, restricted: str, usable: str, basis: str
) -> Ruling:
    answers = (filler, oil_filler, positions, sequence, restricted, usable)
    return under_part_23(basis, all_met(MARKS, answers, _MARKS), _MARKS)


def _yes_no(items: dict[str, str]) -> tuple[Input, ...]:
    return tuple(
        Input(name, f"{text[0].upper()}{text[1:]}", choices=("yes", "no")) for name, text in items.items()
    )  # fmt: skip


def _examples(items: dict[str, str], printed_in: str) -> tuple[Example, ...]:
    good = dict.fromkeys(items, "yes") | {"basis": "part-23"}
    poor = good | {next(reversed(items)): "no"}
    older = poor | {"basis": "car-3"}
    return (
        Example(good, "within", f"computed from {printed_in}"),
        Example(poor, "beyond", f"computed from {printed_in}"),
        Example(older, "not-covered", "computed"),
    )


LIMITS = (
    Limit(
        id="fuel-vent",
        title="Conditions of a fuel tank vent",
        system="fuel",
        inputs=(*_yes_no(VENT), BASIS_INPUT),
        sources=(_VENT,),
        basis=PART_23,
        assumes=("Looked at outside and inside, with the line blown through away from the tank.",),
        does_not_cover=(_OLDER, "Where the maker puts the vent: his drawing rules (AC 43.13-1B 8-33b)."),
        caution="Never blow into a tank: it is closed and weak; vapour comes out of the vent.",
        examples=_examples(VENT, "14 CFR 23.975(a)"),
        rule=_vent,
    ),
    Limit(
        id="fuel-strainer",
        title="Conditions of the fuel strainer",
        system="fuel",
        inputs=(*_yes_no(STRAINER), BASIS_INPUT),
        sources=(_STRAINER,),
        basis=PART_23,
        assumes=("The strainer between tank outlet and carburettor or pump.",),
        does_not_cover=(_OLDER, "The screen at the tank outlet: see fuel-outlet-screen."),
        caution=FIRE,
        examples=_examples(STRAINER, "14 CFR 23.997"),
        rule=_strainer,
    ),
    Limit(
        id="fuel-drains",
        title="Conditions of the fuel drains",
        system="fuel",
        inputs=(*_yes_no(DRAINS), BASIS_INPUT),
        sources=(_DRAINS,),
        basis=PART_23,
        assumes=("The aircraft stands in its normal ground attitude.",),
        does_not_cover=(_OLDER, "Old tanks whose drain is not at the low point on the ground: water stays in them."),
        caution=FIRE,
        examples=_examples(DRAINS, "14 CFR 23.999"),
        rule=_drains,
    ),
    Limit(
        id="fuel-selector",
        title="Conditions of fuel valves and selector",
        system="fuel",
        inputs=(*_yes_no(SELECTOR), BASIS_INPUT),
        sources=(_SELECTOR,),
        basis=PART_23 + " The separate action for off is later than CAR 3: its absence there is no discrepancy.",
        assumes=("Every position was tried, by feel and by the flow.",),
        does_not_cover=(_OLDER, "Leaking inside: see fuel-selector-test."),
        caution=FIRE,
        examples=_examples(SELECTOR, "14 CFR 23.995"),
        rule=_selector,
    ),
    Limit(
        id="fuel-marks",
        title="Marks at filler and selector",
        system="fuel",
        inputs=(*_yes_no(MARKS), BASIS_INPUT),
        sources=(_MARKS,),
        basis=PART_23,
        assumes=("Answer yes where an item does not apply to the aircraft.",),
        does_not_cover=(_OLDER, "The capacity at the filler, which 23.1557(c) does not ask for."),
        caution="A grade on the placard may be wrong: hold it against the type data sheet before fuelling.",
        examples=_examples(MARKS, "14 CFR 23.1557(c), 23.1555(c), (d)"),
        rule=_marks,
    ),
)  # fmt: skip
