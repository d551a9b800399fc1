"""Figures of the keys against the printed tables, each written out here again from the document named."""

from __future__ import annotations

import pytest

from kb.identify import key
from kb.identify.model import Candidate, Mark

CABLE = [
    # FAA AC 43.13-1B table 7-3, page 7-28: diameter, construction, plus tolerance, lb carbon steel, lb CRES.
    ("3/64", 3 / 64, "7x7", 0.008, 270, 270),
    ("1/16", 1 / 16, "7x7", 0.010, 480, 480),
    ("3/32", 3 / 32, "7x7", 0.012, 920, 920),
    ("1/16", 1 / 16, "7x19", 0.010, 480, 480),
    ("3/32", 3 / 32, "7x19", 0.012, 1000, 920),
    ("1/8", 1 / 8, "7x19", 0.014, 2000, 1760),
    ("5/32", 5 / 32, "7x19", 0.016, 2800, 2400),
    ("3/16", 3 / 16, "7x19", 0.018, 4200, 3700),
    ("7/32", 7 / 32, "7x19", 0.018, 5600, 5000),
    ("1/4", 1 / 4, "7x19", 0.018, 7000, 6400),
    ("9/32", 9 / 32, "7x19", 0.020, 8000, 7800),
    ("5/16", 5 / 16, "7x19", 0.022, 9800, 9000),
    ("11/32", 11 / 32, "7x19", 0.024, 12500, None),
    ("3/8", 3 / 8, "7x19", 0.026, 14400, 12000),
]

HOSE_OD = {
    # FAA AC 43.13-1B table 9-3, page 9-22: MIL-H-8794, dash and hose outside diameter in inches.
    "-3": 0.45, "-4": 0.52, "-5": 0.58, "-6": 0.67, "-8": 0.77, "-10": 0.92, "-12": 1.08, "-16": 1.23,
    "-20": 1.50, "-24": 1.75, "-32": 2.22, "-40": 2.88, "-48": 3.56,
}  # fmt: skip

RIVETS = {
    # NAVEDTRA 14315 table 3-1: code letters and head marking.
    "a-1100": "plain", "ad-2117": "dimple", "d-2017": "teat", "dd-2024": "two-dashes", "b-5056": "cross",
}  # fmt: skip

FLARED = {
    # Trade size charts of 37 degree fittings, two that agree: dash, tube in sixteenths, thread diameter, per inch.
    "-2": (0.3125, 24), "-3": (0.375, 24), "-4": (0.4375, 20), "-5": (0.5, 20), "-6": (0.5625, 18),
    "-8": (0.75, 16), "-10": (0.875, 14), "-12": (1.0625, 12), "-16": (1.3125, 12), "-20": (1.625, 12),
    "-24": (1.875, 12),
}  # fmt: skip

FLARE_45 = {
    # Plumbing supply training page, flare thread chart, row "flare 45".
    0.3125: 24, 0.375: 24, 0.4375: 20, 0.5: 20, 0.625: 18, 0.6875: 16, 0.75: 16, 0.875: 14, 1.0625: 14,
    1.25: 12, 1.375: 12,
}  # fmt: skip

PIPE = {
    # ANSI B2.1-1968, basic dimensions of NPT: outside diameter and threads per inch.
    "1/16 pipe": (0.3125, 27), "1/8 pipe": (0.405, 27), "1/4 pipe": (0.540, 18), "3/8 pipe": (0.675, 18),
    "1/2 pipe": (0.840, 14), "3/4 pipe": (1.050, 14),
}  # fmt: skip

FUEL = {
    # API/IP Standard 1542 (2007), avgas colour code.
    "avgas-80": "red", "avgas-82ul": "purple", "avgas-91": "brown", "avgas-100": "green", "avgas-100ll": "blue",
}  # fmt: skip

BANDS = {
    # Aluminium design manual, table 4.6, colour code of alloys.
    "al-1100": "white", "al-2014": "grey", "al-2024": "red", "al-3003": "green", "al-5052": "purple",
    "al-6061": "blue", "al-7075": "black",
}  # fmt: skip


