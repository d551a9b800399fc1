"""`oddfix check` and `oddfix coverage`: a folder checked whole, and which page answers which published item."""

from __future__ import annotations

from pathlib import Path

import click

from kb.cli import output
from kb.cli.options import NothingFits, json_option

_folder = click.argument("folder", required=False, type=click.Path(path_type=Path))


@click.command()
@_folder
@click.option("--advice", is_flag=True, help="Say also what could be better; it never fails.")
@json_option
def check(folder: Path | None, advice: bool, as_json: bool) -> None:
    """Check a folder of pages; name file, line, field and remedy."""
    from datetime import date

    from kb.desk import known_names
    from kb.entries.advice import advise
    from kb.entries.files import default_folder
    from kb.entries.folder import check_folder
    from kb.errors import DataProblems

    try:
        loaded = check_folder(folder or default_folder(), as_of=date.today(), **known_names())
    except DataProblems as error:
        if as_json:
            output.as_json(error.problems)
            raise NothingFits(f"{len(error.problems)} problems", exit_code=3) from error
        raise
    hints = [str(hint) for hint in advise(loaded.entries)] if advice else []
    if as_json:
        output.as_json(hints)
        return
    for hint in hints:
        output.data(hint)
    counts = {"pages": len(loaded.entries), "systems": len(loaded.systems), "words": len(loaded.words)}
    output.data(", ".join(f"{count} {name}" for name, count in counts.items()) + ": no problem found")


@click.command()
@_folder
@json_option
def coverage(folder: Path | None, as_json: bool) -> None:
    """Print which pages answer which published inspection item."""
    from kb.desk import known_names
    from kb.entries.coverage import coverage_lines, coverage_table
    from kb.entries.files import default_folder
    from kb.entries.folder import load_folder

    rows = coverage_table(load_folder(folder or default_folder(), **known_names()))
    if as_json:
        output.as_json(rows)
        return
    for line in coverage_lines(rows, width=output.width()):
        output.data(line)
