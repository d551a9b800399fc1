"""Limits of compression and its tester. The maker's instructions come before all of them."""

from __future__ import annotations

from kb.limits.model import Example, Input, Limit, Ruling, compare
from kb.limits.ruling import at_least, needed, not_covered, passes, with_notes
from kb.limits.units import say
from kb.model import Source

_AC = "AC 43.13-1B"

_LOSS = Source(
    _AC, "8-14b(5)(i)", "A loss over 25 % of the input air pressure is cause to suspect the cylinder.", "read"
)
_MAKER = Source(_AC, "8-14", "The test stands where the maker gives no instructions (trade article).", "secondary")
_ORIFICE = Source(_AC, "8-14, change 1", "Bore under 5.00 in: 0.040 in; 5.00 in and over: 0.060 in.", "secondary")

TEST_PRESSURE = 80.0

_PROPELLER = (
    "The air can spin the propeller: one person holds it firmly and does nothing else, all others stay out of its arc,"
    " magnetos grounded, air valve opened slowly."
)
_NO_BASIS = "Does not depend on the certification basis; the engine maker's instructions come first."


def _compression(reading: float, engine: str, maker_data: str, supply: float, bore: float | None) -> Ruling:
    if maker_data == "yes":
        return not_covered("the engine maker's own limit and procedure govern, some below 60/80", _MAKER)
    if engine == "cold":
        return not_covered("the test is made as soon as possible after the engine is shut down", _LOSS)
    if compare(supply, TEST_PRESSURE) != 0:
        return not_covered(f"the test is described at {say(TEST_PRESSURE, 'psi')} regulated pressure", _LOSS)
    if compare(reading, supply) > 0:
        return not_covered("the cylinder reads more than the supply: a gauge is wrong", _LOSS)
    loss = 100 * (supply - reading) / supply
    ruling = at_least("cylinder pressure", reading, 0.75 * supply, "psi", source=_LOSS, scale=(0.0, supply))
    ruling = with_notes(ruling, f"loss {say(loss, '%')} of the input pressure")
    if bore is not None:
        ruling = with_notes(ruling, f"this bore takes the {say(_orifice_for(bore), 'in')} orifice")
    if ruling.verdict != "beyond":
        return ruling
    return with_notes(
        ruling,
        "a cause to suspect, not yet a finding: run at least 3 minutes and test again",
        "still under 60/80 on a hot engine: the cylinder comes off for inspection (AC 43.13-1B 8-14b, secondary)",
    )


def _orifice_for(bore: float) -> float:
    return 0.040 if compare(bore, 5.0) < 0 else 0.060


def _orifice(bore: float, fitted: float | None) -> Ruling:
    wanted = _orifice_for(bore)
    if fitted is None:
        return needed(
            f"an orifice of {say(wanted, 'in')}, 0.250 in long, 60 degree approach", wanted, "in", source=_ORIFICE
        )
    if compare(abs(fitted - wanted), 0.0005) <= 0:
        return passes(f"within: the {say(wanted, 'in')} orifice is the one for this bore", is_fit=True, source=_ORIFICE)
    return passes(
        f"beyond: this bore takes {say(wanted, 'in')}, not {say(fitted, 'in')}", is_fit=False, source=_ORIFICE
    )


LIMITS = (
    Limit(
        id="compression",
        title="Differential compression",
        system="engine",
        inputs=(
            Input("reading", "Cylinder gauge", "psi", 0, 200),
            Input("engine", "Hot from running, or cold", choices=("hot", "cold")),
            Input("maker-data", "Has the engine maker its own limit or procedure", choices=("yes", "no")),
            Input("supply", "Regulated pressure", "psi", 20, 200, default=TEST_PRESSURE),
            Input("bore", "Cylinder bore", "in", 1, 10, optional=True),
        ),
        sources=(_LOSS, _ORIFICE, _MAKER),
        basis=_NO_BASIS,
        assumes=("Supply held at 80 psi, piston at top dead centre, tester with the orifice for the bore.",),
        does_not_cover=("Engines whose maker gives a limit or a master orifice.", "A cylinder not yet tested twice."),
        caution=_PROPELLER,
        examples=(
            Example({"reading": "60", "engine": "hot", "maker-data": "no"}, "at", "computed from 8-14b(5)(i)", 60),
            Example({"reading": "59.9", "engine": "hot", "maker-data": "no"}, "beyond", "computed", 60),
            Example({"reading": "70", "engine": "hot", "maker-data": "yes"}, "not-covered", "computed"),
        ),
        rule=_compression,
    ),
    Limit(
        id="compression-orifice",
        title="Orifice of the compression tester",
        system="engine",
        inputs=(
            Input("bore", "Cylinder bore", "in", 1, 10),
            Input("fitted", "Orifice of the tester", "in", 0.005, 0.25, optional=True),
        ),
        sources=(_ORIFICE,),
        basis=_NO_BASIS,
        assumes=("Both orifices 0.250 in long with a 60 degree approach.",),
        does_not_cover=("Testers with a master orifice of the engine maker.",),
        caution=_PROPELLER,
        examples=(
            Example({"bore": "5.125"}, "required", "FAASTeam tip, November 2011, on AC 43.13-1B 8-14", 0.060),
            Example({"bore": "4.99", "fitted": "0.060"}, "beyond", "computed"),
        ),
        rule=_orifice,
    ),
)  # fmt: skip
