"""Commands that swap findings between shops."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from kb.cli import output
from kb.cli.finding import STATES
from kb.cli.options import desk_options, json_option
from kb.errors import UsageProblem

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
    if names and (airframe or state):
        raise UsageProblem("name findings, or choose them by --airframe and --state, not both")
    chosen = None
    if names:
        chosen = [desk.findings.get(name).id for name in names]
    elif airframe or state:
        chosen = [finding.id for finding in desk.findings.all(airframe=airframe, state=state)]
    packed = desk.packs.write(file, findings=chosen, overwrite=force, **left_out)
    if as_json:
        output.as_json(packed)
        return
    output.data(f"{packed.sha256}  {packed.path}")
    output.note(
        f"{packed.findings:,} findings in {packed.revisions:,} revisions, {packed.airframes} records of aircraft,"
        f" {packed.pages} of own pages, {packed.photos} photos"
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
    for finding in merged.taken.conflicts:
        output.data(f"changed apart: finding {finding[-8:]}; oddfix history {finding[-8:]} shows both words")
    if merged.taken.conflicts and not dry_run:
        output.note("oddfix restore ID REVISION keeps the one that is right")


def _told(merged: Merged, dry_run: bool) -> str:
    taken = merged.taken
    verb = "would come" if dry_run else "came"
    text = (
        f"{verb}: {taken.findings:,} new findings, {taken.revisions:,} revisions, {taken.airframes} records of"
        f" aircraft, {taken.pages} of own pages, {taken.photos} photos; {taken.already:,} were here already"
    )
    return text + (f"; its sender left out: {', '.join(merged.left_out)}" if merged.left_out else "")
