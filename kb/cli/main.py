"""The commands. Each parses its words, makes one call on the Desk and prints the answer."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from kb.cli import output
from kb.cli.later import Later
from kb.cli.options import NothingFits, desk_options, filter_options, json_option, open_desk
from kb.cli.sections import write_sections
from kb.errors import KbError, UsageProblem
from kb.model import CAUTION, Finding

if TYPE_CHECKING:
    from kb.desk import Desk
    from kb.search import Answer, Filters

QUESTION_LIMIT = 10_000
"""Characters of a question that are read; the rest is cut, with a note."""


class Faces(click.Group):
    """The group of commands: turns the project's errors into one sentence and an exit code."""

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        write_sections(self, ctx, formatter)

    def invoke(self, ctx: click.Context) -> Any:
        try:
            return super().invoke(ctx)
        except KbError as error:
            if ctx.params.get("debug"):
                raise
            output.note(f"oddfix: {error}")
            ctx.exit(error.exit_code)
        except (KeyboardInterrupt, click.Abort):
            ctx.exit(130)
        except BrokenPipeError:
            # The reader of our output has gone; nothing more can be said to it.
            sys.stderr.close()
            ctx.exit(0)


@click.group(cls=Faces, invoke_without_command=True, context_settings={"help_option_names": ["-h", "--help"]})
@click.option("--store", type=click.Path(path_type=Path), envvar="ODDFIX_STORE", help="The store file.")
@click.option("--entries", type=click.Path(path_type=Path), envvar="ODDFIX_ENTRIES", help="The folder of pages.")
@click.option("--debug", is_flag=True, help="Show where an error came from.")
@click.version_option(package_name="oddfix", message="oddfix %(version)s")
@click.pass_context
def cli(ctx: click.Context, store: Path | None, entries: Path | None, debug: bool) -> None:
    """What is this strange old repair, may it fly, and how is it put right?

    Without a command the screens open. Guidance, not approved data: a certificated person decides and signs.

    Exit codes: 0 done, 1 nothing found, 2 wrong usage, 3 bad data, 4 store unavailable, 130 interrupted.
    """
    ctx.obj = {"store": store, "entries": entries}
    if ctx.invoked_subcommand is None:
        _open_screens(ctx)


@cli.command(context_settings={"ignore_unknown_options": True})
@click.argument("text", nargs=-1)
@click.option("--limit", type=click.IntRange(1, 1000), default=5, show_default=True, help="Hits to print at most.")
@filter_options
@json_option
@desk_options
def ask(desk: Desk, text: tuple[str, ...], limit: int, filters: Filters, as_json: bool) -> None:
    """Ask in your own words: what was seen, heard, smelt or measured.

    A word in "quotes" is kept as typed; -word leaves out what has it.
    """
    question = _question(text)
    desk.search.warm(output.progress)
    _print_answer(desk, desk.search.ask(question, limit=limit, filters=filters), as_json)


@cli.command()
@click.argument("name", metavar="ID")
@click.option("--limit", type=click.IntRange(1, 1000), default=5, show_default=True, help="Hits to print at most.")
@filter_options
@json_option
@desk_options
def like(desk: Desk, name: str, limit: int, filters: Filters, as_json: bool) -> None:
    """Find what is most like a page or a finding."""
    desk.search.warm(output.progress)
    _print_answer(desk, desk.search.like(desk.record(name), limit=limit, filters=filters), as_json)


@cli.command()
@click.argument("name", metavar="ID")
@json_option
@desk_options
def show(desk: Desk, name: str, as_json: bool) -> None:
    """Print a whole page, or a finding by the end of its id."""
    from kb.cli import render

    record = desk.record(name)
    if as_json:
        output.as_json(record)
    elif isinstance(record, Finding):
        render.finding(record)
    else:
        render.page(record)


