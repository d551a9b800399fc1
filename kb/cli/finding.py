"""Commands that keep, change and list the shop's findings."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

import click

from kb.cli import output
from kb.cli.options import NothingFits, desk_options, json_option
from kb.errors import UsageProblem
from kb.model import URGENCY_WORDS, Finding

if TYPE_CHECKING:
    from kb.counts import Count
    from kb.desk import Desk

STATES = click.Choice(["open", "deferred", "corrected", "withdrawn"])
BAR = 30
"""Columns of the longest bar."""

EDGE = 17

who_option = click.option("--who", metavar="INITIALS", help="Who says so.")


def content_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """Give a command the fields of a finding that can wait."""
    for option in (
        click.option("--system", help="The system, when no page says it."),
        click.option("--where", "place", help="Where on the aircraft."),
        click.option("--found", metavar="DAY", help="The day of the find, year-month-day."),
        click.option("--hours", metavar="NUMBER", help="Hours in service then."),
        click.option("--part", help="The part number."),
        click.option("--minutes", metavar="NUMBER", help="Minutes spent."),
        click.option("--action", help="What was done about it."),
    ):
        command = option(command)
    return command


@click.command()
@click.argument("text", nargs=-1)
@click.option("--airframe", required=True, help="Which aircraft, as the shop calls it.")
@click.option("--entry", "entries_", multiple=True, metavar="ID", help="The page it belongs to; may be repeated.")
@click.option("--cause", metavar="PAGE/CAUSE", help="The cause, once confirmed.")
@click.option("--state", type=STATES, default="open", show_default=True)
@content_options
@click.option("--who", metavar="INITIALS", help="Who found it.")
@json_option
@desk_options
def add(desk: Desk, text: tuple[str, ...], entries_: tuple[str, ...], as_json: bool, **values: Any) -> None:
    """Add a finding of your own; it is searchable at once."""
    finding = desk.findings.add(" ".join(text), entries=entries_, **values)
    if as_json:
        output.as_json(finding)
    else:
        output.data(finding.id)
        output.note(f"kept for {finding.airframe}; oddfix show {finding.id[-8:]} prints it")


@click.command()
@click.argument("name", metavar="ID")
@click.option("--text", help="What was found, put anew.")
@click.option("--add", "added", metavar="TEXT", help="What was seen since, kept below the text.")
@click.option("--airframe", help="Which aircraft it really is.")
@content_options
@who_option
@json_option
@desk_options
def revise(desk: Desk, name: str, added: str | None, as_json: bool, who: str | None, **values: Any) -> None:
    """Change what a finding says; an empty value empties a field. What it said before stays in its history."""
    changes = {field: value for field, value in values.items() if value is not None}
    if not changes and not added:
        raise UsageProblem("say what is to be changed; oddfix revise --help lists the fields")
    changes = {field: (value or None) for field, value in changes.items()}
    if changes:
        finding = desk.findings.revise(name, who=who, **changes)
    if added:
        finding = desk.findings.add_to(name, added, who=who)
    _changed(finding, as_json)


@click.command()
@click.argument("name", metavar="ID")
@click.argument("entries_", nargs=-1, required=True, metavar="PAGE...")
@who_option
@json_option
@desk_options
def link(desk: Desk, name: str, entries_: tuple[str, ...], who: str | None, as_json: bool) -> None:
    """Link a finding to the pages it belongs to."""
    _changed(desk.findings.link(name, entries_, who=who), as_json)


@click.command()
@click.argument("name", metavar="ID")
@click.argument("cause", metavar="PAGE/CAUSE", required=False)
@click.option("--none", "is_none", is_flag=True, help="Take the confirmed cause back.")
@who_option
@json_option
@desk_options
def confirm(desk: Desk, name: str, cause: str | None, is_none: bool, who: str | None, as_json: bool) -> None:
    """Confirm the cause of a finding, so that narrowing counts it."""
    if (cause is None) != is_none:
        raise UsageProblem("name the cause as page/cause, as oddfix narrow prints it, or take it back with --none")
    _changed(desk.findings.confirm(name, cause, who=who), as_json)


@click.command()
@click.argument("name", metavar="ID")
@click.argument("why", nargs=-1, required=True)
@who_option
@json_option
@desk_options
def defer(desk: Desk, name: str, why: tuple[str, ...], who: str | None, as_json: bool) -> None:
    """Put a finding off, and say on what ground. Whether that may be done is for the signer."""
    _changed(desk.findings.defer(name, why=" ".join(why), who=who), as_json)


@click.command()
@click.argument("name", metavar="ID")
@click.argument("action", nargs=-1, required=True)
@click.option("--minutes", type=float, help="Minutes spent.")
@who_option
@json_option
@desk_options
def correct(
    desk: Desk, name: str, action: tuple[str, ...], minutes: float | None, who: str | None, as_json: bool
) -> None:
    """Say that a finding was put right, and what was done."""
    _changed(desk.findings.correct(name, action=" ".join(action), minutes=minutes, who=who), as_json)


@click.command()
@click.argument("name", metavar="ID")
@click.argument("why", nargs=-1)
@who_option
@json_option
@desk_options
def reopen(desk: Desk, name: str, why: tuple[str, ...], who: str | None, as_json: bool) -> None:
    """Open a deferred, corrected or withdrawn finding again."""
    _changed(desk.findings.reopen(name, why=" ".join(why) or None, who=who), as_json)


@click.command()
@click.argument("name", metavar="ID")
@who_option
@json_option
@desk_options
def withdraw(desk: Desk, name: str, who: str | None, as_json: bool) -> None:
    """Take a finding out of lists and search. It is not removed: its history stays, reopen brings it back."""
    _changed(desk.findings.withdraw(name, who=who), as_json)


@click.command()
@click.option("--airframe", help="Only those of this aircraft.")
@click.option("--state", type=STATES, help="Only those in this state.")
@click.option("--system", help="Only those of this system.")
@click.option("--by-urgency", is_flag=True, help="The open ones, most pressing first.")
@click.option("--limit", type=click.IntRange(1), default=100, show_default=True, help="Findings to print at most.")
@json_option
@desk_options
def findings(desk: Desk, by_urgency: bool, as_json: bool, limit: int, **chosen: Any) -> None:
    """List the shop's findings: newest first, or by urgency."""
    from kb.cli import render

    if by_urgency:
        if chosen["system"] or chosen["state"] not in (None, "open"):
            raise UsageProblem("--by-urgency lists open findings, of one aircraft with --airframe; leave the rest out")
        pressing = desk.counts.open(airframe=chosen["airframe"], limit=limit)
        marks = [URGENCY_WORDS.get(one.urgency or "", "NOT JUDGED") for one in pressing]
        found: Sequence[Finding] = [one.finding for one in pressing]
        record: Any = pressing
    else:
        found = record = desk.findings.all(**chosen, limit=limit)
        marks = [f"shop, {one.state}" for one in found]
    if as_json:
        output.as_json(record)
    if not found:
        raise NothingFits("no findings of that kind; oddfix add keeps one")
    if not as_json:
        for number, (mark, finding) in enumerate(zip(marks, found, strict=True)):
            if number:
                output.data()
            render.finding(finding, mark=mark)
        if len(found) == limit:
            output.note(f"only the first {limit}; --limit prints more")


