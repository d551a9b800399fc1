"""Two metals in contact: difference of their anodic indices against what the surroundings allow."""

from __future__ import annotations

from kb.limits.model import Example, Input, Limit, Ruling
from kb.limits.ruling import at_most, not_covered
from kb.model import Source

INDEX: dict[str, tuple[float, bool]] = {
    # metal: anodic index in volts, whether read in a table (False: remembered)
    "gold": (0.00, True),
    "rhodium-on-silvered-copper": (0.05, True),
    "silver": (0.15, True),
    "nickel-copper-alloy": (0.15, True),
    "nickel": (0.30, True),
    "titanium": (0.30, True),
    "copper": (0.35, True),
    "silver-solder": (0.35, True),
    "nickel-chromium": (0.35, True),
    "brass-or-bronze": (0.40, True),
    "high-brass-or-bronze": (0.45, True),
    "18-chromium-stainless": (0.50, True),
    "12-chromium-stainless": (0.60, True),
    "chromium-plate": (0.60, True),
    "tin-lead-solder": (0.65, True),
    "lead": (0.70, True),
    "aluminium-2000-series": (0.75, True),
    "steel": (0.85, False),
    "aluminium-other-wrought": (0.90, False),
    "aluminium-cast": (0.95, False),
    "cadmium-plate": (0.95, False),
    "zinc": (1.25, False),
    "magnesium": (1.75, False),
}
"""Anodic index, volts. Rows to 0.85 stand in a published hobby reference [secondary]; the rest is remembered, and for
cadmium another table says 0.80 against 0.95: such pairs are never judged. Tin plate stands there twice (0.60, 0.65)."""

ALLOWED = {"harsh": 0.15, "normal": 0.25, "controlled": 0.50}
"""Greatest difference in volts by surroundings [secondary]; it goes round with the index, and is not in MIL-STD-889."""

_SOURCE = Source(
    "anodic index tables", "two public reference pages", "Index and allowed difference by surroundings.", "secondary"
)
_MEMORY = Source(
    "MIL-STD-889", "table of couples", "The compatibility of the pair stands there; remembered index only.", "memory"
)


def _pair(first: str, second: str, surroundings: str) -> Ruling:
    (first_index, first_read), (second_index, second_read) = INDEX[first], INDEX[second]
    gap = round(abs(first_index - second_index), 9)
    if not (first_read and second_read):
        guessed = first if not first_read else second
        return not_covered(
            f"the index of {guessed.replace('-', ' ')} is only remembered, and tables disagree",
            _MEMORY,
            remembered=f"index {INDEX[guessed][0]:.2f} V, difference {gap:.2f} V",
        )
    anode = first if first_index > second_index else second
    notes = [f"{anode.replace('-', ' ')} corrodes"] if gap else ["the two have the same index"]
    if gap:
        notes.append("small anode against large cathode is the worst case (MIL-STD-1250A 5.7)")
    return at_most(
        "difference of the pair", gap, ALLOWED[surroundings], "V", source=_SOURCE, notes=tuple(notes), scale=(0.0, 1.0)
    )


LIMITS = (
    Limit(
        id="metal-pair",
        title="Two metals in contact",
        system="corrosion",
        inputs=(
            Input("first", "One surface; judge by the plating, not the base", choices=tuple(INDEX)),
            Input("second", "The other surface", choices=tuple(INDEX)),
            Input("surroundings", "harsh: salt, outdoors; normal: storage; controlled: dry", choices=tuple(ALLOWED)),
        ),
        sources=(_SOURCE,),
        basis="Does not depend on the certification basis; the maker's drawing and finish specification come first.",
        assumes=("Bare metals touch where water can lie.", "Judged by the plating (MIL-DTL-14072F 3.13)."),
        does_not_cover=(
            "Steel, zinc, magnesium, cadmium plate and other aluminium: their index is only remembered.",
            "Joints kept dry, sealed, or parted by primer and tape.",
        ),
        caution="Scrape no plating off to find out what is below it.",
        examples=(
            Example(
                {"first": "gold", "second": "silver", "surroundings": "harsh"},
                "at", "the reference page's own check: gold and silver, 0.15 V", 0.15,
            ),
            Example(
                {"first": "brass-or-bronze", "second": "aluminium-2000-series", "surroundings": "normal"},
                "beyond", "computed", 0.25,
            ),
            Example(
                {"first": "cadmium-plate", "second": "aluminium-2000-series", "surroundings": "harsh"},
                "not-covered", "computed",
            ),
        ),
        rule=_pair,
    ),
)  # fmt: skip
