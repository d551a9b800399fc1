"""Limits of tapes, seams and sewing on fabric covering. All from AC 43.13-1B chapter 2."""

from __future__ import annotations

from kb.limits.fabric import BASIS, SPEED
from kb.limits.model import Example, Input, Limit, Ruling, compare
from kb.limits.ruling import at_least, at_most, not_covered, passes, with_notes, worst
from kb.model import Source

_AC = "AC 43.13-1B"

_TEAR_4 = Source(_AC, "2-43b", "Opening over 8 and under 16 in: tape 4 in wide.", "read")
_TEAR_6 = Source(_AC, "2-43c", "Opening over 16 in, wing top, or never-exceed over 150 mph: tape 6 in wide.", "read")
_TEAR_BASE = Source(_AC, "2-43", "Width for openings up to 8 in; the figure was not readable.", "memory")
_SEAM = Source(_AC, "2-7b(5)", "Overlapped and doped: 1 in overlap, 3 in tape, up to and including 150 mph.", "read")
_STITCH = Source(_AC, "2-7 (2)", "At least 4 stitches per inch, locked at most every 10.", "read")
_EDGE = Source(_AC, "2-7 (4), (5)", "Sewn spanwise seam: tape 4 in at the leading, 3 in at the trailing edge.", "read")
_NOTCH = Source(_AC, "2-7 (5)", "Over 200 mph: notches 1 in deep, 1/4 in wide, at most 6 in apart.", "read")
_LACE_ON = Source(
    _AC, "figure 2-12, note 2, as reprinted", "Lacing is carried to the leading edge over 275 mph.", "secondary"
)
_TAPE = Source(_AC, "2-13", "Tape bonds 3/8 in each side and runs 1/2 in past the reinforcing tape.", "read")

_4B, _4C = "AC 43.13-1B 2-43b", "AC 43.13-1B 2-43c"
_FUMES = "Dope and thinner: no flame, no spark, fresh air."
_OWN_DATA = "Coverings with their own approved instructions."
_EDGES = {"leading": 4.0, "trailing": 3.0}


def _tear_tape(opening: float, surface: str, never_exceed: float, fitted: float | None) -> Ruling:
    if surface == "wing-top" or compare(never_exceed, 150) > 0 or compare(opening, 16) >= 0:
        ruling = at_least("finishing tape over the tear", fitted, 6.0, "in", source=_TEAR_6)
        exact = "exactly 16 in stands in neither sentence of 2-43; the wider tape is taken"
        return with_notes(ruling, exact) if compare(opening, 16) == 0 else ruling
    if compare(opening, 8) > 0:
        return at_least("finishing tape over the tear", fitted, 4.0, "in", source=_TEAR_4)
    return not_covered("the width for openings up to 8 in was not readable", _TEAR_BASE, remembered="3 in wide")


def _doped_seam(never_exceed: float, place: str, overlap: float, tape: float) -> Ruling:
    if place == "leading-edge":
        return passes(
            "beyond: an overlapped and doped seam is not allowed on a wing leading edge", is_fit=False, source=_SEAM
        )
    return worst(
        at_most("never-exceed speed", never_exceed, 150.0, "mph", source=_SEAM),
        at_least("overlap of the seam", overlap, 1.0, "in", source=_SEAM),
        at_least("finishing tape over the seam", tape, 3.0, "in", source=_SEAM),
    )


def _stitches(per_inch: float, lock_every: float | None) -> Ruling:
    ruling = at_least("stitches per inch", per_inch, 4.0, "", source=_STITCH)
    if lock_every is None:
        return with_notes(ruling, "lock stitches at most 10 stitches apart are also required")
    return worst(ruling, at_most("stitches between locks", lock_every, 10.0, "", source=_STITCH))


def _edge_tape(edge: str, fitted: float | None) -> Ruling:
    return at_least(f"pinked tape over the {edge} edge seam", fitted, _EDGES[edge], "in", source=_EDGE)


def _lace_on(never_exceed: float, carried: str) -> Ruling:
    if compare(never_exceed, 275) <= 0:
        return passes("within: to the leading edge is asked for over 275 mph only", is_fit=True, source=_LACE_ON)
    is_fit = carried == "yes"
    told = f"{'within' if is_fit else 'beyond'}: over 275 mph the lacing is carried to the leading edge"
    return passes(told, is_fit=is_fit, source=_LACE_ON)


def _notches(never_exceed: float, spacing: float | None, depth: float | None, tape: float) -> Ruling:
    if compare(never_exceed, 200) <= 0:
        return not_covered("notches are asked for only over 200 mph", _NOTCH)
    deep = 1.0 if compare(tape, 3) >= 0 else tape / 3
    return worst(
        at_most("distance between notches", spacing, 6.0, "in", source=_NOTCH),
        at_least("depth of the notches", depth, deep, "in", source=_NOTCH),
    )


def _surface_tape(bond: float, past_end: float | None) -> Ruling:
    ruling = at_least("bond beside the attachment", bond, 0.375, "in", source=_TAPE)
    if past_end is None:
        return with_notes(ruling, "1/2 in past the end of the reinforcing tape is also required")
    return worst(ruling, at_least("tape past the reinforcing tape", past_end, 0.5, "in", source=_TAPE))


