"""Writes an entry as the text of its file: read again, it is the same entry."""

from __future__ import annotations

import re
import unicodedata
from datetime import date
from typing import Any

import msgspec

from kb.model import Entry

_HIDDEN = ("Cc", "Cf", "Co", "Cn", "Zl", "Zp")
_PLAIN = re.compile(r"[\x20-\x7e\n]*")


def as_toml(entry: Entry) -> str:
    """Return the text of an entry's file."""
    return write_table(msgspec.to_builtins(entry, builtin_types=(date,)))


def write_table(table: dict[str, Any]) -> str:
    """Return TOML with every character that could hide itself or drive a terminal written as TOML escapes it."""
    import tomli_w

    is_plain = "\\r" not in repr(table)  # of texts in several lines the writer makes each \r\n a \n
    return "".join(map(_escaped, tomli_w.dumps(table, multiline_strings=is_plain)))


def _escaped(character: str) -> str:
    # Outside of strings stand only names of fields and of signs, which are plain.
    if _PLAIN.fullmatch(character) or unicodedata.category(character) not in _HIDDEN:
        return character
    code = ord(character)
    return f"\\u{code:04x}" if code <= 0xFFFF else f"\\U{code:08x}"
