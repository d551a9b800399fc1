"""The command narrow: which cause is it, and what to look at next. Talks with a person in a terminal, else prints."""

from __future__ import annotations

import os
import re
import sys
from typing import TYPE_CHECKING, Any

import click

from kb.cli import output
from kb.cli.options import desk_options, json_option
from kb.errors import KbError, UsageProblem

if TYPE_CHECKING:
    from kb.desk import Desk
    from kb.narrowed import Narrowed

_ORDER = re.compile(r"(?:(\d{1,3})\s*)?([sxo])")

_HELP = (
    "s seen, x not seen, o cannot look; with a number for another line, as in: 2 x\n"
    "u takes the last one back, w says why for every cause, q leaves; all is kept"
)


@click.command()
@click.argument("text", nargs=-1, metavar="TEXT|ID")
@click.option("--seen", multiple=True, metavar="SIGN", help="A sign that was seen; may be repeated.")
@click.option("--not", "not_seen", multiple=True, metavar="SIGN", help="A sign that was looked for and not seen.")
@click.option("--session", metavar="ID", help="Open a kept session again.")
@click.option("--finding", metavar="ID", help="The finding this belongs to; alone, narrow that finding.")
@click.option(
    "--construction",
    type=click.Choice(["tube-and-fabric", "wood", "sheet-metal"]),
    multiple=True,
    help="What the aircraft is built of; may be repeated.",
)
@json_option
@desk_options
def narrow(desk: Desk, as_json: bool, **asked: Any) -> None:
    """Tell the causes of a question, a page or a finding apart, and say what to look at next.

    In a terminal it asks; elsewhere it prints where the case stands. A sign is named SIGN or PAGE/SIGN, as
    printed. Every answer is kept, and what reopens the session is printed.
    """
    narrowed = _given(desk, _opened(desk, asked), asked)
    is_talk = not as_json and _is_terminal()
    if asked["finding"] and narrowed.finding is None:
        narrowed = desk.narrow.attach(narrowed, asked["finding"])
    elif narrowed.touched and not is_talk:
        desk.narrow.keep(narrowed)
    if as_json:
        from kb.cli.standing import as_record

        output.as_json(as_record(narrowed, is_kept=_is_kept(narrowed)))
        return
    _note_forgotten(narrowed)
    if is_talk:
        narrowed = _talk(desk, narrowed)
    else:
        from kb.cli import standing

        standing.whole(narrowed)
    if _is_kept(narrowed):
        output.note(f"\nkept; oddfix narrow --session {narrowed.handle} opens it again")


def _opened(desk: Desk, asked: dict[str, Any]) -> Narrowed:
    text = " ".join(asked["text"]).strip()
    built = asked["construction"]
    if asked["session"]:
        if text:
            raise UsageProblem("a kept session has its question already; leave the text or --session out")
        narrowed = desk.narrow.reopen(asked["session"])
        return desk.narrow.build_of(narrowed, built) if built else narrowed
    if asked["finding"] and not text:
        return desk.narrow.start_finding(asked["finding"], constructions=built)
    return desk.narrow.start(text, constructions=built)


def _given(desk: Desk, narrowed: Narrowed, asked: dict[str, Any]) -> Narrowed:
    """Return the session with the answers of the command line; a sign named on both sides is refused."""
    from kb.narrow import find_sign

    said: dict[str, str] = {}
    for option, value in (("seen", "seen"), ("not_seen", "not-seen")):
        for name in asked[option]:
            sign = find_sign(narrowed.case, name).id
            if said.setdefault(sign, value) != value:
                raise UsageProblem(f"the sign {sign} is named both --seen and --not; leave one out")
    for sign, value in said.items():
        narrowed = desk.narrow.answer(narrowed, sign, "seen" if value == "seen" else "not-seen")
    return narrowed


def _is_kept(narrowed: Narrowed) -> bool:
    return bool(narrowed.touched or narrowed.finding)


def _note_forgotten(narrowed: Narrowed) -> None:
    for answer in narrowed.forgotten:
        output.note(f"left out, the pages no longer have this sign: {answer.sign} ({answer.said.replace('-', ' ')})")


def _is_terminal() -> bool:
    return sys.stdin.isatty() and sys.stdout.isatty() and os.environ.get("TERM") != "dumb"


def _talk(desk: Desk, narrowed: Narrowed) -> Narrowed:
    """Ask, take an answer, show what it did, and ask again until the person leaves; each answer is kept at once."""
    from kb.cli import standing

    if narrowed.touched:
        desk.narrow.keep(narrowed)
    standing.brief(narrowed)
    output.note(_HELP)
    while (line := _read_line()) not in (None, "q"):
        try:
            moved = _obey(desk, narrowed, line or "")
        except KbError as error:
            output.note(str(error))
            continue
        if moved is None:
            continue
        if moved.touched or narrowed.touched:
            desk.narrow.keep(moved)
        narrowed = moved
        output.data()
        standing.brief(narrowed)
    return narrowed


def _read_line() -> str | None:
    """Return what is typed, small and trimmed; None at the end of input."""
    sys.stderr.write("> ")
    sys.stderr.flush()
    line = _typed()
    return line.strip().lower() if line else None


def _typed() -> str:
    return sys.stdin.readline()


def _obey(desk: Desk, narrowed: Narrowed, line: str) -> Narrowed | None:
    """Return the session after one typed line; None when nothing of it has changed."""
    from kb.cli import standing
    from kb.narrowed import steps

    if line == "u":
        return desk.narrow.undo(narrowed)
    if line == "w":
        standing.whole(narrowed)
        return None
    order = _ORDER.fullmatch(line)
    if order is None:
        output.note(_HELP)
        return None
    offered, number = steps(narrowed), int(order[1] or 1)
    if not 1 <= number <= len(offered):
        output.note(f"there is no line {number} to answer; u takes back, w says why, q leaves")
        return None
    sign = offered[number - 1].sign
    if order[2] == "o":
        return desk.narrow.pass_over(narrowed, sign)
    return desk.narrow.answer(narrowed, sign, "seen" if order[2] == "s" else "not-seen")
