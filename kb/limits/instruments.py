"""Limits of pitot and static, and of what the operating rules ask for: fuses, harness, altimeter tests."""

from __future__ import annotations

from kb.limits.basis import BASIS_INPUT, MAKER_FIRST, PART_23, under_part_23
from kb.limits.model import Example, Input, Limit, Ruling, compare
from kb.limits.ruling import at_most, needed, not_covered, passes, with_notes
from kb.limits.units import say
from kb.model import Source

_AC = "AC 43.13-1B"

_PITOT = Source(_AC, "12-59", "From 150 kt the pitot system may lose 10 kt in 1 minute.", "read")
_STATIC = Source("14 CFR", "23.1325(b)(2)(i)", "1 inHg or 1,000 ft; not over 100 ft lost in 1 minute.", "read")
_CABIN = Source("14 CFR", "23.1325(b)(2)(ii)", "Pressurised: the greater of 2 % of that altitude or 100 ft.", "read")
_SPEED = Source("14 CFR", "23.1323(b)", "System error at most 3 % of calibrated airspeed or 5 kt, the greater.", "read")
_FUSES = Source(
    "14 CFR", "91.205(c)(6)", "Night: one spare set of fuses, or three of each kind, in reach of the pilot.", "read"
)
_HARNESS = Source(
    "14 CFR",
    "91.205(b)(14), (16); 23.2(a)",
    "Made after 18 July 1978: front seats; after 12 December 1986: all seats.",
    "read",
)
_CASE = Source(
    "14 CFR 43", "appendix E, tables I to IV", "Altimeter tolerances; the tables were not readable.", "memory"
)

_BREAK = (
    "Raise and release slowly: pressure or suction too fast bursts a diaphragm. Pitot pressure is never under static."
    " Know every instrument on the line first, and take the tape off ports and drains afterwards."
)


def _pitot_leak(after: float, start: float) -> Ruling:
    if compare(start, 150) != 0:
        return not_covered("the test is described from 150 kt", _PITOT)
    if compare(after, start) > 0:
        return not_covered("the reading rose: something is wrong with the test", _PITOT)
    return at_most("lost in 1 minute", start - after, 10.0, "kt", source=_PITOT, scale=(0.0, 30.0))


def _static_leak(lost: float, basis: str, cabin: str, altitude: float | None) -> Ruling:
    if cabin == "pressurised":
        if altitude is None:
            return not_covered("a pressurised cabin needs the equivalent altitude of its differential", _CABIN)
        ruling = at_most("lost in 1 minute", lost, max(100.0, 0.02 * altitude), "ft", source=_CABIN)
        return under_part_23(basis, ruling, _CABIN)
    ruling = at_most("lost in 1 minute", lost, 100.0, "ft", source=_STATIC)
    ruling = with_notes(ruling, "for IFR the test is made by a rated shop (14 CFR 91.411, AC 43.13-1B 12-58)")
    return under_part_23(basis, ruling, _STATIC)


def _airspeed_error(speed: float, error: float, basis: str) -> Ruling:
    allowed = max(5.0, 0.03 * speed)
    return under_part_23(basis, at_most("system error", abs(error), allowed, "kt", source=_SPEED), _SPEED)


def _spare_fuses(carried: float, fitted: float) -> Ruling:
    if carried >= fitted or carried >= 3:
        return passes("within: a full set, or three of the kind, is carried", is_fit=True, source=_FUSES)
    told = f"beyond: {say(min(3.0, fitted), '')} of this kind are required, {say(carried, '')} carried"
    return passes(told, is_fit=False, source=_FUSES)


def _altimeter(test: str, error: float) -> Ruling:
    remembered = {"case-leak": "100 ft (a web answer says 75)", "hysteresis": "75 ft", "after-effect": "30 ft"}[test]
    return not_covered(
        f"{say(error, 'ft')} cannot be judged, the tables were not readable", _CASE, remembered=remembered
    )


def _harness(built: float) -> Ruling:
    if built <= 1977:
        return needed("no shoulder harness is required by these two rules", source=_HARNESS)
    if built in (1978, 1986):
        day = {1978: "18 July 1978: front seats", 1986: "12 December 1986: all seats"}[int(built)]
        return not_covered(f"the day counts, the rule is for aircraft made after {day}", _HARNESS)
    return needed(f"{'front' if built < 1986 else 'all'} seats need a shoulder harness", source=_HARNESS)


