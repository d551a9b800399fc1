"""Limits of nuts and bolts fitted: locknut reuse, grip, threads through the nut, heat of the nut, least bolt size."""

from __future__ import annotations

from kb.limits.basis import MAKER_FIRST
from kb.limits.model import Example, Input, Limit, Ruling
from kb.limits.ruling import at_least, at_most, needed, not_covered, passes
from kb.limits.units import say
from kb.model import Source

_AC = "AC 43.13-1B"

TABLE_7_2: dict[str, float] = {
    "7/16-20": 8, "1/2-20": 10, "9/16-18": 13, "5/8-18": 18, "3/4-16": 27, "7/8-14": 40, "1-14": 55,
    "1-1/8-12": 73, "1-1/4-12": 94,
    "7/16-14": 8, "1/2-13": 10, "9/16-12": 14, "5/8-11": 20, "3/4-10": 27, "7/8-9": 40, "1-8": 51,
    "1-1/8-8": 68, "1-1/4-8": 88,
}  # fmt: skip
"""AC 43.13-1B table 7-2, page 7-12, least prevailing torque, in-lb, 18 values [read]. It begins at 7/16."""

BREAKAWAY: dict[str, float] = {
    "10-32": 2.0, "1/4-28": 3.5, "5/16-24": 6.5, "3/8-24": 9.5, "7/16-20": 14.0, "1/2-20": 18.0, "9/16-18": 24.0,
    "5/8-18": 32.0, "3/4-16": 50.0, "7/8-14": 70.0, "1-12": 90.0, "1-1/8-12": 117.0, "1-1/4-12": 143.0,
}  # fmt: skip
"""Army TM 1-4220-250-12&P table F-1, least breakaway torque, in-lb [read]; another test, shown but never a verdict.

Misprint: its last row (143.0) repeats "1-1/8-12"; it stands after 117.0 and is evidently 1-1/4-12.
"""

_SMALL = ("8-36", "10-32", "1/4-28", "5/16-24", "3/8-24", "8-32", "10-24", "1/4-20", "5/16-18", "3/8-16")

HEAT: dict[str, float] = {"fibre-or-nylon": 250, "cadmium-plated": 450, "silver-plated": 1400}
"""Greatest temperature of the place, degF: AC 43.13-1B 7-64f and page 7-12 items a, b [read]."""

SIZES = ("no-4", "no-6", "no-8", "no-10", "1/4", "5/16-or-larger")
"""Bolt diameters from the smallest up."""

_REUSE = Source(_AC, "7-64f, 7-122c, table 7-2", "Least prevailing torque of a locknut used again.", "read")
_PROTRUDE = Source(_AC, "7-37, 7-64f", "At least one thread must show through a self-locking or plain nut.", "read")
_HOT = Source(_AC, "7-64f, page 7-12", "Fibre or nylon 250 °F, cadmium 450 °F, silver plate 1,400 °F.", "read")
_LEAST = Source(
    _AC, "7-41", "No steel bolt under No. 10-32, no aluminium bolt under 1/4 in in primary structure.", "read"
)
_GRIP = Source("Exam-preparation note", "grip of a bolt, worked example", "Grip is length less thread.", "secondary")
_GRIP_RULE = Source(_AC, "7-37, first half", "Grip against thickness; remembered, not read.", "memory")

_HANDS = "Support the parts before a bolt is drawn: a loaded joint moves and shears fingers."


def _locknut(thread: str, prevailing: float | None, rotates: str) -> Ruling:
    if rotates == "yes":
        return passes(
            "beyond: no self-locking nut on a part subject to rotation", is_fit=False,
            source=Source(_AC, "7-64a", "Self-locking nuts are not for parts subject to rotation.", "read"),
        )  # fmt: skip
    other = BREAKAWAY.get(thread)
    compared = "Army TM 1-4220-250-12&P table F-1 asks a breakaway torque (another test) of at least"
    notes = (f"{compared} {say(other, 'in-lb')}; for comparison only",) if other is not None else ()
    least = TABLE_7_2.get(thread)
    if least is None:
        return not_covered("no published figure: table 7-2 begins at 7/16 in", _REUSE, notes=notes)
    return at_least("prevailing torque", prevailing, least, "in-lb", source=_REUSE, notes=notes)


def _grip(length: float, thread: float, thickness: float | None) -> Ruling:
    grip = length - thread
    if grip <= 0:
        return not_covered("the thread is as long as the bolt: it has no grip", _GRIP)
    told = f"grip {say(grip, 'in')}"
    if thickness is not None:
        return not_covered(
            f"{told} against {say(thickness, 'in')} of material: the printed rule was not readable", _GRIP_RULE,
            remembered="grip equals the thickness; a little longer with washers of not over 1/8 in in all",
        )  # fmt: skip
    return needed(f"{told}: length under the head less the thread", grip, "in", source=_GRIP)


def _protrusion(threads: float, nut: str) -> Ruling:
    if nut == "castle":
        return not_covered("the sentence speaks of self-locking and plain nuts", _PROTRUDE)
    return at_least("threads through the nut", threads, 1, "", source=_PROTRUDE)


def _heat(nut: str, temperature: float) -> Ruling:
    return at_most("temperature of the place", temperature, HEAT[nut], "degF", source=_HOT)


def _least_bolt(material: str, size: str, place: str) -> Ruling:
    least = "no-10" if material == "steel" else "1/4"
    if place == "elsewhere":
        return not_covered("the sentence speaks of primary structure", _LEAST)
    fits = SIZES.index(size) >= SIZES.index(least)
    asked = "No. 10-32" if material == "steel" else "1/4 in"
    word = "within" if fits else "beyond"
    notes = () if material == "steel" else ("no aluminium bolt or nut where it is often removed (7-41)",)
    return passes(f"{word}: {material} bolt, at least {asked} required", is_fit=fits, source=_LEAST, notes=notes)


