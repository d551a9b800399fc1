"""Limits of weight and balance: loading, change of equipment, ballast."""

from __future__ import annotations

from kb.limits.model import Example, Input, Limit, Pairs, Ruling, compare
from kb.limits.ruling import at_least, at_most, between, needed, not_covered, with_notes, worst
from kb.limits.units import say
from kb.model import Source

_AC = "AC 43.13-1B"

_LOADING = Source(_AC, "figures 10-10 to 10-14", "Sum of moments over sum of weights, against limits.", "read")
_EQUIPMENT = Source(
    "FAA-H-8083-30", "equipment change", "A removed item takes a negative weight (repost).", "secondary"
)
_BALLAST = Source(
    "FAA-H-8083-1",
    "ballast",
    "Weight times distance outside the limit over (arm - limit) (school syllabus).",
    "secondary",
)


_WEIGH = "Level, in a closed building, calibrated scales; jacks and stands by the book, wheels chocked."
_BASIS = (
    "The type's own limits decide. Empty weight is without oil under CAR 3, with oil under part 23 (10-15): say which."
)
_SAMPLE = {"forward-limit": "8.5", "aft-limit": "21.9", "max-weight": "2100"}
_ARM = (-1000.0, 1000.0)
_ITEMS = Input("items", "Every load as weight@arm, the empty aircraft too", "lb", -20_000, 200_000, paired_unit="in")
_FORWARD = Input("forward-limit", "Forward limit of the centre of gravity", "in", *_ARM)
_AFT = Input("aft-limit", "Aft limit", "in", *_ARM)


def centre_of(items: Pairs) -> tuple[float, float, float]:
    """Return total weight (lb), total moment (in-lb) and centre of gravity (in; 0 where the weight is nothing)."""
    weight = sum(pound for pound, _ in items)
    moment = sum(pound * arm for pound, arm in items)
    return weight, moment, moment / weight if weight > 0 else 0.0


def _balance(items: Pairs, forward_limit: float, aft_limit: float, max_weight: float) -> Ruling:
    weight, moment, centre = centre_of(items)
    if compare(forward_limit, aft_limit) >= 0:
        return not_covered("the forward limit must be ahead of the aft limit", _LOADING)
    if weight <= 0:
        return not_covered("the weights add up to nothing", _LOADING)
    total = f"{say(weight, 'lb')}, moment {say(moment, 'in-lb')}, centre at {say(centre, 'in')}"
    span = (2 * forward_limit - aft_limit, 2 * aft_limit - forward_limit)
    return with_notes(
        worst(
            between(
                "centre of gravity",
                centre,
                forward_limit,
                aft_limit,
                "in",
                source=_LOADING,
                scale=span,
                has_share=False,
            ),
            at_most("weight", weight, max_weight, "lb", source=_LOADING),
        ),
        total,
    )


def _equipment_change(
    empty_weight: float, empty_centre: float, changes: Pairs, forward_limit: float | None, aft_limit: float | None
) -> Ruling:
    weight, _, centre = centre_of(((empty_weight, empty_centre), *changes))
    if weight <= 0:
        return not_covered("more is taken out than the aircraft weighs", _EQUIPMENT)
    told = f"new empty weight {say(weight, 'lb')}, centre at {say(centre, 'in', is_difference=True)}"
    if forward_limit is None or aft_limit is None:
        return needed(told, weight, "lb", source=_EQUIPMENT, notes=("work out the extreme loadings again (loading)",))
    if compare(forward_limit, aft_limit) >= 0:
        return not_covered("the forward limit must be ahead of the aft limit", _EQUIPMENT)
    span = (2 * forward_limit - aft_limit, 2 * aft_limit - forward_limit)
    ruling = between(
        "empty centre of gravity",
        centre,
        forward_limit,
        aft_limit,
        "in",
        source=_EQUIPMENT,
        scale=span,
        has_share=False,
    )
    return with_notes(ruling, told)


