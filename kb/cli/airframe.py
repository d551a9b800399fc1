"""The command on airframes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

import click

from kb.cli import output
from kb.cli.options import NothingFits, desk_options, json_option

if TYPE_CHECKING:
    from kb.airframes import KnownAirframe
    from kb.desk import Desk
    from kb.model import Airframe

EDGE = 17
_FIELDS = ("construction", "built", "outdoors", "about")


@click.command()
@click.argument("name", required=False)
@click.option("--construction", type=click.Choice(["tube-and-fabric", "wood", "sheet-metal"]))
@click.option("--built", type=int, metavar="YEAR", help="The year it was built, or last rebuilt.")
@click.option("--outdoors/--indoors", "outdoors", default=None, help="Where it is kept, or was for years.")
@click.option("--about", help="Anything else worth knowing.")
@click.option("--clear", multiple=True, type=click.Choice(_FIELDS), help="Make this unknown again; may be repeated.")
@click.option("--history", is_flag=True, help="Print what was said of it before, oldest first.")
@click.option("--who", metavar="INITIALS", help="Who says so.")
@json_option
@desk_options
def airframe(desk: Desk, name: str | None, history: bool, who: str | None, as_json: bool, **said: Any) -> None:
    """Say or read what is known of an aircraft.

    What is not said stays as it was, and what was said before stays in the history. Without a name all are listed.
    """
    from kb.errors import UsageProblem

    is_said = bool(said["clear"]) or any(said[field] is not None for field in _FIELDS)
    if is_said and (name is None or history):
        raise UsageProblem("name the aircraft of which that is so, without --history")
    if name is None:
        _list(desk, as_json)
        return
    if history:
        _history(desk.airframes.history(name), as_json)
        return
    if is_said:
        near = desk.airframes.near(name)
        desk.airframes.keep(name, who=who, **said)
        if near:
            output.note(f"new here; if it is not, it may be {', '.join(near)}")
    known = desk.airframes.get(name)
    output.as_json(known) if as_json else _print(known)


def _list(desk: Desk, as_json: bool) -> None:
    found = desk.airframes.all()
    if as_json:
        output.as_json(found)
    if not found:
        raise NothingFits("no aircraft is known yet; oddfix airframe NAME --built YEAR keeps one")
    if not as_json:
        for one in found:
            _print(one)


def _history(records: Sequence[Airframe], as_json: bool) -> None:
    if as_json:
        output.as_json(records)
    if not records:
        raise NothingFits("nothing was ever said of it but its findings")
    if not as_json:
        for record in records:
            by = f" by {record.who}" if record.who else ""
            output.wrapped(_said(record) or "nothing", mark=record.made[:10] + by, indent=EDGE)


def _print(known: KnownAirframe) -> None:
    output.wrapped(known.name, mark=f"{known.open} open", indent=EDGE)
    said = _said(known.record) if known.record else ""
    findings = f"{known.findings} finding{'' if known.findings == 1 else 's'} in all"
    output.wrapped("; ".join(fact for fact in (findings, said) if fact), indent=EDGE)


def _said(record: Airframe) -> str:
    kept = {True: "kept outdoors", False: "kept indoors", None: ""}[record.outdoors]
    facts = [record.construction, f"built {record.built}" if record.built else "", kept, record.about]
    return "; ".join(fact for fact in facts if fact)
