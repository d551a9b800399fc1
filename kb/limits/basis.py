"""What a figure is of: the certification basis, or one maker's type. Neither is laid on another aircraft unsaid."""

from __future__ import annotations

from kb.limits.model import Input, Ruling
from kb.limits.ruling import not_covered
from kb.model import Source

MAKER_FIRST = "Does not depend on the certification basis; the maker's data come first."
PART_23 = "Part 23 figure (wording before 2017); on an older basis it is named but judges nothing."

BASIS_INPUT = Input(
    "basis", "Certification basis, from the type data sheet", choices=("part-23", "car-3", "car-4a", "older", "unknown")
)
"""Part 23 means the wording before 2017; the older rules are those of the 1930s to 1950s."""

_SAID = {"car-3": "CAR 3", "car-4a": "CAR 4a", "older": "an older rule", "unknown": "an unknown basis"}


def under_part_23(basis: str, ruling: Ruling, source: Source) -> Ruling:
    """Return the ruling on a part 23 aircraft; on any other judge nothing, and name the figure as guidance."""
    if basis == "part-23":
        return ruling
    return not_covered(
        f"the figure is of part 23; this aircraft stands under {_SAID[basis]}, whose rule or maker's data govern",
        source,
        notes=(f"for guidance only, under part 23: {ruling.sentence}",),
    )


ONE_TYPE = "Figures of one type, printed as an example; on any other they are named but judge nothing."
ONE_TYPE_INPUT = Input(
    "same-type", "Is it the very type that the figures are of, by plate and manual", choices=("yes", "no", "unknown")
)


def of_one_type(same_type: str, ruling: Ruling, source: Source) -> Ruling:
    """Return the ruling on the type the figures are of; on any other judge nothing, and name them as an example."""
    if same_type == "yes":
        return ruling
    return not_covered(
        "the figures are of one type only; the maker's data of this one govern",
        source,
        notes=tuple(f"an example only, of that one type: {text}" for text in (ruling.sentence, *ruling.notes)),
    )