@click.command()
@click.argument("by", type=click.Choice(["system", "nature", "cause", "page", "airframe", "state", "year"]))
@click.option("--airframe", help="Only findings of this aircraft.")
@click.option("--limit", type=click.IntRange(1), default=20, show_default=True, help="Lines to print at most.")
@json_option
@desk_options
def counts(desk: Desk, by: Any, airframe: str | None, limit: int, as_json: bool) -> None:
    """Say what this shop finds most, and when."""
    counted = desk.counts.most(by, airframe=airframe)
    if as_json:
        output.as_json(counted[:limit])
    if not counted:
        raise NothingFits("no findings to count yet; oddfix add keeps one")
    if not as_json:
        _bars(counted[:limit])


@click.command()
@click.argument("text", nargs=-1, required=True)
@click.option("--airframe", help="Look among the findings of this aircraft too.")
@json_option
@desk_options
def twins(desk: Desk, text: tuple[str, ...], airframe: str | None, as_json: bool) -> None:
    """See whether something like it is kept already."""
    from kb.cli import render

    near = desk.twins.of(" ".join(text), airframe=airframe)
    if as_json:
        output.as_json(near)
    if not near.findings and not near.pages:
        raise NothingFits("nothing like it is kept; oddfix add keeps it")
    if not as_json:
        for hit in (*near.findings, *near.pages):
            render.hit(hit)
            output.wrapped("; ".join(hit.why), indent=EDGE)
        if near.findings:
            output.note(f'the same? oddfix revise {near.findings[0].id[-8:]} --add "what was seen now"')


def _bars(counted: Sequence[Count]) -> None:
    from kb.narrowtelling import bar, short

    longest = max(one.count for one in counted)
    columns = min(max(len(one.title) for one in counted), 36)
    for one in counted:
        drawn = bar(one.count / longest, BAR)
        output.data(f"{short(one.title, columns):<{columns}}  {one.count:>7,}  {drawn:<{BAR}}  {one.share:.0%}")


def _changed(finding: Finding, as_json: bool) -> None:
    from kb.cli import render

    if as_json:
        output.as_json(finding)
    else:
        render.finding(finding)
        output.note(f"{finding.said}; oddfix undo takes it back")
