"""Limits of the propeller and the landing gear's shock cord: track, nicks, age. Most stay with the maker."""

from __future__ import annotations

from kb.limits.basis import ONE_TYPE, ONE_TYPE_INPUT, of_one_type
from kb.limits.model import Example, Input, Limit, Ruling, compare
from kb.limits.ruling import at_most, needed, not_covered
from kb.limits.units import say
from kb.model import Source

_TRACK = Source("AC 43.13-1B", "8-74", "Track falls within the limits the maker recommends for new propellers.", "read")
_NICK = Source(
    "AC 20-37E", "minor repairs", "Depth and length of a blended nick; the figures were cut in every copy.", "memory"
)
_REPAIR = Source("AC 43.13-1B", "8-73, figures 8-27, 8-28", "Drawing minimum less a charted reduction.", "read")
_ZONES = Source(
    "one propeller maker's manual",
    "edge zones",
    "Leading edge: first 10 % of the chord; trailing: last 20 %.",
    "secondary",
)
_CORD = Source(
    "AC 43.13-1B", "9-4a", "Near 5 years or more replacement is advisable (quoted word for word).", "secondary"
)

_SAFE = "Treat the propeller as live: magnetos grounded, throttle closed, wheels chocked, nobody in the arc."
_BASIS = "Does not depend on the certification basis; the propeller maker's data and its type data decide."


def _track(difference: float, maker_limit: float | None) -> Ruling:
    if maker_limit is None:
        return not_covered(
            f"the track limit is the maker's, and {say(difference, 'in')} cannot be judged without it",
            _TRACK,
            remembered="1/16 in between blades, usual for light fixed-pitch propellers",
        )
    return at_most("difference in track", difference, maker_limit, "in", source=_TRACK)


def _nick(depth: float, place: str) -> Ruling:
    ratio, where = {"edge": (10, "an edge"), "face": (20, "the face")}[place]
    sample = (
        f"one maker's manual, a sample only: past 1/32 in before flight; blend {where} {ratio} times as long as deep"
    )
    example = f"by that sample this nick would be blended over {say(ratio * depth, 'in')}"
    return not_covered(
        "the limit is the blade drawing's and the maker's",
        _NICK,
        notes=(sample, example, "any crack: to a propeller shop"),
    )


def _blade_width(measured: float, drawing_minimum: float) -> Ruling:
    return not_covered(
        f"{say(measured, 'in')} against a drawing minimum of {say(drawing_minimum, 'in')} needs the charted reduction",
        _REPAIR,
        notes=("the reduction of figures 8-27 and 8-28 is a chart; below it the blade is rejected",),
    )


def _zone(from_leading: float, chord: float, same_type: str) -> Ruling:
    if compare(from_leading, chord) > 0:
        return not_covered("the nick lies outside the chord: measure again", _ZONES)
    share = 100 * from_leading / chord
    leading, trailing = compare(share, 10) <= 0, compare(share, 80) >= 0
    where = "leading edge" if leading else "trailing edge" if trailing else "face"
    ruling = needed(f"{say(share, '%')} of the chord: this counts as the {where}", source=_ZONES)
    return of_one_type(same_type, ruling, _ZONES)


def _cord_age(age: float, defects: str) -> Ruling:
    if defects == "yes":
        return Ruling("beyond", "beyond: any other defect calls for replacement whatever the age", source=_CORD)
    notes = ("the circular calls replacement advisable, not required",)
    return at_most("age of the shock cord", age, 5.0, "year", equal_is_enough=False, source=_CORD, notes=notes)


LIMITS = (
    Limit(
        id="propeller-track",
        title="Track of the blades",
        system="propeller",
        inputs=(
            Input("difference", "Greatest distance between blade tips' paths", "in", 0, 12),
            Input("maker-limit", "The maker's limit", "in", 0.001, 3, optional=True),
        ),
        sources=(_TRACK,),
        basis=_BASIS,
        assumes=("The same point of each blade at a fixed mark, shaft pushed one way, tail held still.",),
        does_not_cover=("Propellers whose maker's limit is not at hand.", "Bent blades: never straighten."),
        caution=_SAFE,
        examples=(
            Example({"difference": "1/16 in"}, "not-covered", "computed"),
            Example({"difference": "1/16 in", "maker-limit": "0.0625"}, "at", "computed from AC 43.13-1B 8-74", 0.0625),
        ),
        rule=_track,
    ),
    Limit(
        id="propeller-nick",
        title="Nick in a metal blade",
        system="propeller",
        inputs=(
            Input("depth", "Depth from a straight edge", "in", 0, 2),
            Input("place", "Where it is", choices=("edge", "face")),
        ),
        sources=(_NICK,),
        basis=_BASIS,
        assumes=("A nick without a crack, looked at with a 10 power glass.",),
        does_not_cover=("Every figure: the circular's was not readable.", "Steel, wood, composite."),
        caution=_SAFE + " Never peen, never straighten.",
        examples=(Example({"depth": "1/32 in", "place": "edge"}, "not-covered", "computed"),),
        rule=_nick,
    ),
    Limit(
        id="propeller-edge-zone",
        title="Edge or face of a blade",
        system="propeller",
        inputs=(
            Input("from-leading", "Nick from the leading edge, along the chord", "in", 0, 40),
            Input("chord", "Chord of the blade there", "in", 0.5, 40),
            ONE_TYPE_INPUT,
        ),
        sources=(_ZONES,),
        basis=ONE_TYPE,
        assumes=("A metal blade, measured square to its length.",),
        does_not_cover=("How deep a nick may be: propeller-nick.", "Any maker but the one of the manual."),
        caution=f"{_SAFE} Never peen, never straighten.",
        examples=(
            Example({"from-leading": "0.5", "chord": "5", "same-type": "yes"}, "required", "computed"),
            Example({"from-leading": "0.5", "chord": "5", "same-type": "no"}, "not-covered", "computed"),
        ),
        rule=_zone,
    ),
    Limit(
        id="propeller-blade-width",
        title="Blade width or thickness after dressing",
        system="propeller",
        inputs=(
            Input("measured", "Width or thickness now", "in", 0.01, 24),
            Input("drawing-minimum", "Least original dimension of the blade drawing", "in", 0.01, 24),
        ),
        sources=(_REPAIR,),
        basis=_BASIS,
        assumes=("Measured at the station the drawing names.",),
        does_not_cover=("The reduction itself: figures 8-27 and 8-28 are charts.",),
        caution=_SAFE,
        examples=(Example({"measured": "5.1", "drawing-minimum": "5.2"}, "not-covered", "computed"),),
        rule=_blade_width,
    ),
    Limit(
        id="shock-cord-age",
        title="Age of rubber shock cord",
        system="landing-gear",
        inputs=(
            Input("age", "Years since the cord was made", "year", 0, 80),
            Input("defects", "Frayed, necked, worn or stretched", choices=("yes", "no")),
        ),
        sources=(_CORD,),
        basis="Does not depend on the certification basis; the maker's data come first.",
        assumes=("The date is known from records or from the coloured yarns.",),
        does_not_cover=("The key of the yarn colours, which is only remembered.",),
        caution="Stretched cord stores energy: use the tool, guard eyes and fingers, jack the aircraft by the book.",
        examples=(
            Example({"age": "4", "defects": "no"}, "within", "AC 43.13-1B 9-4a", 5),
            Example({"age": "5", "defects": "no"}, "beyond", "AC 43.13-1B 9-4a", 5),
        ),
        rule=_cord_age,
    ),
)  # fmt: skip
