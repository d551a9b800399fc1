"""Commands that swap findings between shops."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from kb.cli import output
from kb.cli.finding import STATES
from kb.cli.options import desk_options, json_option
from kb.ids import handle

if TYPE_CHECKING:
    from kb.desk import Desk
    from kb.exchange.pack import Merged


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.argument("names", nargs=-1, metavar="[FINDING]...")
@click.option("--airframe", help="Only findings of this aircraft.")
@click.option("--state", type=STATES, help="Only findings in this state.")
@click.option("--without-who", is_flag=True, help="Leave out initials and the name of the shop.")
@click.option("--without-airframe", is_flag=True, help="Give each aircraft another name; photos stay out too.")
@click.option("--with-photos/--without-photos", "with_photos", default=None, help="Photos, whatever else is left out.")
@click.option("--force", is_flag=True, help="Replace the file if it is there already.")
@json_option
@desk_options
def pack(
    desk: Desk,
    file: Path,
    names: tuple[str, ...],
    airframe: str | None,
    state: Any,
    force: bool,
    as_json: bool,
    **left_out: Any,
) -> None:
    """Write findings into one file for another shop.

    Whole histories, with the aircraft, the photos and the shop's own pages they are linked to. With --without-airframe
    the name of the aircraft is taken out of the texts; read them all the same before the file is sent.
    """
    packed = desk.packs.write(file, findings=names or None, airframe=airframe, state=state, overwrite=force, **left_out)
    if as_json:
        output.as_json(packed)
        return
    output.data(f"{packed.sha256}  {packed.path}")
    output.note(
        f"{_some(packed.findings, 'finding')} in {_some(packed.revisions, 'revision')}, {packed.airframes:,} of"
        f" aircraft, {packed.pages:,} of own pages, {_some(packed.photos, 'photo')}"
        + (f"; left out: {', '.join(packed.left_out)}" if packed.left_out else "")
    )


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--dry-run", is_flag=True, help="Verify the file and say what would come; keep nothing.")
@json_option
@desk_options
def merge(desk: Desk, file: Path, dry_run: bool, as_json: bool) -> None:
    """Take in a file that another shop has packed.

    It is verified whole before anything is kept. Merging twice, or in another order, changes nothing. Where two shops
    changed a finding apart, both words stand side by side until one is chosen.
    """
    merged = desk.packs.merge(file, only_count=dry_run)
    if as_json:
        output.as_json(merged)
        return
    output.data(_told(merged, dry_run))
    output.note(f"SHA-256 of the file: {merged.sha256}")
    for finding in merged.taken.conflicts:
        _changed_apart(desk, finding, dry_run)


def _changed_apart(desk: Desk, finding: str, dry_run: bool) -> None:
    name = handle(finding)
    if dry_run:
        output.data(f"changed apart, once it is taken in: finding {name}")
        return
    output.data(f"changed apart: finding {name}; oddfix history {name} shows it, one of these settles it:")
    for step in desk.history.of(finding):
        if step.is_head:
            said = step.revision
            by = f" by {said.who}" if said.who else ""
            changes = "; ".join(f"{change.field}: {change.after}" for change in step.changes)
            output.data(f"  oddfix restore {name} {handle(said.id)}")
            output.wrapped(f"{said.said} {said.made[:10]}{by}: {changes or 'nothing changed'}", indent=4)


def _told(merged: Merged, dry_run: bool) -> str:
    taken = merged.taken
    verb = "would come" if dry_run else "came"
    text = (
        f"{verb}: {_some(taken.findings, 'new finding')}, {_some(taken.revisions, 'revision')}, {taken.airframes:,} of"
        f" aircraft, {taken.pages:,} of own pages, {_some(taken.photos, 'photo')}; {taken.already:,} here already"
    )
    return text + (f"; its sender left out: {', '.join(merged.left_out)}" if merged.left_out else "")


def _some(count: int, noun: str) -> str:
    return f"{count:,} {noun}{'' if count == 1 else 's'}"
