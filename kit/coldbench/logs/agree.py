"""Readings that should agree with each other: counter and power, inside and room, a scale."""

from __future__ import annotations

import numpy as np

from coldbench.logs.cumulative import cumulative
from coldbench.logs.limits import QUALITY
from coldbench.logs.record import Trace


def counter_against_power(power: Trace, counter: Trace) -> tuple[float, float] | None:
    """Energy by power and by the counter over the longest stretch that both cover.

    Parameters
    ----------
    power, counter : Trace
        Of one run; the counter only grows.

    Returns
    -------
    (float, float) or None
        By power, by the counter; None where they have no stretch in common that is long enough
        for the counter's step to tell a difference. [Wh]

    References
    ----------
    .. [1] This kit's own definition.
    """
    if len(power.t) < 2 or len(counter.t) < 2:
        return None
    inside = counter.within(power.t[0], power.t[-1])
    if inside.stop - inside.start < 2:
        return None
    t = counter.t[inside]
    by_power, covered = cumulative(power).both(t[:-1], t[1:])
    whole = (covered >= 0.999 * np.diff(t)) & counter.covered[inside.start : inside.stop - 1]
    for broken in counter.broken:
        whole &= ~((t[:-1] >= broken.t0) & (t[:-1] < broken.t1))
    counted = np.diff(counter.y[inside])[whole].sum()
    energy = by_power[whole].sum() / 3600
    step = counter.counter_step or counter.resolution
    if energy < 20 * max(step, 1e-9):
        return None
    return float(energy), float(counted)


def air_above_ambient(air: Trace, ambient: Trace, begin: float) -> float:
    """By how much the inside was warmer than the room over the later half of a run. [K]

    Parameters
    ----------
    air, ambient : Trace
    begin : float
        Time zero, POSIX. [s]
    """
    end = min(air.t[-1], ambient.t[-1])
    middle = (begin + end) / 2
    if end <= middle:
        return 0.0
    inside, room = (float(cumulative(x).mean(middle, end)) for x in (air, ambient))
    return inside - room if np.isfinite(inside - room) else 0.0


def tare_jumps(y: np.ndarray) -> np.ndarray:
    """Samples at which a scale's reading jumps: something was put on, taken off, or tared.

    Parameters
    ----------
    y : ndarray, shape (n,)
        Mass. [kg]

    Returns
    -------
    ndarray of int
        First sample after each jump.

    References
    ----------
    .. [1] This kit's own definition.
    """
    step = np.abs(np.diff(y))
    if len(step) < 5 or not step.any():
        return np.zeros(0, int)
    usual = max(float(np.median(step)), float(np.quantile(step[step > 0], 0.25)))
    return np.flatnonzero(step > QUALITY.tare * usual) + 1


def mass_without_jumps(y: np.ndarray) -> np.ndarray:
    """A scale's reading with its jumps taken out, from its first value on. [kg]

    Parameters
    ----------
    y : ndarray, shape (n,)
        [kg]

    Examples
    --------
    >>> mass_without_jumps(np.array([0.0, 0.1, 0.2, 0.3, 0.4, 9.4, 9.5, 9.6])).round(1).tolist()
    [0.0, 0.1, 0.2, 0.3, 0.4, 0.4, 0.5, 0.6]
    """
    step = np.diff(y)
    step[tare_jumps(y) - 1] = 0.0
    return y[0] + np.concatenate([[0.0], np.cumsum(step)])
