"""Limits of oil and of an idle engine: change, tank, storage, preservative, hose."""

from __future__ import annotations

from kb.limits.basis import BASIS_INPUT, under_part_23
from kb.limits.model import Example, Input, Limit, Ruling, compare
from kb.limits.ruling import at_least, at_most, needed, not_covered, passes, worst
from kb.limits.units import say
from kb.model import Source

_HANDBOOK = "FAA-H-8083-32B"

_OIL = Source(
    _HANDBOOK,
    "page 6-17",
    "One maker's figures: 25 h with pressure screen, 50 h with full-flow filter, 4 months at most with either.",
    "read",
)
_SPACE = Source(
    "14 CFR", "23.1013(b)(1)", "Expansion space, piston engine: the greater of 10 % of the tank or 0.5 gal.", "read"
)
_ACTIVE = Source(
    _HANDBOOK, "page 8-18", "Active: up to 30 days, after at least one continuous hour of oil at 165 to 200 °F.", "read"
)
_LONGER = Source(_HANDBOOK, "page 8-18", "Temporary storage 30 to 90 days, indefinite over 90.", "secondary")
_MIX = Source(
    _HANDBOOK, "page 8-18", "Concentrate (MIL-C-6529 type I) 1 part to 3 parts of oil, never into old oil.", "read"
)
_HOSE = Source(
    _HANDBOOK,
    "page 2-32",
    "Pricked with a pin off the aircraft: fluid, reject; only air, test at 1.5 times working pressure without a leak.",
    "read",
)

INTERVAL = {"screen-only": 25.0, "full-flow-filter": 50.0}
"""Hours, FAA-H-8083-32B page 6-17, one engine maker's recommendation there [read]."""

_NO_BASIS = "Does not depend on the certification basis; the engine maker's instructions come first."


def _oil_interval(hours: float, months: float, filtration: str) -> Ruling:
    return worst(
        at_most("hours on the oil", hours, INTERVAL[filtration], "h", source=_OIL),
        at_most("months on the oil", months, 4.0, "month", source=_OIL),
    )


def _expansion(capacity: float, basis: str, space: float | None) -> Ruling:
    return under_part_23(
        basis, at_least("expansion space", space, max(0.1 * capacity, 0.5), "gal", source=_SPACE), _SPACE
    )


def _storage(days: float, hot_run: str) -> Ruling:
    if compare(days, 30) <= 0:
        active = "active storage: enough if the last run held the oil at 165 to 200 °F for one hour without a break"
        if hot_run == "yes":
            return at_most("days standing", days, 30.0, "day", source=_ACTIVE, notes=(active,))
        return passes(
            "beyond: without an hour at 165 to 200 °F it needs more than active storage", is_fit=False, source=_ACTIVE
        )
    if compare(days, 90) <= 0:
        return needed(
            "temporary storage, 30 to 90 days: preserve the engine by its maker's instructions", source=_LONGER
        )
    return needed("indefinite storage, over 90 days: full preservation by the maker's instructions", source=_LONGER)


def _concentrate(total: float, concentrate: float | None) -> Ruling:
    if concentrate is None:
        told = f"{say(total / 4, 'qt')} of concentrate and {say(total * 3 / 4, 'qt')} of oil, mixed outside the engine"
        return needed(told, total / 4, "qt", source=_MIX)
    if compare(concentrate, total / 4) > 0:
        return not_covered("more than the one part to three that is printed", _MIX)
    return at_least("preservative concentrate", concentrate, total / 4, "qt", source=_MIX)


def _blistered_hose(working: float, leaked: str, tested: float | None) -> Ruling:
    if leaked == "fluid":
        return passes("beyond: fluid came out of the blister, the hose is rejected", is_fit=False, source=_HOSE)
    return at_least("test pressure", tested, 1.5 * working, "psi", source=_HOSE)


