"""Which parts of a record are searched, how much a word in each counts, and what a reader calls the part."""

from __future__ import annotations

from kb.model import Entry, Finding
from kb.store.findings import SEARCHED

ENTRY_WEIGHTS: dict[str, float] = {
    "title": 3.0,
    "words": 3.0,
    "signs": 2.0,
    "summary": 2.0,
    "causes": 1.0,
    "looks": 0.5,
    "hazard": 0.7,
    "remedy": 0.4,
    "look also": 0.2,
    "system": 0.7,
}
"""Weight of one word by the part of the page it stands in. Chosen on the odd questions of tests/questions.toml."""

FINDING_WEIGHTS: dict[str, float] = {"all": 1.0}
"""A finding is short: what is searched of it is weighed as one field."""

FINDING_MEANS = [30.0]
"""Mean terms of a finding as long as there are too few to tell. Source: the search prototype's records."""


def entry_fields(entry: Entry) -> dict[str, str]:
    """Return the searched text of each part of an entry, in the order of ENTRY_WEIGHTS."""
    remedy = entry.remedy
    return {
        "title": entry.title,
        "words": " . ".join(entry.words),
        "signs": " . ".join(sign.text for sign in entry.signs),
        "summary": f"{entry.summary} . {entry.id}",
        "causes": " . ".join(cause.text for cause in entry.causes),
        "looks": " . ".join(f"{look.text} {look.tool or ''}" for look in entry.looks),
        "hazard": f"{entry.hazard} . {entry.urgency_why}",
        "remedy": " . ".join((*remedy.steps, *remedy.never, *remedy.materials, *remedy.prove)),
        "look also": " . ".join(f"{link.place or ''} {link.why}" for link in entry.look_also),
        "system": f"{entry.system} {entry.nature}",
    }


def finding_fields(finding: Finding) -> dict[str, str]:
    """Return the searched text of a finding."""
    return {"all": searched_text(*(getattr(finding, name) for name in SEARCHED))}


def searched_text(*texts: str | None) -> str:
    """Return the searched fields of a finding as one text; a field that is empty adds nothing."""
    return " . ".join(text for text in texts if text)


def finding_parts(finding: Finding) -> dict[str, str]:
    """Return the parts of a finding by the names a reader knows."""
    return {"where" if name == "place" else name: getattr(finding, name) or "" for name in SEARCHED}
