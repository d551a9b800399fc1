"""A limit's verdict as the answer about a measured sign."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from kb.desk import Desk
from kb.errors import KbError, NotFound, UsageProblem
from kb.limits import get_limit
from kb.limits.judge import judge
from kb.limits.model import Result
from kb.measured import measured_sign, said_by
from kb.model import SignLimit
from kb.narrow import Case, CaseSign

STRAP = "ground-strap-on-paint-or-magnesium"
OHMS = {"part": "jumper-connection", "resistance": "5 milliohm"}


def _sign(limit: SignLimit | None, name: str = "p/s") -> CaseSign:
    return CaseSign(name, "measured", "text", {0: 0.5}, limit=limit)


def _bond(resistance: str, part: str = "jumper-connection") -> Result:
    return judge(get_limit("bonding-resistance"), {"part": part, "resistance": resistance})


@pytest.mark.parametrize(
    ("resistance", "said"), [("5 milliohm", "seen"), ("3 milliohm", "not-seen"), ("1", "not-seen")]
)
def test_beyond_is_seen_and_a_value_at_the_limit_is_not(resistance: str, said: str) -> None:
    """At the limit is what the limit permits."""
    assert said_by(_sign(SignLimit("bonding-resistance")), _bond(resistance)) == said


def test_a_sign_of_being_within_is_seen_within() -> None:
    """The other way round."""
    sign = _sign(SignLimit("bonding-resistance", "within"))
    assert [said_by(sign, _bond(ohms)) for ohms in ("1", "3 milliohm", "5")] == ["seen", "seen", "not-seen"]


@pytest.mark.parametrize(("hole", "said"), [("0.2", "seen"), ("5/16", "not-seen"), ("0.4", "not-seen")])
def test_the_sides_of_beyond_are_told_apart(hole: str, said: str) -> None:
    """A hole too large is beyond too, and yet not tight."""
    result = judge(get_limit("window-screw-hole"), {"screw": "3/16", "hole": hole})
    assert said_by(_sign(SignLimit("window-screw-hole", "under")), result) == said


def test_what_is_not_covered_or_only_required_settles_nothing() -> None:
    """Neither seen nor not seen."""
    sign = _sign(SignLimit("fabric-strength"))
    punched = {"wing-loading": "9", "never-exceed": "100", "measured": "40", "method": "punch"}
    assert said_by(sign, judge(get_limit("fabric-strength"), punched)) is None
    grip = _sign(SignLimit("registration-mark-shape"))
    assert said_by(grip, judge(get_limit("registration-mark-shape"), {"height": "12"})) is None


def test_a_measurement_of_something_else_settles_nothing() -> None:
    """The sign says which part it is about."""
    sign = _sign(SignLimit("bonding-resistance", given={"part": "jumper-connection"}))
    assert said_by(sign, _bond("5 milliohm", "equipment-frame")) is None


def test_a_limit_that_settles_several_signs_must_be_named_by_sign() -> None:
    """The sentence names them."""
    case = Case((), (_sign(SignLimit("wood-knot"), "a/s"), _sign(SignLimit("wood-knot"), "b/s")), ())
    with pytest.raises(UsageProblem, match="a/s, b/s"):
        measured_sign(case, "wood-knot")
    assert measured_sign(case, "b/s")[0].id == "b/s"


def test_a_sign_without_a_limit_is_answered_by_eye() -> None:
    """And an unknown name names the nearest."""
    case = Case((), (_sign(None, "a/drip"),), ())
    with pytest.raises(UsageProblem, match="seen or not seen"):
        measured_sign(case, "drip")
    with pytest.raises(NotFound, match="a/drip"):
        measured_sign(case, "dripp")


def test_a_measurement_moves_the_causes_like_the_answer_it_gives(desk: Desk) -> None:
    """And says verdict, inputs, caution; the session keeps it."""
    start = desk.narrow.start(STRAP)
    moved, result = desk.narrow.measure(start, "bonding-resistance", OHMS)
    assert moved.verdict == desk.narrow.answer(start, "high-joint-ohms", "seen").verdict
    assert result.verdict == "beyond"
    assert result.caution in moved.note
    assert "part jumper-connection" in moved.note
    desk.narrow.keep(moved)
    assert desk.narrow.reopen(moved.id).session.answers == moved.session.answers


def test_what_settles_nothing_says_so_and_moves_nothing(desk: Desk) -> None:
    """The sign stays open."""
    start = desk.narrow.start(STRAP)
    frame, _ = desk.narrow.measure(start, "high-joint-ohms", {**OHMS, "part": "equipment-frame"})
    assert replace(frame, note="") == start
    assert "The sign is about part jumper-connection" in frame.note
    assert "No cause moves" in frame.note


@pytest.mark.parametrize("typed", [{"resistance": "lots"}, {"resistence": "3"}, {}])
def test_bad_inputs_are_refused_in_one_sentence(desk: Desk, typed: dict[str, str]) -> None:
    """By the limit itself."""
    with pytest.raises(KbError, match="resist"):
        desk.narrow.measure(desk.narrow.start(STRAP), "high-joint-ohms", typed)
