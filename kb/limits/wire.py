"""Limits of a wire: voltage drop, size, length, capacity, breaker. From AC 43.13-1B chapter 11."""

from __future__ import annotations

from kb.limits.model import Example, Input, Limit, Ruling, compare
from kb.limits.ruling import at_most, needed, not_covered, with_notes
from kb.limits.units import say
from kb.model import Source

_AC = "AC 43.13-1B"

TABLE_11_9: dict[str, tuple[float, float, float, float]] = {
    # gauge: continuous A at 105, 150, 200 °C in a bundle, ohm per 1000 ft at 20 °C (tin-plated copper)
    "24": (2.5, 4, 5, 28.40), "22": (3, 5, 6, 16.20), "20": (4, 7, 9, 9.88), "18": (6, 9, 12, 6.23),
    "16": (7, 11, 14, 4.81), "14": (10, 14, 18, 3.06), "12": (13, 19, 25, 2.02), "10": (17, 26, 32, 1.26),
    "8": (38, 57, 71, 0.70), "6": (50, 76, 97, 0.44), "4": (68, 103, 133, 0.28), "2": (95, 141, 179, 0.18),
    "1": (113, 166, 210, 0.15), "0": (128, 192, 243, 0.12), "00": (147, 222, 285, 0.09),
    "000": (172, 262, 335, 0.07), "0000": (204, 310, 395, 0.06),
}  # fmt: skip
"""AC 43.13-1B table 11-9, all rows [read]: 33 or more wires in the bundle for 24 to 10, 9 for 8 and larger, not over
20 % of the harness capacity used, 60,000 ft, 70 °C around. Without those the amperes are no pass or fail."""

TABLE_11_6 = {"14": 0.5, "28": 1.0, "115": 4.0, "200": 7.0}
"""AC 43.13-1B table 11-6, volts, continuous [read through tables 11-7, 11-8]; the intermittent column is remembered."""
_INTERMITTENT_REMEMBERED = {"14": 1.0, "28": 2.0, "115": 8.0, "200": 14.0}

TABLE_11_3: dict[str, tuple[float | None, float]] = {
    # gauge: breaker A, fuse A
    "22": (5, 5), "20": (7.5, 5), "18": (10, 10), "16": (15, 10), "14": (20, 15), "12": (30, 20), "10": (40, 30),
    "8": (50, 50), "6": (80, 70), "4": (100, 70), "2": (125, 100), "1": (None, 150), "0": (None, 150),
}  # fmt: skip
"""AC 43.13-1B table 11-3 [read; the pairing of the rows is by their order]. No breaker stands for 1 and 0 gauge."""

_DROP = Source(_AC, "11-66, tables 11-6, 11-9", "Drop is ohms per foot times feet times amperes.", "read")
_INTERMITTENT = Source(_AC, "table 11-6", "Intermittent column; it was not readable.", "memory")
_HOT = Source(_AC, "11-66 (4)", "Copper above 20 °C: length times 254.5 over (234.5 + temperature).", "read")
_CAPACITY = Source(_AC, "11-69, table 11-9", "Amperes in a full bundle at 60,000 ft; else the derating curves.", "read")
_BREAKER = Source(_AC, "11-48, table 11-3", "Breaker and fuse for each copper wire, a conservative guide.", "read")

_LIVE = "Battery off and tagged, ring off the hand; a shorted tool on the bus burns at once."
_BASIS = "Does not depend on the certification basis; the maker's wiring data come first."
_GAUGE = Input("gauge", "AN wire size", choices=tuple(TABLE_11_9))
_LENGTH = Input("length", "Run, with the ground wire if there is one", "ft", 0.1, 2000)
_CURRENT = Input("current", "Current", "A", 0.01, 2000)
_SYSTEM = Input("system", "Nominal system voltage", choices=tuple(TABLE_11_6))
_FLOW = Input("flow", "Continuous or intermittent current", choices=("continuous", "intermittent"))
_HEAT = Input("temperature", "Conductor temperature", "degC", -60, 300, default=20.0)


