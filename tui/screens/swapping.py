"""Findings go out as tables and packs, and packs come in: each asks for a file, and tells what came of it."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from tui.screens.asking import Choice, Words, WordsScreen
from tui.screens.base import TrailScreen
from tui.screens.report import ReportScreen

if TYPE_CHECKING:
    from kb.exchange.pack import Merged, Packed
    from kb.exchange.unpack import Unpacked

LEFT_OUT: dict[str, tuple[str, dict[str, bool]]] = {
    "a": ("all of it", {}),
    "w": ("without initials and the shop's name", {"without_who": True}),
    "n": ("without these, the aircraft's names and photos", {"without_who": True, "without_airframe": True}),
}


def ask_export(screen: TrailScreen, write: Callable[..., int], kind: str) -> None:
    """Ask for an aircraft and a file, and write the findings there."""
    from tui.screens.findings import ChooseAirframe

    def chosen(airframe: str | None) -> None:
        if airframe is None:
            return
        of = f" of {airframe}" if airframe else ""
        act = partial(_exported, write, airframe or None)
        screen.app.push_screen(
            WordsScreen(f"Write the findings{of} as {kind}.", act, line="File", with_who=False), told
        )

    def told(said: str | None) -> None:
        if said:
            screen.notify(said, markup=False)

    screen.app.push_screen(ChooseAirframe(screen.desk), chosen)


def ask_pack(screen: TrailScreen) -> None:
    """Ask for an aircraft, for what is to be left out, and for a file, and pack the findings."""
    from tui.screens.findings import ChooseAirframe

    def chosen(airframe: str | None) -> None:
        if airframe is not None:
            choices = {key: said for key, (said, _) in LEFT_OUT.items()}
            asked = f"Pack the findings of {airframe or 'all aircraft'} for another shop:"
            screen.app.push_screen(Choice(asked, choices, otherwise="do not pack"), partial(named, airframe))

    def named(airframe: str, key: str | None) -> None:
        if key:
            act = partial(_packed, screen, airframe, LEFT_OUT[key][1])
            asked = f"Pack {LEFT_OUT[key][0]}. Read the texts before the file is sent: what they tell stays in them."
            screen.app.push_screen(WordsScreen(asked, act, line="File", with_who=False), told)

    def told(packed: Packed | None) -> None:
        if packed:
            screen.app.push_screen(ReportScreen(screen.desk, "Packed", _pack_lines(packed)))

    screen.app.push_screen(ChooseAirframe(screen.desk), chosen)


def ask_merge(screen: TrailScreen) -> None:
    """Ask for a pack, verify it, tell what would come, and take it in when that is wanted."""
    packs = screen.desk.packs

    def look(words: Words) -> tuple[Unpacked, Merged]:
        unpacked = packs.read(_path(words))
        return unpacked, packs.merge(unpacked, only_count=True)

    def told(looked: tuple[Unpacked, Merged] | None) -> None:
        if looked:
            unpacked, plan = looked
            heading = "Nothing is kept yet. This would come in:"
            lines = _merge_lines(plan)
            take = partial(start, unpacked)
            screen.app.push_screen(ReportScreen(screen.desk, heading, lines, go_on=take, go_on_words="take it in"))

    def start(unpacked: Unpacked) -> None:
        screen.run_worker(partial(taken, unpacked), thread=True, group="merge", exit_on_error=False)

    def taken(unpacked: Unpacked) -> None:
        merged = packs.merge(unpacked)
        screen.app.call_from_thread(
            screen.app.push_screen, ReportScreen(screen.desk, "Taken in:", _merge_lines(merged))
        )

    screen.app.push_screen(
        WordsScreen(
            "Take in what another shop has packed. First it is verified whole.", look, line="File", with_who=False
        ),
        told,
    )


def _path(words: Words) -> Path:
    return Path(words.text or "").expanduser()


def _exported(write: Callable[..., int], airframe: str | None, words: Words) -> str:
    path = _path(words)
    count = write(path, airframe=airframe)
    return f"{count:,} {'finding' if count == 1 else 'findings'} written to {path}"


def _packed(screen: TrailScreen, airframe: str, left_out: dict[str, Any], words: Words) -> Packed:
    desk = screen.desk
    return desk.packs.write(_path(words), airframe=airframe or None, **left_out)


def _pack_lines(packed: Packed) -> list[str]:
    return [
        packed.path,
        f"SHA-256 {packed.sha256}",
        "",
        f"{packed.findings:,} findings in {packed.revisions:,} revisions",
        f"{packed.airframes} records of aircraft, {packed.pages} of own pages, {packed.photos} photos",
        *([f"left out: {', '.join(packed.left_out)}"] if packed.left_out else []),
    ]


def _merge_lines(merged: Merged) -> list[str]:
    taken = merged.taken
    apart = [f"changed apart: finding {finding[-8:]}" for finding in taken.conflicts]
    return [
        f"{taken.findings:,} new findings, {taken.revisions:,} revisions",
        f"{taken.airframes} records of aircraft, {taken.pages} of own pages, {taken.photos} photos",
        f"{taken.already:,} were here already",
        *([f"left out by its sender: {', '.join(merged.left_out)}"] if merged.left_out else []),
        *(["", *apart, "Both words stand side by side; the list of conflicts settles them."] if apart else []),
    ]
