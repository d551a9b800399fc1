"""Limits of the air and fuel at the carburettor: ice to expect, screen, suction duct, the soak of a dry diaphragm."""

from __future__ import annotations

from kb.limits.basis import BASIS_INPUT, MAKER_FIRST, ONE_TYPE, ONE_TYPE_INPUT, PART_23, of_one_type, under_part_23
from kb.limits.model import Example, Input, Limit, Ruling, compare
from kb.limits.ruling import at_least, at_most, needed, not_covered, passes, worst
from kb.limits.units import say
from kb.model import Source

_ICE = Source(
    "Interior safety alert SA 11-01",
    "theory",
    "Up to 70 °F colder in the venturi; severe at 50 to 70 °F over 60 % humidity; possible at 100 °F from 50 %.",
    "read",
)
_SCREEN = Source(
    "14 CFR",
    "23.1105",
    "No screen in the only air path unless preheat is 100 °F or more and heated air clears it.",
    "read",
)
_DUCT = Source(
    "FAA safety team notice 5415",
    "the approved duct",
    "That part stands 12 inHg of suction, -65 to 500 °F, and has wire of 0.048 in.",
    "read",
)
_SOAK = Source(
    "FAA-H-8083-32B", "page 2-29", "Diaphragm carburettor: fill, let stand at least 8 hours before use.", "read"
)

DUCT = {"suction": 12.0, "cold": -65.0, "hot": 500.0, "wire": 0.048}
"""FAA safety team notice 5415 [read]: what one type's approved duct stands (inHg, °F, °F) and its wire (in)."""


def _ice(outside: float, humidity: float) -> Ruling:
    notes = (
        f"the air in the venturi may be as cold as {say(outside - 70, 'degF')}",
        "advice of an alert: engines differ much, and the type's handbook decides",
    )
    if compare(humidity, 60) > 0 and compare(outside, 50) >= 0 and compare(outside, 70) <= 0:
        return needed("severe carburettor ice is to be expected", source=_ICE, notes=notes)
    if compare(humidity, 25) < 0:
        return needed("carburettor ice is rare in air so dry", source=_ICE, notes=notes)
    if compare(outside, 40) >= 0 and compare(outside, 50) <= 0 and compare(humidity, 40) <= 0:
        return needed("carburettor ice is typical of such air", source=_ICE, notes=notes)
    if compare(humidity, 50) >= 0 and compare(outside, 32) >= 0 and compare(outside, 100) <= 0:
        return needed("carburettor ice is possible", source=_ICE, notes=notes)
    return not_covered("the alert has no word for such air; ice is not ruled out", _ICE, notes=notes)


def _screen(only_path: str, outside: float, heated: float, clears: str, basis: str) -> Ruling:
    if only_path == "no":
        ruling = passes("within: air can pass the screen by", is_fit=True, source=_SCREEN)
    else:
        cleared = passes(
            f"{'within' if clears == 'yes' else 'beyond'}: heated air {'clears' if clears == 'yes' else 'misses'} it",
            is_fit=clears == "yes", source=_SCREEN,
        )  # fmt: skip
        ruling = worst(at_least("rise by preheat", heated - outside, 100.0, "degF", source=_SCREEN), cleared)
    return under_part_23(basis, ruling, _SCREEN)


def _duct(suction: float, cold: float, hot: float, wire: float, same_type: str) -> Ruling:
    ruling = worst(
        at_least("suction it stands", suction, DUCT["suction"], "inHg", source=_DUCT),
        at_most("cold it stands", cold, DUCT["cold"], "degF", source=_DUCT),
        at_least("heat it stands", hot, DUCT["hot"], "degF", source=_DUCT),
        at_least("wire in its wall", wire, DUCT["wire"], "in", source=_DUCT, notes=("the part number decides",)),
    )
    return of_one_type(same_type, ruling, _DUCT)


def _soak(hours: float) -> Ruling:
    return at_least("time it stood full of fuel", hours, 8.0, "h", source=_SOAK)


