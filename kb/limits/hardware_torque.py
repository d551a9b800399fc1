"""Limits of bolt torque: the range by thread and nut, measured drag, a wrench with an adapter, the wrench itself."""

from __future__ import annotations

from kb.limits.basis import MAKER_FIRST
from kb.limits.model import Example, Input, Limit, Ruling, compare
from kb.limits.ruling import at_most, between, needed, not_covered, passes
from kb.limits.units import say
from kb.model import Source

_AC = "AC 43.13-1B"

Span = tuple[float, float]

TABLE_7_1: dict[str, tuple[Span, Span, float, float]] = {
    # thread: A tension range, B shear range, C tension most, D shear most
    "8-36": ((12, 15), (7, 9), 20, 12),
    "10-32": ((20, 25), (12, 15), 40, 25),
    "1/4-28": ((50, 70), (30, 40), 100, 60),
    "5/16-24": ((100, 140), (60, 85), 225, 140),
    "3/8-24": ((160, 190), (95, 110), 390, 240),
    "7/16-20": ((450, 500), (270, 300), 840, 500),
    "1/2-20": ((480, 690), (290, 410), 1100, 660),
    "9/16-18": ((800, 1000), (480, 600), 1600, 960),
    "5/8-18": ((1100, 1300), (600, 780), 2400, 1400),
    "3/4-16": ((2300, 2500), (1300, 1500), 5000, 3000),
    "7/8-14": ((2500, 3000), (1500, 1800), 7000, 4200),
    "1-14": ((3700, 5500), (2200, 3300), 10000, 6000),
    "1-1/8-12": ((5000, 7000), (3000, 4200), 15000, 9000),
    "1-1/4-12": ((9000, 11000), (5400, 6600), 25000, 15000),
    "8-32": ((12, 15), (7, 9), 20, 12),
    "10-24": ((20, 25), (12, 15), 35, 21),
    "1/4-20": ((40, 50), (25, 30), 75, 45),
    "5/16-18": ((80, 90), (48, 55), 160, 100),
    "3/8-16": ((160, 185), (95, 100), 275, 170),
    "7/16-14": ((235, 255), (140, 155), 475, 280),
    "1/2-13": ((400, 480), (240, 290), 880, 520),
    "9/16-12": ((500, 700), (300, 420), 1100, 650),
    "5/8-11": ((700, 900), (420, 540), 1500, 900),
    "3/4-10": ((1150, 1600), (700, 950), 2500, 1500),
    "7/8-9": ((2200, 3000), (1300, 1800), 4600, 2700),
}
"""AC 43.13-1B table 7-1, page 7-9, in-lb, all 25 rows [read]; fine threads first, then coarse from 8-32.

B of 1-14, 1-1/8-12 and 1-1/4-12 is printed as estimated. Misprints, both figures: 5/8-18 B is printed 600-780, another
copy has 660-780 (0.6 of column A); 3/8-16 B is printed 95-100, another copy has 95-110. Army TM 9-6150-228-13&P table
H-1 reprints 10-24 as "1-24" with D 12 for 21, and 3/8-16 as "1/8-16" with A 150-185 for 160-185.
"""

OTHER_COPY: dict[str, Span] = {"5/8-18": (660, 780), "3/8-16": (95, 110)}
"""The shear ranges in doubt, as another copy prints them; only what lies in both ranges, or in neither, is judged."""

_TABLE = Source(_AC, "7-40, table 7-1", "Range and greatest torque by thread and nut; measured drag is added.", "read")
_MAKER = Source(_AC, "7-40i", "The table is for use only when the maker gives no torque.", "read")
_PLATED = Source(_AC, "table 7-1, caution", "The values are for oil-free cadmium-plated threads.", "read")
_NEEDS_SETTING = Source(_AC, "7-40h", "An adapter that changes the length of the wrench needs another setting.", "read")
_FORMULA = Source("Army TM 9-254", "fig. 45", "Torque at the nut is the setting times (L + E) over L.", "read")
_SHORTENED = Source(
    "Helicopter maintenance manual", "ch. 20, fig. 20-1 and 20-2", "Setting is T L / (L + E), or T L / (L - E).",
    "secondary",
)  # fmt: skip
_YEARLY = Source(_AC, "7-40a", "Calibrate at least once a year, and at once after abuse or a drop.", "read")

NUTS = ("tension-self-locking", "tension-castle", "shear-self-locking", "shear-castle")
_WAYS = ("lengthens", "shortens", "right-angle")
_CAUTION = (
    "Support the wrench and pull it steadily: a slipping socket breaks hands and tubes. Never turn a nut past its"
    " greatest torque to line up a hole; unload the joint first."
)
_LEVER = "Lever of the wrench, hand to drive centre"
_ADAPTER = "Adapter, drive centre to bolt centre"


