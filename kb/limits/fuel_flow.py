"""Limits of measured fuel flow: gravity and pump systems, hand pump. Part 23 figures, wording before 2017."""

from __future__ import annotations

from kb.limits.basis import BASIS_INPUT, PART_23, under_part_23
from kb.limits.model import Example, Input, Limit, Ruling
from kb.limits.ruling import at_least, at_most, not_covered, with_notes, worst
from kb.limits.units import say
from kb.model import Source

_GRAVITY = Source("14 CFR", "23.955(b)", "Gravity flow, main and reserve: 150 % of take-off consumption.", "read")
_PUMP = Source("14 CFR", "23.955(c)(1)", "Each pump: 125 % of the flow the engine needs at take-off power.", "read")
_HAND = Source("14 CFR", "23.955(c)(2)", "Hand pump at not more than 60 full cycles (120 strokes) a minute.", "read")
_CAR_GRAVITY = Source("CAR 3", "3.434", "Remembered, not read: by horsepower or 150 %, the greater.", "memory")
_CAR_PUMP = Source("CAR 3", "3.435", "Remembered, not read: by horsepower or 125 %, the greater.", "memory")

_CAUTION = (
    "Fuel runs in the open: no ignition source, bonded cans, extinguisher and fire guard; boost pump not left dry."
)
_ASSUMES = (
    "Tank no fuller than the unusable fuel plus what the test needs, most critical attitude (23.955(a)).",
    "A flowmeter counts as blocked or is bypassed; fuel back to the tank by a vapour line counts as well.",
)


def by_basis(basis: str, ruling: Ruling, source: Source, car_3: Source | None = None, remembered: str = "") -> Ruling:
    """Return a part 23 ruling by basis; on CAR 3, name what is remembered of its own rule, and judge nothing."""
    if basis == "car-3" and car_3 is not None:
        note = f"for guidance only, under part 23: {ruling.sentence}"
        return not_covered("the CAR 3 rule itself was not read", car_3, remembered=remembered, notes=(note,))
    return under_part_23(basis, ruling, source)


def measured_flow(measured: float | None, caught: float | None, minutes: float | None) -> tuple[float | None, str]:
    """Return the flow in gal/h, and a note on how it came about; a flow given outright comes first."""
    if measured is not None:
        return measured, ""
    if caught is not None and minutes is not None:
        flow = caught * 60 / minutes
        return flow, f"{say(caught, 'gal')} in {say(minutes, 'min')} is {say(flow, 'gal/h')}"
    if caught is None and minutes is None:
        return None, ""
    return None, "caught and minutes count only together"


def _remembered(power: float | None, by_power: float, share: int) -> str:
    ask = f" ({say(by_power * power, 'lb/h')} here)" if power is not None else ""
    return f"{by_power} lb/h for each take-off horsepower{ask}, or {share} % of the actual take-off need, the greater"


def _gravity(
    takeoff: float, basis: str, measured: float | None, caught: float | None, minutes: float | None, power: float | None
) -> Ruling:
    flow, note = measured_flow(measured, caught, minutes)
    ruling = at_least("gravity flow", flow, 1.5 * takeoff, "gal/h", source=_GRAVITY)
    ruling = by_basis(basis, ruling, _GRAVITY, _CAR_GRAVITY, _remembered(power, 1.2, 150))
    return with_notes(ruling, note) if note else ruling


def _pump(
    takeoff: float, basis: str, measured: float | None, caught: float | None, minutes: float | None, power: float | None
) -> Ruling:
    flow, note = measured_flow(measured, caught, minutes)
    ruling = at_least("flow of this pump", flow, 1.25 * takeoff, "gal/h", source=_PUMP)
    ruling = by_basis(basis, ruling, _PUMP, _CAR_PUMP, _remembered(power, 0.9, 125))
    return with_notes(ruling, note) if note else ruling


def _hand_pump(takeoff: float, cycles: float, basis: str, measured: float | None) -> Ruling:
    ruling = worst(
        at_most("full cycles a minute", cycles, 60.0, "", source=_HAND),
        at_least("flow of the hand pump", measured, 1.25 * takeoff, "gal/h", source=_PUMP),
    )
    return by_basis(basis, ruling, _HAND, _CAR_PUMP, _remembered(None, 0.9, 125))