@cli.command()
@click.argument("system", required=False)
@json_option
@desk_options
def systems(desk: Desk, system: str | None, as_json: bool) -> None:
    """List the systems, or the pitfalls of one to read through."""
    from kb.cli import render

    if system is None:
        counted = desk.library.systems()
        rows = [{"id": s.id, "title": s.title, "chapters": s.chapters, "pages": count} for s, count in counted]
        output.as_json(rows) if as_json else render.systems(counted)
        return
    read, entries = desk.library.reading_list(system)
    if as_json:
        output.as_json(entries)
    else:
        render.reading_list(read, entries)
    if not entries:
        raise NothingFits(f"no page yet on {read.title.lower()}")


def _print_answer(desk: Desk, found: Answer, as_json: bool) -> None:
    if as_json:
        output.as_json(found.hits)
    if not found.hits:
        raise NothingFits("nothing fits that; say what you see, where, and what it is made of, or limit it less")
    from kb.cli import render

    render.how_read(found)
    if not as_json:
        first = found.hits[0]
        render.answer(found, desk.library.page(first.id) if first.kind == "entry" else None)
        output.note(f"\nRead on: oddfix show {first.id}\n{CAUTION}")


def _question(text: tuple[str, ...]) -> str:
    question = " ".join(text).strip()
    if not question:
        raise UsageProblem("the question is empty; say what you see, as in: oddfix ask white strings in the strainer")
    if flag := next((word for word in text if word.startswith("--") and word[2:].isalpha()), None):
        raise UsageProblem(f"there is no option {flag}; see oddfix ask --help")
    if len(question) > QUESTION_LIMIT:
        output.note(f"only the first {QUESTION_LIMIT} characters of the question were read")
    return question[:QUESTION_LIMIT]


def _open_screens(ctx: click.Context) -> None:
    import os

    if not sys.stdout.isatty() or os.environ.get("TERM") == "dumb":
        raise UsageProblem("the screens need a terminal; every command does its part without one, see oddfix --help")
    desk = open_desk(ctx, None, None)
    from tui.app import run  # the one place where the commands reach the screens

    run(desk)


LATER_COMMANDS = tuple(
    Later(name, f"kb.cli.{module}", text)
    for module, name, text in (
        ("narrow", "narrow", "Tell causes apart, and say what to look at next."),
        ("limit", "limit", "Give a measured number its verdict from a printed table."),
        ("identify", "identify", "Name a part or material in hand from measurements and marks."),
        ("finding", "add", "Add a finding of your own; it is searchable at once."),
        ("finding", "twins", "See whether something like it is kept already."),
        ("finding", "findings", "List the shop's findings: newest first, or by urgency."),
        ("finding", "revise", "Change what a finding says; an empty value empties a field."),
        ("finding", "link", "Link a finding to the pages it belongs to."),
        ("finding", "confirm", "Confirm the cause of a finding, so that narrowing counts it."),
        ("finding", "defer", "Put a finding off, and say on what ground."),
        ("finding", "correct", "Say that a finding was put right, and what was done."),
        ("finding", "reopen", "Open a deferred, corrected or withdrawn finding again."),
        ("finding", "withdraw", "Take a finding out of lists and search."),
        ("finding", "counts", "Say what this shop finds most, and when."),
        ("history", "history", "Print what each revision of a finding changed, oldest first."),
        ("history", "restore", "Make a finding say again what a revision says."),
        ("history", "undo", "Take back the last act on findings."),
        ("importing", "import", "Take a table of findings into the store: CSV, XLSX, JSON Lines."),
        ("exporting", "export", "Write findings as CSV or JSON Lines."),
        ("photo", "photo", "Pictures of findings: add, list, show, save, remove."),
        ("airframe", "airframe", "Say or read what is known of an aircraft."),
        ("pack", "pack", "Write findings into one file for another shop."),
        ("pack", "merge", "Take in a file that another shop has packed."),
        ("own_page", "own-page", "Pages of the shop's own, made from a finding."),
        ("store", "store", "Keep the store: see where it is, check, back up, restore."),
        ("check", "check", "Check a folder of pages; name file, line, field and remedy."),
        ("check", "coverage", "Print which pages answer which published inspection item."),
    )
)
"""Read from their modules when they are called, so that ask and show start without them."""

for command in LATER_COMMANDS:
    cli.add_command(command)


def main() -> None:
    """Run the command line."""
    try:
        cli()
    except KeyboardInterrupt:
        sys.exit(130)