def _bolt_torque(
    thread: str,
    nut: str,
    drag: float,
    torque: float | None,
    surface: str,
    maker_data: str,
    lever: float | None,
    adapter: float | None,
    way: str,
) -> Ruling:
    if maker_data == "yes":
        return not_covered("the maker's torque for this joint governs", _MAKER)
    if surface != "oil-free-cadmium":
        return not_covered("the table is for oil-free cadmium-plated threads", _PLATED)
    if (lever is None) != (adapter is None):
        return not_covered("a wrench with an adapter needs both lever and adapter", _NEEDS_SETTING)
    share = 1.0 if lever is None or adapter is None else setting_share(lever, adapter, way)
    if share is None:
        return not_covered("an adapter as long as the lever leaves no wrench", _NEEDS_SETTING)
    return _judged_torque(thread, nut, drag, None if torque is None else torque / share, share)


def _judged_torque(thread: str, nut: str, drag: float, at_bolt: float | None, share: float) -> Ruling:
    tension, shear, most_tension, most_shear = TABLE_7_1[thread]
    is_shear = nut.startswith("shear")
    (low, high), most = (shear, most_shear) if is_shear else (tension, most_tension)
    notes = [f"drag of {say(drag, 'in-lb')} is in every figure", f"greatest with drag {say(most + drag, 'in-lb')}"]
    if is_shear and thread in OTHER_COPY:
        other_low, other_high = OTHER_COPY[thread]
        printed = f"printed {low:g}-{high:g}, another copy {other_low:g}-{other_high:g}, before drag"
        notes.append(f"{printed}: only what both allow is accepted")
        may_pass_range = nut.endswith("castle") and at_bolt is not None and compare(at_bolt - drag, high) > 0
        in_doubt = at_bolt is not None and _one_copy_only(at_bolt - drag, (low, high), (other_low, other_high))
        if in_doubt and not may_pass_range:
            return not_covered(f"the copies of this row disagree here ({printed})", _TABLE, notes=notes)
        low, high = max(low, other_low), min(high, other_high)
    low, high, most = low + drag, high + drag, most + drag
    if compare(share, 1.0) != 0:
        first, last = (say(end * share, "in-lb", is_difference=True) for end in (low, high))
        notes.append(f"on this wrench {first} to {last} is the setting")
    if at_bolt is not None and compare(at_bolt, high) > 0:
        if nut.endswith("castle") and compare(at_bolt, most) <= 0:
            notes.append(f"past the range ({say(low, 'in-lb')} to {say(high, 'in-lb')}): only to line up the hole")
            return at_most("torque of the castle nut", at_bolt, most, "in-lb", source=_TABLE, notes=tuple(notes))
        over = compare(at_bolt, most) > 0
        notes.append("past the greatest torque as well" if over else "past the range, not past the greatest torque")
    return between("torque at the nut", at_bolt, low, high, "in-lb", source=_TABLE, notes=tuple(notes))


def _one_copy_only(torque: float, first: Span, second: Span) -> bool:
    inside = [compare(torque, low) >= 0 and compare(torque, high) <= 0 for low, high in (first, second)]
    return inside[0] != inside[1]


def setting_share(lever: float, adapter: float, way: str) -> float | None:
    """Return wrench setting by torque at the fastener; None when a shortening adapter is no shorter than the lever."""
    if way == "right-angle":
        return 1.0
    if way == "shortens":
        return None if compare(adapter, lever) >= 0 else lever / (lever - adapter)
    return lever / (lever + adapter)


def _wrench_adapter(torque: float, lever: float, adapter: float, way: str) -> Ruling:
    share = setting_share(lever, adapter, way)
    if share is None:
        return not_covered("an adapter as long as the lever leaves no wrench", _NEEDS_SETTING)
    setting = torque * share
    text = f"set the wrench to {say(setting, 'in-lb', is_difference=True)} for {say(torque, 'in-lb')} at the fastener"
    return needed(text, setting, "in-lb", source=_SHORTENED if way != "lengthens" else _FORMULA)


def _calibration(months: float, dropped: str) -> Ruling:
    if dropped == "yes":
        return passes("beyond: a dropped or abused wrench is calibrated at once", is_fit=False, source=_YEARLY)
    return at_most("time since calibration", months, 12, "month", source=_YEARLY)


