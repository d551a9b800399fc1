"""Short ways for the tests to ask a limit."""

from __future__ import annotations

from kb.limits import get_limit, judge
from kb.limits.model import Result


def ask(limit_id: str, **typed: object) -> Result:
    """Judge by keyword: underscores stand for hyphens, values are typed as they print."""
    return judge(get_limit(limit_id), {name.replace("_", "-"): str(value) for name, value in typed.items()})


def verdict(limit_id: str, **typed: object) -> str:
    """Return only the verdict."""
    return ask(limit_id, **typed).verdict


def required(limit_id: str, **typed: object) -> float:
    """Return the required value; fails when there is none."""
    value = ask(limit_id, **typed).required
    assert value is not None
    return value