def _candidate(key_id: str, candidate_id: str) -> Candidate:
    return next(one for one in key(key_id).candidates if one.id == candidate_id)


def _mark(key_id: str, candidate_id: str, measure: str) -> Mark:
    return next(mark for mark in _candidate(key_id, candidate_id).marks if mark.measure == measure)


@pytest.mark.parametrize(("steel", "column"), [("carbon", 4), ("stainless", 5)])
@pytest.mark.parametrize("lay", ["7x7", "7x19"])
def test_cable_sizes_are_the_rows_of_the_strength_table(steel: str, column: int, lay: str) -> None:
    """AC 43.13-1B table 7-3: every row 3/64 to 3/8, plus tolerance and strength; 11/32 CRES has no value."""
    rows = [row for row in CABLE if row[2] == lay and row[column] is not None]
    sizes = _candidate("control-cable", f"c-{lay}-{steel}").sizes
    assert [size.label for size in sizes] == [f"{row[0]}, {row[column]:,} lb" for row in rows]
    for size, row in zip(sizes, rows, strict=True):
        assert size.at["diameter"] == pytest.approx((row[1], row[1] + row[3]))


def test_the_smallest_and_largest_constructions_stand_in_their_rows() -> None:
    """AC 43.13-1B table 7-3: 1/32 is 3x7 with +0.006; 7/16 and 1/2 are 6x19 with +0.030 and +0.033."""
    assert _candidate("control-cable", "c-3x7").sizes[0].at["diameter"] == pytest.approx((1 / 32, 1 / 32 + 0.006))
    found = [size.at["diameter"] for size in _candidate("control-cable", "c-6x19").sizes]
    assert found == [pytest.approx((7 / 16, 7 / 16 + 0.030)), pytest.approx((0.5, 0.533))]


def test_hose_diameters_are_those_of_the_hose_table() -> None:
    """AC 43.13-1B table 9-3, thirteen rows."""
    assert {size.label: size.at["od"] for size in _candidate("hose", "mil-8794").sizes} == HOSE_OD


@pytest.mark.parametrize(("candidate", "mark"), RIVETS.items())
def test_rivet_marks_are_those_of_the_material_table(candidate: str, mark: str) -> None:
    """NAVEDTRA 14315 table 3-1."""
    assert _mark("rivet-head-marks", candidate, "mark").any_of == (mark,)


@pytest.mark.parametrize(
    ("candidate", "marks"),
    [("an-steel", ("cross", "one-dash")), ("an-stainless", ("one-dash",)), ("an-aluminium", ("two-dashes",)),
     ("nas-close", ("triangle",)), ("special", ("spec",)), ("unmarked", ("none",))],
)  # fmt: skip
def test_bolt_marks_are_those_of_the_paragraph(candidate: str, marks: tuple[str, ...]) -> None:
    """AC 43.13-1B 7-36a and b: dash or asterisk, dash, two dashes, triangle, SPEC, none."""
    assert _mark("bolt-head-marks", candidate, "mark").any_of == marks


@pytest.mark.parametrize("candidate", ["an-flared", "industrial-37"])
def test_flared_threads_are_those_of_the_charts(candidate: str) -> None:
    """Eleven sizes, -2 to -24; the dash number is the tube in sixteenths (TM 1-1500-204-23-2 table 4-9, note)."""
    sizes = _candidate("thread-and-fitting", candidate).sizes
    assert {size.label.partition(",")[0]: (size.at["od"], size.at["tpi"]) for size in sizes} == FLARED


def test_45_degree_threads_are_those_of_the_chart() -> None:
    """Eleven sizes; six of them are also sizes of the 37 degree family, which is why the two screw together."""
    sizes = _candidate("thread-and-fitting", "sae-45").sizes
    assert {size.at["od"]: size.at["tpi"] for size in sizes} == FLARE_45
    assert len(set(FLARE_45.items()) & set(FLARED.values())) == 6


