"""Wires and wiring against AC 43.13-1B chapter 11."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.limits.wire import TABLE_11_3, TABLE_11_6, TABLE_11_9, drop_of
from kb.limits.wiring import TABLE_11_4, TABLE_11_13
from tests.kb.limits.asking import ask, required, verdict

PRINTED_11_9 = """
24 2.5 4 5 28.40
22 3 5 6 16.20
20 4 7 9 9.88
18 6 9 12 6.23
16 7 11 14 4.81
14 10 14 18 3.06
12 13 19 25 2.02
10 17 26 32 1.26
8 38 57 71 0.70
6 50 76 97 0.44
4 68 103 133 0.28
2 95 141 179 0.18
1 113 166 210 0.15
0 128 192 243 0.12
00 147 222 285 0.09
000 172 262 335 0.07
0000 204 310 395 0.06
"""
"""AC 43.13-1B table 11-9: wire, amperes at 105, 150, 200 °C, ohm per 1,000 ft."""

GAUGES = st.sampled_from(list(TABLE_11_9))


@pytest.mark.parametrize("row", PRINTED_11_9.split("\n")[1:-1])
def test_table_11_9_row_by_row(row: str) -> None:
    """Capacity through the limit, resistance through the drop."""
    gauge, *figures = row.split()
    for rating, amperes in zip(("105", "150", "200"), figures, strict=False):
        typed = {"gauge": gauge, "rating": rating, "bundle": "full-bundle-60000-ft"}
        assert required("wire-capacity", current=1, **typed) == float(amperes)
    assert drop_of(gauge, 1000, 1) == pytest.approx(float(figures[3]))


def test_table_11_9_has_seventeen_rows_in_order() -> None:
    """Larger wires carry more and resist less."""
    rows = list(TABLE_11_9.values())
    assert len(rows) == 17
    assert [row[0] for row in rows] == sorted(row[0] for row in rows)
    assert [row[3] for row in rows] == sorted((row[3] for row in rows), reverse=True)


@pytest.mark.parametrize(
    ("system", "length", "gauge", "printed", "true"),
    [("28", 107, "6", 0.942, 0.9416), ("14", 90, "4", 0.504, 0.504), ("115", 88, "12", 3.60, 3.5552),
     ("200", 100, "14", 6.12, 6.12)],
)  # fmt: skip
def test_worked_examples_of_table_11_7(system: str, length: float, gauge: str, printed: float, true: float) -> None:
    """AC 43.13-1B page 11-22, 20 A. The third is printed 3.60 for 3.5552, rounded up."""
    result = ask("voltage-drop", gauge=gauge, length=length, current=20, system=system, flow="continuous")
    assert result.measured == pytest.approx(true, rel=1e-6)
    assert result.measured == pytest.approx(printed, rel=0.013)
    assert result.required == TABLE_11_6[system]


def test_the_chart_lets_the_second_example_pass_where_the_sum_does_not() -> None:
    """Table 11-7 gives No. 4 for 0.5 V, at 0.504 V: by the sum just over, and the note says how it was printed."""
    result = ask("voltage-drop", gauge="4", length=90, current=20, system="14", flow="continuous")
    assert result.verdict == "beyond"
    assert any("0.504 V pass for 0.5 V" in note for note in result.notes)
    assert "No. 2 is" in ask("wire-size", length=90, current=20, system="14", flow="continuous").sentence


@pytest.mark.parametrize(("system", "length", "printed"), [("28", 39, 0.98), ("115", 156, 3.93), ("200", 273, 6.88)])
def test_worked_examples_of_table_11_8(system: str, length: float, printed: float) -> None:
    """AC 43.13-1B page 11-22, No. 10 at 20 A: longest run and its drop."""
    assert drop_of("10", length, 20) == pytest.approx(printed, abs=0.006)
    longest = required("wire-length", gauge="10", current=20, system=system)
    assert length <= longest < length + 6


def test_the_misprint_of_table_11_8() -> None:
    """Its second row prints .366 for 19.5 ft; 0.00126 x 19.5 x 20 is 0.4914. Both copies of the page have it."""
    assert drop_of("10", 19.5, 20) == pytest.approx(0.4914)
    assert drop_of("10", 19.5, 20) != pytest.approx(0.366, abs=0.1)
    assert verdict("wire-length", gauge="10", current=20, system="14", length=19.5) == "within"


@pytest.mark.parametrize(
    ("system", "length", "gauge"), [("28", 50, "8"), ("28", 107, "6"), ("115", 88, "12"), ("200", 100, "14")]
)
def test_printed_sizes_come_out(system: str, length: float, gauge: str) -> None:
    """AC 43.13-1B 11-66c (50 ft at 28 V: No. 8) and table 11-7, at 20 A."""
    assert f"No. {gauge} is" in ask("wire-size", length=length, current=20, system=system, flow="continuous").sentence


def test_no_wire_is_large_enough_is_not_covered() -> None:
    """Past 0000 nothing is made up."""
    assert verdict("wire-size", length=2000, current=2000, system="14", flow="continuous") == "not-covered"


def test_intermittent_drop_is_only_remembered() -> None:
    """The column was not readable."""
    result = ask("voltage-drop", gauge="10", length=10, current=10, system="14", flow="intermittent")
    assert (result.verdict, result.remembered) == ("not-covered", "1 V for 14 V, intermittent")


@pytest.mark.parametrize(("temperature", "factor"), [(-20, 1), (20, 1), (105, 254.5 / 339.5)])
def test_a_hot_wire_shortens_the_run(temperature: float, factor: float) -> None:
    """11-66 (4): L2 = 254.5 L1 / (234.5 + T2); 105 °C leaves 0.7496 of it, cold adds nothing."""
    plain = required("wire-length", gauge="10", current=20, system="28")
    hot = required("wire-length", gauge="10", current=20, system="28", temperature=f"{temperature} degC")
    assert hot == pytest.approx(plain * factor)


@given(GAUGES, st.floats(0.1, 2000), st.floats(0.01, 2000), st.floats(-60, 300), st.floats(1.001, 2))
def test_drop_grows_with_length_current_and_heat(
    gauge: str, length: float, current: float, heat: float, more: float
) -> None:
    """As Ohm's law says."""
    drop = drop_of(gauge, length, current, heat)
    assert drop_of(gauge, length * more, current, heat) == pytest.approx(drop * more)
    assert drop_of(gauge, length, current * more, heat) == pytest.approx(drop * more)
    assert drop_of(gauge, length, current, heat + 10) >= drop


