"""Limits of entries: what each holds, what approval and passengers wait for, skin damage the list of work names."""

from __future__ import annotations

from kb.limits.model import Example, Input, Limit, Ruling
from kb.limits.record_dates import PAPER, RULE, YES_NO
from kb.limits.ruling import all_met, at_most, passes, with_notes
from kb.model import Source

_ENTRY = Source("14 CFR", "43.9(a)(1)-(4)", "Description, date, who did it, signature, number and kind.", "read")
_INSPECTED = Source(
    "14 CFR",
    "43.11(a), (b)",
    "Type and extent, date, total time, signature, number and kind, sentence or list.",
    "read",
)
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
INSPECTED = {
    "extent": "the type of inspection and its brief extent",
    "date": "the date",
    "total-time": "the total time of the aircraft",
    "signature": "the signature of the approver",
    "certificate": "number and kind of the approver's certificate",
    "sentence": "the certifying sentence, or else the one that a dated list was given to the owner",
    "listed": "a signed and dated list to owner or lessee, where something was found wrong",
}
"""14 CFR 43.11(a), (b) [read]."""
RELEASE = {
    "entry": "the entry of 43.9 or 43.11 is made",
    "form": "the repair or alteration form is executed, where the work is major",
    "limitations": "changed limitations or flight data are revised",
}
"""14 CFR 43.5(a)-(c) [read]."""


def _entry(description: str, date: str, doer: str, signature: str, certificate: str) -> Ruling:
    ruling = all_met(ENTRY, (description, date, doer, signature, certificate), _ENTRY)
    return with_notes(ruling, "the signature approves only the work that the entry describes")


def _inspected(
    extent: str, date: str, total_time: str, signature: str, certificate: str, sentence: str, listed: str
) -> Ruling:
    answers = (extent, date, total_time, signature, certificate, sentence, listed)
    return all_met(INSPECTED, answers, _INSPECTED)


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
        id="maintenance-entry",
        title="What a maintenance entry holds",
        system="records",
        inputs=tuple(
            Input(name, text[0].upper() + text[1:], choices=(*YES_NO, "not-asked") if name == "doer" else YES_NO)
            for name, text in ENTRY.items()
        ),
        sources=(_ENTRY,),
        basis=RULE,
        assumes=("Maintenance, not an inspection; the work was found satisfactory.",),
        does_not_cover=("Inspection entries, which also give total time: inspection-entry.", "Forms for major work."),
        caution=PAPER,
        examples=(
            Example({name: "not-asked" if name == "doer" else "yes" for name in ENTRY}, "within", "14 CFR 43.9(a)"),
            Example({name: "no" if name == "certificate" else "yes" for name in ENTRY}, "beyond", "14 CFR 43.9(a)(4)"),
        ),
        rule=_entry,
    ),
    Limit(
        id="inspection-entry",
        title="What an inspection entry holds",
        system="records",
        inputs=tuple(
            Input(name, text[0].upper() + text[1:], choices=(*YES_NO, "not-asked") if name == "listed" else YES_NO)
            for name, text in INSPECTED.items()
        ),
        sources=(_INSPECTED,),
        basis=RULE,
        assumes=("An annual or 100-hour inspection.",),
        does_not_cover=("Progressive inspections, whose sentence is another.", "Entries of work: maintenance-entry."),
        caution=PAPER,
        examples=(
            Example({name: "not-asked" if name == "listed" else "yes" for name in INSPECTED}, "within", "14 CFR 43.11"),
            Example({name: "no" if name == "total-time" else "yes" for name in INSPECTED}, "beyond", "14 CFR 43.11(a)"),
        ),
        rule=_inspected,
    ),
    Limit(
        id="return-to-service",
        title="What must be done before approval for return to service",
        system="records",
        inputs=tuple(
            Input(name, text[0].upper() + text[1:], choices=YES_NO if name == "entry" else (*YES_NO, "not-asked"))
            for name, text in RELEASE.items()
        ),
        sources=(_RELEASE,),
        basis=RULE,
        assumes=("The person who approves may do so (43.7).",),
        does_not_cover=("Whether the work is right.", "The flight before passengers: flight-before-passengers."),
        caution=PAPER,
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
            Input("ground-proof", "Do tests or inspection on the ground show for certain no change", choices=YES_NO),
            Input("flown", "Flown by a rated pilot, work checked, logged in the aircraft records", choices=YES_NO),
        ),
        sources=(_FLIGHT,),
        basis=RULE,
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
        basis=RULE,
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
