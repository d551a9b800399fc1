"""The commands in the order of the work, as the help lists them."""

from __future__ import annotations

import click

SECTIONS: dict[str, str] = {
    "Find out": "ask show like narrow limit identify systems",
    "Keep what was found": "add twins findings revise link confirm defer correct reopen withdraw photo own-page",
    "Look back": "history restore undo counts airframe",
    "Swap and keep safe": "import export pack merge store",
    "Look after the pages": "check coverage",
}
"""Heading to the names of its commands."""


def write_sections(group: click.Group, ctx: click.Context, formatter: click.HelpFormatter) -> None:
    """Write the commands under their headings, one line each."""
    for heading, names in SECTIONS.items():
        commands = [(name, group.get_command(ctx, name)) for name in names.split()]
        rows = [(name, command.get_short_help_str(64)) for name, command in commands if command]
        with formatter.section(heading):
            formatter.write_dl(rows)
