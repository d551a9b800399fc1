"""The commands that keep the store: where it is, whether it is whole, backups, and what the shop calls itself."""

from __future__ import annotations

import sys
from collections.abc import Callable
from functools import wraps
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from kb.cli import output
from kb.cli.options import NothingFits, json_option
from kb.display import show_safely
from kb.errors import KbError, UsageProblem

if TYPE_CHECKING:
    from kb.keeping import Keeping, Kept, Report


class _ProblemsFound(KbError):
    """Said after the problems themselves were printed."""


def _keeping(command: Callable[..., Any]) -> Callable[..., Any]:
    """Give a command --store and what keeps that store, which need not be whole enough for a Desk."""

    @click.option("--store", type=click.Path(path_type=Path), help="The store file; ODDFIX_STORE names it too.")
    @wraps(command)
    def with_keeping(store: Path | None, **values: Any) -> Any:
        from kb.keeping import Keeping

        return command(Keeping(store or click.get_current_context().obj["store"]), **values)

    return with_keeping


@click.group()
def store() -> None:
    """Keep the store: see where it is, check, back up, restore."""


@store.command()
@json_option
@_keeping
def where(keeping: Keeping, as_json: bool) -> None:
    """Say where store, index and backups are, how large, and what the store holds."""
    found = keeping.where()
    if as_json:
        output.as_json(found)
        return
    output.data(f"oddfix {found.version}")
    output.data(f"store    {_said(found.store) or f'{found.path}, not made yet'}")
    output.data(f"index    {_said(found.index) or 'none yet; made when first needed'}")
    for backup in found.backups:
        output.data(f"backup   {_said(backup)}")
    output.data(f"free     {_size(found.free)}")
    if found.store:
        output.data(f"steps    {', '.join(found.steps) or 'none known: this is no store of oddfix'}")
        _counts(found.counts)


@store.command()
@json_option
@_keeping
def check(keeping: Keeping, as_json: bool) -> None:
    """Look through the whole store for damage, without changing it."""
    report = keeping.check()
    if as_json:
        output.as_json(report)
    else:
        _tell(report)
    if count := len(report.problems):
        raise _ProblemsFound(f"{count} {'problem' if count == 1 else 'problems'} in the store {report.path}")


@store.command()
@click.argument("file", required=False, type=click.Path(path_type=Path))
@click.option("--overwrite", is_flag=True, help="Replace the file if it is there already.")
@json_option
@_keeping
def backup(keeping: Keeping, file: Path | None, overwrite: bool, as_json: bool) -> None:
    """Copy the store to FILE, or into the folder of backups; oddfix may be in use meanwhile."""
    kept = keeping.backup(file, overwrite=overwrite)
    if as_json:
        output.as_json(kept)
    else:
        output.data(kept.path)
        output.note(f"backed up and proved whole, {_size(kept.size)}; oddfix store restore puts it back")


@store.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--yes", is_flag=True, help="Do not ask.")
@json_option
@_keeping
def restore(keeping: Keeping, file: Path, yes: bool, as_json: bool) -> None:
    """Put a backup in the place of the store, which is kept aside."""
    if not yes:
        if not sys.stdin.isatty():
            raise UsageProblem("this puts a backup in the place of the store; say --yes where nobody can be asked")
        if not click.confirm(show_safely(f"Put {file} in the place of {keeping.path}?"), err=True):
            output.note("nothing was changed")
            raise click.Abort
    done = keeping.restore(file)
    if as_json:
        output.as_json(done)
        return
    output.data(done.path)
    output.note(f"holds what {done.backup} held" + (f"; what it held before is in {done.aside}" if done.aside else ""))


@store.command()
@click.argument("name", required=False)
@json_option
@_keeping
def shop(keeping: Keeping, name: str | None, as_json: bool) -> None:
    """Say what the shop calls itself, or name it; new findings carry the name."""
    called = keeping.shop(name)
    if as_json:
        output.as_json({"shop": called})
    elif called:
        output.data(called)
    else:
        raise NothingFits("the shop has no name yet; oddfix store shop NAME gives it one")


def _tell(report: Report) -> None:
    for problem in report.problems:
        output.wrapped(problem, mark="-", indent=2)
    output.data(f"{report.path}: " + ("not whole" if report.problems else "whole"))
    _counts(report.counts)
    for part, state in report.index.items():
        output.data(f"index of {part}: {state}" + ("" if state == "current" else "; made anew when next needed"))


def _counts(counts: dict[str, int]) -> None:
    told = (f"{count:,} {name.replace('_', ' ')}" for name, count in counts.items() if not name.startswith("_"))
    if counts:
        output.wrapped(", ".join(told), mark="holds", indent=9)


def _said(kept: Kept | None) -> str:
    return f"{kept.path}, {_size(kept.size)}, {kept.changed}" if kept else ""


def _size(size: int) -> str:
    for unit, factor in (("GB", 10**9), ("MB", 10**6), ("kB", 10**3)):
        if size >= factor:
            return f"{size / factor:.1f} {unit}"
    return f"{size} bytes"
