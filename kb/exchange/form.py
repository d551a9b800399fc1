"""How a finding stands in a row of a table that oddfix writes, so that the row read back is the same finding."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

import msgspec

from kb.errors import UsageProblem
from kb.model import Content, Finding

CONTENT = Content.__struct_fields__
FIELDS = ("id", "revision", *CONTENT, "said", "created", "revised")
"""The columns, in order."""

LISTS = {"entries", "photos"}
NUMBERS: dict[str, type[int] | type[float]] = {"hours": float, "minutes": int}

_STARTS_A_FORMULA = re.compile(r"'|[\t\r\n\0]|\s*[=+@＝＋＠－-]")
"""What a spreadsheet may take for a formula at the start of a cell. Source: OWASP Application Security Verification
Standard, requirement 1.2.10 (= + - @, tab, zero byte; a single quote before them), read in a copy; carriage return
and full-width signs: OWASP, "CSV Injection", from memory. Blanks before a sign are our own care. A cell that begins
with an apostrophe is guarded too, so that taking one off again is exact."""

_FIELD_OF = re.compile(r"`\$\.(\w+)")


def guard(text: str) -> str:
    """Return a cell that no spreadsheet takes for a formula: with an apostrophe before it, if it may be one."""
    return f"'{text}" if _STARTS_A_FORMULA.match(text) else text


def unguard(cell: str) -> str:
    """Return the text that `guard` was given.

    >>> [unguard(guard(text)) for text in ("=1+1", "'=1+1", "oil")]
    ['=1+1', "'=1+1", 'oil']
    """
    return cell.removeprefix("'")


def cells_of(finding: Finding) -> list[str]:
    """Return the cells of a finding, in the order of FIELDS."""
    return [_cell(name, getattr(finding, name)) for name in FIELDS]


def finding_of(cells: Mapping[str, str]) -> Finding:
    """Return the finding that stands in these cells, by field.

    Raises:
        UsageProblem: a cell does not hold what oddfix wrote there.
    """
    values = {name: _value(name, cells[name]) for name in FIELDS if cells[name]}
    try:
        return msgspec.convert(values, Finding)
    except msgspec.ValidationError as error:
        raise _not_ours(error) from None


def finding_in(line: str) -> Finding:
    """Return the finding that one line of JSON Lines holds.

    Raises:
        UsageProblem: it is not what oddfix wrote there.
    """
    try:
        return msgspec.json.decode(line, type=Finding)
    except msgspec.ValidationError as error:
        raise _not_ours(error) from None
    except (msgspec.DecodeError, UnicodeEncodeError):
        raise UsageProblem("the line is no JSON object") from None


def values_of(cells: Mapping[str, str]) -> dict[str, Any]:
    """Return the fields of content that are filled in these cells, unchecked."""
    return {name: _value(name, cells[name]) for name in CONTENT if cells[name]}


def _cell(name: str, value: Any) -> str:
    if value is None or value == ():
        return ""
    if name in NUMBERS:
        return repr(value)
    if name in LISTS:
        is_plain = not any(re.search(r"\s|^$", one) for one in value) and not value[0].startswith("[")
        return guard(" ".join(value) if is_plain else msgspec.json.encode(value).decode())
    return guard(value)


def _value(name: str, cell: str) -> Any:
    if name in NUMBERS:
        try:
            return NUMBERS[name](cell)
        except ValueError:
            raise UsageProblem(f"{name} '{cell[:40]}' is no number") from None
    text = unguard(cell)
    if name not in LISTS:
        return text
    if not text.startswith("["):
        return text.split(" ")
    try:
        return msgspec.json.decode(text)
    except msgspec.DecodeError:
        raise UsageProblem(f"{name} is not as oddfix writes it") from None


def _not_ours(error: msgspec.ValidationError) -> UsageProblem:
    field = _FIELD_OF.search(str(error))
    return UsageProblem(f"{field[1]} is not as oddfix writes it" if field else "it lacks what every finding has")
