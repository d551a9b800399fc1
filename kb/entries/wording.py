"""How pages are worded: no verdict, no hidden characters, one spelling a unit, no name of a maker or an aircraft."""

from __future__ import annotations

import re
from collections.abc import Iterator

from kb.entries.names import Names
from kb.entries.places import Path
from kb.model import Entry, Term

Flaw = tuple[Path, str, str]

_VERDICT = re.compile(r"\b(?:is|are|now|still|remains?|stays?|considered)\s+airworthy\b", re.IGNORECASE)
_MARKUP = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u200b-\u200f\u202a-\u202e\u2066-\u2069]")

UNITS: dict[str, str] = {
    "lb": r"lbs|pounds?(?!-)",
    "psi": r"PSI|Psi|p\.s\.i\.",
    "rpm": r"RPM|Rpm|r\.p\.m\.",
    "mph": r"MPH|m\.p\.h\.",
    "kt": r"kts|KT|KTS|knots?",
    "degF": r"°\s?F|deg\.? F|degrees F|F",
    "degC": r"°\s?C|deg\.? C|degrees C",
    "inHg": r"in\.? Hg|inches of mercury|in\.?-Hg",
    "in-lb": r"in\.?[- ]lbs?|inch[- ]pounds?|inch[- ]lbs?",
    "ft-lb": r"ft\.?[- ]lbs?|foot[- ]pounds?|pound-f(?:ee|oo)t",
    "ft": r"ft\.(?= [a-z])",
    "in.": r"″|ins\b\.?|in(?= (?:long|wide|deep|thick|apart|from)\b)",
    "V": r"volts?|v",
    "A": r"amps?|amperes?",
    "ohm": r"ohms|Ω",
    "mL": r"ml|cc|ccm",
    "oz": r"ounces?|ozs",
    "hours": r"hrs?",
    "minutes": r"mins?",
    "gallons": r"gals?",
    "quarts": r"qts?",
    "percent": r"%|pct|per cent",
}
"""The one spelling of a unit behind a figure, and the spellings it replaces; `inch` is as good as `in.`."""

_END = r"(?!\w|[-/.]\w)"
_MISSPELT = {
    unit: re.compile(rf"(?<![\w./])\d[\d,./]*[ -]?(?!{re.escape(unit)}{_END})({wrong}){_END}")
    for unit, wrong in UNITS.items()
}
_ANY_FIGURE = re.compile(r"\d")


def check_wording(entry: Entry) -> Iterator[Flaw]:
    """Yield verdicts and hidden characters: what no reader may be shown."""
    for path, text in texts_of(entry):
        if _VERDICT.search(text):
            yield (
                path,
                "gives a verdict that only the signer may give",
                "say what a source requires and what was measured",
            )
        if _MARKUP.search(text):
            yield path, "holds a control or direction character", "retype the text"


def check_units(entry: Entry) -> Iterator[Flaw]:
    """Yield each unit behind a figure that is not spelt as `UNITS` says."""
    for path, text in texts_of(entry):
        if _ANY_FIGURE.search(text):
            for unit, pattern in _MISSPELT.items():
                if wrong := pattern.search(text):
                    yield path, f"spells a unit '{wrong.group(1)}'", f"write '{unit}'"


def check_names(entry: Entry, names: Names) -> Iterator[Flaw]:
    """Yield each brand and aircraft named in prose, words, tools or sources."""
    for path, text in _everything_said(entry):
        for name, kind in names.found_in(text):
            yield path, *_named(name, kind)


def check_term_names(term: Term, number: int, names: Names) -> Iterator[Flaw]:
    """Yield each brand and aircraft named by a word of the trade, number `number` of its file."""
    for field, text in (("say", term.say), ("means", ", ".join(term.means)), ("note", term.note or "")):
        for name, kind in names.found_in(text):
            yield ("term", number, field), *_named(name, kind)


def texts_of(entry: Entry) -> Iterator[tuple[Path, str]]:
    """Yield every piece of prose of the entry with its path, in the order of the file."""
    yield from (((name,), getattr(entry, name)) for name in ("title", "urgency_why", "summary", "hazard"))
    for name, attribute in (("signs", "text"), ("causes", "text"), ("looks", "text"), ("look_also", "why")):
        for number, item in enumerate(getattr(entry, name)):
            yield (name, number, attribute), getattr(item, attribute)
    for name in ("before", "steps", "never", "materials", "prove"):
        yield from ((("remedy", name, n), text) for n, text in enumerate(getattr(entry.remedy, name)))
    yield ("paper", "why"), entry.paper.why
    yield from ((("sources", n, "says"), source.says) for n, source in enumerate(entry.sources))


def _everything_said(entry: Entry) -> Iterator[tuple[Path, str]]:
    yield ("id",), entry.id
    yield from texts_of(entry)
    yield from ((("words", number), word) for number, word in enumerate(entry.words))
    yield from ((("looks", n, "tool"), look.tool) for n, look in enumerate(entry.looks) if look.tool)
    yield from ((("look_also", n, "place"), link.place) for n, link in enumerate(entry.look_also) if link.place)
    yield ("paper", "source"), entry.paper.source
    for number, source in enumerate(entry.sources):
        yield ("sources", number, "document"), source.document
        yield ("sources", number, "where"), source.where


def _named(name: str, kind: str) -> tuple[str, str]:
    article = "an" if kind[0] in "aeiou" else "a"
    return f"names {article} {kind}: '{name}'", "say what the thing is, not who makes it"
