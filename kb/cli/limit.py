"""`oddfix limit`: lists the limits, describes one, asks for its inputs in a terminal, and prints the verdict whole."""

from __future__ import annotations

import sys
import textwrap
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

import click

from kb.cli import output
from kb.cli.options import NothingFits, desk_options, json_option
from kb.errors import KbError, NotFound, UsageProblem
from kb.model import CAUTION, URGENCY_WORDS, Entry, Finding

if TYPE_CHECKING:
    from kb.desk import Desk
    from kb.limits.model import Input, Limit, Result
    from kb.limits.telling import Row

EDGE = 13
"""Columns of the left edge, where the marks of a verdict's rows stand."""


@click.command()
@click.argument("name", metavar="[NAME]", required=False)
@click.argument("inputs", metavar="[INPUT=VALUE]...", nargs=-1)
@click.option("--about", is_flag=True, help="Describe the limit; ask for nothing.")
@click.option("--keep", is_flag=True, help="Keep the verdict as a finding; needs --airframe.")
@click.option("--airframe", help="Which aircraft, as the shop calls it.")
@click.option("--entry", "entry_ids", multiple=True, metavar="ID", help="The page the finding belongs to.")
@click.option("--who", metavar="INITIALS", help="Who measured.")
@json_option
@desk_options
def limit(
    desk: Desk, name: str | None, inputs: tuple[str, ...], about: bool, keep: bool, as_json: bool, **finding: Any
) -> None:
    """Give a measured number its verdict from a printed table.

    Without NAME the limits are listed by system; a system's name lists its own. NAME alone, or with --about, describes
    one; in a terminal it asks for what is missing, one input at a time. A value takes its unit along (0.9in, 23mm,
    "3/8 in", "17 N*m", 85degF); a bare number is read in the input's own unit, and the answer says so.

    Exit codes: 0 for every verdict, beyond and not covered too; 1 no limit or input of that name; 2 an input that is
    missing or cannot be used.
    """
    if keep and not finding["airframe"]:
        raise UsageProblem("--keep needs --airframe: which aircraft was measured?")
    if name is None or _is_system(desk, name):
        _list(desk, name, as_json)
        return
    chosen = _chosen(desk, name)
    typed = typed_inputs(chosen, inputs)
    if about or not (typed or _may_ask(as_json)):
        _describe(desk, chosen, as_json)
        return
    if _may_ask(as_json):
        typed = _asked(desk, chosen, typed)
    result = desk.limits.judge(chosen.id, typed)
    pages = desk.library.pages_with_limit(chosen.id)
    kept = _keep(desk, result, **finding) if keep else None
    if as_json:
        output.as_json(_plain(result) | {"pages": _named(pages), "finding": kept.id if kept else None})
    else:
        _print_result(desk, result, pages)
        if kept:
            output.note(f"kept for {kept.airframe}; oddfix show {kept.id[-8:]} prints it")


# choosing


def _is_system(desk: Desk, name: str) -> bool:
    return name not in desk.limits.names() and name in desk.limits.by_system()


def _chosen(desk: Desk, name: str) -> Limit:
    try:
        return desk.limits.get(name)
    except NotFound as error:
        if error.nearest:
            raise
        raise NothingFits(f"{error}; oddfix limit lists them all") from None


def typed_inputs(chosen: Limit, words: Sequence[str]) -> dict[str, str]:
    """Return the inputs by name; a word without `=` goes on with the value before it, as in `gap=3/8 in`."""
    typed: dict[str, str] = {}
    names = [item.name for item in chosen.inputs]
    last = None
    for word in words:
        name, equals, value = word.partition("=")
        if not equals:
            if last is None:
                raise UsageProblem(f"'{word}' is not INPUT=VALUE; the inputs of {chosen.id} are: {', '.join(names)}")
            typed[last] += f" {word}"
            continue
        last = name.strip().lower().replace("_", "-")
        if last not in names:
            raise NotFound(f"input of {chosen.id}", name, names)
        if last in typed:
            raise UsageProblem(f"{last}: is given twice; give it once")
        typed[last] = value
    return typed


# asking


def _may_ask(as_json: bool) -> bool:
    return not as_json and sys.stdin.isatty()