@given(st.floats(0.1, 300), st.floats(0.1, 100), st.sampled_from(list(TABLE_11_6)))
def test_the_size_found_passes_and_the_next_smaller_does_not(length: float, current: float, system: str) -> None:
    """wire-size and voltage-drop are one rule seen from two sides."""
    found = ask("wire-size", length=repr(length), current=repr(current), system=system, flow="continuous")
    if found.verdict == "not-covered":
        return
    gauge = found.sentence.split()[1]
    typed = {"length": repr(length), "current": repr(current), "system": system, "flow": "continuous"}
    assert verdict("voltage-drop", gauge=gauge, **typed) in ("within", "at")
    gauges = list(TABLE_11_9)
    if gauge != gauges[0]:
        assert verdict("voltage-drop", gauge=gauges[gauges.index(gauge) - 1], **typed) == "beyond"


def test_capacity_is_not_judged_for_a_few_wires() -> None:
    """Table 11-9 is for a full bundle at 60,000 ft; its figure is only named."""
    result = ask("wire-capacity", gauge="20", current=11, rating="105", bundle="less")
    assert result.verdict == "not-covered"
    assert any("4 A" in note for note in result.notes)


PRINTED_11_3 = {
    "breaker": "22 5 20 7.5 18 10 16 15 14 20 12 30 10 40 8 50 6 80 4 100 2 125",
    "fuse": "22 5 20 5 18 10 16 10 14 15 12 20 10 30 8 50 6 70 4 70 2 100 1 150 0 150",
}


@pytest.mark.parametrize("device", ["breaker", "fuse"])
def test_table_11_3_row_by_row(device: str) -> None:
    """Thirteen wires, eleven breakers, thirteen fuses; a larger one is beyond."""
    words = PRINTED_11_3[device].split()
    for gauge, rating in zip(words[::2], words[1::2], strict=True):
        assert required("wire-breaker", gauge=gauge, device=device) == float(rating)
        assert verdict("wire-breaker", gauge=gauge, device=device, fitted=float(rating) * 1.01) == "beyond"
    assert len(TABLE_11_3) == 13


