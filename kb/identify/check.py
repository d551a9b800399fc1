"""What a well-formed key must still satisfy: names that lead somewhere, figures with units, candidates told apart."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from kb.entries.places import Path
from kb.identify.model import Candidate, Key, Mark, Measurement
from kb.identify.split import tells_apart

Flaw = tuple[Path, str, str]


def check_key(key: Key, *, file_id: str) -> Iterator[Flaw]:
    """Yield everything wrong with one key; the last rules are looked at only when the names hold."""
    if key.id != file_id:
        yield ("id",), f"'{key.id}' is not the file name '{file_id}'", "make the two equal; ids never change"
    flaws = [*_doubled(key), *_measurements(key), *_order(key), *_sources(key), *_marks(key), *_pairs(key)]
    yield from flaws
    if not flaws:
        yield from _unused(key)
        yield from _apart(key)


def _doubled(key: Key) -> Iterator[Flaw]:
    named = {
        "measurements": [item.id for item in key.measurements],
        "candidates": [item.id for item in key.candidates],
        "sources": [item.id for item in key.sources],
    }
    for name, ids in named.items():
        for number, item in enumerate(ids):
            if item in ids[:number]:
                yield (name, number, "id"), f"'{item}' stands twice", "give each its own id"
    if len(key.candidates) < 2:
        yield ("candidates",), "holds fewer than two", "a key needs at least two things to tell apart"


def _measurements(key: Key) -> Iterator[Flaw]:
    for number, item in enumerate(key.measurements):
        path: Path = ("measurements", number)
        if item.kind == "choice":
            if len({choice.id for choice in item.choices}) < 2 or len({c.id for c in item.choices}) < len(item.choices):
                yield (*path, "choices"), "needs at least two choices, each once", "list what may be seen"
            for name in item.silent:
                if name not in {choice.id for choice in item.choices}:
                    yield (*path, "silent"), f"'{name}' is no choice of it", "name one of its choices"
            if item.unit or item.low or item.high or item.within:
                yield path, "is a choice and has a unit or figures", "leave unit, low, high and within out"
        else:
            if item.choices or item.silent:
                yield (*path, "choices"), "belong to a choice, and this is a number", "leave them out"
            if item.unit is None or not item.low < item.high or item.within < 0:
                yield path, "needs a unit, low below high, and within of 0 or more", "state what can be meant at all"


def _order(key: Key) -> Iterator[Flaw]:
    """Yield each milder measurement that is none, or does not stand before the stronger one in the file."""
    before: dict[str, set[str]] = {}
    for number, item in enumerate(key.measurements):
        path: Path = ("measurements", number, "after")
        for name, choices in item.after.items():
            if name not in before:
                yield path, f"'{name}' is no measurement above it", "put the milder one first, or correct the name"
            else:
                for choice in sorted(set(choices) - before[name]):
                    yield path, f"'{choice}' is no choice of '{name}'", f"use one of: {', '.join(sorted(before[name]))}"
        before[item.id] = {choice.id for choice in item.choices}


def _sources(key: Key) -> Iterator[Flaw]:
    for number, source in enumerate(key.sources):
        if not source.where and source.checked != "common-practice":
            yield ("sources", number, "where"), "names no paragraph", "name it, or mark the source common-practice"
        if source.where and source.checked == "common-practice":
            yield ("sources", number, "where"), "names a paragraph for common practice", "leave it empty"
    known = {source.id for source in key.sources}
    for path, names in _cited(key):
        if not names:
            yield path, "names no source", "every figure and mark carries its source"
        for name in names:
            if name not in known:
                yield path, f"'{name}' is no source of this file", f"use one of: {', '.join(sorted(known))}"


def _cited(key: Key) -> Iterator[tuple[Path, tuple[str, ...]]]:
    for number, candidate in enumerate(key.candidates):
        for place, mark in enumerate(candidate.marks):
            yield ("candidates", number, "marks", place), mark.sources
        if candidate.sizes:
            yield ("candidates", number, "size_sources"), candidate.size_sources
    for number, pair in enumerate(key.look_alikes):
        yield ("look_alikes", number, "sources"), pair.sources


def _marks(key: Key) -> Iterator[Flaw]:
    known = {item.id: item for item in key.measurements}
    for number, candidate in enumerate(key.candidates):
        path: Path = ("candidates", number)
        if not candidate.marks and not candidate.sizes:
            yield path, "has neither marks nor sizes", "say what proves it"
        names = [mark.measure for mark in candidate.marks]
        for place, mark in enumerate(candidate.marks):
            where: Path = (*path, "marks", place)
            if names.count(mark.measure) > 1:
                yield where, f"'{mark.measure}' is marked twice", "put both into one mark"
            if mark.measure not in known:
                yield where, f"'{mark.measure}' is no measurement", f"use one of: {', '.join(known)}"
            else:
                yield from _mark(where, mark, known[mark.measure])
        yield from _sizes(path, candidate, known)


def _mark(path: Path, mark: Mark, measurement: Measurement) -> Iterator[Flaw]:
    figures = bool(mark.at) or mark.low is not None or mark.high is not None
    if measurement.kind == "choice":
        if not mark.any_of or figures or mark.within is not None:
            yield path, f"'{mark.measure}' is a choice", "give any_of, and no figures"
        ids = [choice.id for choice in measurement.choices]
        for choice in mark.any_of:
            if choice not in ids:
                yield path, f"'{choice}' is no choice of '{mark.measure}'", f"use one of: {', '.join(ids)}"
            if choice in measurement.silent:
                yield path, f"'{choice}' is a silent choice", "a mark names something seen; leave it out"
    elif mark.any_of or not figures:
        yield path, f"'{mark.measure}' is a number", "give at, or low and high, and no any_of"
    elif any(not measurement.low <= value <= measurement.high for value in (*mark.at, *_ends(mark))):
        yield path, f"has a figure outside {measurement.low} to {measurement.high}", "correct it or the range"


def _ends(mark: Mark) -> list[float]:
    return [end for end in (mark.low, mark.high) if end is not None]


def _sizes(path: Path, candidate: Candidate, known: dict[str, Measurement]) -> Iterator[Flaw]:
    marked = {mark.measure for mark in candidate.marks}
    for place, size in enumerate(candidate.sizes):
        for name, figure in size.at.items():
            where: Path = (*path, "sizes", place)
            if name not in known or known[name].kind != "number":
                yield where, f"'{name}' is no measurement with figures", "name one that is"
            elif name in marked:
                yield where, f"'{name}' stands in the marks too", "leave it in one of the two"
            else:
                ends = figure if isinstance(figure, tuple) else (figure, figure)
                if not known[name].low <= ends[0] <= ends[1] <= known[name].high:
                    yield where, f"'{name}' is outside the range of its measurement", "correct it or the range"


def _pairs(key: Key) -> Iterator[Flaw]:
    ids = [candidate.id for candidate in key.candidates]
    named = {
        "look_alikes": [item.pair for item in key.look_alikes],
        "inseparable": [item.pair for item in key.inseparable],
    }
    for field, pairs in named.items():
        for number, pair in enumerate(pairs):
            for name in pair:
                if name not in ids:
                    yield (field, number, "pair"), f"'{name}' is no candidate", f"use two of: {', '.join(ids)}"
            if pair[0] == pair[1]:
                yield (field, number, "pair"), "names one candidate twice", "name two"


def _unused(key: Key) -> Iterator[Flaw]:
    used = {mark.measure for candidate in key.candidates for mark in candidate.marks}
    used |= {name for candidate in key.candidates for size in candidate.sizes for name in size.at}
    for number, item in enumerate(key.measurements):
        if item.id not in used:
            yield ("measurements", number), f"no candidate has a mark for '{item.id}'", "leave it out or use it"
    cited = {name for _, names in _cited(key) for name in names}
    for number, source in enumerate(key.sources):
        if source.id not in cited:
            yield ("sources", number), f"nothing cites '{source.id}'", "cite it or leave it out"


def _apart(key: Key) -> Iterator[Flaw]:
    said = {frozenset(pair.pair): number for number, pair in enumerate(key.inseparable)}
    for first, second in combinations(key.candidates, 2):
        told = tells_apart(key, first, second)
        number = said.get(frozenset((first.id, second.id)))
        if not told and number is None:
            text = f"nothing tells '{first.id}' from '{second.id}'"
            yield ("candidates",), text, "add a mark that differs, or an [[inseparable]] pair that says why"
        if told and number is not None:
            text = f"'{first.id}' and '{second.id}' are told apart by {', '.join(told)}"
            yield ("inseparable", number), text, "leave the pair out"
