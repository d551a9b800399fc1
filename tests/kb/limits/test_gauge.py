"""The drawing of measured against limit."""

from __future__ import annotations

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from kb.limits.gauge import NARROWEST, draw, draw_pieces, gauge_of
from kb.limits.model import Gauge, Ruling, Verdict, compare


def _gauge(limit: float, measured: float | None, verdict: Verdict = "within", high: float = 80) -> Gauge:
    return Gauge(0, high, limit, measured, "lb/in", verdict, "new")


def test_the_drawing_shows_scale_limit_and_measured() -> None:
    """As the design of the screens draws it."""
    assert draw(_gauge(46, 51), 70) == "0 ──────────────────────────────┤46├●51────────────────── 80 lb/in new"


def test_measured_stands_on_its_own_side_of_the_limit() -> None:
    """Even when the two are too close for the scale."""
    under = draw(_gauge(46, 45.99, "beyond"))
    over = draw(_gauge(46, 46.01))
    assert under.index("●") < under.index("┤")
    assert over.index("●") > over.index("┤")


def test_a_value_off_the_scale_is_marked() -> None:
    """It stands at the end with an arrow, not where it is not."""
    assert "»●500" in draw(_gauge(46, 500))
    assert "«●-5" in draw(_gauge(46, -5, "beyond"))


def test_the_pieces_say_their_tone() -> None:
    """Colour may repeat the verdict; the text alone already says it."""
    tones = {piece.tone for piece in draw_pieces(_gauge(46, 40, "beyond"))}
    assert tones == {"quiet", "limit", "beyond"}
    assert "beyond" not in {piece.tone for piece in draw_pieces(_gauge(46, None, "required"))}


@example(-7.009986234424546e-57, 7.009986234424546e-57, 0.125, 1.0, 0)
@given(
    st.floats(-1e6, 1e6),
    st.one_of(st.none(), st.floats(-1e6, 1e6)),
    st.floats(-1e6, 1e6),
    st.floats(1e-3, 1e6),
    st.integers(0, 200),
)
def test_the_drawing_is_one_line_of_the_asked_width(
    limit: float, measured: float | None, low: float, span: float, width: int
) -> None:
    """Whatever the numbers; and the order of the marks is the order of the values."""
    line = draw(Gauge(low, low + span, limit, measured, "lb/in", "within"), width)
    assert len(line) == max(width, NARROWEST)
    assert line.isprintable()
    if measured is not None:
        assert (line.index("●") > line.index("┤")) == (compare(measured, limit) >= 0)


@pytest.mark.parametrize(
    ("required", "high"), [(46.0, 60.0), (0.375, 0.5), (150.0, 200.0), (1.0, 1.2), (0.0, 1.0), (5e-324, 1.0)]
)
def test_the_scale_ends_at_a_round_figure(required: float, high: float) -> None:
    """Where the rule names no scale of its own."""
    gauge = gauge_of(Ruling("required", "x", unit="in", required=required))
    assert gauge is not None
    assert gauge.high == high


def test_nothing_is_drawn_without_a_required_value() -> None:
    """A yes-or-no rule and an uncovered case have no gauge."""
    assert gauge_of(Ruling("within", "x")) is None
    assert gauge_of(Ruling("not-covered", "x", required=1.0)) is None
