"""The photos of a finding: what each is, the one at hand drawn roughly, and adding and leaving out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, ClassVar

from textual import on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.message import Message
from textual.widgets import OptionList, Static
from textual.worker import get_current_worker

from kb.desk import Desk
from tui.literal import styled
from tui.screens.asking import Words, WordsScreen
from tui.screens.listing import Line, ListScreen

ROWS = 11
"""Lines of a drawn photo."""

Cells = Sequence[Sequence[tuple[str, str]]]


class PhotosScreen(ListScreen):
    """The photos one finding shows."""

    name_on_trail = "photos"
    empty = "No photo yet. a adds one from a file: JPEG, PNG or HEIC."
    is_live = True
    tips: ClassVar[tuple[str, ...]] = (
        "The picture is drawn in characters, to tell one from another; w writes the whole one to a folder.",
        "Where a picture was taken is left out when it is added.",
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("a", "add", "add from a file", id="photos.add"),
        Binding("w", "write", "write it to a folder", id="photos.write"),
        Binding("x", "leave_out", "show it no more", id="photos.leave_out"),
    ]
    DEFAULT_CSS = """
    PhotosScreen #picture { height: 11; padding: 0 2; }
    """

    @dataclass
    class Drawn(Message):
        """A photo has been drawn."""

        name: str
        cells: Cells

    def __init__(self, desk: Desk, finding: str) -> None:
        super().__init__(desk)
        self._finding = finding

    def compose_body(self) -> ComposeResult:
        yield from super().compose_body()
        yield Static("", id="picture")

    def read(self) -> tuple[str, Sequence[Line]]:
        lines = [
            Line(
                one.sha256,
                one.kind,
                one.name or one.sha256[:8],
                one.sha256[:8],
                f"{one.width} x {one.height}, {one.size / 1e6:.1f} MB{f', taken {one.taken}' if one.taken else ''}",
            )
            for one in self.desk.photos.list(self._finding)
        ]
        return "Photos of this finding", lines

    def keys(self) -> list[str]:
        return ["a add", "w write to a folder", "x show no more", "Esc back", "? keys", "q quit"]

    def choose(self, name: str) -> None:
        self.action_write()

    @on(OptionList.OptionHighlighted, "#lines")
    def _show(self, event: OptionList.OptionHighlighted) -> None:
        self._draw_photo(self._lines[event.option_index].name)

    @work(thread=True, exclusive=True, group="picture", exit_on_error=False)
    def _draw_photo(self, name: str) -> None:
        cells = self.desk.photos.cells(name, columns=max(self.size.width - 4, 10), rows=ROWS)
        if not get_current_worker().is_cancelled:
            self.post_message(self.Drawn(name, cells))

    @on(Drawn)
    def _drawn(self, event: Drawn) -> None:
        if event.name == self.at_hand():
            self.query_one("#picture", Static).update(_picture(event.cells, in_colour=not self.app.ansi_color))

    def action_add(self) -> None:
        """Add a photo from a file."""

        def add(words: Words) -> Any:
            return self.desk.photos.add(self._finding, [Path(words.text or "").expanduser()], who=words.who)

        def done(added: Any) -> None:
            for note in added.notes if added else ():
                self.notify(note, markup=False)

        self.app.push_screen(WordsScreen("Add a photo: JPEG, PNG or HEIC, at most 20 MB.", add, line="File"), done)

    def action_write(self) -> None:
        """Write the photo at hand to a folder."""

        def done(path: Path | None) -> None:
            if path is not None:
                self.notify(f"written to {path}", markup=False)

        if name := self.at_hand():
            photo = name
            self.app.push_screen(
                WordsScreen(
                    "Write the photo as it is kept. An empty line is the folder at hand.",
                    lambda words: self.desk.photos.save(photo, Path(words.text or ".").expanduser()),
                    line="Folder or file",
                ),
                done,
            )

    def action_leave_out(self) -> None:
        """Let the finding show the photo at hand no more."""
        if name := self.at_hand():
            photo = name
            self.app.push_screen(
                WordsScreen(
                    "Show it no more? The store keeps it, and so does the history of the finding.",
                    lambda words: self.desk.photos.remove(self._finding, photo, who=words.who),
                )
            )


def _picture(cells: Cells, *, in_colour: bool) -> Content:
    if not cells:
        return styled("This photo cannot be drawn here; w writes it to a folder.", "dim")
    if not in_colour:
        return styled("No colours here, so it is not drawn; w writes it to a folder.", "dim")
    rows = (Content.assemble(*(styled("▀", f"{above} on {below}") for above, below in row)) for row in cells)
    return Content("\n").join(rows)
