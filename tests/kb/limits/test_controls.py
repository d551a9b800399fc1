"""Control cables and turnbuckles against AC 43.13-1B chapter 7 and 14 CFR 23.689."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.limits.controls_cable_strength import LAY, PROOF_SHARE, TABLE_7_3, Cable
from kb.limits.controls_turnbuckle import SOFT, TABLE_7_8, row_for
from tests.kb.limits.asking import ask, required, verdict

PRINTED_7_3 = """
    1/32-3x7 0.006 0.006 110 110
    3/64-7x7 0.008 0.008 270 270
    1/16-7x7 0.010 0.009 480 480
    1/16-7x19 0.010 0.009 480 480
    3/32-7x7 0.012 0.010 920 920
    3/32-7x19 0.012 0.010 1000 920
    1/8-7x19 0.014 0.011 2000 1760
    5/32-7x19 0.016 0.017 2800 2400
    3/16-7x19 0.018 0.019 4200 3700
    7/32-7x19 0.018 0.020 5600 5000
    1/4-7x19 0.018 0.021 7000 6400
    9/32-7x19 0.020 0.023 8000 7800
    5/16-7x19 0.022 0.024 9800 9000
    11/32-7x19 0.024 0.025 12500 none
    3/8-7x19 0.026 0.027 14400 12000
    7/16-6x19-iwrc 0.030 0.030 17600 16300
    1/2-6x19-iwrc 0.033 0.033 22800 22800
"""
"""AC 43.13-1B table 7-3: cable, tolerance, growth, carbon, CRES."""

PRINTED_7_8 = """
    1/16 | single | 0.040 | copper, brass (1)
    3/32 | single | 0.040 | copper, brass (1)
    1/8 | single | 0.040 | stainless steel, monel, K-monel
    1/8 | double | 0.040 | copper, brass (1)
    1/8 | single | 0.057 min | copper, brass (1)
    5/32 and up | double | 0.040 | stainless, monel, K-monel (1)
    5/32 and up | single | 0.057 min | stainless, monel, K-monel (1)
    5/32 and up | double | 0.0512 | copper, brass