def drop_of(gauge: str, length: float, current: float, temperature: float = 20.0) -> float:
    """Return the voltage drop in volts of a tin-plated copper wire; feet, amperes, °C (20 or cooler counts as 20)."""
    hot = (234.5 + max(20.0, temperature)) / 254.5
    return TABLE_11_9[gauge][3] / 1000 * length * current * hot


def _no_intermittent(system: str) -> Ruling:
    remembered = f"{say(_INTERMITTENT_REMEMBERED[system], 'V')} for {system} V, intermittent"
    return not_covered("the intermittent column of table 11-6 was not readable", _INTERMITTENT, remembered=remembered)


def _voltage_drop(gauge: str, length: float, current: float, system: str, flow: str, temperature: float) -> Ruling:
    if flow == "intermittent":
        return _no_intermittent(system)
    allowed = TABLE_11_6[system]
    ruling = at_most("voltage drop", drop_of(gauge, length, current, temperature), allowed, "V", source=_DROP)
    if ruling.verdict == "beyond" and ruling.measured is not None and compare(ruling.measured, 1.01 * allowed) <= 0:
        return with_notes(ruling, "the circular's own table 11-7 lets 0.504 V pass for 0.5 V, read from the chart")
    return with_notes(ruling, "capacity must be met as well (wire-capacity, wire-breaker)")


def _wire_size(length: float, current: float, system: str, flow: str, temperature: float) -> Ruling:
    if flow == "intermittent":
        return _no_intermittent(system)
    allowed = TABLE_11_6[system]
    for gauge in TABLE_11_9:
        drop = drop_of(gauge, length, current, temperature)
        if compare(drop, allowed) <= 0:
            told = f"No. {gauge} is the smallest that keeps the drop ({say(drop, 'V', is_difference=True)})"
            note = "by the drop alone; capacity and breaker must be met as well (wire-capacity, wire-breaker)"
            return needed(f"{told} within {say(allowed, 'V')}", allowed, "V", source=_DROP, notes=(note,))
    return not_covered("no wire of the table is large enough", _DROP)


def _wire_length(gauge: str, current: float, system: str, temperature: float, length: float | None) -> Ruling:
    longest = TABLE_11_6[system] / drop_of(gauge, 1.0, current, temperature)
    return at_most("length of the run", length, longest, "ft", source=_DROP if temperature <= 20 else _HOT)


def _wire_capacity(gauge: str, current: float, rating: str, bundle: str) -> Ruling:
    amperes = TABLE_11_9[gauge][("105", "150", "200").index(rating)]
    if bundle != "full-bundle-60000-ft":
        return not_covered(
            "the amperes of the table are for a full bundle at 60,000 ft; fewer wires and lower flight need the curves",
            _CAPACITY,
            notes=(f"in that full bundle this wire is given {say(amperes, 'A')}; for the breaker use wire-breaker",),
        )
    return at_most("continuous current", current, amperes, "A", source=_CAPACITY)


def _wire_breaker(gauge: str, device: str, routing: str, fitted: float | None) -> Ruling:
    row = TABLE_11_3.get(gauge)
    rating = row[("breaker", "fuse").index(device)] if row else None
    if rating is None:
        return not_covered(f"the table gives no {device} for No. {gauge}", _BREAKER)
    if routing == "free-air" and device == "breaker":
        larger = [size for size, _ in TABLE_11_3.values() if size is not None and size > rating]
        if not larger:
            return not_covered("a wire in free air may take one breaker size more, and the table ends here", _BREAKER)
        rating = min(larger)
    return at_most(f"{device} of the wire", fitted, rating, "A", source=_BREAKER)