def _ballast(weight: float, centre: float, limit: float, arm: float, fitted: float | None) -> Ruling:
    reach, gap = arm - limit, limit - centre
    if compare(gap, 0) == 0:
        return needed("no ballast: the centre is at the limit", 0.0, "lb", source=_BALLAST)
    if gap * reach <= 0 or weight * gap / reach > weight:
        return not_covered(
            "no ballast lighter than the aircraft, at that arm, brings the centre to the limit", _BALLAST
        )
    notes = ("round up; then check the other limit and the greatest weight (loading)",)
    return at_least("ballast", fitted, weight * gap / reach, "lb", source=_BALLAST, notes=notes)


LIMITS = (
    Limit(
        id="loading",
        title="Loading: weight and centre of gravity",
        system="records",
        inputs=(_ITEMS, _FORWARD, _AFT, Input("max-weight", "Greatest weight", "lb", 1, 200_000)),
        sources=(_LOADING,),
        basis=_BASIS,
        assumes=("Arms from the datum of the type data, plus aft of it; the limits given hold at this weight.",),
        does_not_cover=("Limits that change with weight: give those of this one.", "Limits of compartments."),
        caution=_WEIGH,
        examples=(
            Example(
                {"items": "1169@10.6, 17@-49, 170@16, 83@22", **_SAMPLE},
                "within", "AC 43.13-1B figure 10-10: 16104 over 1439 is +11.2", 8.5,
            ),
        ),
        rule=_balance,
    ),
    Limit(
        id="equipment-change",
        title="Empty weight after a change of equipment",
        system="records",
        inputs=(
            Input("empty-weight", "Empty weight before", "lb", 50, 200_000),
            Input("empty-centre", "Its centre of gravity", "in", *_ARM),
            Input("changes", "Each item as weight@arm, removed ones negative", "lb", -20_000, 20_000, paired_unit="in"),
            Input("forward-limit", "Forward limit of the empty centre, if there is one", "in", *_ARM, optional=True),
            Input("aft-limit", "Aft limit of the empty centre", "in", *_ARM, optional=True),
        ),
        sources=(_EQUIPMENT, _LOADING),
        basis=_BASIS,
        assumes=("The record before the change is right; weigh when in doubt.",),
        does_not_cover=("The extreme loadings, which are worked out again.", "Whether the change is approved."),
        caution=_WEIGH,
        examples=(
            Example(
                {"empty-weight": "1169", "empty-centre": "10.6", "changes": "-10@30, 5@20"},
                "required", "computed", 1164,
            ),
        ),
        rule=_equipment_change,
    ),
    Limit(
        id="ballast",
        title="Ballast to bring the centre to its limit",
        system="records",
        inputs=(
            Input("weight", "Weight of the aircraft as it stands", "lb", 50, 200_000),
            Input("centre", "Its centre of gravity, outside the limit", "in", *_ARM),
            Input("limit", "The limit it has passed", "in", *_ARM),
            Input("arm", "Where the ballast goes", "in", *_ARM),
            Input("fitted", "Ballast fitted", "lb", 0, 20_000, optional=True),
        ),
        sources=(_BALLAST,),
        basis=_BASIS,
        assumes=("Permanent ballast is secured, red and marked as such; temporary ballast carries its weight.",),
        does_not_cover=("The other limit and the greatest weight.", "The strength of the place it is fixed to."),
        caution="Ballast that comes loose jams controls: fix it as if it were structure.",
        examples=(
            Example(
                {"weight": "4954", "centre": "30.5", "limit": "32", "arm": "162"},
                "required", "mechanics' question bank: 57.16 lb", 57.1615,
            ),
            Example(
                {"weight": "1876", "centre": "32.2", "limit": "33", "arm": "228"},
                "required", "FAA-H-8083-1, repost (arm and answer 7.7 remembered)", 7.6964,
            ),
        ),
        rule=_ballast,
    ),
)  # fmt: skip
