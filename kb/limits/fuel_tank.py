"""Limits of the fuel tank: expansion space, sump, sediment bowl, filler, outlet screen, vent on a ramp."""

from __future__ import annotations

import math

from kb.limits.basis import BASIS_INPUT, PART_23
from kb.limits.fuel_flow import by_basis
from kb.limits.model import Example, Input, Limit, Ruling, compare
from kb.limits.ruling import at_least, at_most, between, not_covered, passes, worst
from kb.limits.units import say
from kb.model import Source

_EXPANSION = Source("14 CFR", "23.969", "Expansion space 2 % of the tank unless the vent discharges clear.", "read")
_SUMP = Source("14 CFR", "23.971(a)", "Sump the greater of 0.25 % of the tank and 1/16 gal.", "read")
_BOWL = Source("14 CFR", "23.971(c)", "Sediment bowl or chamber 1 ounce for every 20 gal of tank.", "read")
_FILLER = Source("14 CFR", "23.973(e), (f)", "Filler inside diameter: gasoline 2.36 in at most, turbine 2.95.", "read")
_SLOPE = Source("14 CFR", "23.975(a)(7)", "No fuel lost parked any way on a 1 % slope.", "read")
_SCREEN = Source("14 CFR", "25.977, 27.977, 29.977", "8 to 16 meshes; clear area 5 times the outlet line.", "read")
_SCREEN_23 = Source("14 CFR", "23.977", "Believed to carry the same figures; not read.", "memory")
_CAR_EXPANSION = Source("CAR 3", "expansion space", "Remembered as similar; not read.", "memory")
_CAR_SUMP = Source("CAR 3", "3.444", "Remembered as the same; not read.", "memory")

_EMPTY = "Vapour of an empty tank explodes more easily than a full one: no ignition source, bond, ventilate."
_CAPACITY = Input("capacity", "Capacity of the tank", "gal", 0.5, 1000)
_OLDER = "CAR 3 and CAR 4a aircraft: their own rule, which was not read."


def _expansion(capacity: float, vent_clear: str, basis: str, space: float | None) -> Ruling:
    if vent_clear == "yes":
        text = "within: the vent discharges clear of the aircraft, so no expansion space is asked for"
        ruling = passes(text, is_fit=True, source=_EXPANSION)
    else:
        ruling = at_least("expansion space", space, 0.02 * capacity, "gal", source=_EXPANSION)
    return by_basis(basis, ruling, _EXPANSION, _CAR_EXPANSION, "2 % of the tank, as in part 23")


def _sump(capacity: float, basis: str, sump: float | None) -> Ruling:
    ruling = at_least("capacity of the sump", sump, max(0.0025 * capacity, 0.0625), "gal", source=_SUMP)
    return by_basis(basis, ruling, _SUMP, _CAR_SUMP, "the greater of 0.25 % of the tank and 1/16 gal")


def _bowl(capacity: float, basis: str, bowl: float | None) -> Ruling:
    ruling = at_least("sediment bowl", bowl, capacity / 20, "floz", source=_BOWL)
    return by_basis(basis, ruling, _BOWL)


def _filler(diameter: float, fuel: str, basis: str) -> Ruling:
    what = "inside diameter of the filler"
    if fuel == "gasoline-only":
        ruling = at_most(what, diameter, 2.36, "in", source=_FILLER)
    else:
        ruling = at_least(what, diameter, 2.95, "in", source=_FILLER)
    return by_basis(basis, ruling, _FILLER)


def _slope(slope: float, lost: str, basis: str) -> Ruling:
    one = compare(slope, 1.0)
    if lost == "yes" and one <= 0:
        text = f"beyond: fuel was lost on a slope of {say(slope, '%')}, none may be lost on 1 %"
        ruling = passes(text, is_fit=False, source=_SLOPE)
    elif lost == "no" and one >= 0:
        ruling = at_least("slope without loss", slope, 1.0, "%", source=_SLOPE)
    else:
        side = "steeper" if lost == "yes" else "flatter"
        return not_covered(f"{say(slope, '%')} is {side} than the 1 % of the rule, so it shows nothing", _SLOPE)
    return by_basis(basis, ruling, _SLOPE)


def _screen(
    meshes: float, clear_area: float, line_bore: float, screen_diameter: float, outlet: float, rule: str
) -> Ruling:
    ruling = worst(
        between("meshes per inch", meshes, 8.0, 16.0, "", source=_SCREEN),
        at_least("clear area of the screen", clear_area, 5 * math.pi * line_bore**2 / 4, "in2", source=_SCREEN),
        at_least("diameter of the screen", screen_diameter, outlet, "in", source=_SCREEN),
    )
    if rule == "part-25-27-29":
        return ruling
    return not_covered(
        "the figures were read for parts 25, 27 and 29 only",
        _SCREEN_23,
        remembered="8 to 16 meshes per inch and 5 times the area of the outlet line",
        notes=(f"for guidance only, under parts 25, 27 and 29: {ruling.sentence}",),
    )


