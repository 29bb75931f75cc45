"""Boxes of the demo, and how the stall writes down a run."""

from __future__ import annotations

import datetime as dt
from typing import Any

from coldbench.bench.boxes import (
    Case,
    Compressor,
    Load,
    Room,
    Thermoelectric,
    foam_box,
)
from coldbench.bench.campaign import Run, cans
from coldbench.bench.instruments import Column, LogPlan

HOUR = 3600.0
OF_RUN = ("readings", "reader", "pours_off", "drains")
PROBES = {"air": "P1", "load": "P2", "ambient": "P3", "hot_side": "P4"}

CHEST = (foam_box(22.0, 0.035, 0.026, seal=0.05), Compressor(evaporator_film=3.8))
SMALL = (
    foam_box(12.0, 0.022, 0.034, seal=0.08),
    Thermoelectric(i_max=5.6, v_max=15.2, volts=11.2, hot_resistance=0.66, cold_film=1.9),
)
BUILT = (
    foam_box(16.0, 0.050, 0.032, seal=0.085),
    Thermoelectric(
        count=4, series=2, i_max=6.4, v_max=16.4, dt_max=68.0, volts=12.4, hot_resistance=0.17,
        hot_resistance_still=0.45, hot_heat=2500.0, cold_film=2.9, cold_heat=2000.0,
        fan_outside=12.0, fan_inside=1.0,
    ),
)  # fmt: skip
ICE_BOX = (foam_box(18.0, 0.030, 0.034, seal=0.05), None)


def log(*roles: str, step: float = 60.0, **more: Any) -> LogPlan:
    """A log in the stall's own style: a probe for each place, power by the DC meter.

    Parameters
    ----------
    *roles : str
        A column each.
    step : float
        [s]
    **more
        Further attributes of the plan.

    Returns
    -------
    LogPlan
    """
    columns = [
        Column("power_W", "power", "dc-meter")
        if role == "power"
        else Column(f"{role}_C", role, "probes", probe=PROBES[role])
        for role in roles
    ]
    return LogPlan(tuple(columns), step=step, power="mean", **more)


def sheet(
    cooler: str, kind: list[str], setting: str | None, note: str, **more: Any
) -> dict[str, Any]:
    """What a run's sheet says, marked as invented.

    Parameters
    ----------
    cooler : str
        Its id.
    kind : list of str
    setting : str or None
        None where nothing was set.
    note : str
    **more
        Further keys.

    Returns
    -------
    dict
    """
    head: dict[str, Any] = {"#": "Invented data.", "cooler": cooler, "kind": kind}
    if setting is not None:
        head["setting"] = setting
    return {**head, "protocol": "stall-1", "note": note, **more}


def power_on(*marks: tuple[str, str]) -> list[dict[str, str]]:
    """Marks of a run that begins as the cooler is switched on.

    Parameters
    ----------
    *marks : tuple of str
        When and what, of those that follow.

    Returns
    -------
    list of dict
    """
    return [{"at": "0 min", "what": "power on"}, *({"at": at, "what": w} for at, w in marks)]


def four_bottles(start: float, filling: float) -> tuple[Load, dict[str, Any]]:
    """The stall's test load: four half-litre bottles with head-space left for ice.

    Parameters
    ----------
    start : float
        [°C]
    filling : float
        True filling is off by this, relative. [-]

    Returns
    -------
    load : Load
    sheet : dict
    """
    return cans(4, 330.0, "PET", 24.0, start, filling=filling, nucleation=-3.0)


def run(
    name: str, day: int, parts: tuple, sheet: dict[str, Any], plan: LogPlan, *,
    room: float, hour: int = 9, **more: Any,
) -> Run:  # fmt: skip
    """A run of June, soaked at the room's temperature unless it says where it starts.

    Parameters
    ----------
    name : str
        Its id.
    day, hour : int
        When it begins.
    parts : tuple
        Box and machine.
    sheet : dict
    plan : LogPlan
    room : float
        Its mean. [°C]
    **more
        Further attributes of the case or the run.

    Returns
    -------
    Run
    """
    of_run = {key: more.pop(key) for key in OF_RUN if key in more}
    place = Room(mean=room, daily=0.25, drift=0.08, seed=day)
    soaked = {"lead": 900.0, "start": place.mean + 0.1}
    case = Case(*parts, room=place, **{**soaked, **more})
    return Run(name, case, sheet, dt.datetime(2031, 6, day, hour), (plan,), **of_run)
