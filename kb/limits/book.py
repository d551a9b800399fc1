"""The limits under one name, as the Desk hands them to both faces; knows the limits, no pages and no store."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from kb.limits.gauge import Piece, draw_pieces
from kb.limits.judge import judge, missing_inputs, read_input
from kb.limits.model import Gauge, Given, Input, Limit, Result
from kb.limits.registry import all_limits, get_limit, limits_by_system


class LimitBook:
    """What a face may do with limits: list them, look one up, read an input, judge, draw."""

    def names(self) -> tuple[str, ...]:
        """Return the ids of all limits, in the order of their modules."""
        return tuple(all_limits())

    def by_system(self, order: Sequence[str] = ()) -> dict[str, tuple[Limit, ...]]:
        """Return the limits of each system: systems in `order`, then the others as their modules come."""
        grouped = limits_by_system()
        first = [system for system in order if system in grouped]
        return {system: grouped[system] for system in (*first, *(other for other in grouped if other not in first))}

    def get(self, limit_id: str) -> Limit:
        """Return one limit; NotFound names the nearest."""
        return get_limit(limit_id)

    def known(self, names: Iterable[str]) -> tuple[Limit, ...]:
        """Return the limits of these names, in their order; a name of another program version is left out."""
        return tuple(all_limits()[name] for name in names if name in all_limits())

    def missing(self, limit_id: str, typed: Mapping[str, str]) -> list[Input]:
        """Return the inputs that are needed and not yet typed."""
        return missing_inputs(get_limit(limit_id), typed)

    def read(self, item: Input, typed: str) -> Given:
        """Return one input as typed and as used; LimitInputProblem when it cannot be used."""
        return read_input(item, typed)

    def judge(self, limit_id: str, typed: Mapping[str, str]) -> Result:
        """Return the verdict for inputs as typed; see `kb.limits.judge.judge`."""
        return judge(get_limit(limit_id), typed)

    def draw(self, gauge: Gauge, width: int) -> tuple[Piece, ...]:
        """Return the one-line drawing in pieces, left to right."""
        return draw_pieces(gauge, width)
