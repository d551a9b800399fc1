"""Limits of leaks and of what stops fuel: class of a leak, test of the selector, tank cap."""

from __future__ import annotations

from kb.limits.basis import MAKER_FIRST
from kb.limits.fuel_checks import FIRE
from kb.limits.model import Example, Input, Limit, Ruling, compare
from kb.limits.ruling import all_met, needed, not_covered, passes
from kb.limits.units import say
from kb.model import Source

_LEAK = Source("FAA-H-8083-31", "fuel leak classes", "Wetted diameter after 30 minutes (reposted text).", "secondary")
_VALVE = Source("AC 43.13-1B", "8-34b", "A leak under the cabin floor is a severe fire hazard; find the cause.", "read")
_NAVY = Source("NAVEDTRA 14315", "fuel leaks", "Running leaks are flight hazards wherever they are.", "read")
_NEAR = Source("AC 43.13-1B", "8-34b", "Reasoned from it: a drip in the engine bay or near wiring.", "memory")
_INNER = Source("AC 43.13-1B", "8-34a", "Valve off, strainer bowl drained: fuel must not keep coming.", "read")
_HANDLE = Source("AC 43.13-1B", "8-34c, d", "Handle shows the position; stops and detents; linkage not worn.", "read")
_CAP = Source("AC 43.13-1B", "8-33, 8-33a", "Right cap, good seals; unvented for vented starves the engine.", "read")
_RECESS = Source("AC 43.13-1B", "8-33b", "Plug the outlet, put fuel in the recess: it must not drain away.", "read")

LEAK_CLASSES = ((0.75, "stain"), (1.5, "seep"), (4.0, "heavy seep"))
"""FAA-H-8083-31 [secondary]: under 3/4 in, 3/4 to 1-1/2, 1-1/2 to 4 in after 30 minutes.
A border goes to the graver class."""


def leak_class(diameter: float) -> str | None:
    """Return the class by the wetted diameter in inches after 30 minutes; None past the printed 4 in."""
    if compare(diameter, 4.0) > 0:
        return None
    return next((name for top, name in LEAK_CLASSES if compare(diameter, top) < 0), "heavy seep")


def _leak(diameter: float, drips: str, minutes: float, place: str) -> Ruling:
    if place == "cabin-or-under-its-floor":
        text = "beyond: fuel in the cabin or under its floor, whatever its class: severe fire hazard, find the cause"
        return passes(text, is_fit=False, source=_VALVE)
    if drips == "yes":
        return passes("beyond: it pools and drips, a running leak: flight hazard anywhere", is_fit=False, source=_NAVY)
    name = leak_class(diameter)
    if compare(minutes, 30) != 0:
        return not_covered("the classes are for 30 minutes after the place was wiped dry", _LEAK)
    if name is None:
        return not_covered("over 4 in without drips stands in no class of this scale", _LEAK)
    if place != "open-airstream":
        return not_covered(
            f"a {name} by its size, but the scale is no rule for the engine bay or a place near wiring",
            _NEAR,
            remembered="any drip in an engine bay or near wiring grounds the aircraft, whatever its class",
        )
    found = (
        f"required: a {name} ({say(diameter, 'in')} in 30 minutes); find its cause and settle it by the maker's data"
    )
    note = "scales differ (1-1/2, 4 and 6 in in one maker's manual, time to reappear in the Navy's): never mix them"
    return needed(found, source=_LEAK, notes=(note, "the class is no release: it says only how large the leak is"))


def _selector_test(keeps_coming: str, shows_position: str, detents: str, full_travel: str) -> Ruling:
    if keeps_coming == "yes":
        return passes("beyond: fuel keeps coming with the valve off, it leaks inside", is_fit=False, source=_INNER)
    items = {
        "shows-position": "handle shows the actual position, smooth and not binding",
        "detents": "positive stops and detents, not worn or missing",
        "full-travel": "the linkage brings the valve fully on and fully off",
    }
    return all_met(items, (shows_position, detents, full_travel), _HANDLE)


