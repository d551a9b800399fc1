"""Figures on the pages against the printed tables they name. Each table is written out here again from the document."""

from __future__ import annotations

import re

import pytest

from kb.entries.folder import Folder
from kb.entries.wording import texts_of
from kb.model import Entry

WIRE_PROTECTION = {22: (5, 5), 20: (7.5, 5), 18: (10, 10), 16: (15, 10), 14: (20, 15), 12: (30, 20), 10: (40, 30)}
"""Copper wire gauge: (circuit breaker A, fuse A). FAA AC 43.13-1B, paragraph 11-48, table 11-3, the rows 22 to 10."""

FABRIC_STRENGTH = {"A": (80, 56), "B": (65, 46), "C": (50, 35)}
"""Original and least strength in lb per inch, undoped. FAA AC 43.13-1B, paragraph 2-33, table 2-1."""


def _prose(entry: Entry) -> str:
    return " ".join(" ".join(text.split()) for _, text in texts_of(entry))


def test_breakers_for_wire_are_those_of_the_table(seed: Folder) -> None:
    """FAA AC 43.13-1B table 11-3: every pair on the page is a row, and every row from 22 to 10 gauge is on the page."""
    steps = seed.entries["breaker-too-big-for-wire"].remedy.steps
    breakers = next(step for step in steps if "these breakers" in step)
    pairs = re.findall(r"(\d\d) gauge ([\d.]+) A", breakers)
    assert {int(gauge): float(amps) for gauge, amps in pairs} == {
        g: float(row[0]) for g, row in WIRE_PROTECTION.items()
    }


def test_fuses_for_wire_are_those_of_the_table(seed: Folder) -> None:
    """FAA AC 43.13-1B table 11-3, the fuse column, which is smaller than the breaker column from 20 gauge up."""
    steps = seed.entries["breaker-too-big-for-wire"].remedy.steps
    fuses = next(step for step in steps if "A fuse has its own" in step)
    found: dict[int, float] = {}
    for gauges, amps in re.findall(r"((?:\d\d and )?\d\d) gauge ([\d.]+) A", fuses):
        found |= {int(gauge): float(amps) for gauge in gauges.split(" and ")}
    assert found == {gauge: float(row[1]) for gauge, row in WIRE_PROTECTION.items()}


@pytest.mark.parametrize("entry_id", ["enamel-over-dope", "fabric-weak-under-sound-coating"])
def test_fabric_floors_stand_with_both_conditions(seed: Folder, entry_id: str) -> None:
    """FAA AC 43.13-1B 2-33b and table 2-1: 46 below 9 lb per sq ft and 160 mph, else 56."""
    prose = _prose(seed.entries[entry_id])
    assert FABRIC_STRENGTH["A"][1] == 56
    assert FABRIC_STRENGTH["B"][1] == 46
    assert re.search(r"\b46\b", prose)
    assert re.search(r"\b56\b", prose)
    assert re.search(r"\b9 lb per sq(uare)? f(oo)?t", prose)
    assert re.search(r"\b160 mph\b", prose)


def test_every_fabric_table_row_named_is_a_row_of_the_table(seed: Folder) -> None:
    """FAA AC 43.13-1B table 2-1: 80/56, 65/46, 50/35."""
    named = {
        (int(new), int(least))
        for entry in seed.entries.values()
        if entry.system == "fabric"
        for new, least in re.findall(r"\b(\d\d)/(\d\d)\b", _prose(entry))
    }
    assert named
    assert named <= set(FABRIC_STRENGTH.values())


@pytest.mark.parametrize(
    ("entry_id", "says"),
    [
        # FAA AC 43.13-1B 7-181b and 7-182: not more than three threads exposed.
        ("turnbuckle-threads-showing", r"[Mm]ore than three threads"),
        # FAA AC 43.13-1B 7-149a and b: one broken wire in a critical area; critical within 1 foot of a swaged fitting.
        (
            "control-cable-wires-broken-at-pulley",
            r"one broken wire in a critical fatigue area .* 1 foot of a swaged",
        ),
        # FAA AC 43.13-1B 1-29g: 8 to 16 percent, 10 to 12 preferred, over 20 fungus probable.
        ("decay-in-undrained-wood-corner", r"8 to 16 percent, 10 to 12 preferred, and over 20"),
        # FAA AC 43.13-1B 4-94a: depth 1/10 of the diameter, 1/4 of the circumference, length one diameter, all at once.
        ("tube-dent-filled-over", r"all at once: .*1/10 of the diameter.*1/4 of the circumference.*one diameter"),
        # FAA AC 43.13-1B 1-45: no bushing; minimal wear at noncritical fittings only with approval.
        ("elongated-bolt-hole-in-wood-spar", r"minimal wear at a NON-critical fitting, and that needs approval"),
    ],
)
def test_a_page_says_what_the_paragraph_says(seed: Folder, entry_id: str, says: str) -> None:
    """The words of the rule and its condition stand in one passage of the page."""
    assert any(re.search(says, " ".join(text.split())) for _, text in texts_of(seed.entries[entry_id]))
