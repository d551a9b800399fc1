"""Limits of tightening fluid fittings: flared nut, two tables compared, pipe thread, flareless nut."""

from __future__ import annotations

from kb.limits.basis import MAKER_FIRST
from kb.limits.model import Example, Input, Limit, Ruling, compare
from kb.limits.ruling import between, not_covered, passes, with_notes
from kb.model import Source

Span = tuple[float, float]

ARMY: dict[str, tuple[Span, Span, Span]] = {
    # tube OD: C nut on aluminium tube, D on steel tube, E on hose
    "1/4": ((50, 65), (135, 150), (100, 120)),
    "3/8": ((100, 125), (270, 300), (210, 250)),
    "1/2": ((210, 250), (450, 500), (340, 420)),
    "5/8": ((300, 350), (650, 700), (400, 480)),
    "3/4": ((425, 500), (900, 1000), (725, 850)),
    "1": ((600, 700), (1200, 1400), (900, 1150)),
    "1-1/4": ((680, 800), (1200, 1400), (950, 1150)),
}
"""Army TM 55-1520-240-23-1 para 1-13 columns C, D, E, in-lb, lubricated threads, all seven sizes [read]."""

TYPE_MANUAL: dict[str, tuple[Span, Span]] = {
    # tube OD: aluminium, steel
    "1/8": ((20, 30), (75, 89)),
    "3/16": ((25, 35), (95, 105)),
    "1/4": ((50, 65), (135, 150)),
    "5/16": ((70, 90), (170, 200)),
    "3/8": ((110, 130), (270, 300)),
    "1/2": ((230, 260), (450, 500)),
    "5/8": ((330, 360), (650, 700)),
    "3/4": ((460, 500), (990, 1000)),
    "1": ((500, 700), (1200, 1400)),
    "1-1/4": ((800, 900), (1520, 1680)),
    "1-1/2": ((800, 900), (1900, 2100)),
    "2": ((1800, 2000), (2660, 2940)),
}
"""One light aircraft's maintenance manual, 1982 page, in-lb, dry threads [secondary]; not a general limit.

Steel 3/4 is printed 990-1,000 where the Army table has 900-1,000.
"""

_REMEMBERED: dict[tuple[str, str], str] = {
    ("1/8", "aluminium-tube"): "20-30 in-lb", ("3/16", "aluminium-tube"): "30-40 in-lb",
    ("5/16", "aluminium-tube"): "60-85 in-lb", ("1-1/2", "aluminium-tube"): "600-900 in-lb",
    ("3/16", "steel-tube"): "90-100 in-lb", ("5/16", "steel-tube"): "180-200 in-lb",
    ("1-1/2", "steel-tube"): "1,500-1,800 in-lb",
}  # fmt: skip
"""AC 43.13-1B table 9-2 where the Army table has no row; remembered only."""

PIPE: dict[str, Span] = {"1/8": (125, 175), "1/4": (200, 300), "3/8": (300, 400)}
"""Army TM 1-1500-204-23-2, tapered pipe threads, in-lb, by pipe size [read]."""

JOINTS = ("aluminium-tube", "steel-tube", "hose")

_ARMY = Source(
    "Army TM 55-1520-240-23-1", "para 1-13, columns C, D, E", "Flared nut torque, threads lubricated.", "read"
)
_TYPE = Source(
    "Light-aircraft maintenance manual", "flared nut chart, 1982", "Torque of dry threads, one type.", "secondary"
)
_TABLE_9_2 = Source("AC 43.13-1B", "table 9-2", "Nut torque by tube; remembered, not read.", "memory")
_OXYGEN = Source("FAA-H-8083-30", "p. 7-9", "Petroleum products on oxygen fittings can ignite.", "read")
_PIPE = Source("Army TM 1-1500-204-23-2", "pipe threads", "Torque of 1/8, 1/4 and 3/8 pipe.", "read")
_FLARELESS = Source("AC 65-9A", "flareless tube; FAA oral-test flash cards", "1/6 turn, never over 1/3.", "secondary")