"""
"""AC 43.13-1B table 7-8: cable, wrap, wire, material; (1) steel or soft iron also acceptable."""


def _inches(text: str) -> float:
    top, bottom = text.split("/")
    return int(top) / int(bottom)


def test_table_7_3_is_as_printed() -> None:
    """All 17 rows from 1/32 to 1/2."""
    printed = {}
    for line in PRINTED_7_3.split("\n")[1:-1]:
        name, tolerance, growth, carbon, cres = line.split()
        strength = None if cres == "none" else float(cres)
        printed[name] = Cable(_inches(name.split("-")[0]), float(tolerance), float(growth), float(carbon), strength)
    assert printed == TABLE_7_3
    assert len(printed) == 17


def test_the_cres_column_lacks_one_value() -> None:
    """Its gap at 11/32 is an inference, and every CRES verdict says so."""
    assert [name for name, row in TABLE_7_3.items() if row.cres is None] == ["11/32-7x19"]
    assert verdict("cable-strength", cable="11/32-7x19", material="cres", rated=20000) == "not-covered"
    assert verdict("cable-proof-load", cable="11/32-7x19", material="cres") == "not-covered"
    assert any("inference" in note for note in ask("cable-strength", cable="1/8-7x19", material="cres").notes)


def test_stainless_is_never_stronger_and_thicker_never_weaker() -> None:
    """A slip between rows would show."""
    rows = sorted(TABLE_7_3.values(), key=lambda row: (row.diameter, row.carbon))
    assert [row.carbon for row in rows] == sorted(row.carbon for row in rows)
    assert all(row.cres is None or row.cres <= row.carbon for row in rows)


@pytest.mark.parametrize(
    ("cable", "material", "load"),
    [
        ("1/8-7x19", "carbon", 1200),
        ("1/8-7x19", "cres", 1056),
        ("3/32-7x7", "carbon", 552),
        ("5/32-7x19", "carbon", 1680),
    ],
)
def test_proof_load_is_sixty_per_cent(cable: str, material: str, load: float) -> None:
    """Computed from table 7-3; the 60 % is restated (secondary), the 3 minutes are read (7-146)."""
    assert required("cable-proof-load", cable=cable, material=material, applied=1) == pytest.approx(load)
    assert verdict("cable-proof-load", cable=cable, material=material, applied=load, held=3) == "at"
    assert verdict("cable-proof-load", cable=cable, material=material, applied=load, held=2.9) == "beyond"
    assert verdict("cable-proof-load", cable=cable, material=material, applied=load - 1, held=3) == "beyond"
    assert verdict("cable-proof-load", cable=cable, material=material, applied=load) == "required"


@given(st.sampled_from(sorted(TABLE_7_3)), st.floats(0, 100000), st.floats(0, 600))
def test_a_proof_load_lies_between_its_share_and_the_strength(cable: str, applied: float, held: float) -> None:
    """Whatever is typed: good only from 60 % up to under the breaking strength, for 3 minutes or more."""
    strength = TABLE_7_3[cable].carbon
    good = PROOF_SHARE * strength <= applied < strength and held >= 3
    if min(abs(applied - PROOF_SHARE * strength), abs(applied - strength), abs(held - 3)) < 1e-3:
        return
    word = verdict("cable-proof-load", cable=cable, material="carbon", applied=repr(applied), held=repr(held))
    assert (word in ("within", "at")) == good


@pytest.mark.parametrize("cable", sorted(TABLE_7_3))
def test_new_cable_is_never_thinner_than_nominal(cable: str) -> None:
    """Tolerance is plus only (AC 43.13-1B page 7-28)."""
    row = TABLE_7_3[cable]
    assert verdict("cable-diameter", cable=cable, measured=repr(row.diameter)) == "at"
    assert verdict("cable-diameter", cable=cable, measured=repr(row.diameter - 0.0005)) == "beyond"
    assert verdict("cable-diameter", cable=cable, measured=repr(row.diameter + row.tolerance)) == "at"
    assert verdict("cable-diameter", cable=cable, measured=repr(row.diameter + row.tolerance + 0.0005)) == "beyond"


def test_lay_in_cable_diameters() -> None:
    """AC 43.13-1B 7-142: 3x7 five to eight, 7x7 six to eight."""
    assert LAY == {"3x7": (5, 8), "7x7": (6, 8)}
    assert verdict("cable-lay", construction="3x7", diameter="1/8", lay=0.7) == "within"
    assert verdict("cable-lay", construction="7x7", diameter="1/8", lay=0.7) == "beyond"
    assert verdict("cable-lay", construction="7x7", diameter="1/8", lay=1.01) == "beyond"


@pytest.mark.parametrize(
    ("broken", "runs_over", "distance", "interior", "expected"),
    [
        (1, "yes", 100, "not-opened", "beyond"), (1, "no", 12, "not-opened", "beyond"),
        (1, "no", 12.01, "not-opened", "required"), (1, "no", 100, "clean", "not-covered"),
        (1, "no", 100, "corroded", "beyond"), (0, "no", 100, "corroded", "beyond"), (0, "yes", 0, "clean", "within"),
        (9, "no", 100, "clean", "not-covered"),
    ],
)  # fmt: skip
def test_one_broken_wire_is_enough_where_the_cable_works(
    broken: int, runs_over: str, distance: float, interior: str, expected: str
) -> None:
    """AC 43.13-1B 7-149a, b, i; within 1 foot of a swaged fitting counts."""
    assert (
        verdict("cable-broken-wires", broken=broken, runs_over=runs_over, from_fitting=distance, interior=interior)
        == expected
    )


def test_the_old_count_of_wires_is_named_and_never_judges() -> None:
    """Six and three per inch belong to an older edition."""
    result = ask("cable-broken-wires", broken=2, runs_over="no", from_fitting=50, interior="clean")
    assert result.remembered is not None
    assert "superseded" in result.remembered


def test_wear_stops_at_the_lower_of_the_two_figures() -> None:
    """AC 43.13-1B 7-149g prints 40 to 50 %."""
    assert verdict("cable-wear", worn=39.9) == "within"
    for worn in (40, 45, 50):
        assert verdict("cable-wear", worn=worn) == "beyond"
    assert verdict("cable-wear", worn=5, blend="yes") == "beyond"


def test_old_terminals() -> None:
    """CASA AD/GENERAL/87: 15 years or more, or unknown; pitch, roll and yaw only."""
    terminal = {"steel": "303se-or-304", "control": "pitch-roll-or-yaw"}
    assert verdict("cable-terminal-age", **terminal, years=14.9) == "within"
    assert verdict("cable-terminal-age", **terminal, years=15) == "beyond"
    assert verdict("cable-terminal-age", **terminal) == "required"
    assert verdict("cable-terminal-age", steel="other", control="pitch-roll-or-yaw", years=40) == "not-covered"
    assert verdict("cable-terminal-age", steel="303se-or-304", control="trim-or-flap", years=40) == "not-covered"


def test_presses_of_an_oval_sleeve() -> None:
    """Centre, thimble side, far side; copper, to 3/8 in (AC 43.13-1B 7-148b, c)."""
    sleeve = {"diameter": "3/8", "sleeve": "copper"}
    assert verdict("oval-sleeve", **sleeve, presses="centre-thimble-far") == "within"
    assert verdict("oval-sleeve", **sleeve, presses="ends-then-centre") == "beyond"
    assert verdict("oval-sleeve", **sleeve, presses="another-order") == "beyond"
    assert verdict("oval-sleeve", diameter="7/16", sleeve="copper", presses="centre-thimble-far") == "not-covered"
    assert verdict("oval-sleeve", diameter="1/8", sleeve="other", presses="centre-thimble-far") == "not-covered"


def test_table_7_8_is_as_printed() -> None:
    """All eight rows, with "min" and note (1)."""
    words = {"copper, brass": "copper-brass", "stainless": "stainless-monel"}
    printed = {}
    for line in PRINTED_7_8.split("\n")[1:-1]:
        cable, wrap, wire, material = (cell.strip() for cell in line.split(" | "))
        kind = next(word for start, word in words.items() if material.startswith(start))
        key = (cable.replace(" ", "-"), wrap, kind)
        printed[key] = (float(wire.removesuffix(" min")), wire.endswith("min"), material.endswith("(1)"))
    assert printed == {key: tuple(row) for key, row in TABLE_7_8.items()}
    assert len(printed) == 8


def test_note_1_lets_soft_wire_stand_for_the_row() -> None:
    """Galvanised or tinned steel, or soft iron: not in the two rows without the note."""
    assert row_for("1/8", "single", SOFT) == (0.057, True, True)
    assert row_for("5/32-and-up", "double", SOFT) == (0.040, False, True)
    assert row_for("1/16", "double", SOFT) is None
    assert verdict("turnbuckle-wire", cable="1/8", wrap="double", material="stainless-monel") == "not-covered"


@pytest.mark.parametrize("key", sorted(TABLE_7_8))
def test_turnbuckle_wire_at_its_border(key: tuple[str, str, str]) -> None:
    """The printed wire is at the limit, a thinner one beyond it."""
    cable, wrap, material = key
    wire = TABLE_7_8[key].wire
    assert verdict("turnbuckle-wire", cable=cable, wrap=wrap, material=material, wire=wire) == "at"
    assert verdict("turnbuckle-wire", cable=cable, wrap=wrap, material=material, wire=wire - 0.001) == "beyond"


@given(st.integers(0, 60), st.integers(0, 60))
def test_the_worse_side_of_a_turnbuckle_governs(first: int, second: int) -> None:
    """Three threads on either side (7-179), four wraps at each end (7-180)."""
    threads = verdict("turnbuckle-threads", side_a=first, side_b=second)
    assert (threads == "beyond") == (max(first, second) > 3)
    wraps = verdict("turnbuckle-wraps", end_a=first, end_b=second)
    assert (wraps == "beyond") == (min(first, second) < 4)


def test_angles_and_distances_at_their_borders() -> None:
    """3 degrees (7-149n, 23.689(c)); 2 inches (7-147a)."""
    assert verdict("fairlead-angle", angle=3) == "at"
    assert verdict("fairlead-angle", angle=3.01) == "beyond"
    assert verdict("cable-splice-distance", distance=2) == "at"
    assert verdict("cable-splice-distance", distance=1.99) == "beyond"


@given(st.floats(0, 180))
def test_a_pulley_is_never_judged_by_the_remembered_figure(angle: float) -> None:
    """The two degrees of 7-149m were not readable."""
    result = ask("fairlead-angle", angle=repr(angle), place="pulley")
    assert result.verdict == "not-covered"
    assert result.remembered


@pytest.mark.parametrize("basis", ["car-3", "car-4a", "older", "unknown"])
def test_part_23_judges_no_older_aircraft(basis: str) -> None:
    """23.689 is named as guidance only."""
    for size in ("3/32", "1/8"):
        result = ask("primary-cable-size", diameter=size, use="primary", basis=basis)
        assert result.verdict == "not-covered"
        assert any("for guidance only" in note for note in result.notes)
    assert verdict("clevis-pin-cotter", held_by="cotter-only", moves="yes", basis=basis) == "not-covered"


def test_part_23_cable_and_pin() -> None:
    """14 CFR 23.689(a)(1), (d), (f)."""
    assert verdict("primary-cable-size", diameter=0.1249, use="primary", basis="part-23") == "beyond"
    assert verdict("primary-cable-size", diameter=0.0625, use="trim-tab", basis="part-23") == "not-covered"
    assert verdict("clevis-pin-cotter", held_by="cotter-only", moves="no", basis="part-23") == "within"
    assert verdict("clevis-pin-cotter", held_by="nut-and-cotter", moves="yes", basis="part-23") == "within"


def test_printed_tension_examples() -> None:
    """Army TM 1-1500-204-23-9 para 7-3c (dial 48: 70 lb) and 7-3d (85 °F: 70 lb)."""
    assert required("tensiometer-reading", instrument="tm-fig-7-6", riser=2, cable="3/16", dial=48) == 70
    assert required("cable-rigging-tension", chart="tm-fig-7-7", cable="1/8", temperature="85 degF") == 70


@given(st.integers(1, 9), st.sampled_from(["1/8", "5/32", "3/16"]), st.integers(0, 300))
def test_no_other_point_of_a_tension_table_is_given(riser: int, cable: str, dial: int) -> None:
    """One instrument, one point; nothing between or beside it, and no other instrument."""
    if (riser, cable, dial) != (2, "3/16", 48):
        reading = verdict("tensiometer-reading", instrument="tm-fig-7-6", riser=riser, cable=cable, dial=dial)
        assert reading == "not-covered"
    assert verdict("tensiometer-reading", instrument="another", riser=riser, cable=cable, dial=dial) == "not-covered"
    assert verdict("cable-rigging-tension", chart="another-type", cable=cable, temperature=85) == "not-covered"
    assert verdict("cable-rigging-tension", chart="tm-fig-7-7", cable=cable, temperature=86) == "not-covered"
