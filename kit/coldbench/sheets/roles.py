"""Roles: what a log column or a typed reading measures."""

from __future__ import annotations

from coldbench.quantities import CANONICAL

ROLE_KINDS: dict[str, str] = {
    "air": "temperature", "air_warm": "temperature", "air_cold": "temperature",
    "load": "temperature", "ambient": "temperature", "ambient_intake": "temperature",
    "hot_side": "temperature", "cold_side": "temperature", "wall": "temperature",
    "power": "power", "energy": "energy", "voltage": "voltage", "current": "current",
    "heater": "power", "sound": "sound", "mass": "mass", "humidity": "humidity", "door": "count",
    "loop_in": "temperature", "loop_out": "temperature", "suction": "temperature",
    "discharge": "temperature", "liquid": "temperature",
    "pressure_low": "pressure", "pressure_high": "pressure",
}

# Unit of each role in the canonical frame. Numbered roles ("load_2") take their base role's.
ROLE_UNITS: dict[str, str] = {role: CANONICAL[kind] or "-" for role, kind in ROLE_KINDS.items()}


def base_role(role: str) -> str:
    """Role without its number.

    Examples
    --------
    >>> base_role("load_2"), base_role("air_warm")
    ('load', 'air_warm')
    """
    head, _, tail = role.rpartition("_")
    return head if tail.isdigit() else role
