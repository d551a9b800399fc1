"""The command narrow: which cause is it, and what to look at next. Talks with a person in a terminal, else prints."""

from __future__ import annotations

import os
import sys
from typing import TYPE_CHECKING, Any

import click

from kb.cli import output
from kb.cli.options import desk_options, json_option
from kb.errors import UsageProblem

if TYPE_CHECKING:
    from kb.desk import Desk
    from kb.limits.model import Result
    from kb.narrow import Nature
    from kb.narrowed import Narrowed


@click.command()
@click.argument("text", nargs=-1, metavar="TEXT|ID")
@click.option("--seen", multiple=True, metavar="SIGN", help="A sign that was seen; may be repeated.")
@click.option("--not", "not_seen", multiple=True, metavar="SIGN", help="A sign that was looked for and not seen.")
@click.option(
    "--measured",
    multiple=True,
    metavar="'LIMIT|SIGN INPUT=VALUE ...'",
    help="A measurement; its limit's verdict answers the sign. Signs with a limit are printed with it.",
)
@click.option("--session", metavar="ID", help="Open a kept session again.")
@click.option("--finding", metavar="ID", help="The finding this belongs to; alone, narrow that finding.")
@click.option(
    "--construction",
    type=click.Choice(["tube-and-fabric", "wood", "sheet-metal"]),
    multiple=True,
    help="What the aircraft is built of; may be repeated.",
)
@click.option("--years", type=click.IntRange(0, 120), help="Years in service since it was built or last rebuilt.")
@click.option("--outdoors/--indoors", "outdoors", default=None, help="Where it is kept, or was for years.")
@json_option
@desk_options
def narrow(desk: Desk, as_json: bool, **asked: Any) -> None:
    """Tell causes apart, and say what to look at next.

    TEXT is a question, or the name of a page or a finding.

    In a terminal it asks; elsewhere it prints where the case stands. A sign is named SIGN or PAGE/SIGN, as
    printed. Every answer is kept, and what reopens the session is printed. What is not known of the aircraft
    moves no cause.
    """
    narrowed = _given(desk, _opened(desk, asked), asked)
    narrowed, measured = _measured(desk, narrowed, asked["measured"])
    is_talk = not as_json and _is_terminal()
    if asked["finding"] and narrowed.finding is None:
        narrowed = desk.narrow.attach(narrowed, asked["finding"])
    elif narrowed.touched and not is_talk:
        desk.narrow.keep(narrowed)
    if as_json:
        from kb.cli.standing import as_record

        output.as_json(as_record(narrowed, is_kept=_is_kept(narrowed), measured=[result for result, _ in measured]))
        return
    _note_forgotten(narrowed)
    from kb.cli import standing

    for result, unsettled in measured:
        standing.verdict(result, unsettled)
    if is_talk:
        from kb.cli.talk import talk

        narrowed = talk(desk, narrowed)
    else:
        standing.whole(narrowed)
    if _is_kept(narrowed):
        output.note(f"\nkept; oddfix narrow --session {narrowed.handle} opens it again")


def _opened(desk: Desk, asked: dict[str, Any]) -> Narrowed:
    text = " ".join(asked["text"]).strip()
    if asked["session"]:
        if text:
            raise UsageProblem("a kept session has its question already; leave the text or --session out")
        narrowed = desk.narrow.reopen(asked["session"])
        nature = _nature(asked, narrowed.session.nature)
        return narrowed if nature == narrowed.session.nature else desk.narrow.nature_of(narrowed, nature)
    if asked["finding"] and not text:
        return desk.narrow.start_finding(asked["finding"], nature=_nature(asked))
    return desk.narrow.start(text, nature=_nature(asked))


def _nature(asked: dict[str, Any], before: Nature | None = None) -> Nature:
    """Return what the options say of the aircraft; what they leave out stands as before."""
    from kb.narrow import Nature

    known = before or Nature()
    return Nature(
        constructions=asked["construction"] or known.constructions,
        years=known.years if asked["years"] is None else asked["years"],
        outdoors=known.outdoors if asked["outdoors"] is None else asked["outdoors"],
    )


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


def _measured(desk: Desk, narrowed: Narrowed, given: tuple[str, ...]) -> tuple[Narrowed, list[tuple[Result, str]]]:
    """Return the session with what was measured, and each verdict with why it settled nothing, empty if it did."""
    from kb.cli.talk import measure, unsettled_line

    measured = []
    for measurement in given:
        moved, result = measure(desk, narrowed, measurement)
        measured.append((result, unsettled_line(narrowed, moved)))
        narrowed = moved
    return narrowed, measured


def _is_kept(narrowed: Narrowed) -> bool:
    return bool(narrowed.touched or narrowed.finding)


def _note_forgotten(narrowed: Narrowed) -> None:
    for answer in narrowed.forgotten:
        output.note(f"left out, the pages no longer have this sign: {answer.sign} ({answer.said.replace('-', ' ')})")


def _is_terminal() -> bool:
    return sys.stdin.isatty() and sys.stdout.isatty() and os.environ.get("TERM") != "dumb"