_TAKEOFF = Input("takeoff", "Consumption of the engine at take-off power", "gal/h", 0.1, 1000)
_MEASURED = Input("measured", "Flow measured", "gal/h", 0, 2000, optional=True)
_FLOW_INPUTS = (
    _TAKEOFF,
    BASIS_INPUT,
    _MEASURED,
    Input("caught", "Instead of the flow: fuel caught", "gal", 0, 200, optional=True),
    Input("minutes", "and the time it took", "min", 0.05, 600, optional=True),
    Input("power", "Take-off power, only for the remembered CAR 3 figure", "hp", 5, 5000, optional=True),
)

LIMITS = (
    Limit(
        id="fuel-flow-gravity",
        title="Fuel flow of a gravity system",
        system="fuel",
        inputs=_FLOW_INPUTS,
        sources=(_GRAVITY,),
        basis=PART_23,
        assumes=_ASSUMES,
        does_not_cover=(
            "CAR 3 and CAR 4a aircraft: their own rule; CAR 3.434 is only remembered.",
            "Auxiliary and transfer tanks (23.955(d)), and the change of tank after running dry (23.955(e)).",
        ),
        caution=_CAUTION,
        examples=(
            Example(
                {"takeoff": "18", "measured": "27", "basis": "part-23"},
                "at", "a builder's log (secondary): 18 gal/h at take-off, 27 gal/h wanted", 27,
            ),
            Example(
                {"takeoff": "6.0", "caught": "1", "minutes": "6", "basis": "part-23"},
                "within", "computed from 14 CFR 23.955(b)", 9,
            ),
            Example({"takeoff": "6", "measured": "8.9", "basis": "part-23"}, "beyond", "computed", 9),
            Example({"takeoff": "6", "measured": "9", "basis": "car-3", "power": "65"}, "not-covered", "computed"),
        ),
        rule=_gravity,
    ),
    Limit(
        id="fuel-flow-pump",
        title="Fuel flow of a pump system",
        system="fuel",
        inputs=_FLOW_INPUTS,
        sources=(_PUMP,),
        basis=PART_23,
        assumes=(*_ASSUMES, "One pump at a time, working as it does in take-off."),
        does_not_cover=(
            "CAR 3 and CAR 4a aircraft: their own rule; CAR 3.435 is only remembered.",
            "The pressure limit at the engine inlet with main and emergency pump together (23.955(c)(3)).",
        ),
        caution=_CAUTION,
        examples=(
            Example(
                {"takeoff": "20", "measured": "45", "basis": "part-23"},
                "within", "a builder's log (secondary): 20 gal/h, 25 wanted, 45 measured by weighing 60 s of flow", 25,
            ),
            Example({"takeoff": "20", "measured": "24.9", "basis": "part-23"}, "beyond", "computed", 25),
        ),
        rule=_pump,
    ),
    Limit(
        id="fuel-hand-pump",
        title="Fuel flow of a hand pump",
        system="fuel",
        inputs=(
            _TAKEOFF,
            Input("cycles", "Full cycles a minute (two strokes each)", "", 1, 300),
            BASIS_INPUT,
            _MEASURED,
        ),
        sources=(_HAND, _PUMP),
        basis=PART_23,
        assumes=_ASSUMES,
        does_not_cover=("Wobble pumps that only start the engine.", "CAR 3 and CAR 4a aircraft."),
        caution=_CAUTION,
        examples=(
            Example(
                {"takeoff": "20", "cycles": "60", "measured": "25", "basis": "part-23"},
                "at", "computed from 14 CFR 23.955(c)(2)", 60,
            ),
            Example(
                {"takeoff": "20", "cycles": "61", "measured": "25", "basis": "part-23"},
                "beyond", "computed from 14 CFR 23.955(c)(2)", 60,
            ),
        ),
        rule=_hand_pump,
    ),
)  # fmt: skip