_CAUTION = (
    "Never tighten with pressure in the line, nor pull a line into place with the nut; hold the fitting with a second"
    " wrench. Fuel: battery off, no flame. No grease near oxygen. More torque never cures a bad flare."
)
_CHECK = "Leak-check at working pressure before the panel is closed."


def _flared_nut(tube: str, joint: str, line: str, threads: str, torque: float | None) -> Ruling:
    if line == "oxygen":
        return not_covered("oxygen lines take no petroleum product and only their own compound: fire", _OXYGEN)
    row = ARMY.get(tube)
    if row is None:
        return not_covered("the table has no row for this tube", _TABLE_9_2, remembered=_REMEMBERED.get((tube, joint)))
    low, high = row[JOINTS.index(joint)]
    if threads == "dry":
        note = f"with lubricated threads {low:g} to {high:g} in-lb; compare with flared-nut-torque-compared"
        return not_covered("the table is for lubricated threads", _ARMY, notes=(note,))
    return between("torque of the nut", torque, low, high, "in-lb", source=_ARMY)


def _compared(tube: str, joint: str, line: str, torque: float) -> Ruling:
    if line == "oxygen":
        return not_covered("oxygen lines take no petroleum product and only their own compound: fire", _OXYGEN)
    column = JOINTS.index(joint)
    (low, high), army = TYPE_MANUAL[tube][column], ARMY.get(tube)
    told = [f"one type's manual, dry threads: {low:g}-{high:g} in-lb"]
    if army is None:
        return not_covered("only one type's manual has a row for this tube", _TYPE, notes=told)
    spans = (army[column], (low, high))
    told.append(f"Army, lubricated threads: {spans[0][0]:g}-{spans[0][1]:g} in-lb")
    inside = [compare(torque, first) >= 0 and compare(torque, last) <= 0 for first, last in spans]
    if all(inside):
        both = max(span[0] for span in spans), min(span[1] for span in spans)
        return between("torque of the nut", torque, *both, "in-lb", source=_TYPE, notes=tuple(told))
    if any(inside):
        return not_covered("the two readable tables disagree here", _TYPE, notes=told)
    return passes("beyond: outside both readable tables", is_fit=False, source=_TYPE, notes=tuple(told))


def _pipe(pipe: str, boss: str, torque: float | None) -> Ruling:
    if pipe not in PIPE:
        return not_covered("no torque is printed for this pipe size", _PIPE)
    low, high = PIPE[pipe]
    if boss == "cast-or-thin":
        note = f"the general Army figure, {low:g} to {high:g} in-lb, may crack it"
        return not_covered("a cast aluminium or thin boss takes its maker's figure only", _PIPE, notes=(note,))
    return between("torque of the pipe thread", torque, low, high, "in-lb", source=_PIPE)


def _flareless(turn: float) -> Ruling:
    ruling = between("turn after the nut bottoms", turn, 1 / 6, 1 / 3, "turn", source=_FLARELESS)
    return with_notes(ruling, "1/6 turn is one flat; 1/3 turn in all is never passed")