LIMITS = (
    Limit(
        id="lacing-to-leading-edge",
        title="Lacing carried to the leading edge",
        system="fabric",
        inputs=(SPEED, Input("carried", "Does the lacing reach the leading edge", choices=("yes", "no"))),
        sources=(_LACE_ON,),
        basis=BASIS,
        assumes=("The original lacing cannot be determined; support such as plywood or metal at the leading edge.",),
        does_not_cover=("The spacing: wing-lacing-spacing.", _OWN_DATA),
        caution="Feel for the lacing through the tape; do not lift sound tape to see it.",
        examples=(
            Example({"never-exceed": "275", "carried": "no"}, "within", f"{_AC} figure 2-12, note 2"),
            Example({"never-exceed": "276", "carried": "no"}, "beyond", f"{_AC} figure 2-12, note 2"),
        ),
        rule=_lace_on,
    ),
    Limit(
        id="tear-tape-width",
        title="Tape width over a sewn tear",
        system="fabric",
        inputs=(
            Input("opening", "Longest way across the opening, any direction", "in", 0.1, 100),
            Input("surface", "Where the tear is", choices=("wing-top", "elsewhere")),
            SPEED,
            Input("fitted", "Width of the tape that is on it", "in", 0, 24, optional=True),
        ),
        sources=(_TEAR_4, _TEAR_6),
        basis=BASIS,
        assumes=("The tear was sewn and the tape is doped on over it.",),
        does_not_cover=("Unsewn doped patches (2-45 was not readable).", _OWN_DATA),
        caution=_FUMES,
        examples=(
            Example({"opening": "12", "surface": "elsewhere", "never-exceed": "120"}, "required", _4B, 4),
            Example({"opening": "12", "surface": "wing-top", "never-exceed": "120"}, "required", _4C, 6),
            Example({"opening": "5", "surface": "elsewhere", "never-exceed": "120"}, "not-covered", "computed"),
        ),
        rule=_tear_tape,
    ),
    Limit(
        id="doped-seam",
        title="Overlapped and doped seam",
        system="fabric",
        inputs=(
            SPEED,
            Input("place", "Where the seam runs", choices=("perimeter", "leading-edge")),
            Input("overlap", "Overlap of the two cloths", "in", 0, 12),
            Input("tape", "Width of the finishing tape over it", "in", 0, 24),
        ),
        sources=(_SEAM,),
        basis=BASIS,
        assumes=("Perimeter of wing, controls, tail or fuselage; the tape is centred on the outer edge.",),
        does_not_cover=("Sewn seams.", _OWN_DATA),
        caution=_FUMES,
        examples=(
            Example(
                {"never-exceed": "150", "place": "perimeter", "overlap": "1", "tape": "3"},
                "at", "AC 43.13-1B 2-7b(5)", 150,
            ),
        ),
        rule=_doped_seam,
    ),
    Limit(
        id="hand-stitches",
        title="Hand-sewn seam",
        system="fabric",
        inputs=(
            Input("per-inch", "Stitches per inch, the poorest inch", "", 0, 40),
            Input("lock-every", "Stitches from one lock to the next", "", 1, 100, whole=True, optional=True),
        ),
        sources=(_STITCH,),
        basis=BASIS,
        assumes=("Overthrow or baseball stitch, cloth doubled under at least 3/8 in.",),
        does_not_cover=("Machine seams.",),
        caution="Do not cut a seam open to count; count from the outside through the tape edge.",
        examples=(Example({"per-inch": "4", "lock-every": "10"}, "at", "AC 43.13-1B 2-7 (2)", 4),),
        rule=_stitches,
    ),
    Limit(
        id="edge-seam-tape",
        title="Tape over a sewn spanwise edge seam",
        system="fabric",
        inputs=(
            Input("edge", "Which edge of the wing", choices=tuple(_EDGES)),
            Input("fitted", "Width of the tape", "in", 0, 24, optional=True),
        ),
        sources=(_EDGE,),
        basis=BASIS,
        assumes=("A sewn seam, the tape pinked.",),
        does_not_cover=("Doped seams: see doped-seam.", _OWN_DATA),
        caution=_FUMES,
        examples=(
            Example({"edge": "leading", "fitted": "4"}, "at", "AC 43.13-1B 2-7 (4)", 4),
            Example({"edge": "trailing", "fitted": "2.5"}, "beyond", "AC 43.13-1B 2-7 (5)", 3),
        ),
        rule=_edge_tape,
    ),
    Limit(
        id="trailing-edge-notches",
        title="Notches in trailing edge tape of control surfaces",
        system="fabric",
        inputs=(
            SPEED,
            Input("spacing", "Greatest distance from notch to notch", "in", 0.25, 60, optional=True),
            Input("depth", "Depth of the shallowest notch", "in", 0, 6, optional=True),
            Input("tape", "Width of the tape", "in", 1, 24, default=3.0),
        ),
        sources=(_NOTCH,),
        basis=BASIS,
        assumes=("Notches in both edges, 1/4 in wide.", "A movable surface: loose tape acts as a trim tab there."),
        does_not_cover=("200 mph and under.", _OWN_DATA),
        caution="Press loose tape down before it is measured, and look for the reason it lifted.",
        examples=(Example({"never-exceed": "220", "spacing": "6", "depth": "1"}, "at", "AC 43.13-1B 2-7 (5)", 6),),
        rule=_notches,
    ),
    Limit(
        id="surface-tape-bond",
        title="Finishing tape over attachments",
        system="fabric",
        inputs=(
            Input("bond", "Bonded width on the poorer side of the attachment", "in", 0, 6),
            Input("past-end", "Tape past the end of the reinforcing tape", "in", 0, 12, optional=True),
        ),
        sources=(_TAPE,),
        basis=BASIS,
        assumes=("The tape went on after the first coat of dope.",),
        does_not_cover=(_OWN_DATA,),
        caution="Lift no tape edge to measure; press and look.",
        examples=(Example({"bond": "3/8 in", "past-end": "1/2 in"}, "at", "AC 43.13-1B 2-13", 0.375),),
        rule=_surface_tape,
    ),
)  # fmt: skip
