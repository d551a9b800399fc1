"""Turns a parsed file into a record and reports every field that does not fit, not only the first."""

from __future__ import annotations

import functools
import re
import typing
from collections.abc import Callable, Iterator
from typing import Any, TypeVar

import msgspec

from kb.entries.places import Path

Report = Callable[[Path, str, str], None]
"""Called with the field's path, what is wrong, and the remedy."""

Record = TypeVar("Record", bound=msgspec.Struct)


def shape(raw: dict[str, Any], kind: type[Record], report: Report) -> Record | None:
    """Return the record, or None after reporting each unknown, missing or unfit field of `raw`."""
    flaws = list(_flaws(raw, kind, ()))
    for path, text, remedy in flaws:
        report(path, text, remedy)
    return None if flaws else msgspec.convert(raw, kind)


def _flaws(raw: Any, kind: type[msgspec.Struct], path: Path) -> Iterator[tuple[Path, str, str]]:
    if not isinstance(raw, dict):
        yield path, f"is {_kind_of(raw)}, not a table", "write it as a [table] with its own keys"
        return
    fields = _fields_of(kind)
    for key in raw.keys() - fields.keys():
        yield (*path, key), "is not a field of this record", _nearest(key, list(fields))
    for name, field in fields.items():
        if name in raw:
            yield from _value_flaws(raw[name], field.type, (*path, name))
        elif field.required:
            yield (*path, name), "is missing", f"add {name}, and keep plain values above the first table"


@functools.cache
def _fields_of(kind: type[msgspec.Struct]) -> dict[str, msgspec.structs.FieldInfo]:
    """Return the fields by the key they have in a file; remembered, since resolving annotations is slow."""
    return {field.encode_name: field for field in msgspec.structs.fields(kind)}


def _value_flaws(value: Any, kind: Any, path: Path) -> Iterator[tuple[Path, str, str]]:
    record = _record_in(kind)
    if record is None:
        try:
            msgspec.convert(value, kind)
        except msgspec.ValidationError as error:
            yield path, *_in_plain_words(str(error), kind)
    elif typing.get_origin(kind) is tuple:
        if not isinstance(value, list):
            yield path, f"is {_kind_of(value)}, not a list of tables", f"write [[{path[-1]}]] tables"
            return
        for number, item in enumerate(value):
            yield from _flaws(item, record, (*path, number))
    else:
        yield from _flaws(value, record, path)


def _record_in(kind: Any) -> type[msgspec.Struct] | None:
    inner = typing.get_args(kind)[0] if typing.get_origin(kind) is tuple else kind
    return inner if isinstance(inner, type) and issubclass(inner, msgspec.Struct) else None


def _in_plain_words(message: str, kind: Any) -> tuple[str, str]:
    """Say a validation message without its `$` path, and what would be right."""
    message = re.sub(r" - at `\$.*`$", "", message)
    message = message[:1].lower() + message[1:]
    if "regex" in message and typing.get_origin(kind) is dict:
        return "has a key that is not known here", "use: tube-and-fabric, wood, sheet-metal, outdoors, years-30"
    if "regex" in message:
        return "has a form that is not allowed here", "use lower-case words joined by hyphens, or digits for a code"
    if choices := _choices(kind):
        return message, f"use one of: {', '.join(choices)}"
    return message, "see the schema in DEVELOPERS.md"


def _choices(kind: Any) -> list[str]:
    if typing.get_origin(kind) is typing.Literal:
        return [str(choice) for choice in typing.get_args(kind)]
    return [choice for inner in typing.get_args(kind) if inner is not str for choice in _choices(inner)]


def _nearest(key: str, names: list[str]) -> str:
    from rapidfuzz import process
    from rapidfuzz.distance import OSA

    hit = process.extractOne(key, names, scorer=OSA.normalized_similarity, score_cutoff=0.6)
    return f"did you mean '{hit[0]}'?" if hit else f"the fields are: {', '.join(names)}"


def _kind_of(value: Any) -> str:
    names = {str: "text", int: "a number", list: "a list", dict: "a table", bool: "true or false"}
    return names.get(type(value), type(value).__name__)