LIMITS = (
    Limit(
        id="flared-nut-torque",
        title="Torque of a flared nut",
        system="fluid-lines",
        inputs=(
            Input("tube", "Outside diameter, in", choices=("1/8", "3/16", "5/16", *ARMY, "1-1/2")),
            Input("joint", "What the nut holds", choices=JOINTS),
            Input("line", "What it carries", choices=("fuel", "oil", "hydraulic", "air", "oxygen")),
            Input("threads", "Lubricated or dry", choices=("lubricated", "dry")),
            Input("torque", "Torque", "in-lb", 0, 5000, optional=True),
        ),
        sources=(_ARMY,),
        basis=MAKER_FIRST,
        assumes=(
            "Steel or aluminium nut of the 37 degree kind, sound flare, nut run down by hand first.",
            "Threads with hydraulic fluid, anti-seize, petrolatum or grease; nothing on the cone or flare.",
        ),
        does_not_cover=("Oxygen lines.", "Dry threads.", "Copper tube.", "Tube of 1/8, 3/16, 5/16 and 1-1/2 in."),
        caution=f"{_CAUTION} {_CHECK}",
        examples=(
            Example(
                {"tube": "3/8", "joint": "steel-tube", "line": "fuel", "threads": "lubricated", "torque": "270"},
                "at", "Army TM 55-1520-240-23-1 para 1-13 column D", 270,
            ),
            Example(
                {"tube": "1/4", "joint": "aluminium-tube", "line": "oil", "threads": "lubricated", "torque": "70"},
                "beyond", "Army TM 55-1520-240-23-1 para 1-13 column C", 65,
            ),
            Example(
                {"tube": "3/8", "joint": "steel-tube", "line": "oxygen", "threads": "lubricated"},
                "not-covered", "FAA-H-8083-30 p. 7-9",
            ),
        ),
        rule=_flared_nut,
    ),
    Limit(
        id="flared-nut-torque-compared",
        title="Torque of a flared nut, two tables side by side",
        system="fluid-lines",
        inputs=(
            Input("tube", "Outside diameter, in", choices=tuple(TYPE_MANUAL)),
            Input("joint", "What the nut holds", choices=JOINTS[:2]),
            Input("line", "What it carries", choices=("fuel", "oil", "hydraulic", "air", "oxygen")),
            Input("torque", "Torque", "in-lb", 0, 5000),
        ),
        sources=(_ARMY, _TYPE),
        basis=MAKER_FIRST,
        assumes=("Within means inside both tables, beyond means outside both.",),
        does_not_cover=(
            "Which table is right for threads lubricated or dry: they differ in that very thing.",
            "AC 43.13-1B table 9-2, which was not readable.",
        ),
        caution=f"{_CAUTION} {_CHECK}",
        examples=(
            Example(
                {"tube": "3/8", "joint": "steel-tube", "line": "fuel", "torque": "290"},
                "within", "270-300 in Army column D and in the type manual", 300,
            ),
            Example(
                {"tube": "3/8", "joint": "aluminium-tube", "line": "fuel", "torque": "105"}, "not-covered", "computed"
            ),
            Example({"tube": "3/8", "joint": "aluminium-tube", "line": "fuel", "torque": "131"}, "beyond", "computed"),
        ),
        rule=_compared,
    ),
    Limit(
        id="pipe-thread-torque",
        title="Torque of a tapered pipe thread",
        system="fluid-lines",
        inputs=(
            Input("pipe", "Nominal pipe size, in", choices=(*PIPE, "1/2", "3/4")),
            Input("boss", "What it screws into", choices=("sturdy", "cast-or-thin")),
            Input("torque", "Torque", "in-lb", 0, 5000, optional=True),
        ),
        sources=(_PIPE,),
        basis=MAKER_FIRST,
        assumes=("A general Army figure; tapered thread to tapered thread, the right compound, first threads bare.",),
        does_not_cover=(
            "Cast aluminium and thin bosses (carburettor, strainer): the maker's figure only.",
            "Straight threads with a seal.",
        ),
        caution=f"{_CAUTION} Overtightening splits the boss, and the crack may show only in flight.",
        examples=(
            Example({"pipe": "1/8", "boss": "sturdy", "torque": "150"}, "within", "Army TM 1-1500-204-23-2: 125-175"),
            Example({"pipe": "1/4", "boss": "sturdy", "torque": "301"}, "beyond", "Army TM 1-1500-204-23-2", 300),
            Example({"pipe": "1/4", "boss": "cast-or-thin", "torque": "250"}, "not-covered", "computed"),
        ),
        rule=_pipe,
    ),
    Limit(
        id="flareless-nut-turn",
        title="Turn of a flareless nut",
        system="fluid-lines",
        inputs=(Input("turn", "After the nut bottoms, in all", "turn", 0, 4),),
        sources=(_FLARELESS,),
        basis=MAKER_FIRST,
        assumes=("The sleeve was preset; the connector is held while the nut turns.",),
        does_not_cover=("A joint that leaks at 1/3 turn: take it apart.", "Presetting the sleeve."),
        caution=f"{_CAUTION} {_CHECK}",
        examples=(
            Example({"turn": "1/6"}, "at", "AC 65-9A, flareless tube", 1 / 6),
            Example({"turn": "0.4"}, "beyond", "FAA oral-test flash cards", 1 / 3),
        ),
        rule=_flareless,
    ),
)  # fmt: skip