LIMITS = (
    Limit(
        id="locknut-reuse",
        title="Self-locking nut used again",
        system="hardware",
        inputs=(
            Input("thread", "Thread of the nut", choices=(*_SMALL, *TABLE_7_2, "1-12")),
            Input("prevailing", "Torque to turn it on the thread, no load on the seat", "in-lb", 0, 500, optional=True),
            Input("rotates", "Can the part turn in the joint", choices=("yes", "no"), default="no"),
        ),
        sources=(_REUSE,),
        basis=MAKER_FIRST,
        assumes=(
            "At least one thread through the nut, bolt threads clean and undamaged, the nut running, not seated.",
            "The nut is the kind the maker named for the place.",
        ),
        does_not_cover=(
            "No. 8 to 3/8 in, the sizes most used: the table has none.",
            "Fibre or nylon nuts in heat over 250 °F (nut-temperature).",
            "Nuts on engine and exhaust, to the maker's rule.",
        ),
        caution="A weak nut is cut up, not put back in the bin. " + _HANDS,
        examples=(
            Example({"thread": "1/2-20", "prevailing": "9"}, "beyond", "AC 43.13-1B table 7-2", 10),
            Example({"thread": "1/2-20", "prevailing": "10"}, "at", "AC 43.13-1B table 7-2", 10),
            Example({"thread": "10-32", "prevailing": "4"}, "not-covered", "AC 43.13-1B table 7-2: no such row"),
        ),
        rule=_locknut,
    ),
    Limit(
        id="grip-length",
        title="Grip of a bolt",
        system="hardware",
        inputs=(
            Input("length", "Under the head to the end", "in", 0.05, 40),
            Input("thread", "Length of the thread", "in", 0.02, 40),
            Input("thickness", "Material to be held", "in", 0.01, 40, optional=True),
        ),
        sources=(_GRIP,),
        basis=MAKER_FIRST,
        assumes=("Hexagon-head bolt, measured from under the head.",),
        does_not_cover=(
            "Whether the grip suits the material: that half of 7-37 is only remembered.",
            "Countersunk heads, measured over all.",
        ),
        caution="Measure the bolt that came out, and ask whether it was the right one. " + _HANDS,
        examples=(
            Example(
                {"length": "1-3/16", "thread": "5/8"},
                "required", "exam-preparation note, worked example: 9/16 in", 0.5625,
            ),
            Example({"length": "1-3/16", "thread": "5/8", "thickness": "9/16"}, "not-covered", "computed"),
        ),
        rule=_grip,
    ),
    Limit(
        id="thread-protrusion",
        title="Threads through the nut",
        system="hardware",
        inputs=(
            Input("threads", "Threads showing past the nut", "", 0, 40),
            Input("nut", "Kind of nut", choices=("self-locking", "plain", "castle")),
        ),
        sources=(_PROTRUDE,),
        basis=MAKER_FIRST,
        assumes=("The nut is home and at its torque; whole threads are counted, not the chamfer.",),
        does_not_cover=("The nut run out of thread: too much showing may mean it stands on the shank.", "Castle nuts."),
        caution="Look and count; a fingertip on a cut thread bleeds. " + _HANDS,
        examples=(
            Example({"threads": "1", "nut": "plain"}, "at", "AC 43.13-1B 7-37", 1),
            Example({"threads": "0", "nut": "self-locking"}, "beyond", "AC 43.13-1B 7-64f", 1),
        ),
        rule=_protrusion,
    ),
    Limit(
        id="nut-temperature",
        title="Heat where a nut is fitted",
        system="hardware",
        inputs=(
            Input("nut", "Insert or plating of the nut", choices=tuple(HEAT)),
            Input("temperature", "Greatest temperature of the place", "degF", -100, 3000),
        ),
        sources=(_HOT,),
        basis=MAKER_FIRST,
        assumes=("The lowest of insert and plating governs a nut that has both.",),
        does_not_cover=("What heat does to the bolt itself: cadmium harms steel over 450 °F.", "Fire."),
        caution="Hot exhaust burns long after shut-down; let it cool, and use a paint or probe made for the heat.",
        examples=(
            Example({"nut": "fibre-or-nylon", "temperature": "250"}, "at", "AC 43.13-1B 7-64f", 250),
            Example({"nut": "cadmium-plated", "temperature": "451"}, "beyond", "AC 43.13-1B page 7-12 item a", 450),
        ),
        rule=_heat,
    ),
    Limit(
        id="structural-bolt-size",
        title="Least bolt in primary structure",
        system="hardware",
        inputs=(
            Input("material", "What the bolt is made of", choices=("steel", "aluminium")),
            Input("size", "Nominal diameter", choices=SIZES),
            Input("place", "Where", choices=("primary-structure", "elsewhere"), default="primary-structure"),
        ),
        sources=(_LEAST,),
        basis=MAKER_FIRST,
        assumes=("The drawing does not call for the smaller bolt itself.",),
        does_not_cover=("The strength of the joint.", "Bolts without marks, or of unknown origin (7-34)."),
        caution=_HANDS,
        examples=(
            Example({"material": "steel", "size": "no-10"}, "within", "AC 43.13-1B 7-41"),
            Example({"material": "aluminium", "size": "no-10"}, "beyond", "AC 43.13-1B 7-41"),
        ),
        rule=_least_bolt,
    ),
)  # fmt: skip
