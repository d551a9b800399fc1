"""Limits of the suction system: the filter, the suction at the gyros."""

from __future__ import annotations

from kb.limits.basis import MAKER_FIRST
from kb.limits.model import Example, Input, Limit, Ruling, compare
from kb.limits.ruling import at_most, between, not_covered, with_notes, worst
from kb.limits.units import say
from kb.model import Source

_FILTER = Source("shop article on vacuum systems", "central filter", "500 h or yearly, whichever first.", "secondary")
_SUCTION = Source(
    "shop article on vacuum systems",
    "suction",
    "About 4.5 to 5.5 inHg at the gyros; the type's figure rules.",
    "secondary",
)
_USUAL = (4.5, 5.5)


def _filter(hours: float, months: float) -> Ruling:
    ruling = worst(
        at_most("hours on the filter", hours, 500.0, "h", equal_is_enough=False, source=_FILTER),
        at_most("months on the filter", months, 12.0, "month", equal_is_enough=False, source=_FILTER),
    )
    return with_notes(ruling, "advice of a shop article; the maker's interval rules")


def _suction(suction: float, type_low: float | None, type_high: float | None) -> Ruling:
    low, high = _USUAL
    if type_low is None or type_high is None:
        where = "inside" if compare(suction, low) >= 0 and compare(suction, high) <= 0 else "outside"
        usual = f"{where} the {say(low, 'inHg')} to {say(high, 'inHg')} of a shop article, which is usual and no limit"
        return not_covered("the suction is a figure of the type: give its least and greatest", _SUCTION, notes=(usual,))
    if compare(type_low, type_high) >= 0:
        return not_covered("the type's least suction is not under its greatest: type them again", _SUCTION)
    return between("suction at the gyros", suction, type_low, type_high, "inHg", source=_SUCTION)


LIMITS = (
    Limit(
        id="vacuum-filter",
        title="Central filter of the vacuum system",
        system="instruments",
        inputs=(
            Input("hours", "Hours on the filter", "h", 0, 20_000),
            Input("months", "Months on the filter", "month", 0, 600),
        ),
        sources=(_FILTER,),
        basis=MAKER_FIRST,
        assumes=("Advice of a shop, not a rule.",),
        does_not_cover=("Makers who give another interval.",),
        caution="Do not turn the regulator up to hide a dirty filter.",
        examples=(Example({"hours": "500", "months": "3"}, "beyond", "computed", 500),),
        rule=_filter,
    ),
    Limit(
        id="gyro-suction",
        title="Suction at the gyros",
        system="instruments",
        inputs=(
            Input("suction", "Suction at the gyro, engine at its usual speed", "inHg", 0, 30),
            Input("type-low", "Least suction by the type's manual", "inHg", 0.5, 20, optional=True),
            Input("type-high", "Greatest suction by the type's manual", "inHg", 0.5, 20, optional=True),
        ),
        sources=(_SUCTION,),
        basis=MAKER_FIRST,
        assumes=("Read at the gyro with a clean filter, not at the pump.",),
        does_not_cover=("Venturis, which give no suction before flying speed.", "A gauge that was never compared."),
        caution="Engine running: chocks, somebody at the controls. Do not turn the regulator up for a dirty filter.",
        examples=(
            Example({"suction": "5", "type-low": "4.6", "type-high": "5.4"}, "within", "computed"),
            Example({"suction": "4.5", "type-low": "4.6", "type-high": "5.4"}, "beyond", "computed", 4.6),
            Example({"suction": "5"}, "not-covered", "shop article on vacuum systems"),
        ),
        rule=_suction,
    ),
)  # fmt: skip
