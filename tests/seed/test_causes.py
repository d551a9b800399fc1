"""The causes of the seed pages side by side: one physical cause is one candidate, harmless ones do not press."""

from __future__ import annotations

import pytest

from kb.entries.folder import Folder
from kb.narrow import Page, build_case

NOT_QUITE_HARMLESS = {
    "carbon-track-in-distributor-block/wear-dust",  # dust that wants cleaning out before it tracks
    "interior-cloth-without-burn-record/original-trim",  # still to be judged for condition
    "mixed-grease-in-wheel-bearing/healthy",  # a dragging pad or a tyre remains
    "water-standing-in-metal-belly/dust-only",  # lost screws remain
}

SAME = [
    ("fuel-cap-without-vent/airframe-vent-blocked", "tank-vent-line-plugged"),
    ("tank-vent-line-plugged/cap-at-fault", "fuel-cap-without-vent"),
    ("brazed-repair-on-welded-cluster/poor-weld", "amateur-weld-on-structural-tube"),
    ("spar-compression-failure-line/drying-split", "spar-split-along-grain-at-butt"),
    ("spar-compression-failure-line/rib-sawing", "rib-loose-on-spar-nails-or-screws"),
    ("enamel-over-dope/dope-gone-brittle", "ringworm-cracks-in-old-dope"),
    ("control-cable-wires-broken-at-pulley/at-the-swage", "cable-terminal-cracked-or-slipping"),
    ("exhaust-trail-inside-heat-muff/other-way-in", "firewall-hole-plugged-with-household-stuff"),
    ("hardware-store-blind-rivets-in-skin/solid-worked", "smoking-rivets-in-skin"),
    ("hard-putty-on-tank-fitting/rusted-through", "tank-bottom-corroded-through"),
    ("tailwheel-pivot-worn-shimmy/tyre-only", "tyre-slipped-on-rim"),
    ("shock-cord-past-its-age/pivot-or-leg", "home-made-bushing-in-gear-pivot"),
]


@pytest.mark.parametrize(("named", "owner"), SAME)
def test_a_cause_that_another_page_owns_is_no_second_candidate(seed: Folder, named: str, owner: str) -> None:
    """Its share goes to the owner's causes, which then show the signs of both pages."""
    page = named.partition("/")[0]
    case = build_case([Page(seed.entries[page], 1.0), Page(seed.entries[owner], 1.0)])
    bearers = [one for one in case.candidates if named in one.names]
    assert named not in {one.id for one in case.candidates}
    assert {one.entry for one in bearers} == {owner}
    place = case.candidates.index(bearers[0])
    assert {sign.id.partition("/")[0] for sign in case.signs if place in sign.said} >= {page, owner}


def test_a_harmless_cause_presses_less_than_its_page(seed: Folder) -> None:
    """Every one that calls itself innocent without an if, on a page that presses before flight."""
    found = 0
    for entry in seed.entries.values():
        for cause in entry.causes:
            name = f"{entry.id}/{cause.id}"
            if not cause.text.startswith("Innocent: ") or cause.entry or name in NOT_QUITE_HARMLESS:
                continue
            if entry.urgency == "before-flight":
                assert cause.urgency in ("before-return", "information"), name
                found += 1
    assert found > 100


def test_what_a_cause_says_of_the_airframe_is_one_of_few_traits(seed: Folder) -> None:
    """Some thirty pages or more say so; each new trait would be one more question to the person."""
    told = [trait for entry in seed.entries.values() for cause in entry.causes for trait in cause.airframe]
    assert len(told) >= 40
    assert set(told) == {"outdoors", "tube-and-fabric", "years-5", "years-10", "years-20"}