def test_pipe_threads_are_those_of_the_standard() -> None:
    """ANSI B2.1, 1/16 to 3/4."""
    sizes = _candidate("thread-and-fitting", "pipe-npt").sizes
    assert {size.label: (size.at["od"], size.at["tpi"]) for size in sizes} == PIPE


def test_cone_angles_are_37_35_and_45() -> None:
    """FAA-H-8083-30 p. 7-5: 35 to 37 aircraft, 45 automotive; flash cards: 35 for the old type."""
    angles = {one: _mark("thread-and-fitting", one, "cone-angle").at for one in ("an-flared", "ac-flared", "sae-45")}
    assert angles == {"an-flared": (37.0,), "ac-flared": (35.0,), "sae-45": (45.0,)}


@pytest.mark.parametrize(
    ("candidate", "low", "high"), [("cotton-a", 80, 84), ("cotton-intermediate", 80, 94), ("cotton-light", None, 110)]
)
def test_thread_counts_are_those_of_the_fabric_table(candidate: str, low: float | None, high: float) -> None:
    """AC 43.13-1B table 2-1 and 2-31."""
    mark = _mark("fabric", candidate, "count")
    assert (mark.low, mark.high) == (low, high)


@pytest.mark.parametrize(("candidate", "colour"), FUEL.items())
def test_fuel_colours_are_those_of_the_marking_standard(candidate: str, colour: str) -> None:
    """API/IP Standard 1542."""
    assert _mark("fuel-colour", candidate, "colour").any_of == (colour,)


@pytest.mark.parametrize(("candidate", "band"), BANDS.items())
def test_alloy_bands_hold_the_colour_of_the_table(candidate: str, band: str) -> None:
    """Aluminium design manual table 4.6; remembered aircraft colours stand beside, never instead."""
    assert band in _mark("tubing", candidate, "band").any_of


@pytest.mark.parametrize(
    ("candidate", "colour"),
    [("stainless", "nothing"), ("steel", "brown"), ("copper", "green-blue"), ("brass", "green-blue"),
     ("nickel-copper", "slow-greenish-blue"), ("al-5052", "no-colour")],
)  # fmt: skip
def test_acid_reactions_are_those_of_the_navy_text(candidate: str, colour: str) -> None:
    """NAVEDTRA 14345, acid test (stainless, steel); NAVEDTRA 14119, nitric acid test (the others)."""
    assert _mark("tubing", candidate, "nitric").any_of == (colour,)


def test_old_resorcinol_cannot_be_older_than_its_introduction() -> None:
    """Encyclopaedia article on resorcinol glue: introduced in 1943."""
    assert _mark("wood-adhesive", "resorcinol", "year").low == 1943


@pytest.mark.parametrize(
    ("candidate", "oil", "mek"), [("nitrate", "softens", None), ("acrylic", "no-effect", "pigment"),
                                  ("epoxy", "no-effect", "no-effect")],
)  # fmt: skip
def test_finish_tests_are_those_of_the_handbook(candidate: str, oil: str, mek: str | None) -> None:
    """FAA-H-8083-31, identification of paint finishes: oil first; MEK on acrylic and epoxy, never on nitrocellulose."""
    assert _mark("finish", candidate, "oil").any_of == (oil,)
    measures = {mark.measure: mark.any_of for mark in _candidate("finish", candidate).marks}
    assert measures.get("mek") == ((mek,) if mek else None)


def test_lacquer_thinner_parts_lacquer_and_enamel_from_urethane_and_epoxy() -> None:
    """Technical order taken to be TO 1-1-8: what is removed is lacquer or alkyd enamel, the rest stays."""
    took = {
        one: _mark("finish", one, "thinner").any_of for one in ("nitrate", "enamel", "acrylic", "urethane", "epoxy")
    }
    assert all("dissolves" in took[one] for one in ("nitrate", "enamel", "acrylic"))
    assert took["urethane"] == took["epoxy"] == ("nothing",)
