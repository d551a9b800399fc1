"""Lays a key and its answers out as numbered parts, as pages are; both faces show these. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from kb.identify.model import Apart, Given, Identification, Key, Measurement, NextLook, Standing, Statement
from kb.identify.quantity import spell
from kb.model import Source
from kb.page import Block, Page, Part

VERDICT_WORDS = {"fits": "FITS", "contradicts": "CONTRADICTED", "not-known": "NOT YET KNOWN"}
"""How each verdict on a candidate is said to a reader."""

_STATEMENT_WORDS = {"fits": "fits", "contradicts": "against", "not-known": "not known"}


def lay_out_key(key: Key, first: Identification) -> Page:
    """Return what a key asks for and what it can tell apart; `first` is its answer to no evidence."""
    parts = [
        ("Measure first", [Block(first.next.sentence, mark=first.next.measurement)] if first.next else []),
        ("What can be measured", [block for item in key.measurements for block in measurement_blocks(item)]),
        ("What it may be", [Block(candidate.title, mark=candidate.id) for candidate in key.candidates]),
        ("Keep apart", _apart_blocks((*first.look_alikes, *first.cannot_tell), _Numbers())),
        ("Not covered", [Block(text) for text in key.not_covered]),
        ("Pages", _links(key)),
    ]
    return _page(key, f"{len(key.candidates)} candidates, {len(key.measurements)} measurements", parts)


def lay_out_answer(key: Key, answer: Identification) -> Page:
    """Return the whole answer: candidates best first, what must be kept apart, the next look, warnings, sources."""
    numbers = _Numbers()
    beside = {f"{answer.next.title}: {caution}" for caution in answer.next.cautions} if answer.next else set()
    parts = [
        ("Given", [Block(item.used + _as_typed(item), mark=item.measurement) for item in answer.given]),
        ("Candidates", [block for one in answer.candidates for block in standing_blocks(key, one, numbers)]),
        ("Keep apart", _apart_blocks((*answer.look_alikes, *answer.cannot_tell), numbers)),
        ("Measure next", next_blocks(key, answer.next)),
        ("Warnings", [Block(text, tone="caution") for text in answer.warnings if text not in beside]),
        ("Sources", list(numbers.blocks())),
        ("Pages", _links(key)),
    ]
    return _page(key, answer.claim, parts)


def measurement_blocks(item: Measurement) -> list[Block]:
    """Return one measurement: what it is, its cautions, how it is taken, and what may be answered."""
    head = Block(f"{item.title} ({minutes(item)}{', last resort' if item.last else ''})", mark=item.id)
    beware = [Block(text, mark="BEWARE", tone="caution") for text in item.cautions]
    answers = [Block(choice.text, mark=f"={choice.id}") for choice in item.choices]
    return [head, *beware, Block(item.how), *(answers or [Block(span(item), mark="=figure")])]


def standing_blocks(key: Key, one: Standing, numbers: _Numbers) -> list[Block]:
    """Return one candidate with every statement about it; the numbers in brackets lead to the sources."""
    titles = {item.id: item.title for item in key.measurements}
    place = f"{one.place}. " if one.place is not None else ""
    means = "" if one.contradicts else f": {one.means}"
    blocks = [Block(f"{place}{one.title}{means}", mark=VERDICT_WORDS[one.verdict])]
    blocks += [_said(said, numbers) for said in (*one.contradicts, *one.fits, *one.undecided)]
    if one.sizes:
        blocks.append(Block(", ".join(one.sizes), mark="sizes left", tone="quiet"))
    if one.still and not one.contradicts:
        blocks.append(Block("; ".join(titles[name] for name in one.still), mark="still open", tone="quiet"))
    return blocks


def next_blocks(key: Key, look: NextLook | None) -> list[Block]:
    """Return the next look: why this one, then the measurement itself with its cautions before its steps."""
    if look is None:
        return [Block("nothing in this key divides what is left any further", tone="quiet")]
    why = Block(look.sentence, mark="why")
    return [*(b for m in key.measurements if m.id == look.measurement for b in measurement_blocks(m)), why]


def lay_out_candidate(key: Key, answer: Identification, candidate_id: str) -> Page:
    """Return one candidate of an answer with all that is said about it and its pairs.

    Raises:
        StopIteration: the answer has no such candidate.
    """
    one = next(one for one in answer.candidates if one.id == candidate_id)
    numbers = _Numbers()
    pairs = [pair for pair in (*answer.look_alikes, *answer.cannot_tell) if one.title in (pair.first, pair.second)]
    parts = [
        ("What speaks for and against it", standing_blocks(key, one, numbers)),
        ("Keep apart", _apart_blocks(pairs, numbers)),
        ("Sources", list(numbers.blocks())),
    ]
    return _page(key, answer.claim, parts)


def choices_by_number(item: Measurement, typed: str) -> str:
    """Return the names of the choices whose numbers (from 1, as shown) were typed, by comma, or what was typed.

    A choice whose own name is typed stays as it is, and so does every figure.
    """
    ids = [choice.id for choice in item.choices]

    def name(part: str) -> str:
        part = part.strip()
        place = int(part) if part.isascii() and part.isdigit() and len(part) < 4 else 0
        return ids[place - 1] if part not in ids and 0 < place <= len(ids) else part

    return ",".join(name(part) for part in typed.split(",")) if ids else typed


def span(item: Measurement) -> str:
    """Return what figure is wanted, in words."""
    tolerance = f", told apart within {spell(item.within, item.unit)}" if item.within else ""
    return f"from {spell(item.low, item.unit)} to {spell(item.high, item.unit)}{tolerance}"


def minutes(item: Measurement) -> str:
    """Return how long a measurement takes, in words."""
    return f"{item.minutes} minute{'s' if item.minutes > 1 else ''}"


class _Numbers:
    """Numbers sources in the order they are first cited."""

    def __init__(self) -> None:
        self._places: dict[Source, int] = {}

    def cite(self, sources: Iterable[Source]) -> str:
        places = [self._places.setdefault(source, len(self._places) + 1) for source in sources]
        return f" [{', '.join(map(str, places))}]" if places else ""

    def blocks(self) -> Iterator[Block]:
        for source, place in self._places.items():
            where = f"{source.document}, {source.where}" if source.where else source.document
            yield Block(source.says, mark=f"[{place}]", note=f"{where}; {source.checked.replace('-', ' ')}")


def _said(said: Statement, numbers: _Numbers) -> Block:
    return Block(said.sentence + numbers.cite(said.sources), mark=_STATEMENT_WORDS[said.verdict])


def _apart_blocks(pairs: Iterable[Apart], numbers: _Numbers) -> list[Block]:
    blocks = []
    for pair in pairs:
        mark = pair.rule.replace("-", " ")
        told = f"; told apart by {', '.join(pair.told_by)}" if pair.told_by else ""
        blocks.append(
            Block(
                f"{pair.first} | {pair.second}: {pair.why}{told}{numbers.cite(pair.sources)}", mark=mark, tone="never"
            )
        )
    return blocks


def _links(key: Key) -> list[Block]:
    return [Block(entry.replace("-", " ").capitalize(), mark="page", link=entry) for entry in key.entries]


def _as_typed(item: Given) -> str:
    return "" if item.typed in (item.used, ",".join(item.choices)) else f" (typed: {item.typed})"


def _page(key: Key, said: str, parts: Sequence[tuple[str, Sequence[Block]]]) -> Page:
    """Number the parts that hold something, in the order given."""
    filled = [(title, blocks) for title, blocks in parts if blocks]
    return Page(
        id=key.id,
        title=key.title,
        urgency="IDENTIFY",
        urgency_why=said,
        facts=f"key {key.id}",
        summary=key.about,
        parts=tuple(Part(number, title, tuple(blocks)) for number, (title, blocks) in enumerate(filled, start=1)),
    )
