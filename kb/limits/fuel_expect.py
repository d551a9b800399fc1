"""The flow to expect from a gravity line, and the head left at the carburettor: an estimate, never the proof."""

from __future__ import annotations

from kb.limits.basis import MAKER_FIRST
from kb.limits.fuel_pipe import SELECTORS, Line, flow_under, head_lost, reynolds_number
from kb.limits.model import Example, Input, Limit, Ruling, compare
from kb.limits.ruling import at_least, needed, with_notes
from kb.limits.units import say
from kb.model import Source

VISCOSITY = 0.73
"""mm²/s at 77 °F: 0.501 mPa s over 687.70 kg/m³ is 0.7285, iso-octane standing for aviation gasoline [read]."""

_FRICTION = Source(
    "Chemical Engineering 91 (1977)",
    "pages 91-92, restated in doi 10.1007/s10494-012-9419-7",
    "Friction factor of a pipe, laminar to turbulent in one explicit formula (read in the fluids library 1.3.1).",
    "secondary",
)
_FITTINGS = Source(
    "Chemical Engineering, 24 August 1981",
    "page 97",
    "Two constants of each fitting and valve (read in the fluids library 1.3.1).",
    "secondary",
)
_FUEL = Source(
    "Journal of Chemical and Engineering Data, 3 November 2014",
    "abstract of the article on n-heptane with 2,2,4-trimethylpentane",
    "Iso-octane at 298.15 K: 687.70 kg/m³, 0.501 mPa s.",
    "read",
)

_LEFT = "at {flow} the line takes {lost} of head, which leaves {left} at the carburettor, margin {margin}"


def _expected(
    head: float,
    length: float,
    bore: float,
    elbows: float,
    tees: float,
    selector: str,
    selector_bore: float | None,
    extra_loss: float,
    viscosity: float,
    inlet_head: float,
    wanted: float | None,
    measured: float | None,
) -> Ruling:
    line = Line(12.0 * length, bore, elbows, tees, selector, selector_bore, extra_loss, viscosity)
    expected = flow_under(head - inlet_head, line)
    notes = [_regime(expected, line)]
    if measured is not None:
        notes.append(_against_measured(measured, expected))
    if wanted is None:
        return needed(
            f"flow to expect about {expected:.3g} gal/h; give the flow wanted for a verdict",
            notes=tuple(notes),
        )  # fmt: skip
    lost = head_lost(wanted, line)
    left = head - lost
    notes.insert(
        0,
        _LEFT.format(
            flow=say(wanted, "gal/h"), lost=_inches(lost), left=_inches(left), margin=_inches(left - inlet_head)
        ),
    )
    if compare(left, 0.0) < 0:
        notes[0] += " (less than nothing: the line cannot pass this flow)"
    ruling = at_least("computed flow", float(f"{expected:.3g}"), wanted, "gal/h")
    return with_notes(ruling, *notes, "a computed flow proves nothing: the flow test at the worst attitude does")


def _inches(value: float) -> str:
    return f"{value:.3g} in of fuel"


def _regime(flow: float, line: Line) -> str:
    if flow <= 0:
        return "the carburettor asks for all the head there is: nothing flows"
    reynolds = reynolds_number(flow, line)
    word = "laminar" if reynolds < 2000 else "turbulent" if reynolds > 4000 else "between laminar and turbulent"
    return f"{word} flow, Reynolds number {reynolds:.3g}"


def _against_measured(measured: float, expected: float) -> str:
    if expected <= 0:
        return f"measured {say(measured, 'gal/h')}, where no flow is computed: look at the inputs again"
    share = f"measured {say(measured, 'gal/h')} is {100 * measured / expected:.0f} % of the flow to expect"
    if measured < expected:
        return f"{share}; if far short, look for a restriction: vent, cap, screen, selector, hose, sealant"
    return share


LIMITS = (
    Limit(
        id="fuel-flow-to-expect",
        title="Fuel flow to expect from a gravity line",
        system="fuel",
        inputs=(
            Input("head", "Fuel level in the tank over the carburettor inlet, worst attitude", "in", 0.5, 240),
            Input("length", "Length of the line, tank to carburettor", "ft", 0.1, 100),
            Input("bore", "Inside diameter of the line, the smallest if it changes", "in", 0.05, 2),
            Input("elbows", "Square elbow fittings, and other 90 deg turns", "", 0, 40, whole=True, default=0.0),
            Input("tees", "Tees run straight through", "", 0, 40, whole=True, default=0.0),
            Input("selector", "Selector or shut-off valve by its passage", choices=tuple(SELECTORS), default="angle"),
            Input("selector-bore", "Smallest hole in the way, if under the bore", "in", 0.02, 2, optional=True),
            Input("extra-loss", "Loss coefficient of anything else, from its maker", "", 0, 1000, default=0.0),
            Input("viscosity", "Kinematic viscosity of the fuel", "mm2/s", 0.2, 20, default=VISCOSITY),
            Input("inlet-head", "Head the carburettor asks for at its inlet", "in", 0, 240, default=0.0),
            Input("wanted", "Flow the system has to pass", "gal/h", 0.1, 1000, optional=True),
            Input("measured", "Flow measured, to compare", "gal/h", 0, 1000, optional=True),
        ),
        sources=(_FRICTION, _FITTINGS, _FUEL),
        basis=MAKER_FIRST + " The flow wanted comes from fuel-flow-gravity on the basis of the aircraft.",
        assumes=(
            "Drawn tube, round and clean, of one bore; the tank vented to the same air as the carburettor bowl.",
            "Iso-octane at 77 °F stands for aviation gasoline unless a viscosity is given; cold fuel runs slower.",
            "A sharp entrance at the tank, and the whole velocity lost at the end.",
            "The two-K constants were made for pipe fittings; drilled elbows of small bore may lose more or less.",
        ),
        does_not_cover=(
            "Pumps, vapour, an airlock at a high point, air pressure or suction at the vent.",
            "Screens, strainers and float valves, unless their loss coefficient or inlet head is given.",
            "The proof: the flow is to be measured (fuel-flow-gravity).",
        ),
        caution="To measure it, fuel runs in the open: no ignition source, bonded cans, extinguisher, fire guard.",
        examples=(
            Example(
                {"head": "30", "length": "8", "bore": "0.305", "elbows": "3", "wanted": "9"},
                "within", "computed; checked against the fluids library in the tests", 9,
            ),
            Example(
                {"head": "4", "length": "12", "bore": "0.18", "elbows": "6", "wanted": "9", "inlet-head": "2"},
                "beyond", "computed; checked against the fluids library in the tests", 9,
            ),
            Example({"head": "30", "length": "8", "bore": "0.305"}, "required", "computed"),
        ),
        rule=_expected,
    ),
)  # fmt: skip