@pytest.mark.parametrize(("gauge", "device"), [("1", "breaker"), ("0", "breaker"), ("24", "fuse"), ("00", "fuse")])
def test_wires_outside_table_11_3_are_not_judged(gauge: str, device: str) -> None:
    """No breaker stands for 1 and 0; nothing for 24 and 00."""
    assert verdict("wire-breaker", gauge=gauge, device=device, fitted=5) == "not-covered"


def test_one_wire_in_free_air_may_take_one_breaker_more() -> None:
    """11-49; past the last size nothing is made up, and fuses are not meant."""
    assert required("wire-breaker", gauge="20", device="breaker", routing="free-air") == 10
    assert required("wire-breaker", gauge="20", device="fuse", routing="free-air") == 5
    assert verdict("wire-breaker", gauge="2", device="breaker", routing="free-air", fitted=100) == "not-covered"


def test_table_11_4_row_by_row() -> None:
    """Factors as printed, for 28 and 12 V; 28 V lamp 3 A takes 24 A, 12 V motor 6 A takes 12 A (computed)."""
    assert list(TABLE_11_4["28"].values()) == [8, 4, 2, 3]
    assert list(TABLE_11_4["12"].values()) == [5, 2, 1, 2]
    assert required("switch-rating", system="28", load="lamp", current=3) == 24
    assert verdict("switch-rating", system="12", load="motor", current=6, rating=11.9) == "beyond"


@pytest.mark.parametrize(
    ("part", "resistance", "expected"),
    [("jumper-connection", "0.003 ohm", "at"), ("jumper-connection", "3.01 mohm", "beyond"),
     ("equipment-frame", "2.5", "beyond"),
     ("equipment-frame", "2.49", "within"), ("isolated-part", "1 ohm", "beyond"),
     ("isolated-part", "0.9 ohm", "within")],
)  # fmt: skip
def test_bonding_at_its_borders(part: str, resistance: str, expected: str) -> None:
    """11-189 at most 0.003 ohm; 11-188f less than 2.5 milliohm; 11-187c less than 1 ohm."""
    assert verdict("bonding-resistance", part=part, resistance=resistance) == expected


def test_wiring_distances() -> None:
    """11-96a, 11-118, 11-115, 11-96w; bends 10 times the outside diameter (TM 1-1500-204-23-4)."""
    assert verdict("wire-supports", spacing=24.1) == "beyond"
    assert verdict("wire-supports", spacing=20, deflection=0.6) == "beyond"
    assert verdict("wire-hole-clearance", clearance=0.374) == "beyond"
    assert verdict("wire-fuel-line-distance", distance=6, held="no") == "at"
    assert verdict("wire-fuel-line-distance", distance=1.9, held="yes") == "beyond"
    assert required("wire-bend-radius", diameter=0.3) == pytest.approx(3)


@pytest.mark.parametrize(
    ("size", "strands", "nicked", "broken"),
    [("24-to-14", 19, 2, 0), ("12-to-10", 37, 4, 0), ("8-to-4", 133, 6, 6), ("2-to-1", 665, 6, 6),
     ("2-to-1", 817, 6, 6),
     ("0-to-00", 1045, 6, 6), ("0-to-00", 1330, 6, 6), ("000", 1665, 6, 6), ("0000", 2109, 6, 6)],
)  # fmt: skip
def test_table_11_13_row_by_row(size: str, strands: int, nicked: int, broken: int) -> None:
    """One strand more is beyond; another stranding is not covered; aluminium may have none."""
    wire = {"conductor": "copper", "size": size, "strands": strands}
    assert verdict("nicked-strands", nicked=nicked, broken=broken, **wire) == "at"
    assert verdict("nicked-strands", nicked=nicked + 1, broken=0, **wire) == "beyond"
    assert verdict("nicked-strands", nicked=0, broken=broken + 1, **wire) == "beyond"
    assert verdict("nicked-strands", **(wire | {"strands": 7}), nicked=0, broken=0) == "not-covered"
    assert verdict("nicked-strands", **(wire | {"conductor": "aluminium"}), nicked=1, broken=0) == "beyond"
    assert size in TABLE_11_13


@pytest.mark.parametrize(
    ("used", "life", "expected"), [(60, 49, "at"), (61, 10, "beyond"), (5, 50, "beyond"), (5, 49.9, "within")]
)
def test_the_locator_battery(used: float, life: float, expected: str) -> None:
    """14 CFR 91.207(c): more than one hour, or half its life."""
    assert verdict("locator-battery", used=used, life_used=life) == expected