LIMITS = (
    Limit(
        id="pitot-leak",
        title="Leak of the pitot system",
        system="instruments",
        inputs=(
            Input("after", "Airspeed after 1 minute, clamped", "kt", 0, 400),
            Input("start", "Airspeed at the start", "kt", 20, 400, default=150.0),
        ),
        sources=(_PITOT,),
        basis=MAKER_FIRST,
        assumes=("Drain holes sealed, source clamped off, 1 minute by the clock.",),
        does_not_cover=("Systems whose maker gives a test.",),
        caution=_BREAK + " Hoses may whip.",
        examples=(
            Example({"after": "140"}, "at", "AC 43.13-1B 12-59", 10),
            Example({"after": "139"}, "beyond", "computed", 10),
        ),
        rule=_pitot_leak,
    ),
    Limit(
        id="static-leak",
        title="Leak of the static system",
        system="instruments",
        inputs=(
            Input("lost", "Altitude lost in 1 minute without pumping", "ft", 0, 20_000),
            BASIS_INPUT,
            Input("cabin", "Cabin", choices=("unpressurised", "pressurised"), default="unpressurised"),
            Input("altitude", "Altitude equal to the cabin differential", "ft", 0, 60_000, optional=True),
        ),
        sources=(_STATIC, _CABIN),
        basis=PART_23,
        assumes=("Evacuated to about 1 inHg, or 1,000 ft above the field, then shut.",),
        does_not_cover=("Altimeter tests of appendix E.", "The test for IFR, made by a rated shop."),
        caution=_BREAK,
        examples=(
            Example({"lost": "100", "basis": "part-23"}, "at", "14 CFR 23.1325(b)(2)(i)", 100),
            Example({"lost": "101", "basis": "part-23"}, "beyond", "computed", 100),
            Example(
                {"lost": "160", "basis": "part-23", "cabin": "pressurised", "altitude": "8000"},
                "at", "computed from 14 CFR 23.1325(b)(2)(ii)", 160,
            ),
            Example({"lost": "50", "basis": "car-3"}, "not-covered", "computed"),
        ),
        rule=_static_leak,
    ),
    Limit(
        id="airspeed-system-error",
        title="Error of the airspeed system",
        system="instruments",
        inputs=(
            Input("speed", "Calibrated airspeed", "kt", 20, 500),
            Input("error", "Error of the system, position error in, instrument error out", "kt", -200, 200),
            BASIS_INPUT,
        ),
        sources=(_SPEED,),
        basis=PART_23,
        assumes=("From 1.3 VS1 to VNE (or VMO/MMO) with flaps up, from 1.3 VS1 to VFE with flaps down.",),
        does_not_cover=("The error of the instrument itself.",),
        caution="A flight test: a second pilot looks out.",
        examples=(
            Example({"speed": "200", "error": "6", "basis": "part-23"}, "at", "computed from 14 CFR 23.1323(b)", 6),
            Example({"speed": "100", "error": "-5.1", "basis": "part-23"}, "beyond", "computed", 5),
        ),
        rule=_airspeed_error,
    ),
    Limit(
        id="spare-fuses",
        title="Spare fuses for night",
        system="instruments",
        inputs=(
            Input("carried", "Spares of one kind within reach", "", 0, 500, whole=True),
            Input("fitted", "Fuses of that kind in the aircraft", "", 1, 500, whole=True),
        ),
        sources=(_FUSES,),
        basis="Does not depend on the certification basis; an operating rule for night.",
        assumes=("One kind at a time: repeat for each.",),
        does_not_cover=("Aircraft with breakers only.",),
        caution="A fuse that blows twice is a fault, not a fuse.",
        examples=(
            Example({"carried": "3", "fitted": "5"}, "within", "14 CFR 91.205(c)(6)"),
            Example({"carried": "2", "fitted": "5"}, "beyond", "computed"),
        ),
        rule=_spare_fuses,
    ),
    Limit(
        id="altimeter-test",
        title="Altimeter tests of appendix E",
        system="instruments",
        inputs=(
            Input("test", "Which test", choices=("case-leak", "hysteresis", "after-effect")),
            Input("error", "Error found", "ft", -10_000, 10_000),
        ),
        sources=(_CASE,),
        basis="Does not depend on the certification basis; an operating rule for IFR.",
        assumes=("A rated facility makes the test.",),
        does_not_cover=("Any figure: the tables were not readable.",),
        caution=_BREAK,
        examples=(Example({"test": "case-leak", "error": "80"}, "not-covered", "computed"),),
        rule=_altimeter,
    ),
    Limit(
        id="shoulder-harness",
        title="Seats that need a shoulder harness",
        system="cabin",
        inputs=(Input("built", "Year of manufacture", "", 1903, 2100, whole=True),),
        sources=(_HARNESS,),
        basis="Whatever the certification basis (14 CFR 23.2(a)); an operating rule as well.",
        assumes=("Normal, utility or acrobatic, nine passenger seats or fewer; made means complete and inspected.",),
        does_not_cover=("Whether the attachment carries the load.",),
        caution="Fit no harness to a tube that was not made to carry it.",
        examples=(
            Example({"built": "1979"}, "required", "14 CFR 91.205(b)(14)"),
            Example({"built": "1946"}, "required", "14 CFR 91.205(b)(14)"),
            Example({"built": "1978"}, "not-covered", "computed"),
        ),
        rule=_harness,
    ),
)  # fmt: skip
