"""Lists the limits of all systems and finds one by id. Loads their modules on first use, nothing scientific."""

from __future__ import annotations

from functools import cache
from importlib import import_module

from kb.errors import NotFound
from kb.limits.model import Limit
from kb.names import nearest_names

MODULES = (
    "fabric",
    "fabric_tapes",
    "wood",
    "plywood",
    "corrosion",
    "metal_pair",
    "engine",
    "cylinder",
    "oil",
    "propeller",
    "wire",
    "wiring",
    "instruments",
    "suction",
    "required_instruments",
    "compass",
    "weight",
    "empty_weight",
    "record_dates",
    "record_entries",
    "induction",
    "induction_air",
    "magneto",
    "exhaust",
    "cabin",
    "seats",
    "identity",
    "fuel_flow",
    "fuel_expect",
    "fuel_tank",
    "fuel_checks",
    "steel_tube",
    "steel_tube_inserts",
    "sheet_metal",
    "sheet_metal_rivets",
    "sheet_metal_rivet_size",
    "hardware_torque",
    "hardware_nuts",
    "hardware_safety",
    "controls",
    "controls_cables",
    "controls_cable_strength",
    "controls_turnbuckle",
    "fluid_lines",
    "fluid_lines_fitting",
    "fluid_lines_torque",
    "fluid_lines_hose",
    "fuel_leak",
)
"""The modules of limits in the order they are listed; each hands on `LIMITS`, a tuple of Limit."""


@cache
def all_limits() -> dict[str, Limit]:
    """Return every limit by id, in the order of the modules."""
    limits: dict[str, Limit] = {}
    for name in MODULES:
        for limit in import_module(f"kb.limits.{name}").LIMITS:
            if limit.id in limits:
                raise ValueError(f"two limits are called {limit.id}")
            limits[limit.id] = limit
    return limits


def get_limit(limit_id: str) -> Limit:
    """Return the limit of that id.

    Raises:
        NotFound: There is none; the nearest ids are named.
    """
    limits = all_limits()
    if limit_id not in limits:
        raise NotFound("limit", limit_id, nearest_names(limit_id, list(limits)))
    return limits[limit_id]


def limits_by_system() -> dict[str, tuple[Limit, ...]]:
    """Return the limits of each system, systems and limits in the order of the modules."""
    grouped: dict[str, list[Limit]] = {}
    for limit in all_limits().values():
        grouped.setdefault(limit.system, []).append(limit)
    return {system: tuple(limits) for system, limits in grouped.items()}
