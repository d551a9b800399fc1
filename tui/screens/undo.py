"""Undo: says what the last act was, asks, and takes it back."""

from __future__ import annotations

from kb.history import Act
from kb.page import one_line
from tui.screens.asking import Words, WordsScreen
from tui.screens.base import TrailScreen


def ask_undo(screen: TrailScreen) -> None:
    """Ask whether to take back the last act, read by a worker; say so once it is done."""
    desk = screen.desk

    def ask() -> None:
        act = desk.history.last_act()
        screen.app.call_from_thread(show, act, _told(act))

    def show(act: Act, told: str) -> None:
        def undo(words: Words) -> str:
            desk.history.undo(who=words.who, act=act.number)
            return act.said

        if screen.is_active:
            screen.app.push_screen(WordsScreen(f"Take back the last act?\n\n{told}", undo), done)

    def done(said: str | None) -> None:
        if said is not None:
            screen.notify(f"taken back: {said}", markup=False)

    screen.run_worker(ask, thread=True, exclusive=True, group="undo", exit_on_error=False)


def _told(act: Act) -> str:
    if not act.revisions:
        return act.said
    first = act.revisions[0]
    by = f" by {first.who}" if first.who else ""
    more = f", and {len(act.revisions) - 1} more" if len(act.revisions) > 1 else ""
    when = first.made[:16].replace("T", " ")
    return f"{act.said}{by}, {when} UTC\n{first.airframe}: {one_line(first.text)[:160]}{more}"