def _cap(type_cap: str, fitted: str, seals: str, recess: str) -> Ruling:
    if type_cap == "vented" and fitted == "unvented":
        text = "beyond: an unvented cap in place of a vented one starves the engine, sooner with a full tank"
        return passes(text, is_fit=False, source=_CAP)
    if type_cap != fitted or seals == "no":
        return passes("beyond: wrong cap, or its seals are not good", is_fit=False, source=_CAP)
    if recess == "drains-away":
        text = "beyond: fuel put in the recess drains away; find where to, and purge the wing"
        return passes(text, is_fit=False, source=_RECESS)
    return passes("within: the right cap, good seals, the recess holds", is_fit=True, source=_CAP)


LIMITS = (
    Limit(
        id="fuel-leak-class",
        title="Class of a fuel leak",
        system="fuel",
        inputs=(
            Input("diameter", "Wetted diameter", "in", 0, 100),
            Input("drips", "Does it pool and drip", choices=("yes", "no")),
            Input("minutes", "Time since it was wiped dry", "min", 0, 600),
            Input(
                "place", "Where it is",
                choices=("open-airstream", "cabin-or-under-its-floor", "engine-bay", "near-wiring"),
            ),
        ),
        sources=(_LEAK, _VALVE, _NAVY),
        basis=MAKER_FIRST,
        assumes=("An integral tank: the scale was written for those.",),
        does_not_cover=(
            "A release to fly: the maker's data say which class may fly where, and nothing here does.",
            "Other scales: a transport manual and the Navy class differently.",
        ),
        caution="Fuel vapour: no ignition source, no rubbing of dry cloth near it, ventilate closed bays first.",
        examples=(
            Example(
                {"diameter": "1", "drips": "no", "minutes": "30", "place": "open-airstream"},
                "required", "FAA-H-8083-31: 3/4 to 1-1/2 in is a seep",
            ),
            Example(
                {"diameter": "0.1", "drips": "no", "minutes": "30", "place": "cabin-or-under-its-floor"},
                "beyond", "AC 43.13-1B 8-34b",
            ),
        ),
        rule=_leak,
    ),
    Limit(
        id="fuel-selector-test",
        title="Test of a selector valve",
        system="fuel",
        inputs=(
            Input("keeps-coming", "Valve off, strainer bowl drained: does fuel keep coming", choices=("yes", "no")),
            Input("shows-position", "Handle shows the position, smooth, not binding", choices=("yes", "no")),
            Input("detents", "Stops and detents are there and not worn", choices=("yes", "no")),
            Input("full-travel", "Linkage brings the valve fully on and off", choices=("yes", "no")),
        ),
        sources=(_INNER, _HANDLE),
        basis=MAKER_FIRST,
        assumes=("Valves after a boost pump were tried with the pump running, no longer than needed.",),
        does_not_cover=("Leaks outside: find the cause of any stain (8-34b).",),
        caution=FIRE + " A stain under the cabin floor is a severe fire hazard.",
        examples=(
            Example(
                {"keeps-coming": "yes", "shows-position": "yes", "detents": "yes", "full-travel": "yes"},
                "beyond", "AC 43.13-1B 8-34a",
            ),
            Example(
                {"keeps-coming": "no", "shows-position": "yes", "detents": "yes", "full-travel": "yes"},
                "within", "computed from AC 43.13-1B 8-34",
            ),
        ),
        rule=_selector_test,
    ),
    Limit(
        id="fuel-cap",
        title="Fuel tank cap and its recess",
        system="fuel",
        inputs=(
            Input("type-cap", "Cap the type asks for", choices=("vented", "unvented")),
            Input("fitted", "Cap fitted", choices=("vented", "unvented")),
            Input("seals", "Right size, seals good", choices=("yes", "no")),
            Input("recess", "Outlet plugged, fuel in the recess", choices=("holds", "drains-away", "no-recess")),
        ),
        sources=(_CAP, _RECESS),
        basis=MAKER_FIRST,
        assumes=("The cap of the type is known from the parts list.",),
        does_not_cover=("A vented cap whose vent is blocked: blow through it off the tank.",),
        caution=FIRE + " A tank under suction may collapse: open the cap slowly.",
        examples=(
            Example(
                {"type-cap": "vented", "fitted": "unvented", "seals": "yes", "recess": "holds"},
                "beyond", "AC 43.13-1B 8-33a",
            ),
            Example(
                {"type-cap": "vented", "fitted": "vented", "seals": "yes", "recess": "no-recess"},
                "within", "computed from AC 43.13-1B 8-33",
            ),
        ),
        rule=_cap,
    ),
)  # fmt: skip
