"""The command that writes findings as a table."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from kb.cli import output
from kb.cli.finding import STATES
from kb.cli.options import desk_options, json_option
from kb.errors import UsageProblem

if TYPE_CHECKING:
    from kb.desk import Desk


@click.command()
@click.argument("file", type=click.Path(path_type=Path, allow_dash=True))
@click.option("--airframe", help="Only findings of this aircraft.")
@click.option("--state", type=STATES, help="Only findings in this state; withdrawn ones are left out otherwise.")
@click.option("--system", help="Only findings of this system.")
@click.option(
    "--format", "kind", type=click.Choice(["csv", "jsonl"]), help="When the name of the file does not say it."
)
@click.option("--bom", is_flag=True, help="Begin a CSV with a byte-order mark, for spreadsheets that want one.")
@click.option("--force", is_flag=True, help="Replace the file if it is there already.")
@json_option
@desk_options
def export(desk: Desk, file: Path, kind: str | None, bom: bool, force: bool, as_json: bool, **chosen: Any) -> None:
    """Write findings as CSV or JSON Lines.

    The file - is standard output.
    """
    is_stream = str(file) == "-"
    kind = kind or ("csv" if is_stream else _kind_of(file))
    if bom and kind != "csv":
        raise UsageProblem("only a CSV begins with a byte-order mark; leave out --bom")
    if is_stream and (as_json or sys.stdout.isatty()):
        raise UsageProblem("text as it was typed may drive a terminal; export to a file or into another program")
    target: Any = output.raw() if is_stream else file
    if kind == "csv":
        count = desk.exporting.to_csv(target, overwrite=force, bom=bom, **chosen)
    else:
        count = desk.exporting.to_jsonl(target, overwrite=force, **chosen)
    if as_json:
        output.as_json({"file": str(file), "format": kind, "findings": count})
    else:
        output.note(f"{count:,} {'finding' if count == 1 else 'findings'} written to {file}")


def _kind_of(file: Path) -> str:
    kind = file.suffix.lower().lstrip(".")
    if kind not in ("csv", "jsonl"):
        raise UsageProblem(f"{file} ends neither in .csv nor in .jsonl; say --format csv or --format jsonl")
    return kind
