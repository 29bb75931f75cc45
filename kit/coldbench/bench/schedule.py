"""What is done to each simulated run, and when."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from coldbench.bench.boxes import Case


@dataclass(frozen=True)
class Schedule:
    """Room, switches, heater and lid: arrays (n_cases, steps + 1), one value a step."""

    t: np.ndarray  # 0 at power on [s]
    ambient: np.ndarray  # [°C]
    powered: np.ndarray
    heater: np.ndarray  # [W]
    exchange: np.ndarray  # room to warm air past an open lid [W/K]


def step_count(case: Case, dt: float) -> int:
    """Steps that a case takes, its lead included.

    Parameters
    ----------
    case : Case
    dt : float
        Time step. [s]

    Returns
    -------
    int
    """
    return round((case.lead + case.hours * 3600) / dt)


def schedule(cases: Sequence[Case], dt: float) -> Schedule:
    """Lay out what happens over the steps of the longest case.

    Parameters
    ----------
    cases : sequence of Case
        n of them.
    dt : float
        Time step. [s]

    Returns
    -------
    Schedule
    """
    steps = max(step_count(case, dt) for case in cases)
    t = np.array([np.arange(steps + 1) * dt - case.lead for case in cases])
    exchange = np.zeros_like(t)
    for row, case in enumerate(cases):
        for begin, length in case.openings:
            overlap = np.minimum(t[row] + dt, begin + length) - np.maximum(t[row], begin)
            exchange[row] += case.open_exchange * np.clip(overlap, 0.0, dt) / dt
    off = np.array([case.power_off for case in cases])[:, None]
    return Schedule(
        t=t,
        ambient=np.array([case.room.at(times) for case, times in zip(cases, t, strict=True)]),
        powered=(t >= 0) & (t < off),
        heater=np.array([case.heater for case in cases])[:, None] * (t >= 0),
        exchange=exchange,
    )
