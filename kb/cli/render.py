"""Prints records as plain text: pages, answers, lists."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from kb.cli import output
from kb.model import CAUTION, URGENCY_WORDS, Entry, Finding, System
from kb.page import OWN_PAGE, found_facts

if TYPE_CHECKING:
    from kb.search import Answer, Hit

EDGE = 17
"""Columns of the left edge, where urgency stands in words."""


def page(entry: Entry) -> None:
    """Print a whole page."""
    from kb.page import lay_out

    laid = lay_out(entry)
    output.wrapped(laid.title, mark=laid.urgency, indent=EDGE)
    output.wrapped(laid.urgency_why, indent=EDGE)
    output.data()
    output.wrapped(CAUTION)
    output.data()
    output.wrapped(laid.summary)
    output.wrapped(laid.facts)
    for part in laid.parts:
        output.data()
        output.data(f"{part.number} {part.title}")
        for block in part.blocks:
            output.wrapped(block.text, mark=f"  {block.mark}", indent=EDGE)
            if block.link and block.link != block.mark:
                output.wrapped(f"see {block.link}", indent=EDGE)
            if block.note:
                output.wrapped(f"({block.note})", indent=EDGE)


def answer(found: Answer, first: Entry | None) -> None:
    """Print the hits; under the first page, what it is, since that is what was asked."""
    for number, one in enumerate(found.hits):
        if number:
            output.data()
        hit(one)
        if first is not None and one.id == first.id:
            output.wrapped(first.summary, indent=EDGE)
            output.wrapped(f"Hazard: {first.hazard}", indent=EDGE)
        output.wrapped("; ".join(one.why), indent=EDGE)


def how_read(found: Answer) -> None:
    """Say on standard error how the question was read."""
    if found.read_as:
        output.note(f'read as: {", ".join(found.read_as)} - put a word in "quotes" to keep it as typed')
    if found.unknown:
        output.note(f"on no page: {', '.join(found.unknown)}")


def finding(one: Finding, *, mark: str = "") -> None:
    """Print one finding, with its state or another mark at the edge."""
    output.wrapped(f"{one.airframe}: {one.text}", mark=mark or f"shop, {one.state}", indent=EDGE)
    if one.action:
        output.wrapped(f"done: {one.action}", indent=EDGE)
    if one.cause:
        output.wrapped(f"cause confirmed: {one.cause}", indent=EDGE)
    if facts := found_facts(one):
        output.wrapped("; ".join(facts), indent=EDGE)
    facts = [one.created[:10], one.system or "", ", ".join(one.entries), f"finding {one.id[-8:]}"]
    output.wrapped("  ".join(fact for fact in facts if fact), indent=EDGE)


def systems(counted: Sequence[tuple[System, int]]) -> None:
    """Print the systems with how many pages each has."""
    for system, count in counted:
        pages = "1 page" if count == 1 else f"{count} pages"
        output.wrapped(f"{system.title}, {pages}. {system.about}", mark=system.id, indent=EDGE)


def reading_list(system: System, entries: Sequence[Entry]) -> None:
    """Print a system's pages as a student reads them: what it is, and why it matters."""
    chapters = ", ".join(f"{code} {title}" for code, title in system.chapters.items())
    output.wrapped(f"{system.title}. {system.about} JASC chapters: {chapters}.")
    for entry in entries:
        output.data()
        output.wrapped(entry.title, mark=URGENCY_WORDS[entry.urgency], indent=EDGE)
        output.wrapped(entry.id, indent=EDGE)
        output.wrapped(entry.summary, indent=EDGE)
        output.wrapped(entry.hazard, indent=EDGE)


def hit(one: Hit) -> None:
    """Print the head of one one."""
    if one.kind == "finding":
        output.wrapped(f"{one.airframe}: {one.title}", mark=f"shop, {one.state}", indent=EDGE)
        output.wrapped(f"finding {one.id[-8:]}  {(one.created or '')[:10]}  {one.system or ''}".rstrip(), indent=EDGE)
    else:
        output.wrapped(one.title, mark=URGENCY_WORDS[one.urgency or "information"], indent=EDGE)
        origin = f"  {OWN_PAGE}" if one.origin else ""
        output.wrapped(f"{one.id}  ({one.system}){origin}", indent=EDGE)
