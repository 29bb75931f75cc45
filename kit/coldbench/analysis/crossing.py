"""When a temperature first reached a level: smoothed, never across a gap, with its interval."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np

from coldbench import draws
from coldbench.analysis.doubt import noise_sd, reading_of
from coldbench.analysis.limits import LIMITS
from coldbench.logs.cumulative import cumulative
from coldbench.logs.record import Trace

HOUR = 3600.0
MANY = 5_000  # points from which a running sum over all samples pays


@dataclass(frozen=True)
class Curve:
    """A pull-down curve: centred 10 min means of native samples after time zero.

    Parameters
    ----------
    t, y : ndarray, shape (n,)
        Instants and means. [s], [°C]
    gap : float
        Points further apart have a gap between them. [s]
    samples : int
        Samples in a mean.
    """

    t: np.ndarray
    y: np.ndarray
    gap: float
    samples: int

    @cached_property
    def lowest(self) -> np.ndarray:
        """Lowest mean so far, its sign turned so that it only grows, shape (n,). [°C]"""
        return -np.minimum.accumulate(self.y)


@lru_cache(maxsize=4)
def smooth(trace: Trace, zero: float, end: float) -> Curve:
    """Centred 10 min means at native samples; these alone where their step exceeds 5 min.

    Parameters
    ----------
    trace : Trace
        A temperature.
    zero, end : float
        Time zero and end of running, POSIX. [s]

    Returns
    -------
    Curve
        Points only where nearly all of the ten minutes is covered by samples.

    References
    ----------
    .. [1] This kit's own definition.
    """
    after = trace.within(zero, end)
    if trace.step > LIMITS.smoothing_step_most:
        return Curve(trace.t[after], trace.y[after], trace.gap, 1)
    # Ten minutes' mean is straight over a few seconds: not each of a fast log's samples is asked.
    every = max(1, int(LIMITS.smoothing_points / trace.step))
    at = np.arange(after.start, after.stop, every)
    area, time = _about(trace, at, LIMITS.smoothing / 2)
    full = time >= 0.95 * LIMITS.smoothing
    samples = max(1, round(LIMITS.smoothing / trace.step))
    return Curve(trace.t[at][full], area[full] / time[full], trace.gap, samples)


def _about(trace: Trace, at: np.ndarray, half: float) -> tuple[np.ndarray, np.ndarray]:
    """Integral and covered time about some samples. [K·s], [s]"""
    t, y, step = trace.t, trace.y, trace.even
    reach = round(half / step) if step else 0
    if not reach or abs(reach * step - half) > 1e-6 or len(at) < MANY:
        return cumulative(trace).both(t[at] - half, t[at] + half)
    # Both ends are samples themselves, but for the first and last few points.
    inner = (at >= reach) & (at < len(t) - reach)
    behind, ahead = at[inner] - reach, at[inner] + reach
    running = np.cumsum(y)
    area, time = np.empty(len(at)), np.full(len(at), 2 * half)
    area[inner] = step * (
        running[ahead] - running[behind] - (y[ahead] - y[behind]) / 2)
    edge = t[at[~inner]]
    area[~inner], time[~inner] = cumulative(trace).both(edge - half, edge + half)
    return area, time


def first_below(curve: Curve, level: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Bounds of the instant at which a curve first is at or below a level.

    Parameters
    ----------
    curve : Curve
        At least one point.
    level : ndarray, shape (n,)
        [°C]

    Returns
    -------
    earliest, latest : ndarray, shape (n,)
        Equal where the crossing lies between close points (a straight line joins them); the ends
        of the silence where it lies in a gap; infinite where the level is never reached; minus
        infinite where the curve starts below it. [s]

    References
    ----------
    .. [1] This kit's own definition.

    Examples
    --------
    >>> c = Curve(np.array([0.0, 60.0, 600.0]), np.array([10.0, 8.0, 2.0]), 150.0, 1)
    >>> [float(x[0]) for x in first_below(c, np.array([9.0]))]
    [30.0, 30.0]
    >>> [float(x[0]) for x in first_below(c, np.array([5.0]))]
    [60.0, 600.0]
    """
    level = np.asarray(level, float)
    i = np.searchsorted(curve.lowest, -level, side="left")
    reached, started = i < len(curve.y), i == 0
    after = np.clip(i, 1, len(curve.y) - 1) if len(curve.y) > 1 else np.zeros_like(i)
    before = np.maximum(after - 1, 0)
    t0, t1, y0, y1 = curve.t[before], curve.t[after], curve.y[before], curve.y[after]
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        line = t0 + np.where(y0 > y1, (y0 - level) / (y0 - y1), 1.0) * (t1 - t0)
    close = t1 - t0 <= curve.gap * (1 + 1e-9)
    early, late = np.where(close, line, t0), np.where(close, line, t1)
    for bound in (early, late):
        bound[~reached] = np.inf
        bound[started] = -np.inf
    return early, late


@dataclass(frozen=True)
class Crossing:
    """When a target was reached.

    Parameters
    ----------
    target : float
        [°C]
    state : {"reached", "gap", "unsure", "not reached", "started below"}
        ``gap``: between two instants; ``unsure``: within the probe's error of the target.
    t : float
        Instant as the readings stand, POSIX; NaN unless reached. [s]
    early, late : ndarray, shape (4000,), or None
        Bounds under the draws of the probe's hidden constants; None where no error is stated.
        [s]
    bounds : (float, float)
        Bounds as the readings stand. [s]
    """

    target: float
    state: str
    t: float
    early: np.ndarray | None
    late: np.ndarray | None
    bounds: tuple[float, float]


def find_crossing(trace: Trace, curve: Curve, target: float, name: str) -> Crossing:
    """First instant at or below a target, with draws of its bounds.

    Parameters
    ----------
    trace : Trace
        Whose probe's hidden constants apply.
    curve : Curve
        Its smoothed course.
    target : float
        True temperature asked for. [°C]
    name : str
        Name of the scatter of this finding.

    Returns
    -------
    Crossing

    References
    ----------
    .. [1] This kit's own definition; draws after JCGM 101:2008.
    """
    early, late = first_below(curve, np.array([target]))
    bounds = (float(early[0]), float(late[0]))
    level = reading_of(trace, target)
    drawn: tuple[np.ndarray | None, np.ndarray | None] = (None, None)
    if level is not None:
        level = level + draws.normal(f"{name} noise", noise_sd(trace) / np.sqrt(curve.samples))
        # An instant is known to a sample, however steep the curve.
        between = draws.uniform(f"{name} step", min(trace.step, LIMITS.smoothing) / 2)
        early_drawn, late_drawn = first_below(curve, level)
        drawn = (early_drawn + between, late_drawn + between)
    if bounds[1] == -np.inf:
        state = "started below"
    elif bounds[0] == np.inf:
        seen = drawn[0] is not None and np.mean(np.isfinite(drawn[0])) > 0.025
        state = "unsure" if seen else "not reached"
    elif bounds[0] < bounds[1]:
        state = "gap"
    else:
        state = "reached"
    return Crossing(target, state, bounds[0] if state == "reached" else np.nan, *drawn, bounds)
