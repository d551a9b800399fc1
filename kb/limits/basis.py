"""The certification basis as an input, and the rule that a part 23 figure is never laid on an older one unsaid."""

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
