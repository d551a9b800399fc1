"""Limits: a number gets a verdict from a printed table, with every condition it stands on."""

from kb.limits.gauge import draw, draw_pieces
from kb.limits.judge import judge, missing_inputs
from kb.limits.registry import all_limits, get_limit, limits_by_system

__all__ = ["all_limits", "draw", "draw_pieces", "get_limit", "judge", "limits_by_system", "missing_inputs"]
