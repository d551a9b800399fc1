"""Makes untrusted text safe to show: control, escape, bidi and other invisible characters become visible."""

from __future__ import annotations

import re
import unicodedata

_JOINERS = "\u200c\u200d"
"""Needed inside some scripts and joined emoji; kept only between two visible characters."""

_TAME = re.compile(r"[^\x20-\x7e\n\t]")


def show_safely(text: str, *, keep_lines: bool = True) -> str:
    """Return `text` with every character that could drive a terminal or hide itself written out, as in `\\x1b`.

    Newlines and tabs stay when `keep_lines`; otherwise they become single spaces.

    >>> show_safely("a\\x1b[2Jb")
    'a\\\\x1b[2Jb'
    """
    if not keep_lines:
        text = re.sub(r"\s*[\r\n\t]+\s*", " ", text)
    if not _TAME.search(text):
        return text
    pieces: list[str] = []
    for position, character in enumerate(text):
        is_joiner = character in _JOINERS and _stands_between_visible(text, position)
        if is_joiner or character in "\n\t" or (character.isprintable() and not _is_invisible(character)):
            pieces.append(character)
        else:
            pieces.append(_written_out(character))
    return "".join(pieces)


def _is_invisible(character: str) -> bool:
    category = unicodedata.category(character)
    return category in {"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"} or character in "\u115f\u1160\u3164\uffa0\u00ad"


def _stands_between_visible(text: str, position: int) -> bool:
    before, after = text[position - 1 : position], text[position + 1 : position + 2]
    return all(side and side.isprintable() and not side.isspace() for side in (before, after))


def _written_out(character: str) -> str:
    code = ord(character)
    if code <= 0xFF:
        return f"\\x{code:02x}"
    return f"\\u{code:04x}" if code <= 0xFFFF else f"\\U{code:08x}"
