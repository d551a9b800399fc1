"""Limits around the empty weight: negligible change, minimum fuel of a check, oil."""

from __future__ import annotations

from kb.limits.model import Example, Input, Limit, Ruling, compare
from kb.limits.ruling import at_least, at_most, needed, not_covered, with_notes, worst
from kb.limits.units import say
from kb.model import Source

_AC = "AC 43.13-1B"

_NEGLIGIBLE = Source(_AC, "10-2c", "1, 2 or 5 lb by empty weight; under 0.05 % of the mean chord.", "read")
_FUEL = Source(_AC, "10-2p", "Minimum fuel: maximum except take-off horsepower over 12, gallons.", "read")
_CAR_3 = Source(_AC, "10-15, note", "CAR 3 empty weight is without oil, part 23 with oil.", "read")

NEGLIGIBLE_LB = ((5_000.0, 1.0), (50_000.0, 2.0))
"""AC 43.13-1B 10-2c [read]: 1 lb under 5,000 lb empty, 2 lb to 50,000, 5 lb over. The sentence is printed as "more than
5,000 and 50,000": exactly 5,000 stands in no part of it."""

_WEIGH = "Level, in a closed building, calibrated scales; jacks and stands by the book, wheels chocked."
_BASIS = (
    "The type's own limits decide. Empty weight is without oil under CAR 3, with oil under part 23 (10-15): say which."
)


def _negligible(change: float, empty_weight: float, shift: float | None) -> Ruling:
    if compare(empty_weight, 5_000) == 0:
        return not_covered("exactly 5,000 lb stands in no part of the printed sentence", _NEGLIGIBLE)
    allowed = next((pounds for top, pounds in NEGLIGIBLE_LB if compare(empty_weight, top) <= 0), 5.0)
    ruling = at_most("change of weight", abs(change), allowed, "lb", source=_NEGLIGIBLE)
    if shift is None:
        return with_notes(ruling, "the centre may also move by less than 0.05 % of the mean chord only")
    what = "move of the centre, of the mean chord"
    return worst(ruling, at_most(what, abs(shift), 0.05, "%", equal_is_enough=False, source=_NEGLIGIBLE))


def _minimum_fuel(power: float, fuel: float | None) -> Ruling:
    notes = (f"{say(power / 2, 'lb')} of gasoline at 6 lb a gallon",)
    return at_least("fuel for the forward or rearward check", fuel, power / 12, "gal", source=_FUEL, notes=notes)


def _oil_in_empty_weight(oil: float, basis: str) -> Ruling:
    pounds = 7.5 * oil / 4
    if basis == "unknown":
        return not_covered("whether oil belongs to the empty weight depends on the basis", _CAR_3)
    if basis == "car-3":
        return needed(f"take {say(pounds, 'lb')} of oil out of the weighed empty weight", pounds, "lb", source=_CAR_3)
    return needed(f"the {say(pounds, 'lb')} of oil stays in the empty weight", pounds, "lb", source=_CAR_3)


LIMITS = (
    Limit(
        id="negligible-weight-change",
        title="Negligible change of weight",
        system="records",
        inputs=(
            Input("change", "Change of empty weight", "lb", -20_000, 20_000),
            Input("empty-weight", "Empty weight", "lb", 50, 1_000_000),
            Input("shift", "Move of the centre as a share of the mean chord", "%", -100, 100, optional=True),
        ),
        sources=(_NEGLIGIBLE,),
        basis="Does not depend on the certification basis; fixed wing.",
        assumes=("A single change, not the sum of many small ones.",),
        does_not_cover=("Rotorcraft.", "Control surfaces, where every ounce counts for balance."),
        caution="Keep a list of negligible changes: together they are not negligible.",
        examples=(
            Example({"change": "1", "empty-weight": "1169", "shift": "0.04"}, "at", "AC 43.13-1B 10-2c", 1),
            Example({"change": "1.1", "empty-weight": "1169"}, "beyond", "AC 43.13-1B 10-2c", 1),
        ),
        rule=_negligible,
    ),
    Limit(
        id="minimum-fuel",
        title="Minimum fuel for a balance check",
        system="records",
        inputs=(
            Input("power", "Maximum except take-off power", "hp", 10, 5_000),
            Input("fuel", "Fuel used in the computation", "gal", 0, 2_000, optional=True),
        ),
        sources=(_FUEL,),
        basis=_BASIS,
        assumes=("One piston engine, gasoline.",),
        does_not_cover=("Reserve fuel for flight.",),
        caution=_WEIGH,
        examples=(Example({"power": "165"}, "required", "AC 43.13-1B figure 10-10: 83 lb for 82.5", 13.75),),
        rule=_minimum_fuel,
    ),
    Limit(
        id="empty-weight-oil",
        title="Oil in the empty weight",
        system="records",
        inputs=(
            Input("oil", "Oil in the engine and tank when weighed", "qt", 0, 400),
            Input("basis", "Certification basis", choices=("car-3", "part-23", "unknown")),
        ),
        sources=(_CAR_3,),
        basis="CAR 3 types are weighed without oil, part 23 types with it; the input says which.",
        assumes=("7.5 lb a gallon.",),
        does_not_cover=("Aircraft under CAR 4a and older rules: see their type data.",),
        caution=_WEIGH,
        examples=(
            Example({"oil": "9", "basis": "car-3"}, "required", "AC 43.13-1B figure 10-10: 17 lb for 16.875", 16.875),
        ),
        rule=_oil_in_empty_weight,
    ),
)  # fmt: skip