LIMITS = (
    Limit(
        id="carburettor-ice",
        title="Carburettor ice to expect",
        system="induction",
        inputs=(
            Input("outside", "Outside air", "degF", -60, 130),
            Input("humidity", "Relative humidity", "%", 0, 100),
        ),
        sources=(_ICE,),
        basis="Does not depend on the certification basis; advice, and the type's handbook decides.",
        assumes=("A float carburettor; partial throttle makes it worse.",),
        does_not_cover=("Whether this engine ices: type, cowl and power change it.", "Ice of rain and snow."),
        caution="Expect roughness while heat melts the ice; a ground run for it needs chocks and a clear arc.",
        examples=(
            Example({"outside": "60", "humidity": "61"}, "required", "Interior safety alert SA 11-01"),
            Example({"outside": "60", "humidity": "45"}, "not-covered", "computed"),
        ),
        rule=_ice,
    ),
    Limit(
        id="induction-screen",
        title="Screen in front of the carburettor",
        system="induction",
        inputs=(
            Input("only-path", "Does all the air go through the screen", choices=("yes", "no")),
            Input("outside", "Outside air", "degF", -60, 130),
            Input("heated", "Air at the screen with full heat", "degF", -60, 400),
            Input("clears", "Does heated air take the ice off the screen", choices=("yes", "no")),
            BASIS_INPUT,
        ),
        sources=(_SCREEN,),
        basis=PART_23,
        assumes=("A screen upstream of the carburettor, where no fuel strikes it.",),
        does_not_cover=("De-icing by alcohol alone, which is not enough (23.1105).", "Engines under an older rule."),
        caution="Engine running: chocks, brakes, somebody at the controls, nobody near the propeller.",
        examples=(
            Example(
                {"only-path": "yes", "outside": "30", "heated": "130", "clears": "yes", "basis": "part-23"},
                "at", "computed from 14 CFR 23.1105", 100,
            ),
            Example(
                {"only-path": "yes", "outside": "30", "heated": "120", "clears": "yes", "basis": "part-23"},
                "beyond", "computed", 100,
            ),
        ),
        rule=_screen,
    ),
    Limit(
        id="suction-duct",
        title="Duct between filter and carburettor",
        system="induction",
        inputs=(
            Input("suction", "Suction it stands without collapse, by its maker", "inHg", 0, 40),
            Input("cold", "Lowest temperature, by its maker", "degF", -150, 200),
            Input("hot", "Highest temperature, by its maker", "degF", 0, 1_500),
            Input("wire", "Wire of its wall, diameter", "in", 0.001, 0.5),
            ONE_TYPE_INPUT,
        ),
        sources=(_DUCT,),
        basis=ONE_TYPE,
        assumes=("The figures are its maker's own, printed for that duct.",),
        does_not_cover=("Approval: a duct as strong is not yet the type's part.", "A duct soaked in oil or fuel."),
        caution="A duct that looks whole outside may be closed inside: look and feel through its whole length.",
        examples=(
            Example(
                {"suction": "12", "cold": "-65", "hot": "500", "wire": "0.048", "same-type": "yes"},
                "at", "FAA safety team notice 5415", 12,
            ),
            Example(
                {"suction": "12", "cold": "-65", "hot": "300", "wire": "0.048", "same-type": "yes"},
                "beyond", "computed", 500,
            ),
            Example(
                {"suction": "20", "cold": "-65", "hot": "500", "wire": "0.06", "same-type": "unknown"},
                "not-covered", "computed",
            ),
        ),
        rule=_duct,
    ),
    Limit(
        id="diaphragm-soak",
        title="Soak of a diaphragm carburettor",
        system="induction",
        inputs=(Input("hours", "Hours it stood full of fuel", "h", 0, 2_000),),
        sources=(_SOAK,),
        basis=MAKER_FIRST,
        assumes=("A pressure carburettor that had dried out or comes from storage.",),
        does_not_cover=("Float carburettors.",),
        caution="Fuel stands in the open: no ignition source, bonded cans, extinguisher.",
        examples=(
            Example({"hours": "8"}, "at", "FAA-H-8083-32B page 2-29", 8),
            Example({"hours": "7.5"}, "beyond", "computed", 8),
        ),
        rule=_soak,
    ),
)  # fmt: skip
