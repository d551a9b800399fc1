"""Says why a record was found: each thing asked for, as it was met, and the parts of the record that hold it."""

from __future__ import annotations

from collections.abc import Mapping

from kb.search.question import Question, Wanted, Way
from kb.text import analyze

PARTS_SHOWN = 2
"""Parts of a record named behind a word; they are in order of weight, so the first ones say most."""


def explain(question: Question, fields: Mapping[str, str]) -> tuple[str, ...]:
    """Return a line for each wanted thing the record meets, in the order typed, such as `strings: title, signs`."""
    terms = {name: frozenset(analyze(text)) for name, text in fields.items()}
    lines = (_line(wanted, terms) for wanted in question.wanted)
    return tuple(dict.fromkeys(line for line in lines if line))


def _line(wanted: Wanted, terms: Mapping[str, frozenset[str]]) -> str:
    for way in sorted(wanted.ways, key=lambda way: -way.weight):
        # A word is met by any of its parts, a phrase it stands for only whole.
        least = 1 if way.shown == wanted.typed else len(way.terms)
        parts = [name for name, present in terms.items() if len(present.intersection(way.terms)) >= least]
        if parts:
            return f"{_said(wanted, way)}: {', '.join(parts[:PARTS_SHOWN])}"
    return ""


def _said(wanted: Wanted, way: Way) -> str:
    return way.shown if way.shown == wanted.typed else f"{way.shown} (for {wanted.typed})"