LIMITS = (
    Limit(
        id="oil-change",
        title="Oil change interval",
        system="oil",
        inputs=(
            Input("hours", "Hours since the change", "h", 0, 5000),
            Input("months", "Months since the change", "month", 0, 600),
            Input("filtration", "What cleans the oil", choices=tuple(INTERVAL)),
        ),
        sources=(_OIL,),
        basis=_NO_BASIS,
        assumes=("One maker's figures, as the handbook gives them; those of this engine's maker replace them.",),
        does_not_cover=(
            "New, overhauled, or with a new cylinder: the first change is at 25 h.",
            "Engines run in dust, or with metal in the screen.",
            "The change from straight mineral to dispersant oil: first within 5 h, then each 10 h while sludge shows.",
        ),
        caution="Hot oil burns; ground the magnetos before the propeller is moved.",
        examples=(
            Example({"hours": "50", "months": "4", "filtration": "full-flow-filter"}, "at", "FAA-H-8083-32B 6-17", 50),
            Example({"hours": "24", "months": "5", "filtration": "screen-only"}, "beyond", "computed", 4),
        ),
        rule=_oil_interval,
    ),
    Limit(
        id="oil-tank-expansion",
        title="Expansion space of an oil tank",
        system="oil",
        inputs=(
            Input("capacity", "Tank capacity", "gal", 0.1, 100),
            BASIS_INPUT,
            Input("space", "Expansion space found", "gal", 0, 50, optional=True),
        ),
        sources=(_SPACE,),
        basis="Part 23 figure (wording before 2017); on an older basis it is named but judges nothing.",
        assumes=("A tank that cannot be filled into the space by accident in the ground attitude.",),
        does_not_cover=("Wet sumps.", "Aircraft under an older rule."),
        caution="Measure with the tank cold and drained; oil on a hot exhaust burns.",
        examples=(
            Example({"capacity": "3", "basis": "part-23"}, "required", "computed from 14 CFR 23.1013(b)", 0.5),
            Example({"capacity": "8", "basis": "part-23", "space": "0.8"}, "at", "computed", 0.8),
            Example({"capacity": "8", "basis": "car-3", "space": "0.8"}, "not-covered", "computed"),
        ),
        rule=_expansion,
    ),
    Limit(
        id="engine-storage",
        title="Storage class of an idle engine",
        system="engine",
        inputs=(
            Input("days", "Days it will stand", "day", 0, 20_000),
            Input("hot-run", "Last run held 165 to 200 °F oil for one hour", choices=("yes", "no")),
        ),
        sources=(_ACTIVE, _LONGER),
        basis=_NO_BASIS,
        assumes=("An installed piston engine.",),
        does_not_cover=("Coast, lakes and damp places, which need more.",),
        caution="A stored engine may hold liquid in a lower cylinder: plugs out before the propeller is moved.",
        examples=(
            Example({"days": "30", "hot-run": "yes"}, "at", "FAA-H-8083-32B page 8-18", 30),
            Example({"days": "31", "hot-run": "yes"}, "required", "FAA-H-8083-32B page 8-18"),
        ),
        rule=_storage,
    ),
    Limit(
        id="preservative-mix",
        title="Preservative concentrate in oil",
        system="engine",
        inputs=(
            Input("total", "Oil wanted in all", "qt", 0.5, 200),
            Input("concentrate", "Concentrate put in", "qt", 0, 200, optional=True),
        ),
        sources=(_MIX,),
        basis=_NO_BASIS,
        assumes=("By volume, mixed outside the engine, never added to old oil.",),
        does_not_cover=("Ready-mixed preservative oil (type II).",),
        caution="After spraying the cylinders do not move the propeller; sign it.",
        examples=(Example({"total": "8 qt"}, "required", "computed from FAA-H-8083-32B page 8-18", 2),),
        rule=_concentrate,
    ),
    Limit(
        id="blistered-hose-test",
        title="Test pressure of a blistered hose",
        system="fluid-lines",
        inputs=(
            Input("working", "Working pressure of the hose", "psi", 1, 5000),
            Input("leaked", "What came out of the pricked blister", choices=("air", "fluid")),
            Input("tested", "Pressure it was tested at", "psi", 0, 10_000, optional=True),
        ),
        sources=(_HOSE,),
        basis=_NO_BASIS,
        assumes=("The hose is off the aircraft and tested without a leak.",),
        does_not_cover=(
            "Hose that lives in the weather: the pinhole lets water to the braid.",
            "Cracks that reach the braid.",
        ),
        caution="Prick and test off the aircraft, with liquid and behind a guard.",
        examples=(Example({"working": "100", "leaked": "air", "tested": "150"}, "at", "computed", 150),),
        rule=_blistered_hose,
    ),
)  # fmt: skip
