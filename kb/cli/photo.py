"""Commands on the photos of findings."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from kb.cli import output
from kb.cli.options import NothingFits, desk_options, json_option

if TYPE_CHECKING:
    from kb.desk import Desk
    from kb.store.photos import AboutPhoto

ROWS = 24
"""Lines of a drawn photo at most."""


@click.group()
def photo() -> None:
    """Pictures of findings: add, list, show, save, remove."""


@photo.command("add")
@click.argument("name", metavar="ID")
@click.argument("files", nargs=-1, required=True, type=click.Path(path_type=Path), metavar="FILE...")
@click.option("--keep-position", is_flag=True, help="Keep each file as it is, with where it was taken.")
@click.option("--who", metavar="INITIALS", help="Who says so.")
@json_option
@desk_options
def add_photos(
    desk: Desk, name: str, files: tuple[Path, ...], keep_position: bool, who: str | None, as_json: bool
) -> None:
    """Let a finding show pictures: all of them, or none.

    JPEG, PNG or HEIC, 20 MB each at most. Where a picture was taken is left out; when, and how it is turned, stays.
    """
    added = desk.photos.add(name, files, keep_position=keep_position, who=who)
    if as_json:
        output.as_json(added)
        return
    for one in added.photos:
        output.data(_line(one))
    for note in added.notes:
        output.note(note)


@photo.command("list")
@click.argument("name", metavar="ID")
@json_option
@desk_options
def list_photos(desk: Desk, name: str, as_json: bool) -> None:
    """List the photos of a finding."""
    shown = desk.photos.list(name)
    if as_json:
        output.as_json(shown)
    if not shown:
        raise NothingFits("this finding shows no photo; oddfix photo add ID FILE adds one")
    if not as_json:
        for one in shown:
            output.data(_line(one))


@photo.command("save")
@click.argument("name", metavar="PHOTO")
@click.argument("where", type=click.Path(path_type=Path), default=Path())
@json_option
@desk_options
def save_photo(desk: Desk, name: str, where: Path, as_json: bool) -> None:
    """Write a photo to a folder, or to a new file."""
    path = desk.photos.save(name, where)
    output.as_json({"file": str(path)}) if as_json else output.data(str(path))


@photo.command("remove")
@click.argument("name", metavar="ID")
@click.argument("shown", metavar="PHOTO")
@click.option("--who", metavar="INITIALS", help="Who says so.")
@json_option
@desk_options
def remove_photo(desk: Desk, name: str, shown: str, who: str | None, as_json: bool) -> None:
    """Let a finding show a photo no more; the store keeps it."""
    finding = desk.photos.remove(name, shown, who=who)
    if as_json:
        output.as_json(finding)
    else:
        output.note(f"finding {finding.id[-8:]} shows it no more; oddfix undo takes that back")


@photo.command("show")
@click.argument("name", metavar="PHOTO")
@json_option
@desk_options
def show_photo(desk: Desk, name: str, as_json: bool) -> None:
    """Say what a photo is, and draw it where there are colours."""
    about = desk.photos.about(name)
    if as_json:
        output.as_json(about)
        return
    output.data(_line(about))
    if output.has_colour():
        output.cells(desk.photos.cells(about.sha256, columns=output.width(), rows=ROWS))


def _line(one: AboutPhoto) -> str:
    facts = [
        one.sha256[:8],
        f"{one.kind.upper()} {one.width} x {one.height}",
        f"{max(one.size // 1000, 1):,} kB",
        f"taken {one.taken.replace('T', ' ')}" if one.taken else "",
        one.name or "",
    ]
    return "  ".join(fact for fact in facts if fact)
