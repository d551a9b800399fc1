"""Commands on the pages that the shop writes itself."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from kb.cli import output
from kb.cli.options import NothingFits, desk_options, json_option

if TYPE_CHECKING:
    from kb.desk import Desk
    from kb.model import OwnPage

EDGE = 17
_DISPLACED = "a page that came with the program has this id now; give yours another: oddfix own-page file ID, then keep"

who_option = click.option("--who", metavar="INITIALS", help="Who says so.")


@click.group("own-page")
def own_page() -> None:
    """Pages of the shop's own, made from a finding."""


@own_page.command()
@click.argument("finding", metavar="FINDING")
@json_option
@desk_options
def new(desk: Desk, finding: str, as_json: bool) -> None:
    """Print a page to be filled in, made from a finding.

    oddfix own-page new 1a2b3c4d > page.toml
    """
    text = desk.own_pages.skeleton(finding)
    output.as_json({"text": text}) if as_json else output.data(text.rstrip("\n"))


@own_page.command()
@click.argument("source", type=click.Path(path_type=Path, allow_dash=True), metavar="FILE")
@who_option
@json_option
@desk_options
def keep(desk: Desk, source: Path, who: str | None, as_json: bool) -> None:
    """Check a page and keep it; - reads it from standard input."""
    given: Path | bytes = sys.stdin.buffer.read() if str(source) == "-" else source
    page = desk.own_pages.keep(given, who=who)
    _kept(page, as_json)


@own_page.command()
@click.argument("name", metavar="ID")
@json_option
@desk_options
def file(desk: Desk, name: str, as_json: bool) -> None:
    """Print a page as a file, to edit it and keep it again."""
    text = desk.own_pages.file(name)
    output.as_json({"text": text}) if as_json else output.data(text.rstrip("\n"))


@own_page.command("list")
@json_option
@desk_options
def list_pages(desk: Desk, as_json: bool) -> None:
    """List the shop's own pages."""
    found = desk.own_pages.list()
    if as_json:
        output.as_json(found)
    if not found:
        raise NothingFits("no page of the shop's own yet; oddfix own-page new FINDING begins one")
    if not as_json:
        for one in found:
            output.wrapped(one.page.body.title, mark=one.state, indent=EDGE)
            records = f"{one.records} record{'' if one.records == 1 else 's'}"
            output.wrapped(f"{one.page.page}  ({one.page.body.system})  {records}", indent=EDGE)
            if one.state == "displaced":
                output.wrapped(_DISPLACED, indent=EDGE)


@own_page.command()
@click.argument("name", metavar="ID")
@json_option
@desk_options
def history(desk: Desk, name: str, as_json: bool) -> None:
    """Print every record of a page, oldest first."""
    records = desk.own_pages.history(name)
    if as_json:
        output.as_json(records)
        return
    for record in records:
        by = f" by {record.who}" if record.who else ""
        withdrawn = "withdrawn: " if record.body.is_withdrawn else ""
        output.data(f"{record.made[:16].replace('T', ' ')}{by}  record {record.id[-8:]}")
        output.wrapped(f"{withdrawn}{record.body.title}", indent=EDGE)


@own_page.command()
@click.argument("name", metavar="ID")
@click.argument("record")
@who_option
@json_option
@desk_options
def restore(desk: Desk, name: str, record: str, who: str | None, as_json: bool) -> None:
    """Let a page say again what one of its records says."""
    _kept(desk.own_pages.restore(name, record, who=who), as_json)


@own_page.command()
@click.argument("name", metavar="ID")
@who_option
@json_option
@desk_options
def withdraw(desk: Desk, name: str, who: str | None, as_json: bool) -> None:
    """Take a page out of search; restore brings it back."""
    _kept(desk.own_pages.withdraw(name, who=who), as_json)


def _kept(page: OwnPage, as_json: bool) -> None:
    if as_json:
        output.as_json(page)
    else:
        output.data(page.page)
        output.note(f"kept as record {page.id[-8:]}; oddfix show {page.page} prints it")
