"""Limits of entries and dates: annual, 100 hours, forms, what an entry holds, listed skin damage, the test flight."""

from __future__ import annotations

from kb.limits.model import Example, Input, Limit, Ruling
from kb.limits.ruling import all_met, at_least, at_most, not_covered, passes, with_notes, worst
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
_ENTRY = Source("14 CFR", "43.9(a)(1)-(4)", "Description, date, who did it, signature, number and kind.", "read")
_RELEASE = Source("14 CFR", "43.5(a)-(c)", "Entry made, form executed, changed limitations revised.", "read")
_SKIN = Source("14 CFR 43", "appendix A (b)(1)(xxii)", "Damage of stressed skin over 6 in in any direction.", "read")
_FLIGHT = Source(
    "14 CFR", "91.407(b), (c)", "No passengers until flown and logged, unless the ground proves it.", "read"
)

ENTRY = {
    "description": "a description of the work, or a reference to data acceptable to the Administrator",
    "date": "the date of completion",
    "doer": "the name of the doer, where another approves",
    "signature": "the signature of the approver",
    "certificate": "number and kind of the approver's certificate",
}
"""14 CFR 43.9(a)(1)-(4) [read]. Total time is asked for by 43.11 and 91.417, not here."""
RELEASE = {
    "entry": "the entry of 43.9 or 43.11 is made",
    "form": "the repair or alteration form is executed, where the work is major",
    "limitations": "changed limitations or flight data are revised",
}
"""14 CFR 43.5(a)-(c) [read]."""

_MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November",
    "December",
)  # fmt: skip
_RULE = "Does not depend on the certification basis; a rule of the United States."
_PAPER = "A signature stands for what was seen: look at the aircraft before the paper."
_YES_NO = ("yes", "no")


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


def _entry(description: str, date: str, doer: str, signature: str, certificate: str) -> Ruling:
    ruling = all_met(ENTRY, (description, date, doer, signature, certificate), _ENTRY)
    return with_notes(ruling, "the signature approves only the work that the entry describes")


def _release(entry: str, form: str, limitations: str) -> Ruling:
    return all_met(RELEASE, (entry, form, limitations), _RELEASE)


def _skin(damage: float) -> Ruling:
    ruling = at_most("damage, greatest direction,", damage, 6.0, "in", source=_SKIN)
    if ruling.verdict == "beyond":
        return with_notes(ruling, "listed among the major repairs: approved data and a Form 337")
    return with_notes(
        ruling,
        "not this item, which does not make it minor: test it against the other items and the definition of 14 CFR 1.1",
    )


