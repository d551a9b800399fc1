"""Shows a laid-out page: text that wraps, numbered parts to jump to, links that can be followed."""

from __future__ import annotations

from textual.binding import Binding
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.message import Message
from textual.widget import Widget
from textual.widgets import Static

from kb.model import CAUTION
from kb.page import Block, Page, Part
from tui.literal import URGENCY_STYLES, plain, styled

_TONES = {"caution": "$warning", "never": "$error", "link": "$accent", "quiet": "dim", "plain": ""}
_MARK_WIDTH = 12


class Link(Static, can_focus=True):
    """A line that leads to another page; Enter follows it."""

    BINDINGS = [Binding("enter", "follow", "follow the link", id="link.follow")]  # noqa: RUF012  # Textual's own form

    class Followed(Message):
        """The reader wants the page `entry_id`."""

        def __init__(self, entry_id: str) -> None:
            super().__init__()
            self.entry_id = entry_id

    def __init__(self, entry_id: str) -> None:
        super().__init__(classes="link")
        self._entry_id = entry_id
        self._draw(is_current=False)

    def on_focus(self) -> None:
        self._draw(is_current=True)

    def on_blur(self) -> None:
        self._draw(is_current=False)

    def action_follow(self) -> None:
        """Ask for the page."""
        self.post_message(self.Followed(self._entry_id))

    def on_click(self) -> None:
        self.action_follow()

    def _draw(self, *, is_current: bool) -> None:
        self.update(Content.assemble(styled("> " if is_current else "  ", "bold"), styled(self._entry_id, "$accent")))


class PageView(VerticalScroll, can_focus=True):
    """A page to scroll through; empty until `show`."""

    DEFAULT_CSS = """
    PageView {
        .head { height: auto; margin: 0 0 1 0; max-width: 76; }
        .part { height: auto; margin: 0 0 1 0; max-width: 76; }
        .block { height: auto; }
        .mark { width: 13; color: $text-muted; }
        .body { width: 1fr; height: auto; }
        Static { height: auto; }
        .link { margin: 0 0 0 0; }
        .link:focus { background: $panel; }
    }
    """

    async def show(self, page: Page) -> None:
        """Show this page from its top."""
        await self.remove_children()
        await self.mount_all([_head(page), *(_part(part) for part in page.parts)])
        self.scroll_home(animate=False)

    def clear(self) -> None:
        """Show nothing."""
        self.remove_children()

    def go_to_part(self, number: int) -> None:
        """Bring a part to the top; cautions and nevers stand first in the part that holds the steps."""
        for part in self.query(f"#part-{number}"):
            part.scroll_visible(top=True, animate=False)

    def part_titles(self) -> list[str]:
        """Return the numbered titles of what is shown."""
        return [str(widget.name) for widget in self.query(".part")]


class _Group(Vertical):
    """Widgets one below the other, as tall as they need."""

    def __init__(self, *children: Widget, classes: str, id: str | None = None, name: str | None = None) -> None:  # noqa: A002
        super().__init__(*children, classes=classes, id=id, name=name)


def _head(page: Page) -> Widget:
    lines: list[Widget] = [
        Static(
            Content.assemble(
                styled(page.urgency, URGENCY_STYLES.get(page.urgency, "bold")), "  ", styled(page.title, "bold")
            )
        ),
        Static(plain(page.urgency_why)),
        Static(styled(CAUTION, "dim")),
        Static(""),
        Static(plain(page.summary)),
        Static(styled(page.facts, "dim")),
    ]
    return _Group(*(line for line in lines), classes="head")


def _part(part: Part) -> Widget:
    name = f"{part.number} {part.title}"
    blocks = [widget for block in part.blocks for widget in _block(block)]
    return _Group(Static(styled(name, "bold $accent")), *blocks, classes="part", id=f"part-{part.number}", name=name)


def _block(block: Block) -> list[Widget]:
    body: list[Widget] = [Static(styled(block.text, _TONES[block.tone]))]
    if block.link:
        body.append(Link(block.link))
    if block.note:
        body.append(Static(styled(block.note, "dim")))
    is_long = len(block.mark) > _MARK_WIDTH
    if is_long and block.mark != block.link:
        body.insert(0, Static(styled(block.mark, "bold")))
    mark = "" if is_long else block.mark
    return [
        Horizontal(
            Static(styled(mark, _TONES[block.tone] or "dim"), classes="mark"),
            _Group(*body, classes="body"),
            classes="block",
        )
    ]
