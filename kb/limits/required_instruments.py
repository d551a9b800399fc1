"""Lists of instruments: what the operating rule asks for by day, what part 23 asks for the engine."""

from __future__ import annotations

from kb.limits.basis import BASIS_INPUT, PART_23, under_part_23
from kb.limits.model import Example, Input, Limit, Ruling
from kb.limits.ruling import all_met, with_notes
from kb.model import Source

_DAY = Source("14 CFR", "91.205(a), (b)", "Instruments and equipment for VFR by day (2014 print).", "read")
_ENGINE = Source("14 CFR", "23.1305(a), (b)", "Instruments for a piston engine and its fuel.", "read")

DAY = {
    "airspeed": "airspeed indicator",
    "altimeter": "altimeter",
    "direction": "magnetic direction indicator",
    "tachometer": "tachometer for each engine",
    "oil-pressure": "oil pressure gauge, with a pressure system",
    "coolant": "temperature gauge of each liquid-cooled engine",
    "oil-temperature": "oil temperature gauge of each air-cooled engine",
    "manifold": "manifold pressure gauge of each altitude engine",
    "fuel": "fuel gauge of each tank",
    "gear": "position of the gear, if it retracts",
    "light": "anticollision light, if certificated after 11 March 1996 under part 23",
    "flotation": "flotation for each person, for hire over water",
    "belts": "safety belt with metal latch for each person of 2 years or more",
    "harness": "shoulder harness of front seats, if made after 18 July 1978",
    "locator": "emergency locator, if 91.207 asks for it",
}
"""14 CFR 91.205(b), 2014 print [read]; all in operable condition, (a)."""
DAY_IF = ("oil-pressure", "coolant", "oil-temperature", "manifold", "gear", "light", "flotation", "harness", "locator")
ENGINE = {
    "fuel-quantity": "fuel quantity of each tank",
    "oil-pressure": "oil pressure",
    "oil-temperature": "oil temperature",
    "oil-quantity": "a means to tell the oil quantity",
    "tachometer": "tachometer",
    "manifold": "manifold pressure, for an altitude engine or a controllable propeller",
    "fuel-pressure": "fuel pressure or flow, for an engine fed by a pump",
    "head-temperature": "head temperature, with cowl flaps",
    "carburettor-air": "carburettor air temperature, if preheat can pass its limit",
}
"""14 CFR 23.1305(a), (b) before 2017 [read]."""
ENGINE_IF = ("manifold", "fuel-pressure", "head-temperature", "carburettor-air")


def _day(
    airspeed: str, altimeter: str, direction: str, tachometer: str, oil_pressure: str, coolant: str,
    oil_temperature: str, manifold: str, fuel: str, gear: str, light: str, flotation: str, belts: str, harness: str,
    locator: str,
) -> Ruling:  # fmt: skip
    answers = (
        airspeed, altimeter, direction, tachometer, oil_pressure, coolant, oil_temperature, manifold, fuel, gear,
        light, flotation, belts, harness, locator,
    )  # fmt: skip
    return with_notes(all_met(DAY, answers, _DAY), "an old type data sheet may lack an item that operation still needs")


def _engine(
    fuel_quantity: str, oil_pressure: str, oil_temperature: str, oil_quantity: str, tachometer: str, manifold: str,
    fuel_pressure: str, head_temperature: str, carburettor_air: str, basis: str,
) -> Ruling:  # fmt: skip
    answers = (
        fuel_quantity, oil_pressure, oil_temperature, oil_quantity, tachometer, manifold, fuel_pressure,
        head_temperature, carburettor_air,
    )  # fmt: skip
    return under_part_23(basis, all_met(ENGINE, answers, _ENGINE), _ENGINE)


def _ask(items: dict[str, str], with_condition: tuple[str, ...]) -> tuple[Input, ...]:
    """Return one input an item; an item with a condition may also be not asked for."""
    return tuple(
        Input(
            name,
            text[0].upper() + text[1:],
            choices=("yes", "no", "not-asked") if name in with_condition else ("yes", "no"),
        )
        for name, text in items.items()
    )


def _answers(items: dict[str, str], **other: str) -> dict[str, str]:
    """Return yes to all but what `other` answers, underscores for hyphens."""
    return dict.fromkeys(items, "yes") | {name.replace("_", "-"): word for name, word in other.items()}


LIMITS = (
    Limit(
        id="day-instruments",
        title="Instruments and equipment for VFR by day",
        system="instruments",
        inputs=_ask(DAY, DAY_IF),
        sources=(_DAY,),
        basis="Does not depend on the certification basis; an operating rule, beside the type's own equipment list.",
        assumes=("A yes means fitted and in operable condition; the rule as printed in 2014.",),
        does_not_cover=("Night and IFR.", "What the type data sheet, a directive or a supplement adds."),
        caution="An instrument that moves is not yet one that tells the truth: compare it before you count it.",
        examples=(
            Example(_answers(DAY, coolant="not-asked", gear="not-asked"), "within", "14 CFR 91.205(b)"),
            Example(_answers(DAY, fuel="no"), "beyond", "14 CFR 91.205(b)"),
        ),
        rule=_day,
    ),
    Limit(
        id="engine-instruments",
        title="Instruments of the engine and its fuel",
        system="instruments",
        inputs=(*_ask(ENGINE, ENGINE_IF), BASIS_INPUT),
        sources=(_ENGINE,),
        basis=PART_23,
        assumes=("A piston engine.",),
        does_not_cover=("Turbines and fire warning.", "Aircraft under an older rule."),
        caution="Engine running for a look at the gauges: chocks, brakes, somebody at the controls.",
        examples=(
            Example(_answers(ENGINE, basis="part-23", manifold="not-asked"), "within", "14 CFR 23.1305"),
            Example(_answers(ENGINE, basis="part-23", fuel_pressure="no"), "beyond", "14 CFR 23.1305"),
            Example(_answers(ENGINE, basis="car-3", fuel_pressure="no"), "not-covered", "computed"),
        ),
        rule=_engine,
    ),
)  # fmt: skip
