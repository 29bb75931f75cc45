"""Running integral of a trace over native samples; gaps add nothing and are counted.

All means and energies of the kit come from here, so that any number of windows costs one pass.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np

from coldbench.logs.record import ROLE_UNITS, Trace, base_role


@dataclass(frozen=True)
class Cumulative:
    """Integral of a trace from its first sample on.

    Temperatures are joined by straight lines; power (and other electrical roles) holds from one
    sample to the next, or is the mean of the interval before or after its label. A step longer
    than the gap limit is a gap: it adds neither to the integral nor to the covered time.

    Parameters
    ----------
    trace : Trace
        At least one sample.
    """

    trace: Trace

    @cached_property
    def _held(self) -> np.ndarray:
        """Value at the start of each step, shape (n − 1,)."""
        y = self.trace.y
        late = self.trace.power == "mean" and self.trace.label == "end"
        return y[1:] if late and not is_straight(self.trace) else y[:-1]

    @cached_property
    def _knots(self) -> tuple[np.ndarray, np.ndarray]:
        """Integral and covered time from the first sample to each."""
        t, y, covered = self.trace.t, self.trace.y, self.trace.covered
        dt = np.diff(t)
        area = np.zeros(len(t))
        steps = area[1:]
        if is_straight(self.trace):
            np.add(y[:-1], y[1:], out=steps)
            steps *= 0.5
        else:
            steps[:] = self._held
        steps *= dt
        if covered.all():
            time = t - t[0]
        else:
            steps[~covered] = 0.0
            time = np.concatenate([[0.0], np.cumsum(np.where(covered, dt, 0.0))])
        return np.cumsum(area, out=area), time

    def _at(self, when: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        area, time = self._knots
        t, y = self.trace.t, self.trace.y
        when = np.clip(np.asarray(when, float), t[0], t[-1])
        if len(t) < 2:
            return np.zeros_like(when), np.zeros_like(when)
        i = np.clip(np.searchsorted(t, when, side="right") - 1, 0, len(t) - 2)
        s = np.where(self.trace.covered[i], when - t[i], 0.0)
        start = self._held[i]
        part = start * s
        if is_straight(self.trace):
            part = part + (y[i + 1] - start) / (t[i + 1] - t[i]) * s**2 / 2
        return area[i] + part, time[i] + s

    def both(
        self, t0: np.ndarray | float, t1: np.ndarray | float
    ) -> tuple[np.ndarray, np.ndarray]:
        """Integral and covered time between two instants. [unit·s], [s]"""
        (area0, time0), (area1, time1) = self._at(t0), self._at(t1)
        return area1 - area0, time1 - time0

    def integral(self, t0: np.ndarray | float, t1: np.ndarray | float) -> np.ndarray:
        """Integral between two instants over covered time. [unit·s]"""
        return self.both(t0, t1)[0]

    def covered(self, t0: np.ndarray | float, t1: np.ndarray | float) -> np.ndarray:
        """Time between two instants that lies within the gap limit of samples. [s]"""
        return self.both(t0, t1)[1]

    def mean(self, t0: np.ndarray | float, t1: np.ndarray | float) -> np.ndarray:
        """Time-weighted mean over covered time; NaN where nothing is covered. [unit]"""
        area, time = self.both(t0, t1)
        with np.errstate(invalid="ignore", divide="ignore"):
            return np.where(time > 0, area / time, np.nan)

    def coverage(self, t0: float, t1: float) -> float:
        """Share of a window within the gap limit of a sample. [%]"""
        return float(100 * self.covered(t0, t1) / (t1 - t0)) if t1 > t0 else 0.0

    def gaps(self, t0: float, t1: float) -> np.ndarray:
        """Silences inside a window, shape (n, 2), POSIX. [s]"""
        covered = self.trace.covered
        ends = np.column_stack([self.trace.t[:-1][~covered], self.trace.t[1:][~covered]])
        return np.clip(ends[(ends[:, 1] > t0) & (ends[:, 0] < t1)], t0, t1)


@lru_cache(maxsize=32)
def cumulative(trace: Trace) -> Cumulative:
    """Running integral of a trace, made once for all who ask.

    Parameters
    ----------
    trace : Trace
        At least one sample.
    """
    return Cumulative(trace)


def is_straight(trace: Trace) -> bool:
    """Whether samples are joined by straight lines (everything but electrical power)."""
    return ROLE_UNITS[base_role(trace.role)] not in ("W", "V", "A")