def _flight(changed: str, ground_proof: str, flown: str) -> Ruling:
    if changed == "no":
        return passes("within: the flight characteristics cannot have changed", is_fit=True, source=_FLIGHT)
    if ground_proof == "yes":
        return passes("within: tests on the ground prove that nothing changed", is_fit=True, source=_FLIGHT)
    if flown == "yes":
        return passes("within: flown, checked and logged before passengers", is_fit=True, source=_FLIGHT)
    told = "beyond: no passengers until a rated pilot, at least private, has flown it, checked the work and logged it"
    return passes(told, is_fit=False, source=_FLIGHT)


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
        basis=_RULE,
        assumes=("The annual was entered and signed; the day within its month does not count.",),
        does_not_cover=("Ferry permits, experimental and light-sport aircraft, approved programmes (91.409(c)).",),
        caution=_PAPER,
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
            Input("en-route", "Flown over the hours only to reach the inspection", choices=_YES_NO, default="no"),
        ),
        sources=(_HUNDRED,),
        basis=_RULE,
        assumes=("An aircraft flown for hire, or for instruction by somebody who provides it.",),
        does_not_cover=("Aircraft not flown for hire.", "Directives counted in hours, which have terms of their own."),
        caution=_PAPER,
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
            Input("tanks", "Extended-range tanks in passenger or baggage room", choices=_YES_NO, default="no"),
        ),
        sources=(_FORM, _TANKS),
        basis=_RULE,
        assumes=("A major repair or alteration recorded on FAA Form 337.",),
        does_not_cover=("A repair station that uses its signed work order for a major repair (appendix B (b)).",),
        caution=_PAPER,
        examples=(
            Example({"hours": "48", "copies": "2"}, "at", "14 CFR 43 appendix B (a)", 48),
            Example({"hours": "5", "copies": "2", "tanks": "yes"}, "beyond", "14 CFR 43 appendix B (d)", 3),
        ),
        rule=_copies,
    ),
    Limit(
        id="maintenance-entry",
        title="What a maintenance entry holds",
        system="records",
        inputs=tuple(
            Input(name, text[0].upper() + text[1:], choices=(*_YES_NO, "not-asked") if name == "doer" else _YES_NO)
            for name, text in ENTRY.items()
        ),
        sources=(_ENTRY,),
        basis=_RULE,
        assumes=("Maintenance, not an inspection; the work was found satisfactory.",),
        does_not_cover=("Inspection entries (43.11), which also give total time.", "The form for major work."),
        caution=_PAPER,
        examples=(
            Example({name: "not-asked" if name == "doer" else "yes" for name in ENTRY}, "within", "14 CFR 43.9(a)"),
            Example({name: "no" if name == "certificate" else "yes" for name in ENTRY}, "beyond", "14 CFR 43.9(a)(4)"),
        ),
        rule=_entry,
    ),
    Limit(
        id="return-to-service",
        title="What must be done before approval for return to service",
        system="records",
        inputs=tuple(
            Input(name, text[0].upper() + text[1:], choices=_YES_NO if name == "entry" else (*_YES_NO, "not-asked"))
            for name, text in RELEASE.items()
        ),
        sources=(_RELEASE,),
        basis=_RULE,
        assumes=("The person who approves may do so (43.7).",),
        does_not_cover=("Whether the work is right.", "The flight before passengers: flight-before-passengers."),
        caution=_PAPER,
        examples=(
            Example({"entry": "yes", "form": "not-asked", "limitations": "not-asked"}, "within", "14 CFR 43.5"),
            Example({"entry": "yes", "form": "no", "limitations": "not-asked"}, "beyond", "14 CFR 43.5(b)"),
        ),
        rule=_release,
    ),
    Limit(
        id="flight-before-passengers",
        title="Flight before passengers are carried",
        system="records",
        inputs=(
            Input("changed", "May the work have changed the flight characteristics", choices=("yes", "unsure", "no")),
            Input("ground-proof", "Do tests or inspection on the ground show for certain no change", choices=_YES_NO),
            Input("flown", "Flown by a rated pilot, work checked, logged in the aircraft records", choices=_YES_NO),
        ),
        sources=(_FLIGHT,),
        basis=_RULE,
        assumes=("Work approved and entered (91.407(a)). Appreciably is the rule's own word: unsure counts as yes.",),
        does_not_cover=("Approval for return to service, which is another act.",),
        caution="Nobody aboard but the crew the flight needs; stay in reach of the field.",
        examples=(
            Example({"changed": "yes", "ground-proof": "no", "flown": "no"}, "beyond", "14 CFR 91.407(b)"),
            Example({"changed": "yes", "ground-proof": "yes", "flown": "no"}, "within", "14 CFR 91.407(c)"),
        ),
        rule=_flight,
    ),
    Limit(
        id="skin-damage-listed",
        title="Damage of stressed skin that the list of major repairs names",
        system="sheet-metal",
        inputs=(Input("damage", "Damaged area, in its greatest direction", "in", 0, 600),),
        sources=(_SKIN,),
        basis=_RULE,
        assumes=("Metal or plywood stressed skin; the damage is measured, not the patch.",),
        does_not_cover=("Any other item of the list, such as extra seams, spars and ribs.", "Whether it is minor."),
        caution="Look for a bent stringer or a drawn rivet beyond the dent before you measure it.",
        examples=(
            Example({"damage": "6"}, "at", "14 CFR 43 appendix A (b)(1)(xxii)", 6),
            Example({"damage": "7"}, "beyond", "14 CFR 43 appendix A (b)(1)(xxii)", 6),
        ),
        rule=_skin,
    ),
)  # fmt: skip