def _asked(desk: Desk, chosen: Limit, typed: dict[str, str]) -> dict[str, str]:
    """Return the inputs, what was missing asked for on standard error; nothing is asked when nothing is missing."""
    for name, value in typed.items():
        desk.limits.read(chosen.input(name), value)  # a slip in what was typed is said before anything is asked
    if not desk.limits.missing(chosen.id, typed):
        return typed
    output.note(f"{chosen.title}  ({chosen.id}; --about describes it)")
    _say(f"caution: {chosen.caution}")
    for item in chosen.inputs:
        if item.name not in typed:
            typed[item.name] = _ask_for(desk, item)
    return typed


def _ask_for(desk: Desk, item: Input) -> str:
    from kb.limits.telling import taken_by

    output.note("")
    _say(f"{item.help}: {taken_by(item)}")
    while True:
        try:
            answer: str = click.prompt(item.name, default="", show_default=False, err=True)
        except click.Abort:
            output.note("\nnothing was judged")
            click.get_current_context().exit(130)
        try:
            desk.limits.read(item, answer)
        except KbError as error:
            _say(str(error))
        else:
            return answer


def _say(text: str) -> None:
    """Say a long line beside the answer, in the width at hand."""
    output.note(textwrap.fill(text, output.width(), break_on_hyphens=False))


# printing


def _list(desk: Desk, only: str | None, as_json: bool) -> None:
    titles = desk.library.system_titles()
    grouped = desk.limits.by_system(list(titles))
    shown = {system: limits for system, limits in grouped.items() if only in (None, system)}
    if as_json:
        output.as_json([
            {"id": one.id, "title": one.title, "system": one.system, "inputs": [item.name for item in one.inputs]}
            for limits in shown.values() for one in limits
        ])  # fmt: skip
        return
    edge = 4 + max(len(name) for name in desk.limits.names())
    for number, (system, limits) in enumerate(shown.items()):
        if number:
            output.data()
        output.data(titles.get(system, system))
        for one in limits:
            output.wrapped(one.title, mark=f"  {one.id}", indent=edge)
    output.note(f"\noddfix limit NAME describes one; oddfix limit NAME INPUT=VALUE ... judges.\n{CAUTION}")


def _describe(desk: Desk, chosen: Limit, as_json: bool) -> None:
    from kb.limits.model import to_plain
    from kb.limits.telling import tell_limit

    pages = desk.library.pages_with_limit(chosen.id)
    if as_json:
        output.as_json(to_plain(chosen) | {"pages": _named(pages)})
        return
    output.data(f"{chosen.title}  ({chosen.id}, {chosen.system})")
    output.data()
    _print_rows(tell_limit(chosen))
    _print_pages(pages)
    output.data()
    output.wrapped(CAUTION)


def _print_result(desk: Desk, result: Result, pages: Sequence[Entry]) -> None:
    from kb.limits.telling import tell_result

    output.data(f"{result.title}  ({result.limit}, {result.system})")
    output.wrapped(result.sentence)
    if result.gauge:
        pieces = desk.limits.draw(result.gauge, min(output.width(), 72))
        output.pieces((piece.text, piece.tone) for piece in pieces)
    output.data()
    *rows, guidance = tell_result(result)
    _print_rows(rows)
    _print_pages(pages)
    output.data()
    output.wrapped(guidance.text)


def _print_rows(rows: Sequence[Row]) -> None:
    for row in rows:
        output.wrapped(row.text, mark=row.mark, indent=EDGE)


def _print_pages(pages: Sequence[Entry]) -> None:
    for number, page in enumerate(pages):
        mark = "" if number else "pages"
        output.wrapped(f"{page.id}: {page.title} ({URGENCY_WORDS[page.urgency]})", mark=mark, indent=EDGE)


def _plain(result: Result) -> dict[str, object]:
    from kb.limits.model import to_plain

    return to_plain(result)


def _named(pages: Sequence[Entry]) -> list[dict[str, str]]:
    return [{"id": page.id, "title": page.title, "urgency": page.urgency} for page in pages]


# keeping


def _keep(desk: Desk, result: Result, *, airframe: str, entry_ids: tuple[str, ...], who: str | None) -> Finding:
    from kb.limits.telling import finding_text

    system = result.system if not entry_ids and result.system in desk.library.system_titles() else None
    return desk.findings.add(finding_text(result), airframe=airframe, entries=entry_ids, system=system, who=who)
