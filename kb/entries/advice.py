"""What could be better on pages that are not wrong: said when asked for, never a reason to refuse a folder."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from msgspec import Struct

from kb.entries.telling import CLEAR, spread
from kb.entries.wording import texts_of
from kb.model import Entry

LED_FROM = 3
"""Pages that lead to a page before it is asked to lead back to one of them; fewer would only make noise."""

_PERMITS = re.compile(
    r"\b(?<!not )(?<!never )(?<!no longer )(?:allowed|permitted|acceptable|within limits"
    r"|may (?:stay|remain|fly|go on|continue|serve|be (?:left|used|repaired|filled|dressed|reused|kept|flown)))\b",
    re.IGNORECASE,
)
_REFUSES = re.compile(r"\b(?:not|never|no|nothing|none|neither|nor|nowhere)\b", re.IGNORECASE)
_BOUND = re.compile(
    r"\d|\b(?:if|when|while|where|only|unless|until|provided|as long as|within|without|at most|after|before|except|but"
    r"|maker|maker's|manual|drawing|holder|instructions|directive|data|approved|approval|approves|sheet|book|rule|rules"
    r"|circular|CFR|AC|paragraph|table|appendix|listed|list|lists|type|type's|inspector|engineer|whether|what|says)\b",
    re.IGNORECASE,
)
_SENTENCE = re.compile(r"(?<=[.;!?])\s+")


class Advice(Struct, frozen=True):
    """One thing worth another look: page, field, what, and what could be done."""

    page: str
    field: str
    text: str
    remedy: str

    def __str__(self) -> str:
        return f"{self.page} {self.field}: {self.text}; {self.remedy}"


def advise(entries: Mapping[str, Entry]) -> list[Advice]:
    """Return all advice on pages that passed the checks, by page id, then in the order of the kinds below."""
    led = _led_from(entries)
    return [
        advice
        for name in sorted(entries)
        for kind in (_weak_looks, _loose_permissions, _unread)
        for advice in kind(entries[name])
    ] + [advice for name in sorted(entries) for advice in _links(entries[name], led[name])]


def _weak_looks(entry: Entry) -> Iterator[Advice]:
    for number, look in enumerate(entry.looks, start=1):
        if len(entry.causes) > 1 and spread(entry, look.settles) < CLEAR:
            text = f"settles little: the causes are less than two steps apart on '{look.settles}'"
            yield Advice(entry.id, f"looks.{number}", text, "let the look show a sign that divides the causes")


def _loose_permissions(entry: Entry) -> Iterator[Advice]:
    """Sentences that let something pass and name neither source nor condition.

    A coarse sieve: sources say themselves what they rest on, and the paper's reason has its source beside it.
    """
    for path, text in texts_of(entry):
        if path[0] in ("sources", "paper"):
            continue
        for sentence in _SENTENCE.split(text):
            if _PERMITS.search(sentence) and not _REFUSES.search(sentence) and not _BOUND.search(sentence):
                field = ".".join(str(part + 1) if isinstance(part, int) else part for part in path)
                yield Advice(entry.id, field, f"lets something pass: '{sentence}'", "add its condition and source")


def _unread(entry: Entry) -> Iterator[Advice]:
    if all(source.checked != "read" for source in entry.sources):
        yield Advice(entry.id, "sources", "rests on no document that was read", "read one, or say why it cannot be")


def _links(entry: Entry, led: set[str]) -> Iterator[Advice]:
    if not led:
        yield Advice(entry.id, "look_also", "no page leads here", "link to it where the same hand or fault is met")
    elif len(led) >= LED_FROM and not led & _leads_to(entry):
        text = f"{len(led)} pages lead here and none is led back to"
        yield Advice(entry.id, "look_also", text, f"consider a link to one of: {', '.join(sorted(led))}")


def _led_from(entries: Mapping[str, Entry]) -> dict[str, set[str]]:
    led: dict[str, set[str]] = {name: set() for name in entries}
    for entry in entries.values():
        for target in _leads_to(entry):
            led[target].add(entry.id)
    return led


def _leads_to(entry: Entry) -> set[str]:
    """Return the pages that links and causes of a page name."""
    return {link.entry for link in entry.look_also if link.entry} | {
        cause.entry for cause in entry.causes if cause.entry
    }
