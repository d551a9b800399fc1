"""Limits of what tells who an aircraft is, and of its paint: height of the marks, the plate, paint stripper."""

from __future__ import annotations

from kb.limits.model import Example, Input, Limit, Ruling, compare
from kb.limits.ruling import all_met, at_least, between, not_covered, with_notes, worst
from kb.limits.units import say
from kb.model import Source

_FULL = Source("14 CFR", "45.29(b)", "Fixed-wing marks at least 12 in high.", "read")
_SMALL = Source(
    "14 CFR",
    "45.22(b)(1)",
    "Small airplane built 30 years ago or more, or of its outside shape: at least 2 in.",
    "secondary",
)
_PLATE = Source("14 CFR", "45.11(a), (b); 45.13(a)", "What a data plate says, of what it is, how it is held.", "read")
_STRIPPER = Source(
    "Navy corrosion control course",
    "paint removal",
    "Layer 1/32 to 1/16 in, 10 to 40 minutes; then rinse with 1 part cleaner to 9 parts of water.",
    "read",
)

PLATE = {
    "builder": "the builder's name",
    "model": "the model",
    "serial": "the builder's serial number",
    "type-certificate": "the type certificate number, if there is one",
    "production-certificate": "the production certificate number, if there is one",
    "rating": "for an engine its rating",
    "fireproof": "fireproof, etched, stamped or engraved, or marked by another approved fireproof way",
    "secured": "secured so that an accident does not deface, remove or lose it",
}
"""14 CFR 45.11(a), (b) and 45.13(a) [read]. Wooden propellers of fixed pitch are out of the fireproof rule."""

_NO_BASIS = "Does not depend on the certification basis; an identification rule."
_YES_NO = ("yes", "no")


def _height(height: float, age: float, kind: str, characters: float | None) -> Ruling:
    if kind == "other":
        return not_covered("gliders, rotorcraft and others have sizes of their own", _FULL)
    if kind == "copy" or compare(age, 30) >= 0:
        ruling = at_least("height of the marks", height, 2.0, "in", source=_SMALL)
    else:
        ruling = at_least("height of the marks", height, 12.0, "in", source=_FULL)
        ruling = with_notes(ruling, "2 in are enough once the airplane was built 30 years ago (14 CFR 45.22(b)(1))")
    if characters is None:
        return ruling
    length = characters * 2 * height / 3 + (characters - 1) * height / 6
    return with_notes(ruling, f"{say(characters, '')} full-width characters take {say(length, 'in')} at this height")


def _plate(
    builder: str, model: str, serial: str, type_certificate: str, production_certificate: str, rating: str,
    fireproof: str, secured: str,
) -> Ruling:  # fmt: skip
    answers = (builder, model, serial, type_certificate, production_certificate, rating, fireproof, secured)
    return with_notes(
        all_met(PLATE, answers, _PLATE),
        "no plate is changed, taken off for good or fitted without FAA approval (14 CFR 45.13, as restated)",
    )


def _stripper(layer: float, minutes: float, rinse: float | None) -> Ruling:
    ruling = worst(
        between("layer of stripper", layer, 1 / 32, 1 / 16, "in", source=_STRIPPER),
        between("time on the paint", minutes, 10.0, 40.0, "min", source=_STRIPPER),
    )
    if rinse is None:
        return ruling
    return with_notes(ruling, f"rinse: {say(rinse / 10, 'gal')} of cleaner in {say(rinse * 9 / 10, 'gal')} of water")


LIMITS = (
    Limit(
        id="registration-mark-height",
        title="Height of the registration marks",
        system="finish",
        inputs=(
            Input("height", "Height of the characters", "in", 0.1, 60),
            Input("age", "Full years since the airplane was built", "year", 0, 130),
            Input(
                "kind",
                "Small fixed-wing with a standard certificate; a copy is exhibition or amateur-built with the outside"
                " shape of one 30 years old",
                choices=("standard", "copy", "other"),
            ),
            Input("characters", "Characters of the mark", "", 1, 12, whole=True, optional=True),
        ),
        sources=(_FULL, _SMALL),
        basis=_NO_BASIS,
        assumes=("Both sides of the fin or of the fuselage, on a surface that is large enough (45.25, 45.29(f)).",),
        does_not_cover=("Shape, stroke and gap: registration-mark-shape.", "Exports, and other countries."),
        caution="Old paint holds lead and chromate: no dry sanding.",
        examples=(
            Example({"height": "12", "age": "29", "kind": "standard"}, "at", "14 CFR 45.29(b)", 12),
            Example({"height": "2", "age": "29", "kind": "standard"}, "beyond", "computed", 12),
            Example({"height": "2", "age": "30", "kind": "standard"}, "at", "14 CFR 45.22(b)(1)", 2),
        ),
        rule=_height,
    ),
    Limit(
        id="data-plate",
        title="What a data plate holds",
        system="finish",
        inputs=tuple(
            Input(
                name,
                text[0].upper() + text[1:],
                choices=(*_YES_NO, "not-asked") if "certificate" in name or name == "rating" else _YES_NO,
            )
            for name, text in PLATE.items()
        ),
        sources=(_PLATE,),
        basis=_NO_BASIS,
        assumes=("The plate of an aircraft, or of an engine, which names its rating too.",),
        does_not_cover=(
            "Where the plate of an older aircraft may be: the date of that rule is only remembered.",
            "Whether the plate belongs to this aircraft.",
        ),
        caution="Do not take the plate off to read it: a plate with new rivets must explain itself.",
        examples=(
            Example(
                {name: "not-asked" if name in ("production-certificate", "rating") else "yes" for name in PLATE},
                "within", "14 CFR 45.13(a)",
            ),
            Example({name: "no" if name == "rating" else "yes" for name in PLATE}, "beyond", "14 CFR 45.13(a)"),
        ),
        rule=_plate,
    ),
    Limit(
        id="paint-stripper",
        title="Layer and time of paint stripper",
        system="finish",
        inputs=(
            Input("layer", "Thickness of the layer", "in", 0, 1),
            Input("minutes", "Time it lay on the paint", "min", 0, 1_440),
            Input("rinse", "Rinse to be mixed, in all", "gal", 0.1, 200, optional=True),
        ),
        sources=(_STRIPPER,),
        basis="Does not depend on the certification basis; the stripper maker's directions come first.",
        assumes=("Sheet metal, seams, joints and windows masked, openings closed, until the paint wrinkles.",),
        does_not_cover=("Fabric, wood, plastic and fibreglass: no stripper.", "Caustic strippers: never on aluminium."),
        caution="Ground the aircraft, air the place, gloves and goggles; no sharp tool: scribed lines crack.",
        examples=(
            Example({"layer": "1/16", "minutes": "20", "rinse": "10"}, "at", "Navy corrosion control course", 0.0625),
            Example({"layer": "1/20", "minutes": "41"}, "beyond", "computed", 40),
        ),
        rule=_stripper,
    ),
)  # fmt: skip