LIMITS = (
    Limit(
        id="bolt-torque",
        title="Torque of a bolt and nut",
        system="hardware",
        inputs=(
            Input("thread", "Thread of the bolt shank, fine and coarse", choices=tuple(TABLE_7_1)),
            Input("nut", "Tension MS20365 or AN310 castle; shear MS20364 or AN320 castle", choices=NUTS),
            Input("drag", "Friction drag, nut run down to near contact", "in-lb", 0, 2000),
            Input("torque", "What the wrench shows", "in-lb", 0, 50000, optional=True),
            Input("surface", "Threads", choices=("oil-free-cadmium", "other"), default="oil-free-cadmium"),
            Input("maker-data", "Does the maker give a torque for this joint", choices=("yes", "no"), default="no"),
            Input("lever", _LEVER, "in", 1, 120, optional=True),
            Input("adapter", _ADAPTER, "in", 0.1, 60, optional=True),
            Input("way", "What the adapter does to the wrench", choices=_WAYS, default="lengthens"),
        ),
        sources=(_TABLE, _MAKER, _PLATED, _NEEDS_SETTING),
        basis=MAKER_FIRST,
        assumes=(
            "Clean, dry, oil-free cadmium-plated steel threads; the nut is turned, not the bolt.",
            "No torque is given by the maker; the bolt is chosen by its shank, not by the wrench.",
            "The wrench is in calibration and the last turn was steady, without chatter or jerk.",
        ),
        does_not_cover=(
            "Oiled, anti-seize or thread-locked threads; bolts of aluminium or corrosion-resistant steel.",
            "Clevis bolts that must stay free, wood under the washer, engine and propeller bolts.",
            "Reuse of a bolt that was over-torqued.",
        ),
        caution=_CAUTION,
        examples=(
            Example(
                {"thread": "1/4-28", "nut": "tension-castle", "drag": "8", "torque": "58"},
                "at", "computed from AC 43.13-1B 7-40d: 50-70 and drag 8 make 58-78", 58,
            ),
            Example(
                {"thread": "1/4-28", "nut": "tension-self-locking", "drag": "8", "torque": "79"},
                "beyond", "computed from AC 43.13-1B 7-40d", 78,
            ),
            Example(
                {"thread": "5/16-24", "nut": "shear-castle", "drag": "0", "torque": "70"},
                "within", "AC 43.13-1B table 7-1: 60-85, greatest 140", 60,
            ),
            Example(
                {"thread": "3/8-16", "nut": "tension-castle", "drag": "0"}, "required", "AC 43.13-1B table 7-1", 185
            ),
            Example(
                {"thread": "5/8-18", "nut": "shear-castle", "drag": "0", "torque": "630"},
                "not-covered", "AC 43.13-1B table 7-1 prints 600, another copy 660",
            ),
        ),
        rule=_bolt_torque,
    ),
    Limit(
        id="wrench-adapter",
        title="Setting of a torque wrench with an adapter",
        system="hardware",
        inputs=(
            Input("torque", "Torque wanted at the fastener, drag included", "in-lb", 0, 50000),
            Input("lever", _LEVER, "in", 1, 120),
            Input("adapter", _ADAPTER, "in", 0.1, 60),
            Input("way", "What the adapter does to the wrench", choices=_WAYS, default="lengthens"),
        ),
        sources=(_FORMULA, _SHORTENED, _NEEDS_SETTING),
        basis="Does not depend on the certification basis; it is the lever of the wrench alone.",
        assumes=("The adapter lies in line with the wrench, or exactly across it.", "The hand pulls at its mark."),
        does_not_cover=("Adapters at another angle.", "Wrenches whose lever changes with the grip of the hand."),
        caution=_CAUTION,
        examples=(
            Example(
                {"torque": "135", "lever": "10", "adapter": "1.5"},
                "required", "helicopter maintenance manual ch. 20 fig. 20-1: 117.39, set 117", 1350 / 11.5,
            ),
            Example(
                {"torque": "135", "lever": "10", "adapter": "1.5", "way": "shortens"},
                "required", "helicopter maintenance manual ch. 20 fig. 20-2: 158.82, set 159", 1350 / 8.5,
            ),
            Example(
                {"torque": "40 ft-lb", "lever": "12", "adapter": "4"},
                "required", "Army TM 9-2350-261-20-1 para 2-29g: 30 lb-ft", 360,
            ),
            Example({"torque": "70", "lever": "12", "adapter": "2"}, "required", "Army TM 9-254 fig. 45: 60 in-lb", 60),
            Example(
                {"torque": "19 ft-lb", "lever": "22", "adapter": "3"},
                "required", "Army TM 5-3805-274-13&P WP 0051: 17 lb-ft, rounded from 16.7", 12 * 19 * 22 / 25,
            ),
        ),
        rule=_wrench_adapter,
    ),
    Limit(
        id="torque-wrench-calibration",
        title="Calibration of the torque wrench",
        system="hardware",
        inputs=(
            Input("months", "Since the last calibration", "month", 0, 600),
            Input("dropped", "Dropped or abused since", choices=("yes", "no")),
        ),
        sources=(_YEARLY,),
        basis="Does not depend on the certification basis.",
        assumes=("The date stands on the wrench or its certificate.",),
        does_not_cover=("How it is calibrated.", "A wrench that is in date but reads wrong."),
        caution="Joints tightened with a wrench found wrong are tightened again; list them before the next flight.",
        examples=(
            Example({"months": "12", "dropped": "no"}, "at", "AC 43.13-1B 7-40a", 12),
            Example({"months": "1", "dropped": "yes"}, "beyond", "AC 43.13-1B 7-40a"),
        ),
        rule=_calibration,
    ),
)  # fmt: skip
