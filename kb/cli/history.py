"""Commands on the history of findings: read it, go back, take back the last act."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from kb.cli import output
from kb.cli.options import NothingFits, desk_options, json_option

if TYPE_CHECKING:
    from kb.desk import Desk
    from kb.history import Change, Step

EDGE = 17


@click.command()
@click.argument("name", metavar="ID", required=False)
@click.option("--conflicts", is_flag=True, help="List the findings of which two shops say different things.")
@json_option
@desk_options
def history(desk: Desk, name: str | None, conflicts: bool, as_json: bool) -> None:
    """Print what each revision of a finding changed, oldest first."""
    if conflicts or name is None:
        _conflicts(desk, as_json)
        return
    steps = desk.history.of(desk.findings.get(name).id)
    if as_json:
        output.as_json(steps)
        return
    heads = [step.revision.id for step in steps if step.is_head]
    for step in steps:
        _step(step, is_conflict=step.is_head and len(heads) > 1)
    if len(heads) > 1:
        output.note("two shops changed it apart; oddfix restore ID REVISION keeps the one that is right")


@click.command()
@click.argument("name", metavar="ID")
@click.argument("revision")
@click.option("--who", metavar="INITIALS", help="Who says so.")
@json_option
@desk_options
def restore(desk: Desk, name: str, revision: str, who: str | None, as_json: bool) -> None:
    """Make a finding say again what a revision says.

    This too is a new revision; of a finding in conflict it settles which word counts.
    """
    from kb.cli import render

    finding = desk.findings.get(name)
    desk.history.restore(finding.id, revision, who=who)
    finding = desk.findings.get(finding.id)
    output.as_json(finding) if as_json else render.finding(finding)


@click.command()
@click.option("--who", metavar="INITIALS", help="Who says so.")
@json_option
@desk_options
def undo(desk: Desk, who: str | None, as_json: bool) -> None:
    """Take back the last act on findings.

    What was added is withdrawn, what was changed says again what it said. A merge is no act: what came in a pack
    is taken back finding by finding.
    """
    from kb.cli import render

    said, revisions = desk.history.undo(who=who)
    if as_json:
        output.as_json({"undone": said, "revisions": revisions})
        return
    count = len(revisions)
    output.note(f"taken back: {said}, {count} {'finding' if count == 1 else 'findings'}")
    for revision in revisions[:5]:
        render.finding(desk.findings.get(revision.finding))


def _conflicts(desk: Desk, as_json: bool) -> None:
    from kb.cli import render

    found = desk.history.conflicts()
    if as_json:
        output.as_json(found)
    if not found:
        raise NothingFits("no finding is in conflict; oddfix history ID prints what one said before")
    if not as_json:
        for finding in found:
            render.finding(finding)


def _step(step: Step, *, is_conflict: bool) -> None:
    revision = step.revision
    by = f" by {revision.who}" if revision.who else ""
    mark = "  one of several" if is_conflict else ""
    output.data(f"{revision.made[:16].replace('T', ' ')}  {revision.said}{by}  revision {revision.id[-8:]}{mark}")
    for change in step.changes:
        output.wrapped(_change(change), mark=f"  {change.field}", indent=EDGE)


def _change(change: Change) -> str:
    if change.before is None:
        return _said(change.after)
    if change.after is None:
        return f"emptied (was: {_said(change.before)})"
    return f"{_said(change.after)} (was: {_said(change.before)})"


def _said(value: Any) -> str:
    return ", ".join(value) if isinstance(value, tuple) else str(value)
