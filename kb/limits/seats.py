"""Limits of seats and interior: cracks of a seat rail, how well the cloth resists fire."""

from __future__ import annotations

from kb.limits.basis import BASIS_INPUT, ONE_TYPE, ONE_TYPE_INPUT, of_one_type
from kb.limits.model import Example, Input, Limit, Ruling
from kb.limits.ruling import at_least, at_most, not_covered, passes, worst
from kb.model import Source

_RAIL = Source(
    "AD 2011-10-09",
    "figure 5, as reported",
    "Replace: crack in web or lower flange, not square to the rail, more than 4, or any two closer than 1 in.",
    "secondary",
)
_CAR_3 = Source(
    "AC 43.13-1B", "9-61, quoting CAR 3.388", "No smoking: flash-resistant; smoking: flame-resistant.", "secondary"
)
_PART_23 = Source("14 CFR", "23.853(a), (c)", "Flame-resistant at least; smoking placard or ash trays.", "read")

_RESISTANCE = ("none", "flash", "flame")
"""From the weakest to the strongest."""


def _rail(cracks: float, place: str, direction: str, same_type: str, apart: float | None) -> Ruling:
    rulings = [at_most("cracks in the crown of the rail", cracks, 4.0, "", source=_RAIL)]
    if place == "web-or-flange":
        rulings.append(_replace("a crack in the web or lower flange"))
    if direction == "other":
        rulings.append(_replace("a crack that does not run square across the rail"))
    if apart is not None:
        rulings.append(at_least("least distance between two cracks", apart, 1.0, "in", source=_RAIL))
    elif cracks > 1:
        rulings.append(not_covered("with two cracks or more the distance between them counts", _RAIL))
    return of_one_type(same_type, worst(*rulings), _RAIL)


def _replace(what: str) -> Ruling:
    return passes(f"beyond: {what}, replace the rail", is_fit=False, source=_RAIL)


def _interior(basis: str, smoking: str, material: str) -> Ruling:
    if basis not in ("car-3", "part-23"):
        return not_covered("the rule of this basis was not read", _CAR_3)
    source = _CAR_3 if basis == "car-3" else _PART_23
    wanted = "flash" if basis == "car-3" and smoking == "barred" else "flame"
    is_fit = _RESISTANCE.index(material) >= _RESISTANCE.index(wanted)
    notes = (
        "the maker's statement of the burn test, by name, belongs in the records",
        "ash trays are needed too" if smoking == "allowed" else "with a placard against smoking",
    )
    told = f"{'within' if is_fit else 'beyond'}: materials at least {wanted}-resistant are asked for"
    return passes(told, is_fit=is_fit, source=source, notes=notes)


LIMITS = (
    Limit(
        id="seat-rail-cracks",
        title="Cracks of a seat rail",
        system="cabin",
        inputs=(
            Input("cracks", "Cracks in the rail", "", 0, 200, whole=True),
            Input("place", "Where the worst one is", choices=("crown", "web-or-flange")),
            Input("direction", "How the worst one runs", choices=("across", "other")),
            ONE_TYPE_INPUT,
            Input("apart", "Least distance between two of them", "in", 0, 60, optional=True),
        ),
        sources=(_RAIL,),
        basis=ONE_TYPE,
        assumes=("One rail at a time; the directive's figure was read as an owners' association reports it.",),
        does_not_cover=("Holes, pins, rollers and springs.", "Rails of any other family."),
        caution="A seat that slides back in the takeoff takes the pilot from the controls: shake it first.",
        examples=(
            Example(
                {"cracks": "4", "place": "crown", "direction": "across", "same-type": "yes", "apart": "1"},
                "at", "AD 2011-10-09 as reported", 4,
            ),
            Example(
                {"cracks": "2", "place": "crown", "direction": "across", "same-type": "yes", "apart": "0.99"},
                "beyond", "computed", 1,
            ),
            Example(
                {"cracks": "1", "place": "crown", "direction": "across", "same-type": "unknown"},
                "not-covered", "computed",
            ),
        ),
        rule=_rail,
    ),
    Limit(
        id="interior-material",
        title="Fire resistance of the interior",
        system="cabin",
        inputs=(
            BASIS_INPUT,
            Input("smoking", "Smoking in the cabin", choices=("barred", "allowed")),
            Input("material", "What the records prove of the material", choices=_RESISTANCE),
        ),
        sources=(_CAR_3, _PART_23),
        basis="Depends on it: CAR 3 and part 23 (wording before 2017) differ; others are not covered.",
        assumes=("An airplane that is flown under part 91 only, not of the commuter category.",),
        does_not_cover=("Seat cushions with a test of their own.", "CAR 4a and older rules."),
        caution="No flame in the cabin to try the cloth: burn a cut sample outside, never the seat.",
        examples=(
            Example({"basis": "car-3", "smoking": "barred", "material": "flash"}, "within", "AC 43.13-1B 9-61"),
            Example({"basis": "part-23", "smoking": "barred", "material": "flash"}, "beyond", "14 CFR 23.853(a)"),
            Example({"basis": "car-4a", "smoking": "barred", "material": "flame"}, "not-covered", "computed"),
        ),
        rule=_interior,
    ),
)  # fmt: skip