LIMITS = (
    Limit(
        id="fuel-tank-expansion",
        title="Expansion space of a fuel tank",
        system="fuel",
        inputs=(
            _CAPACITY,
            Input("vent-clear", "Does the vent discharge clear of the aircraft", choices=("yes", "no")),
            BASIS_INPUT,
            Input("space", "Space left over the fuel when full, normal ground attitude", "gal", 0, 100, optional=True),
        ),
        sources=(_EXPANSION,),
        basis=PART_23,
        assumes=("The space cannot be filled by mistake in normal ground attitude.",),
        does_not_cover=(_OLDER, "Transport category."),
        caution=_EMPTY,
        examples=(
            Example(
                {"capacity": "12", "vent-clear": "no", "space": "0.24", "basis": "part-23"},
                "at", "computed from 14 CFR 23.969", 0.24,
            ),
        ),
        rule=_expansion,
    ),
    Limit(
        id="fuel-tank-sump",
        title="Sump of a fuel tank",
        system="fuel",
        inputs=(
            _CAPACITY,
            BASIS_INPUT,
            Input("sump", "Capacity that drains, in ground and flight attitude", "gal", 0, 20, optional=True),
        ),
        sources=(_SUMP,),
        basis=PART_23,
        assumes=("Water from any part of the tank reaches it in normal ground attitude (23.971(b)).",),
        does_not_cover=(_OLDER, "Transport category: there 0.10 % or 1/16 gal (25.971(a))."),
        caution=_EMPTY,
        examples=(
            Example({"capacity": "25", "basis": "part-23"}, "required", "computed from 14 CFR 23.971(a)", 0.0625),
            Example({"capacity": "36", "sump": "0.09", "basis": "part-23"}, "at", "computed", 0.09),
        ),
        rule=_sump,
    ),
    Limit(
        id="fuel-sediment-bowl",
        title="Sediment bowl",
        system="fuel",
        inputs=(_CAPACITY, BASIS_INPUT, Input("bowl", "Capacity of the bowl", "floz", 0, 400, optional=True)),
        sources=(_BOWL,),
        basis=PART_23,
        assumes=("The ounce is a fluid ounce.", "The bowl is accessible, the outlet drains to it in flight attitude."),
        does_not_cover=(_OLDER, "The drains of the bowl: see fuel-drains."),
        caution=_EMPTY,
        examples=(
            Example({"capacity": "36", "basis": "part-23"}, "required", "computed from 14 CFR 23.971(c)", 1.8),
            Example({"capacity": "12", "bowl": "0.6", "basis": "part-23"}, "at", "computed", 0.6),
        ),
        rule=_bowl,
    ),
    Limit(
        id="fuel-filler-opening",
        title="Filler opening",
        system="fuel",
        inputs=(
            Input("diameter", "Inside diameter of the filler", "in", 0.25, 12),
            Input("fuel", "What the aircraft burns", choices=("gasoline-only", "turbine"), default="gasoline-only"),
            BASIS_INPUT,
        ),
        sources=(_FILLER,),
        basis=PART_23,
        assumes=("Measured inside, at the narrowest place.",),
        does_not_cover=(_OLDER, "Directives that ask for a restrictor on a type."),
        caution=_EMPTY,
        examples=(
            Example({"diameter": "2.36", "basis": "part-23"}, "at", "14 CFR 23.973(e)", 2.36),
            Example({"diameter": "3", "basis": "part-23"}, "beyond", "computed", 2.36),
        ),
        rule=_filler,
    ),
    Limit(
        id="fuel-vent-ramp",
        title="Fuel lost from the vent on a sloping ramp",
        system="fuel",
        inputs=(
            Input("slope", "Slope it was parked on", "%", 0, 20),
            Input("lost", "Was fuel lost, parked any way on it", choices=("yes", "no")),
            BASIS_INPUT,
        ),
        sources=(_SLOPE,),
        basis=PART_23,
        assumes=("Nose up, down, left and right were all tried.", "Loss by warming of the fuel does not count."),
        does_not_cover=(_OLDER, "Siphoning in flight: see fuel-vent."),
        caution="Fuel under the aircraft: keep ignition sources and people away until it is gone.",
        examples=(
            Example({"slope": "1", "lost": "no", "basis": "part-23"}, "at", "14 CFR 23.975(a)(7)", 1),
            Example({"slope": "0.5", "lost": "yes", "basis": "part-23"}, "beyond", "computed"),
            Example({"slope": "3", "lost": "yes", "basis": "part-23"}, "not-covered", "computed"),
        ),
        rule=_slope,
    ),
    Limit(
        id="fuel-outlet-screen",
        title="Screen at the tank outlet",
        system="fuel",
        inputs=(
            Input("meshes", "Meshes per inch", "", 1, 200),
            Input("clear-area", "Clear area of the screen", "in2", 0.01, 100),
            Input("line-bore", "Bore of the outlet line", "in", 0.05, 3),
            Input("screen-diameter", "Diameter of the screen", "in", 0.05, 10),
            Input("outlet", "Diameter of the tank outlet", "in", 0.05, 10),
            Input("rule", "Certification basis", choices=("part-25-27-29", "part-23", "car-3", "car-4a", "unknown")),
        ),
        sources=(_SCREEN,),
        basis="Read for parts 25, 27 and 29 only; on any other basis the figures are named but judge nothing.",
        assumes=("A finger screen that can be reached.",),
        does_not_cover=("Small aircraft: 23.977 was not read.", "Pump inlets."),
        caution=_EMPTY,
        examples=(
            Example(
                {"meshes": "16", "clear-area": "1", "line-bore": "0.305", "screen-diameter": "0.6", "outlet": "0.5",
                 "rule": "part-25-27-29"},
                "at", "computed from 14 CFR 25.977", 16,
            ),
            Example(
                {"meshes": "16", "clear-area": "1", "line-bore": "0.305", "screen-diameter": "0.6", "outlet": "0.5",
                 "rule": "car-3"},
                "not-covered", "computed",
            ),
        ),
        rule=_screen,
    ),
)  # fmt: skip
