"""Running integral of a trace over native samples; gaps add nothing and are counted.

All means and energies of the kit come from here, so that any number of windows costs one pass.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np

from coldbench.logs.record import ROLE_UNITS, Trace, base_role

BLOCK = 16  # step values summed at once
FEW = 20_000  # samples up to which every running sum is kept


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
        steps = (y[:-1] + y[1:]) / 2 if is_straight(self.trace) else self._held
        area = np.cumsum(np.where(covered, steps * dt, 0.0))
        time = np.cumsum(np.where(covered, dt, 0.0))
        return np.append(0.0, area), np.append(0.0, time)

    @cached_property
    def _blocks(self) -> np.ndarray:
        """Sum of the step values before each block of them: what an even log needs in full."""
        whole = len(self._held) // BLOCK * BLOCK
        sums = self._held[:whole].reshape(-1, BLOCK).sum(axis=1)
        return np.append(0.0, np.cumsum(sums))

    def _area_at(self, i: np.ndarray, step: float) -> np.ndarray:
        """Integral from the first sample to others, where steps are even."""
        block = i // BLOCK
        at = block[..., None] * BLOCK + np.arange(BLOCK)
        inside = at < i[..., None]
        values = self._held[np.minimum(at, len(self._held) - 1)]
        area = self._blocks[block] + np.where(inside, values, 0.0).sum(axis=-1)
        if is_straight(self.trace):
            # Half of each end: the sum of the step starts lacks half the difference.
            area = area + (self.trace.y[i] - self.trace.y[0]) / 2
        return area * step

    def _at(self, when: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        t, y = self.trace.t, self.trace.y
        when = np.clip(np.asarray(when, float), t[0], t[-1])
        if len(t) < 2:
            return np.zeros_like(when), np.zeros_like(when)
        step = self.trace.even if len(t) > FEW else 0.0
        if step:
            i = np.clip(((when - t[0]) / step + 1e-6).astype(np.int64), 0, len(t) - 2)
            s, area, time = when - t[i], self._area_at(i, step), None
        else:
            i = np.clip(np.searchsorted(t, when, side="right") - 1, 0, len(t) - 2)
            area, time = (of[i] for of in self._knots)
            s = np.where(self.trace.covered[i], when - t[i], 0.0)
        start = self._held[i]
        part = start * s
        if is_straight(self.trace):
            part = part + (y[i + 1] - start) / (t[i + 1] - t[i]) * s**2 / 2
        return area + part, when - t[0] if time is None else time + s

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
