"""Check and backup of the store."""

from __future__ import annotations

from pathlib import Path

from kb.keeping import Keeping, Kept, Report
from tui.screens.asking import Words, WordsScreen
from tui.screens.base import TrailScreen
from tui.screens.report import ReportScreen


def check(screen: TrailScreen) -> None:
    """Look through the store, in a worker, and tell what was found."""
    keeping = Keeping(screen.desk.store.path)

    def look() -> None:
        report = keeping.check()
        heading = "The store is whole." if not report.problems else f"Problems: {len(report.problems)}"
        screen.app.call_from_thread(screen.app.push_screen, ReportScreen(screen.desk, heading, _lines(report)))

    screen.notify("looking through the store …", markup=False)
    screen.run_worker(look, thread=True, exclusive=True, group="check", exit_on_error=False)


def ask_backup(screen: TrailScreen) -> None:
    """Ask for a file or folder, and back the store up."""
    keeping = Keeping(screen.desk.store.path)

    def back_up(words: Words) -> Kept:
        return keeping.backup(Path(words.text).expanduser() if words.text else None)

    def done(kept: Kept | None) -> None:
        if kept is not None:
            screen.notify(f"checked and kept: {kept.path}, {kept.size / 1e6:.1f} MB", markup=False)

    asked = "Back the store up to a file or folder. An empty line puts it beside the store."
    screen.app.push_screen(WordsScreen(asked, back_up, line="File or folder", with_who=False), done)


def ask_name(screen: TrailScreen) -> None:
    """Ask what the shop calls itself."""
    keeping = Keeping(screen.desk.store.path)
    asked = "What does this shop call itself? New revisions carry the name."
    screen.app.push_screen(
        WordsScreen(asked, lambda words: keeping.shop(words.text or ""), line="Name", with_who=False)
    )


def _lines(report: Report) -> list[str]:
    counts = [f"{count:>9,}  {table.replace('_', ' ')}" for table, count in report.counts.items()]
    return [report.path, "", *report.problems, *([""] if report.problems else []), *counts]
