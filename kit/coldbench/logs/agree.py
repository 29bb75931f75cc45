"""Readings that should agree with each other: counter and power, inside and room, a scale."""

from __future__ import annotations

import numpy as np

from coldbench.logs.cumulative import cumulative
from coldbench.logs.limits import QUALITY
from coldbench.logs.record import Trace

SOME = 20_000  # samples, spread evenly, that tell what is usual
FEW = 5
GRAM = 0.001  # [kg]


def counter_against_power(power: Trace, counter: Trace) -> tuple[float, float] | None:
    """Energy by power and by the counter over all the time that both cover.

    Parameters
    ----------
    power, counter : Trace
        Of one run; the counter only grows.

    Returns
    -------
    (float, float) or None
        By power, by the counter; None where they have too little time in common
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
    t, y = counter.t[inside], counter.y[inside]
    begin, end = _whole_stretches(t, power, counter)
    counted = (y[end] - y[begin]).sum()
    energy = cumulative(power).integral(t[begin], t[end]).sum() / 3600
    step = counter.counter_step or counter.resolution
    if energy < 20 * max(step, 1e-9):
        return None
    return float(energy), float(counted)


def _whole_stretches(
    t: np.ndarray, power: Trace, counter: Trace
) -> tuple[np.ndarray, np.ndarray]:
    """First and last of those readings of a counter between which nothing is missing."""
    silences = [(x.t[:-1][~x.covered], x.t[1:][~x.covered]) for x in (power, counter)]
    silences += [(np.array([b.t0]), np.array([b.t1])) for b in counter.broken]
    lost = np.zeros(len(t) + 1, int)
    for begin, end in silences:
        # Every step that a silence touches; one from reading to reading touches its own only.
        np.add.at(lost, np.clip(np.searchsorted(t, begin, "right") - 1, 0, len(t)), 1)
        np.add.at(lost, np.clip(np.searchsorted(t, end, "left"), 0, len(t)), -1)
    whole = np.cumsum(lost[:-2]) == 0
    edges = np.flatnonzero(np.diff(np.concatenate([[False], whole, [False]])))
    return edges[::2], edges[1::2]


def air_above_ambient(air: Trace, ambient: Trace, begin: float) -> float:
    """By how much the inside was warmer than the room for half of the later half of a run. [K]

    Parameters
    ----------
    air, ambient : Trace
    begin : float
        Time zero, POSIX. [s]

    References
    ----------
    .. [1] This kit's own definition: the median, so that no lid and no lamp decides.
    """
    end = min(air.t[-1], ambient.t[-1])
    later = air.within((begin + end) / 2, end)
    some = slice(later.start, later.stop, max(1, (later.stop - later.start) // SOME))
    if end <= begin or not len(air.t[some]):
        return 0.0
    return float(np.median(air.y[some] - np.interp(air.t[some], ambient.t, ambient.y)))


def tare_jumps(y: np.ndarray, resolution: float = 0.0) -> tuple[np.ndarray, np.ndarray]:
    """Where a scale's reading jumps: something was put on, taken off, or tared.

    Parameters
    ----------
    y : ndarray, shape (n,)
        Mass. [kg]
    resolution : float
        Step of the scale, 0 where unknown. [kg]

    Returns
    -------
    first : ndarray of int, shape (m,)
        First sample of each jump; one seen half-way counts once. [-]
    size : ndarray, shape (m,)
        [kg]

    References
    ----------
    .. [1] This kit's own definition.

    Examples
    --------
    >>> first, size = tare_jumps(np.array([2.0, 2.0, 2.0, 2.0, 1.4, 0.9, 0.9, 0.9]))
    >>> first.tolist(), size.round(3).tolist()
    ([4], [-1.1])
    """
    step, jump = _steps(y, resolution)
    at = np.flatnonzero(jump)
    if not len(at):
        return at, np.zeros(0)
    goes_on = (np.diff(at) == 1) & (np.sign(step[at[1:]]) == np.sign(step[at[:-1]]))
    begins = np.flatnonzero(np.append(True, ~goes_on))
    return at[begins] + 1, np.add.reduceat(step[at], begins)


def mass_without_jumps(y: np.ndarray, resolution: float = 0.0) -> np.ndarray:
    """A scale's reading with its jumps taken out, from its first value on. [kg]

    Parameters
    ----------
    y : ndarray, shape (n,)
        [kg]
    resolution : float
        Step of the scale, 0 where unknown. [kg]

    References
    ----------
    .. [1] This kit's own definition.

    Examples
    --------
    >>> mass_without_jumps(np.array([0.0, 0.1, 0.2, 0.3, 0.4, 9.4, 9.5, 9.6])).round(1).tolist()
    [0.0, 0.1, 0.2, 0.3, 0.4, 0.4, 0.5, 0.6]
    """
    step, jump = _steps(y, resolution)
    return y[0] + np.append(0.0, np.cumsum(np.where(jump, 0.0, step)))


def _steps(y: np.ndarray, resolution: float) -> tuple[np.ndarray, np.ndarray]:
    """Steps of a scale, and which of them are jumps."""
    step = np.diff(y)
    size = np.abs(step)
    if len(step) < FEW or not size.any():
        return step, np.zeros(len(step), bool)
    some = size[:: max(1, len(size) // SOME)]
    moves = some[some > 0]
    # A coarse scale ticks now and then: its ticks are no jumps. Of a few moves nobody can tell.
    tick = float(np.quantile(moves, 0.25)) if len(moves) >= FEW else GRAM
    return step, size > QUALITY.tare * max(float(np.median(some)), tick, resolution)
