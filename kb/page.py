"""Lays a record out as numbered parts of short blocks; both faces show these, each in its own way. Pure."""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal

import msgspec

from kb.model import URGENCY_WORDS, Entry, Finding, ShopEntry

Tone = Literal["plain", "caution", "never", "link", "quiet"]

OWN_PAGE = "the shop's own page"
"""Said wherever a page is shown that did not come with the program."""


class Block(msgspec.Struct, frozen=True):
    """One paragraph: a short mark at its left ("seen", "20 min", "1"), the text, a quiet note below, and a link."""

    text: str
    mark: str = ""
    note: str = ""
    tone: Tone = "plain"
    link: str | None = None


class Part(msgspec.Struct, frozen=True):
    """One numbered part of a page."""

    number: int
    title: str
    blocks: tuple[Block, ...]


class Page(msgspec.Struct, frozen=True):
    """A page ready to be shown."""

    id: str
    title: str
    urgency: str
    urgency_why: str
    facts: str
    summary: str
    parts: tuple[Part, ...]


def lay_out(entry: Entry) -> Page:
    """Return the page of an entry. Looks stand in order of minutes, causes in order of how common they are."""
    titled: list[tuple[str, Callable[[Entry], list[Block]]]] = [
        ("See", _see),
        ("Why it matters", lambda entry: [Block(one_line(entry.hazard))]),
        ("Causes", _causes),
        ("Tell apart", _tell_apart),
        ("Put right", _put_right),
        ("Prove", lambda entry: _numbered(entry.remedy.prove)),
        ("Paper", _paper),
        ("Look also", _look_also),
        ("Sources", _sources),
    ]
    parts = tuple(Part(number, title, tuple(make(entry))) for number, (title, make) in enumerate(titled, start=1))
    facts = [
        entry.system,
        entry.nature.replace("-", " "),
        f"JASC {', '.join(entry.jasc)}",
        f"reviewed {entry.reviewed}",
    ]
    if entry.construction != ("any",):
        facts.insert(2, ", ".join(entry.construction))
    if isinstance(entry, ShopEntry):
        facts.insert(0, OWN_PAGE)
    return Page(
        id=entry.id,
        title=entry.title,
        urgency=URGENCY_WORDS[entry.urgency],
        urgency_why=one_line(entry.urgency_why),
        facts="  |  ".join(facts),
        summary=_withdrawn_note(entry) + one_line(entry.summary),
        parts=parts,
    )


def one_line(text: str) -> str:
    """Return text with its line breaks and runs of blanks as single blanks."""
    return " ".join(text.split())


def _withdrawn_note(entry: Entry) -> str:
    if not entry.is_withdrawn:
        return ""
    instead = f", read {entry.replaced_by} instead" if entry.replaced_by else ""
    return f"WITHDRAWN {entry.withdrawn}{instead}. "


def _see(entry: Entry) -> list[Block]:
    return [Block(sign.text, mark=sign.sense.replace("-", " ")) for sign in entry.signs]


def _causes(entry: Entry) -> list[Block]:
    order = {"common": 0, "occasional": 1, "rare": 2}
    causes = sorted(entry.causes, key=lambda cause: order[cause.how_common])
    texts = {sign.id: sign.id.replace("-", " ") for sign in entry.signs}
    blocks = []
    for cause in causes:
        strong = [texts[sign] for sign, often in cause.signs.items() if often in ("always", "usually")]
        against = [texts[sign] for sign, often in cause.signs.items() if often == "never"]
        notes = [f"expect: {', '.join(strong)}"] if strong else []
        notes += [f"never with: {', '.join(against)}"] if against else []
        blocks.append(Block(cause.text, mark=cause.how_common, note="; ".join(notes), link=cause.entry))
    return blocks


def _tell_apart(entry: Entry) -> list[Block]:
    signs = {sign.id: sign.id.replace("-", " ") for sign in entry.signs}
    looks = [
        Block(
            look.text,
            mark=f"{look.minutes} min",
            note=f"settles: {signs[look.settles]}; {look.access}" + (f"; {look.tool}" if look.tool else ""),
        )
        for look in sorted(entry.looks, key=lambda look: look.minutes)
    ]
    helps = (
        ("limits", entry.limits, "oddfix limit NAME gives a measured number its verdict; on the screen, l"),
        ("keys", entry.keys, "oddfix identify NAME says what a part or material in hand is"),
    )
    return looks + [Block(", ".join(names), mark=mark, note=note) for mark, names, note in helps if names]


def _put_right(entry: Entry) -> list[Block]:
    remedy = entry.remedy
    return [
        *(Block(text, mark="FIRST", tone="caution") for text in remedy.before),
        *(Block(text, mark="NEVER", tone="never") for text in remedy.never),
        *_numbered(remedy.steps),
        *(Block(text, mark="needs", tone="quiet") for text in remedy.materials),
    ]


def _paper(entry: Entry) -> list[Block]:
    said = {"minor": "points to minor", "major": "points to major", "depends": "depends"}[entry.paper.class_]
    return [Block(entry.paper.why, mark=said, note=f"{entry.paper.source}; the signer decides")]


def _look_also(entry: Entry) -> list[Block]:
    return [Block(link.why, mark=link.entry or link.place or "", link=link.entry) for link in entry.look_also]


def _sources(entry: Entry) -> list[Block]:
    return [
        Block(source.says, mark=source.checked.replace("-", " "), note=f"{source.document} {source.where}".strip())
        for source in entry.sources
    ]


def _numbered(texts: tuple[str, ...]) -> list[Block]:
    return [Block(text, mark=str(number)) for number, text in enumerate(texts, start=1)]


def lay_out_finding(finding: Finding) -> Page:
    """Return a finding laid out like a page, so that both are read in the same way."""
    found = [Block(finding.text), *(Block(fact, tone="quiet") for fact in found_facts(finding))]
    done = [Block(finding.action)] if finding.action else [Block("nothing recorded yet", tone="quiet")]
    if finding.cause:
        done.append(Block(f"confirmed cause: {finding.cause}"))
    if finding.minutes is not None:
        done.append(Block(f"{finding.minutes} minutes", tone="quiet"))
    links = [Block("the page it was linked to", link=entry) for entry in finding.entries]
    titled = [("Found", found), ("Done", done), *([("Pages", links)] if links else [])]
    facts = [finding.system or "no system", f"finding {finding.id[-8:]}", f"by {finding.who}" if finding.who else ""]
    return Page(
        id=finding.id,
        title=finding.airframe,
        urgency=f"SHOP, {finding.state.upper()}",
        urgency_why=f"Found {finding.found or finding.created[:10]}",
        facts="  |  ".join(fact for fact in facts if fact),
        summary="",
        parts=tuple(Part(number, title, tuple(blocks)) for number, (title, blocks) in enumerate(titled, start=1)),
    )


def found_facts(finding: Finding) -> list[str]:
    """Return where, when, at what hours and on what part it was found, and with how many photos; what is known."""
    said = (
        ("where", finding.place),
        ("found", finding.found),
        ("at hours", None if finding.hours is None else f"{finding.hours:g}"),
        ("part", finding.part),
        ("photos", len(finding.photos) or None),
        ("shop", finding.shop),
    )
    return [f"{name}: {value}" for name, value in said if value is not None]
