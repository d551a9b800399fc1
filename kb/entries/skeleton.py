"""The text of a page to be, made from a finding: what is known stands in it, all else says what to say there. Pure."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Sequence
from datetime import date
from typing import Any, get_args

from kb.entries.places import Path
from kb.entries.writing import write_table
from kb.model import Access, Construction, Finding, HowCommon, HowOften, Nature, PaperClass, Sense, System, Urgency
from kb.text import fold

MARK = "SAY HERE"
_TITLE, _LINE, _ID = 80, 600, 64
_WORDS_OF_ID = 6


def skeleton(finding: Finding, *, systems: Sequence[System], taken: Collection[str], today: date) -> str:
    """Return a page to be filled in; the check refuses it as long as a mark is left.

    Args:
        finding: what the page is to be about.
        systems: the systems there are.
        taken: ids that other pages have.
        today: the day of its review.
    """
    handle = finding.id[-8:]
    about = (
        f"# A page of the shop's own, made from finding {handle}. Put your words where it says {MARK}, add what is\n"
        "# missing, leave out what does not apply, then: oddfix own-page keep FILE\n"
        f"# and then: oddfix link {handle} ID. Name no figure without the source that prints it.\n\n"
    )
    table = _head(finding, systems, taken, today) | _signs_and_causes(finding.text) | _rest(finding)
    return about + write_table(table)


def unsaid(raw: Any, path: Path = ()) -> Iterator[tuple[Path, str, str]]:
    """Yield each text that still says what is to be said there, wherever it stands in a file's content."""
    if isinstance(raw, dict):
        for key, value in raw.items():
            yield from unsaid(value, (*path, key))
    elif isinstance(raw, list):
        for number, value in enumerate(raw):
            yield from unsaid(value, (*path, number))
    elif isinstance(raw, str) and raw.strip().upper().startswith(MARK):
        hint = raw.strip()[len(MARK) :].strip(" :")
        yield path, "is not said yet", f"say {hint}" if hint else "put your own words there"


def _head(finding: Finding, systems: Sequence[System], taken: Collection[str], today: date) -> dict[str, Any]:
    known = {system.id: system for system in systems}
    system = known.get(finding.system or "")
    codes = ", ".join([*system.chapters, *system.codes]) if system else "see oddfix systems"
    title = _cut(" ".join(finding.text.split()), _TITLE)
    return {
        "format": 1,
        "id": _free_id(finding.text, taken),
        "title": title if len(title) >= 8 else _say("what it is, in 8 to 80 characters"),
        "system": system.id if system else _say("one of", *known),
        "jasc": [_say(f"the chapter: {codes}")],
        "nature": _say("one of", *get_args(Nature)),
        "urgency": _say("one of", *get_args(Urgency)),
        "urgency_why": _say("why it presses so"),
        "construction": [_say("one or more of", *get_args(Construction))],
        "reviewed": today,
        "summary": _say("what it is and how it comes about"),
        "hazard": _say("what it can lead to"),
        "words": [_say("what people call it; one text each")],
    }


def _signs_and_causes(text: str) -> dict[str, Any]:
    often = _say("one of", *get_args(HowOften))
    cause = {
        "id": _say("a short name, words joined by hyphens"),
        "text": _say("one thing that may explain it"),
        "how_common": _say("one of", *get_args(HowCommon)),
        "signs": {"as-found": often, "other-sign": often},
    }
    sense = _say("one of", *get_args(Sense))
    other = {"id": "other-sign", "sense": sense, "text": _say("what else can be observed and tells causes apart")}
    look = {
        "text": _say("the look that tells most"),
        "settles": "other-sign",
        "minutes": 0,
        "access": _say("one of", *get_args(Access)),
    }
    return {
        "signs": [{"id": "as-found", "sense": sense, "text": _cut(" ".join(text.split()), _LINE)}, other],
        "causes": [cause, cause],
        "looks": [look],
    }


def _rest(finding: Finding) -> dict[str, Any]:
    done = [_cut(line.strip(), _LINE) for line in (finding.action or "").splitlines() if line.strip()]
    return {
        "remedy": {
            "before": [_say("what makes the work dangerous, and what to do about it first")],
            "steps": done or [_say("how it is put right, step by step")],
            "never": [_say("the tempting mistake")],
            "prove": [_say("how it is shown that it is right again")],
        },
        "paper": {
            "class": _say("one of", *get_args(PaperClass)),
            "why": _say("why it points there"),
            "source": _say("the document that says so"),
        },
        "look_also": [{"place": finding.place or _say("where the same hand was"), "why": _say("why there")}],
        "sources": [
            {
                "document": "The shop's own record",
                "where": f"finding {finding.id[-8:]}",
                "says": _say("what was found"),
                "checked": "read",
            },
            {
                "document": _say("the document it rests on, or: common practice"),
                "where": _say("its paragraph; empty for common practice"),
                "says": _say("what it says, in your words"),
                "checked": _say("one of", "read", "secondary", "memory", "common-practice"),
            },
        ],
    }


def _say(what: str, *choices: str) -> str:
    return f"{MARK} {what}{': ' if choices else ''}{', '.join(choices)}"


def _free_id(text: str, taken: Collection[str]) -> str:
    words = [word for word in re.findall(r"[a-z0-9]+", fold(text)) if len(word) > 2][:_WORDS_OF_ID]
    name = "-".join(words)[: _ID - 4].strip("-") or "own-page"
    return next(free for n in range(1, len(taken) + 2) if (free := name if n == 1 else f"{name}-{n}") not in taken)


def _cut(text: str, most: int) -> str:
    return text if len(text) <= most else f"{text[: most - 1].rsplit(' ', 1)[0][: most - 2]} …"
