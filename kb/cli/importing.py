"""The command that takes a shop's table in: shows the plan, asks, shows how far it is."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from kb.cli import output
from kb.cli.finding import STATES, who_option
from kb.cli.options import NothingFits, desk_options, json_option
from kb.errors import UsageProblem

if TYPE_CHECKING:
    from kb.desk import Desk
    from kb.exchange.planned import Imported, Plan, Progress

EDGE = 17


@click.command(name="import")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--airframe", help="Which aircraft the rows are of that name none.")
@click.option("--state", type=STATES, help="The state of rows that say none; open unless given.")
@click.option(
    "--column",
    "columns",
    multiple=True,
    metavar="FIELD=HEADER",
    help="Which column a field is in; may be repeated, also for text in several columns. FIELD= leaves a field out. The"
    " fields are text, airframe, action, system, state, place, found, hours, part, minutes and who.",
)
@click.option("--day-first", "order", flag_value="day-first", help="3/4/1962 is the third of April.")
@click.option("--month-first", "order", flag_value="month-first", help="3/4/1962 is the fourth of March.")
@click.option("--dry-run", is_flag=True, help="Only say what would be kept.")
@click.option("--yes", is_flag=True, help="Do not ask.")
@click.option("--refused", type=click.Path(path_type=Path), help="Where rows go that cannot be kept.")
@who_option
@json_option
@desk_options
def import_(
    desk: Desk,
    file: Path,
    columns: tuple[str, ...],
    dry_run: bool,
    yes: bool,
    refused: Path | None,
    as_json: bool,
    **said: Any,
) -> None:
    """Take a table of findings into the store: CSV, XLSX, JSON Lines."""
    chosen = _chosen(columns)
    plan = _planned(desk, file, chosen, said)
    is_asking = not (dry_run or yes or as_json) and _has_terminal()
    if not as_json:
        _tell(plan)
    if dry_run:
        if as_json:
            output.as_json(_record(plan))
        return
    if not plan.rows:
        raise NothingFits(f"{file} has no row below its header")
    if is_asking and plan.done < plan.rows:
        plan = _agreed(desk, plan, chosen, said)
    elif not yes and plan.done < plan.rows:
        raise UsageProblem("say --yes to keep it, or --dry-run to look only, where nobody can be asked")
    try:
        done = desk.importing.run(plan, progress=_show, who=said["who"], refused=refused)
    finally:
        output.progress("")
    if as_json:
        output.as_json(done)
    else:
        _tell_done(done)


def _planned(desk: Desk, file: Path, chosen: dict[str, list[str]], said: dict[str, Any]) -> Plan:
    def show(rows: int) -> None:
        output.progress(f"looking through the file: {rows:,} rows")

    try:
        return desk.importing.plan(file, chosen, progress=show, **said)
    finally:
        output.progress("")


def _has_terminal() -> bool:
    return sys.stdin.isatty()


def _agreed(desk: Desk, plan: Plan, chosen: dict[str, list[str]], said: dict[str, Any]) -> Plan:
    """Ask until the plan is as it should be; click.Abort when it is declined."""
    while True:
        if plan.asks:
            output.note(plan.asks[0])
        hint = "FIELD=HEADER changes a column, FIELD= leaves it out, airframe:NAME, day-first, month-first"
        question = f"Change what? ({hint})" if plan.asks else f"Keep it? yes, no, or a change ({hint})"
        answer = click.prompt(question, err=True).strip()
        if answer.lower() in ("n", "no"):
            raise click.Abort
        if answer.lower() in ("y", "yes") and not plan.asks:
            return plan
        try:
            plan = _changed(desk, plan, answer, chosen, said)
        except UsageProblem as error:
            output.note(str(error))
        else:
            _tell(plan)


def _changed(desk: Desk, plan: Plan, answer: str, chosen: dict[str, list[str]], said: dict[str, Any]) -> Plan:
    tried, also = dict(chosen), dict(said)
    if answer in ("day-first", "month-first"):
        also["order"] = answer
    elif answer.startswith("airframe:"):
        also["airframe"] = answer.partition(":")[2].strip()
    else:
        tried |= _chosen((answer,))
    changed = _planned(desk, plan.table.path, tried, also)
    chosen.update(tried)
    said.update(also)
    return changed


def _chosen(columns: tuple[str, ...]) -> dict[str, list[str]]:
    chosen: dict[str, list[str]] = {}
    for column in columns:
        field, equals, header = column.partition("=")
        if not equals:
            raise UsageProblem(f"'{column}' is not written as FIELD=HEADER, such as text=Discrepancy")
        chosen.setdefault(field.strip(), []).extend([header.strip()] if header.strip() else [])
    return chosen


def _show(progress: Progress) -> None:
    output.progress(
        f"{progress.rows:,} of {progress.of:,} rows, {progress.rate:,.0f} a second, {progress.left:.0f} s left"
    )


def _tell(plan: Plan) -> None:
    output.data(f"{plan.table.path}: {plan.table.told}, {plan.rows:,} rows")
    if plan.table.is_own:
        output.data("written by oddfix: findings keep their ids and times")
    for guess in plan.columns:
        why = "as said" if guess.why == "said" else f"by its {guess.why}, {guess.score} of 100"
        times = ", hours become minutes" if guess.factor != 1 else ""
        output.wrapped(f"{' + '.join(guess.headers)} ({why}{times})", mark=f"  {guess.field}", indent=EDGE)
    if plan.unused:
        output.wrapped(", ".join(plan.unused), mark="  left out", indent=EDGE)
    if plan.airframe:
        is_instead = any(guess.field == "airframe" for guess in plan.columns)
        output.wrapped(plan.airframe, mark="  where empty" if is_instead else "  airframe", indent=EDGE)
    for note in plan.notes:
        output.wrapped(note, mark="-", indent=2)
    if plan.asks:
        return
    for content in plan.first:
        output.wrapped(f"{content.airframe}: {content.text}", mark=f"  {content.state}", indent=EDGE)
    for problem in plan.problems:
        output.wrapped(str(problem), mark="-", indent=2)
    told = f"{plan.new:,} new, {plan.revised:,} changed, {plan.here:,} here already, {plan.bad:,} to be refused"
    output.data(told + (f"; {plan.done:,} rows were done before" if plan.done else ""))


def _tell_done(done: Imported) -> None:
    rate = done.rows / done.seconds if done.seconds else 0
    output.data(f"{done.new:,} new, {done.revised:,} changed, {done.here:,} here already, {done.refused:,} refused")
    if done.refused_file:
        output.data(f"refused rows: {done.refused_file}; put them right there and import that file")
    taken = "; oddfix undo takes it back" if done.new or done.revised else ""
    output.note(f"{done.rows:,} rows in {done.seconds:.1f} s, {rate:,.0f} a second{taken}")


def _record(plan: Plan) -> dict[str, Any]:
    import msgspec

    record: dict[str, Any] = msgspec.to_builtins(plan, enc_hook=str)
    return record | {"unused": plan.unused}