LIMITS = (
    Limit(
        id="voltage-drop",
        title="Voltage drop in a wire",
        system="electrical",
        inputs=(_GAUGE, _LENGTH, _CURRENT, _SYSTEM, _FLOW, _HEAT),
        sources=(_DROP, _HOT),
        basis=_BASIS,
        assumes=("Tin-plated copper, good terminals, the current given.",),
        does_not_cover=("Intermittent current.", "Aluminium wire.", "Main feeders of the generator and battery."),
        caution=_LIVE,
        examples=(
            Example(
                {"gauge": "6", "length": "107", "current": "20", "system": "28", "flow": "continuous"},
                "within", "AC 43.13-1B table 11-7: 0.942 V", 1,
            ),
            Example(
                {"gauge": "10", "length": "19.5", "current": "20", "system": "14", "flow": "continuous"},
                "within", "AC 43.13-1B table 11-8, where .366 is a misprint for .491", 0.5,
            ),
        ),
        rule=_voltage_drop,
    ),
    Limit(
        id="wire-size",
        title="Smallest wire for the drop",
        system="electrical",
        inputs=(_LENGTH, _CURRENT, _SYSTEM, _FLOW, _HEAT),
        sources=(_DROP, _HOT),
        basis=_BASIS,
        assumes=("Tin-plated copper; the drop only, not the heating of the wire.",),
        does_not_cover=("Intermittent current.", "Aluminium wire.", "Capacity in a bundle."),
        caution=_LIVE,
        examples=(
            Example(
                {"length": "50", "current": "20", "system": "28", "flow": "continuous"},
                "required", "AC 43.13-1B 11-66c: No. 8", 1,
            ),
        ),
        rule=_wire_size,
    ),
    Limit(
        id="wire-length",
        title="Longest run of a wire",
        system="electrical",
        inputs=(
            _GAUGE, _CURRENT, _SYSTEM, _HEAT,
            Input("length", "Run, with the ground wire if there is one", "ft", 0.1, 2000, optional=True),
        ),
        sources=(_DROP, _HOT),
        basis=_BASIS,
        assumes=("Tin-plated copper, continuous current.",),
        does_not_cover=("Intermittent current.", "Aluminium wire."),
        caution=_LIVE,
        examples=(
            Example(
                {"gauge": "10", "current": "20", "system": "28", "length": "39"},
                "within", "AC 43.13-1B table 11-8: 39 ft",
            ),
        ),
        rule=_wire_length,
    ),
    Limit(
        id="wire-capacity",
        title="Continuous current of a wire in a bundle",
        system="electrical",
        inputs=(
            _GAUGE, _CURRENT,
            Input("rating", "Conductor temperature rating, °C", choices=("105", "150", "200")),
            Input("bundle", "Full: 33 wires (9 from No. 8 up)", choices=("full-bundle-60000-ft", "less")),
        ),
        sources=(_CAPACITY,),
        basis=_BASIS,
        assumes=("Copper, 70 °C around, not over 20 % of the harness capacity in use.",),
        does_not_cover=("A few wires in a light aircraft: the curves of 11-69, or table 11-3 for the breaker.",),
        caution=_LIVE,
        examples=(
            Example(
                {"gauge": "20", "current": "4", "rating": "105", "bundle": "full-bundle-60000-ft"},
                "at", "AC 43.13-1B table 11-9", 4,
            ),
            Example({"gauge": "20", "current": "5", "rating": "105", "bundle": "less"}, "not-covered", "computed"),
        ),
        rule=_wire_capacity,
    ),
    Limit(
        id="wire-breaker",
        title="Breaker or fuse for a wire",
        system="electrical",
        inputs=(
            _GAUGE,
            Input("device", "What protects it", choices=("breaker", "fuse")),
            Input("routing", "In a bundle, or one wire in free air", choices=("bundle", "free-air"), default="bundle"),
            Input("fitted", "Rating fitted", "A", 0.1, 1000, optional=True),
        ),
        sources=(_BREAKER,),
        basis=_BASIS,
        assumes=("Copper wire; the breaker also opens before its loads' ratings are passed (11-48).",),
        does_not_cover=("Gauges outside 22 to 0.", "Aluminium wire."),
        caution=_LIVE,
        examples=(
            Example({"gauge": "20", "device": "breaker", "fitted": "7.5"}, "at", "AC 43.13-1B table 11-3", 7.5),
            Example({"gauge": "20", "device": "breaker", "fitted": "10"}, "beyond", "AC 43.13-1B table 11-3", 7.5),
            Example({"gauge": "1", "device": "breaker", "fitted": "150"}, "not-covered", "AC 43.13-1B table 11-3"),
        ),
        rule=_wire_breaker,
    ),
)  # fmt: skip
