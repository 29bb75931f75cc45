"""Electrical energy between two instants: from power, or from a counter that ran through a gap."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from coldbench import draws
from coldbench.analysis.doubt import gain, offset
from coldbench.analysis.limits import LIMITS
from coldbench.logs.cumulative import Cumulative, cumulative
from coldbench.logs.record import Record, Trace


@dataclass(frozen=True)
class Energy:
    """Energy between two instants with its bounds; equal where nothing is missing.

    ``source`` is ``power`` or ``counter``; ``covered`` the share of the time it speaks for. [%]
    """

    low: np.ndarray
    high: np.ndarray
    source: str
    covered: float

    @property
    def whole(self) -> bool:
        """Whether no energy is missing."""
        near = self.high - self.low <= 1e-9 * np.maximum(self.high, 1.0)
        return bool(np.all(near & np.isfinite(self.high)))


@dataclass(frozen=True)
class EnergyMeter:
    """The electrical side of one run.

    Parameters
    ----------
    power, counter : Trace or None
        At least one.
    zero : float
        Time zero: the switch. [s]
    """

    power: Trace | None
    counter: Trace | None
    zero: float = -np.inf

    @classmethod
    def of(cls, record: Record) -> EnergyMeter | None:
        """Meter of a run, or None where nothing electrical was logged or typed."""
        power = record.trace("power")
        counter = record.trace("energy") or record.trace("energy by hand")
        return cls(power, counter, record.zero) if power or counter else None

    @property
    def main(self) -> Trace:
        """Trace that names the metering point: power, else the counter."""
        return self.power or self.counter  # type: ignore[return-value]

    @cached_property
    def running_most(self) -> float:
        """Largest power that lasted: bounds what a gap can hide. [W]"""
        if self.power is None:
            return np.inf
        return float(np.quantile(self._some, 0.999))

    @cached_property
    def cumulative(self) -> Cumulative | None:
        """Running integral of power, or None."""
        return cumulative(self.power) if self.power is not None else None

    def between(self, t0: float, t1: np.ndarray | float) -> Energy:
        """Energy from one instant to others.

        Parameters
        ----------
        t0 : float
            POSIX. [s]
        t1 : float or ndarray, shape (n,)
            POSIX, after ``t0``. [s]

        Returns
        -------
        Energy
            [Wh]

        Notes
        -----
        Power over a gap is bounded by nothing and the largest running power; a counter that ran
        through the gap without a fall gives the energy.

        References
        ----------
        .. [1] This kit's own definition.
        """
        t1 = np.atleast_1d(np.asarray(t1, float))
        by_counter = self.counted(t0, t1)
        if self.cumulative is None:
            return by_counter if by_counter else Energy(0 * t1, 0 * t1 + np.inf, "counter", 0.0)
        first, lead = self._from(t0)
        # The last sample of a power log holds for a step more.
        last = np.minimum(t1, max(self.power.t[-1], first))
        missing = np.maximum((last - first) - self.cumulative.covered(first, last), 0.0)
        missing = missing + np.where(t1 - last > self.power.step, t1 - last, 0.0)
        missing[missing <= 1e-6] = 0.0
        if missing.any() and by_counter and by_counter.whole:
            return by_counter
        low = (lead + self.cumulative.integral(first, last)) / 3600
        if self.power.bucket:
            return self._in_intervals(first, last, missing)
        share = 100 * (1 - float(np.max(missing / np.maximum(t1 - first, 1e-9))))
        return Energy(low, low + missing * self.running_most / 3600, "power", share)

    def _in_intervals(self, t0: float, t1: np.ndarray, missing: np.ndarray) -> Energy:
        """Energy where only that of whole intervals is known: bounds inside the first and last."""
        t = self.power.t
        before = np.searchsorted(t, [t0, *t1], side="right") - 1
        after = np.searchsorted(t, [t0, *t1], side="left")
        begin = t[np.clip(before, 0, len(t) - 1)]
        end = t[np.clip(after, 0, len(t) - 1)]
        low = np.maximum(self.cumulative.integral(end[0], np.maximum(begin[1:], end[0])), 0.0)
        high = self.cumulative.integral(begin[0], end[1:])
        share = 100 * (1 - float(np.max(missing / np.maximum(t1 - t0, 1e-9))))
        return Energy(low / 3600, (high + missing * self.running_most) / 3600, "power", share)

    def _from(self, t0: float) -> tuple[float, float]:
        """Where to integrate from, and the energy before it: a switch falls between samples. [J]

        What a sample before the switch shows does not hold after it: the next one does. A mean
        over the interval of the switch holds nothing but what came after it.
        """
        t, y = self.power.t, self.power.y
        after = min(int(np.searchsorted(t, t0)), len(t) - 1)
        lead = t[after] - t0
        if t0 != self.zero or not 0 < lead <= self.power.gap:
            return t0, 0.0
        if self.power.power == "mean" and after > 0:
            return t[after - 1], 0.0
        return t[after], float(lead * y[after])

    def switchings(self, t0: float, t1: float) -> int:
        """Steps of the power between two instants that are larger than half its range."""
        if self.power is None:
            return 0
        steps = np.abs(np.diff(self.power.y[self.power.within(t0, t1)]))
        return int((steps > 0.5 * self._height).sum())

    @cached_property
    def _height(self) -> float:
        lower, upper = np.quantile(self._some, [0.05, 0.95])
        return float(upper - lower)

    @property
    def _some(self) -> np.ndarray:
        """Samples of power, of a fast log some hundred thousand spread evenly: they tell levels."""
        return self.power.y[:: max(1, len(self.power.y) // 200_000)]

    def counted(self, t0: float, t1: np.ndarray) -> Energy | None:
        """Energy by the counter alone, or None where it was not read over all of the time.

        Parameters
        ----------
        t0 : float
            POSIX. [s]
        t1 : ndarray, shape (n,)
            POSIX, after ``t0``. [s]

        Returns
        -------
        Energy or None
            Bounds where an instant lies between readings far apart. [Wh]

        References
        ----------
        .. [1] This kit's own definition.
        """
        counter = self.counter
        if counter is None or t0 < counter.t[0] - counter.gap or t1.max() > counter.t[-1] + 1:
            return None
        if (np.diff(counter.y[counter.within(t0 - counter.gap, t1.max() + counter.gap)]) < 0).any():
            return None
        at_start, at_end = self._count_at(np.array([t0])), self._count_at(t1)
        low, high = at_end[0] - at_start[1], at_end[1] - at_start[0]
        # What a reset hid lies between bounds.
        for broken in counter.broken:
            inside = (broken.t1 > t0) & (broken.t0 < t1)
            high = high + np.where(inside, broken.high - broken.low, 0.0)
        return Energy(np.maximum(low, 0.0), high, "counter", 100.0)

    def _count_at(self, when: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Count at instants: between close samples by a straight line, else bounds."""
        t, y = self.counter.t, self.counter.y
        i = np.clip(np.searchsorted(t, when, side="right") - 1, 0, len(t) - 1)
        after = np.minimum(i + 1, len(t) - 1)
        line = np.interp(when, t, y)
        far = min(self.counter.gap, LIMITS.count_line)
        near = t[after] - t[i] <= far
        for broken in self.counter.broken:
            near &= (when <= broken.t0) | (when >= broken.t1)
        near |= np.abs(when - t[i]) < 1.0
        return np.where(near, line, y[i]), np.where(near, line, y[after])

    def true_energy(
        self, name: str, energy: np.ndarray, hours: np.ndarray | float, source: str, edges: int
    ) -> np.ndarray | None:
        """Draws of the true energy behind a metered one.

        Parameters
        ----------
        name : str
            Name of the finding's own scatter.
        energy : float or ndarray, shape (4000,)
            [Wh]
        hours : float or ndarray
            Time it was counted over. [h]
        source : str
            ``power`` or ``counter``.
        edges : int
            Switchings in that time: each is known to a sample only where power was read at
            instants.

        Returns
        -------
        ndarray, shape (4000,), or None
            None when the instrument's error is not stated. [Wh]

        References
        ----------
        .. [1] JCGM 101:2008, 6.4.2 for each rectangular part; their use is this kit's own.
        """
        trace = self.power if source == "power" else self.counter
        if trace.error is None:
            return None
        if source == "counter":
            step = trace.counter_step or trace.resolution
            ends = draws.uniform(f"{name} count at start", step / 2)
            ends = ends + draws.uniform(f"{name} count at end", step / 2)
            return (energy + ends - offset(trace) * hours) / (1 + gain(trace))
        lost = 0.0
        if trace.power == "hold" and not trace.on_change:
            # The start counts as an edge: a start peak that is read holds for a whole step.
            sd = self._height * trace.step / 3600 * np.sqrt((edges + 1) / 12)
            lost = draws.normal(f"{name} sampling", float(sd))
        return (energy - offset(trace) * hours) / (1 + gain(trace)) + lost
