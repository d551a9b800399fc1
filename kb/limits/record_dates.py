"""Limits of dates and forms: how long an annual lasts, the 100 hours, the copies of the form for major work."""

from __future__ import annotations

from kb.limits.model import Example, Input, Limit, Ruling
from kb.limits.ruling import at_least, at_most, not_covered, with_notes, worst
from kb.limits.units import say
from kb.model import Source

_ANNUAL = Source("14 CFR", "91.409(a)", "An annual inspection within the preceding 12 calendar months.", "read")
_HUNDRED = Source(
    "14 CFR",
    "91.409(b)",
    "100 h; 10 h over only on the way to the inspection, and they count in the next.",
    "secondary",
)
_FORM = Source("14 CFR 43", "appendix B (a)", "Two copies; one to the Registration Branch within 48 hours.", "read")
_TANKS = Source("14 CFR 43", "appendix B (d)", "Tanks in passenger or baggage room: three copies, one aboard.", "read")

_MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November",
    "December",
)  # fmt: skip
RULE = "Does not depend on the certification basis; a rule of the United States."
PAPER = "A signature stands for what was seen: look at the aircraft before the paper."
YES_NO = ("yes", "no")


def _annual(last_year: float, last_month: float, year: float, month: float) -> Ruling:
    passed = 12 * (year - last_year) + month - last_month
    if passed < 0:
        return not_covered("the day asked about lies before the inspection", _ANNUAL)
    until = f"good through the last day of {_MONTHS[int(last_month) - 1]} {int(last_year) + 1}"
    return at_most("calendar months since the annual", passed, 12.0, "month", source=_ANNUAL, notes=(until,))


def _hundred(hours: float, carried: float, en_route: str) -> Ruling:
    due = 100.0 - carried
    notes = (f"due at {say(due, 'h')}, with {say(carried, 'h')} carried over from the last",) if carried else ()
    if en_route == "no":
        return at_most("hours since the inspection", hours, due, "h", source=_HUNDRED, notes=notes)
    ruling = at_most("hours, on the way to the inspection,", hours, due + 10, "h", source=_HUNDRED, notes=notes)
    return with_notes(ruling, f"{say(max(hours - due, 0.0), 'h')} count in the next 100")


def _copies(hours: float, copies: float, tanks: str) -> Ruling:
    wanted, source = (3.0, _TANKS) if tanks == "yes" else (2.0, _FORM)
    return worst(
        at_most("hours from approval until it is sent", hours, 48.0, "h", source=_FORM),
        at_least("copies of the form", copies, wanted, "", source=source, notes=("the owner gets a signed one",)),
    )


LIMITS = (
    Limit(
        id="annual-inspection",
        title="Month until which an annual inspection lasts",
        system="records",
        inputs=(
            Input("last-year", "Year of the last annual", "", 1920, 2200, whole=True),
            Input("last-month", "Month of the last annual", "", 1, 12, whole=True),
            Input("year", "Year asked about", "", 1920, 2200, whole=True),
            Input("month", "Month asked about", "", 1, 12, whole=True),
        ),
        sources=(_ANNUAL,),
        basis=RULE,
        assumes=("The annual was entered and signed; the day within its month does not count.",),
        does_not_cover=("Ferry permits, experimental and light-sport aircraft, approved programmes (91.409(c)).",),
        caution=PAPER,
        examples=(
            Example(
                {"last-year": "2025", "last-month": "3", "year": "2026", "month": "3"}, "at", "14 CFR 91.409(a)", 12
            ),
            Example({"last-year": "2025", "last-month": "3", "year": "2026", "month": "4"}, "beyond", "computed", 12),
        ),
        rule=_annual,
    ),
    Limit(
        id="hundred-hour-inspection",
        title="Hours until the 100-hour inspection",
        system="records",
        inputs=(
            Input("hours", "Hours since the last one was due or done", "h", 0, 10_000),
            Input("carried", "Hours over at the last one", "h", 0, 10, default=0.0),
            Input("en-route", "Flown over the hours only to reach the inspection", choices=YES_NO, default="no"),
        ),
        sources=(_HUNDRED,),
        basis=RULE,
        assumes=("An aircraft flown for hire, or for instruction by somebody who provides it.",),
        does_not_cover=("Aircraft not flown for hire.", "Directives counted in hours, which have terms of their own."),
        caution=PAPER,
        examples=(
            Example({"hours": "100"}, "at", "14 CFR 91.409(b)", 100),
            Example({"hours": "110", "en-route": "yes"}, "at", "14 CFR 91.409(b)", 110),
            Example({"hours": "95", "carried": "6"}, "beyond", "computed", 94),
        ),
        rule=_hundred,
    ),
    Limit(
        id="form-copies",
        title="Copies of the form for major work, and when",
        system="records",
        inputs=(
            Input("hours", "Hours from approval for return to service until the copy went off", "h", 0, 100_000),
            Input("copies", "Copies made", "", 0, 20, whole=True),
            Input("tanks", "Extended-range tanks in passenger or baggage room", choices=YES_NO, default="no"),
        ),
        sources=(_FORM, _TANKS),
        basis=RULE,
        assumes=("A major repair or alteration recorded on FAA Form 337.",),
        does_not_cover=("A repair station that uses its signed work order for a major repair (appendix B (b)).",),
        caution=PAPER,
        examples=(
            Example({"hours": "48", "copies": "2"}, "at", "14 CFR 43 appendix B (a)", 48),
            Example({"hours": "5", "copies": "2", "tanks": "yes"}, "beyond", "14 CFR 43 appendix B (d)", 3),
        ),
        rule=_copies,
    ),
)  # fmt: skip
