"""Running and idle, and the whole cycles of a thermostat."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coldbench.analysis.limits import LIMITS
from coldbench.logs.levels import two_levels
from coldbench.logs.record import Trace


@dataclass(frozen=True)
class Cycling:
    """Two levels and the cycles between them.

    Parameters
    ----------
    source : str
        Role the cycles were found in: ``power``, or ``air`` where power was not logged.
    threshold, idle, running : float
        Middle and medians of the two levels. [unit of the source]
    t, y : ndarray, shape (n,)
        Samples the levels were found in. [s], [unit of the source]
    state : ndarray of bool, shape (n,)
        True where the machine runs.
    starts : ndarray, shape (m,)
        Cycle starts, POSIX; m starts make m − 1 whole cycles. [s]
    """

    source: str
    threshold: float
    idle: float
    running: float
    t: np.ndarray
    y: np.ndarray
    state: np.ndarray
    starts: np.ndarray


def find_cycles(trace: Trace, zero: float, end: float) -> Cycling | None:
    """Cycles of a thermostat after time zero, or None where the machine runs without a break.

    Parameters
    ----------
    trace : Trace
        Power, or air temperature where power was not logged.
    zero, end : float
        Time zero and the end of the cooler's running, POSIX. [s]

    Returns
    -------
    Cycling or None
        None when the two levels lie too close or are not held (see Notes), and where nothing but
        the energy of long intervals was logged.

    Notes
    -----
    Cycling when the levels differ by at least 3 W and 20 % of the upper one, and each holds at
    least two samples at least twice; so a peak of one sample, as at a start, is no level and does
    not move the threshold. From air temperature the levels need to differ by 0.3 K, and
    a cycle starts where the temperature turns to fall through the middle.

    References
    ----------
    .. [1] This kit's own definition.
    """
    if trace.bucket > LIMITS.bucket_shape:
        return None
    inside = trace.within(zero, end)
    t, y = trace.t[inside], trace.y[inside]
    if trace.on_change:
        t, y = _to_its_end(t, y)
    if trace.role != "power" and len(y) > 8:
        # On the way down the air is warmer than it ever is later: no level of a thermostat.
        begin = int(np.argmax(y <= y[len(y) // 2 :].max()))
        t, y = t[begin:], y[begin:]
    if len(y) < 8 or np.ptp(levels := _without_peaks(y)) == 0:
        return None
    threshold = two_levels(levels)
    state = y > threshold
    lower, upper = float(np.median(y[~state])), float(np.median(y[state]))
    by_power = trace.role == "power"
    least = max(LIMITS.level_watts, LIMITS.level_share * upper) if by_power else 0.3
    if upper - lower < least or not _held_twice(state):
        return None
    if not by_power:
        state = ~state  # the machine runs while the temperature falls below the middle
    rise = np.flatnonzero(state[1:] & ~state[:-1]) + 1
    return Cycling(
        "power" if by_power else trace.role, threshold, lower, upper, t, y, state,
        edge_times(trace, t, y, rise, lower, upper) if by_power else t[rise],
    )


def edge_times(
    trace: Trace, t: np.ndarray, y: np.ndarray, edges: np.ndarray, lower: float, upper: float
) -> np.ndarray:
    """Instants at which the machine started, at the edges of samples.

    Parameters
    ----------
    trace : Trace
        Whether its samples are means, and how they are labelled.
    t : ndarray, shape (n,)
        Sample times, POSIX. [s]
    y : ndarray, shape (n,)
        Samples. [W]
    edges : ndarray of int, shape (m,)
        Index of the first sample of each running spell. [-]
    lower, upper : float
        The two levels. [W]

    Returns
    -------
    ndarray, shape (m,)
        A mean over an interval takes in part of the idle time: its energy belongs to the cycle
        that it opens, so the start is the start of that interval. [s]

    References
    ----------
    .. [1] This kit's own definition.
    """
    if trace.power != "mean":
        return t[edges]
    # A first interval that runs only in part stays below the threshold; it opens the cycle.
    partly = y[edges - 1] > lower + 0.05 * (upper - lower)
    opens = edges - partly
    if trace.label == "end":
        return t[np.maximum(opens - 1, 0)]
    return t[opens]


def running_share(trace: Trace, cycling: Cycling) -> np.ndarray:
    """Share of each sample's interval in which the machine ran.

    Parameters
    ----------
    trace : Trace
        The power trace the cycles were found in.
    cycling : Cycling
        Its levels.

    Returns
    -------
    ndarray, shape (n,)
        A share for each of ``cycling.t``: 0 or 1; between them for an interval mean beside a
        change of state. [-]

    References
    ----------
    .. [1] This kit's own definition.
    """
    share, y = cycling.state.astype(float), cycling.y
    if trace.power != "mean":
        return share
    changed = np.flatnonzero(np.diff(cycling.state))
    beside = np.unique(np.concatenate([changed, changed + 1]))
    # Level of the running spell nearby, not of the whole run: power falls as the box gets cold.
    near = np.maximum(y[np.maximum(beside - 1, 0)], y[np.minimum(beside + 1, len(y) - 1)])
    top = np.where(near > cycling.threshold, near, cycling.running)
    share[beside] = np.clip((y[beside] - cycling.idle) / (top - cycling.idle), 0.0, 1.0)
    return share


def _to_its_end(t: np.ndarray, y: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Each value of a log on change at its begin and at its end: it held in between."""
    end = np.append(t[1:] - 1e-3, t[-1:])
    return np.column_stack([t, end]).ravel(), np.repeat(y, 2)


def _held_twice(state: np.ndarray) -> bool:
    """Each level holds at least two samples in a row, at least twice."""
    edges = np.flatnonzero(np.diff(state)) + 1
    lengths = np.diff(np.concatenate([[0], edges, [len(state)]]))
    values = state[np.concatenate([[0], edges])]
    return all((lengths[values == level] >= 2).sum() >= 2 for level in (True, False))


def _without_peaks(y: np.ndarray) -> np.ndarray:
    """Middle one of each three neighbours."""
    a, b, c = y[:-2], y[1:-1], y[2:]
    return np.maximum(np.minimum(a, b), np.minimum(np.maximum(a, b), c))
