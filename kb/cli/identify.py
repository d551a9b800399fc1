"""The command `identify`: lists the keys, tells what one asks for, asks it in a terminal, prints its answer."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Any

import click

from kb.cli import output
from kb.cli.options import NothingFits, desk_options, json_option
from kb.errors import UsageProblem

if TYPE_CHECKING:
    from kb.desk import Desk
    from kb.identify import Identification, Key
    from kb.identify.model import NextLook
    from kb.page import Page

EDGE = 17
"""Columns of the left edge, as on printed pages."""


@click.command()
@click.argument("key", required=False)
@click.argument("values", nargs=-1, metavar="[NAME=VALUE]…")
@click.option("--about", is_flag=True, help="Print what the key asks for; never ask.")
@json_option
@desk_options
def identify(desk: Desk, key: str | None, values: tuple[str, ...], about: bool, as_json: bool) -> None:
    """Name a part or material in hand from measurements and marks.

    Without KEY the keys are listed. KEY alone asks, in a terminal, for one measurement after the other; elsewhere,
    or with --about, it prints them. A choice the eye cannot decide is given as several: colour=red,blue. Figures take
    their unit: od=9/16in.
    """
    if key is None:
        _list_keys(desk, as_json)
        return
    if "=" in key:
        raise UsageProblem("name the key first, as in: oddfix identify finish oil=softens; oddfix identify lists them")
    evidence = _evidence(values)
    if about and evidence:
        raise UsageProblem("--about goes with the key alone; leave the values or the option out")
    if not evidence and not about and not as_json and _is_asked_in_a_terminal():
        evidence = _ask(desk, desk.identify.key(key))
    if evidence:
        _print_answer(desk, key, evidence, as_json)
    else:
        _print_key(desk, key, as_json)


def _list_keys(desk: Desk, as_json: bool) -> None:
    names = desk.identify.names()
    if as_json:
        output.as_json(names)
        return
    for name in names:
        output.wrapped(name.title, mark=name.id, indent=EDGE + 4)
    output.note(f"\nGo on: oddfix identify {names[0].id}")


def _print_key(desk: Desk, name: str, as_json: bool) -> None:
    from kb.identified import lay_out_key

    key, first = desk.identify.key(name), desk.identify.answer(name, {})
    if as_json:
        output.as_json(_as_data(key, first))
        return
    _print_page(lay_out_key(key, first))
    example = key.measurements[0]
    value = example.choices[0].id if example.choices else "FIGURE"
    output.note(f"\nGo on: oddfix identify {key.id} {example.id}={value}")


def _as_data(key: Key, first: Identification) -> dict[str, Any]:
    import msgspec

    described = {field: getattr(key, field) for field in ("id", "title", "about", "not_covered", "entries")}
    return described | {
        "measurements": [msgspec.structs.asdict(item) for item in key.measurements],
        "candidates": [{"id": one.id, "title": one.title, "means": one.means} for one in key.candidates],
        "next": first.next,
        "others": first.others,
        "look_alikes": first.look_alikes,
        "cannot_tell": first.cannot_tell,
        "caution": first.caution,
    }


def _print_answer(desk: Desk, name: str, evidence: dict[str, str], as_json: bool) -> None:
    from kb.identified import lay_out_answer

    answer = desk.identify.answer(name, evidence)
    if as_json:
        output.as_json(answer)
    else:
        _print_page(lay_out_answer(desk.identify.key(name), answer))
    if all(one.contradicts for one in answer.candidates):
        raise NothingFits("nothing this key knows agrees with all of that; measure again, the surest first")


def _print_page(page: Page) -> None:
    from kb.model import CAUTION

    output.wrapped(page.title, mark=page.urgency, indent=EDGE)
    output.wrapped(page.urgency_why, indent=EDGE)
    output.data()
    output.wrapped(CAUTION)
    if page.summary:
        output.data()
        output.wrapped(page.summary)
    for part in page.parts:
        output.data()
        output.data(f"{part.number} {part.title}")
        for block in part.blocks:
            output.wrapped(block.text, mark=f"  {block.mark}", indent=EDGE)
            if block.link:
                output.wrapped(f"(oddfix show {block.link})", indent=EDGE)
            if block.note:
                output.wrapped(f"({block.note})", indent=EDGE)


def _evidence(values: tuple[str, ...]) -> dict[str, str]:
    evidence: dict[str, str] = {}
    for typed in values:
        name, sign, value = typed.partition("=")
        if not sign or not name.strip():
            raise UsageProblem(f"'{typed[:60]}' is not NAME=VALUE; oddfix identify KEY names the measurements")
        if name in evidence:
            raise UsageProblem(f"{name[:60]} was given twice; give each measurement once")
        evidence[name] = value
    return evidence


# asking in a terminal


def _is_asked_in_a_terminal() -> bool:
    return sys.stdin.isatty()


def _ask(desk: Desk, key: Key) -> dict[str, str]:
    """Ask for the best next measurement until none is left or the person has had enough; all on standard error."""
    given: list[tuple[str, str | None]] = []
    _tell(f"{key.title}. {key.about}")
    _tell("Answer with the number, the name or a figure. Enter: cannot take it. u: undo. End: a full stop.")
    while True:
        evidence = {name: typed for name, typed in given if typed is not None}
        answer = desk.identify.answer(key.id, evidence)
        _tell()
        _tell(answer.claim)
        look = _first_open(answer, {name for name, _ in given})
        typed = _ask_one(key, look) if look else "."
        if look is None or typed in (None, "."):
            return evidence
        if typed == "u":
            given = given[:-1]
        elif not typed:
            given.append((look.measurement, None))
        elif _is_usable(desk, key, evidence, look.measurement, typed):
            given.append((look.measurement, typed))


def _first_open(answer: Identification, done: set[str]) -> NextLook | None:
    looks = (answer.next, *answer.others) if answer.next else ()
    return next((look for look in looks if look.measurement not in done), None)


def _ask_one(key: Key, look: NextLook) -> str | None:
    """Show one measurement, cautions first, and return what is answered; None when the input has ended."""
    from kb.identified import choices_by_number, span

    item = next(item for item in key.measurements if item.id == look.measurement)
    _tell(f"Measure next: {look.sentence}")
    for caution in item.cautions:
        _tell(f"BEWARE  {caution}", indent=2)
    _tell(item.how, indent=2)
    for number, choice in enumerate(item.choices, start=1):
        _tell(f"{number:>2}  {choice.text}", indent=2)
    if not item.choices:
        _tell(f"a figure {span(item)}", indent=2)
    typed = _read_line(f"{item.id}? ")
    return None if typed is None else choices_by_number(item, typed)


def _is_usable(desk: Desk, key: Key, evidence: dict[str, str], name: str, typed: str) -> bool:
    try:
        desk.identify.answer(key.id, evidence | {name: typed})
    except UsageProblem as problem:
        _tell(str(problem))
        return False
    return True


def _tell(text: str = "", *, indent: int = 0) -> None:
    """Say something on standard error, in whole words; lines after the first stand deeper."""
    import textwrap

    lead = " " * indent
    deeper = lead + "  " if indent else ""
    wrapper = textwrap.TextWrapper(
        output.width(), initial_indent=lead, subsequent_indent=deeper, break_on_hyphens=False
    )
    output.note(wrapper.fill(text))


def _read_line(prompt: str) -> str | None:
    """Read one line from standard input, broken bytes and all; None at its end."""
    sys.stderr.write(prompt)
    sys.stderr.flush()
    try:
        line = sys.stdin.buffer.readline()
    except KeyboardInterrupt:
        click.get_current_context().exit(130)
    return line.decode("utf-8", "replace").strip() if line else None
