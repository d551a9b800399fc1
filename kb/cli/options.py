"""What commands share: their common options, the open Desk, and the answer that is empty."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from kb.errors import KbError

if TYPE_CHECKING:
    from kb.desk import Desk


def desk_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """Give a command --store and --entries, and hand it an open Desk as its first argument."""

    @click.option("--store", type=click.Path(path_type=Path), help="The store file; ODDFIX_STORE names it too.")
    @click.option("--entries", type=click.Path(path_type=Path), help="Load the pages from this folder instead.")
    @wraps(command)
    def with_desk(store: Path | None, entries: Path | None, **values: Any) -> Any:
        return command(open_desk(click.get_current_context(), store, entries), **values)

    return with_desk


def open_desk(ctx: click.Context, store: Path | None, entries: Path | None) -> Desk:
    """Open the Desk on what the command, the group or the environment names, in this order."""
    from kb.desk import Desk

    return Desk.open(store or ctx.obj["store"], entries=entries or ctx.obj["entries"])


json_option = click.option("--json", "as_json", is_flag=True, help="Print one JSON value instead of text.")


def filter_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """Give a command the limits of an answer and hand them to it as `filters`."""
    from kb.model import URGENCY_WORDS

    @click.option("--only", type=click.Choice(["pages", "findings"]), help="Only one kind of answer.")
    @click.option("--system", help="Only of this system; oddfix systems lists them.")
    @click.option("--nature", help="Only pages of this nature, such as wrong-part.")
    @click.option("--urgency", type=click.Choice(list(URGENCY_WORDS)), help="Only pages of this urgency.")
    @click.option("--construction", type=click.Choice(["tube-and-fabric", "wood", "sheet-metal"]))
    @click.option("--state", type=click.Choice(["open", "deferred", "corrected"]), help="Only findings in this state.")
    @click.option("--airframe", help="Only findings of this aircraft.")
    @wraps(command)
    def with_filters(*arguments: Any, **values: Any) -> Any:
        from kb.search import Filters

        named = {name: values.pop(name) for name in Filters.__struct_fields__}
        return command(*arguments, filters=Filters(**named), **values)

    return with_filters


class NothingFits(KbError):
    """An empty answer: said on standard error, with the exit code for it."""

    def __init__(self, text: str, *, exit_code: int = 1) -> None:
        super().__init__(text)
        self.exit_code = exit_code
