"""The truth of a simulated run, integrated from its own states.

Plain code after the definitions of each number, written apart from the analyses: it is what their
findings are held against. Times are seconds after power on; ``power_on`` turns them into POSIX.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coldbench.bench.history import History

PLATEAU_LEAVE = 0.5  # [K]


@dataclass(frozen=True)
class Truth:
    """Answers about one run, on whatever window is asked for.

    Parameters
    ----------
    history : History
    power_on : float
        Time zero, POSIX, UTC. [s]
    """

    history: History
    power_on: float = 0.0

    def seconds(self, posix: float) -> float:
        """Seconds after power on of an instant given in POSIX seconds."""
        return posix - self.power_on

    def _integral(self, place: str) -> np.ndarray:
        """Trapezoids of a state up to each instant. [K s]"""
        y = self.history.state(place)
        return np.concatenate([[0.0], np.cumsum(0.5 * (y[1:] + y[:-1]))]) * self.history.step

    def mean(self, place: str, t0: float, t1: float) -> float:
        """Time-weighted mean of a state over a window. [°C]"""
        ends = np.interp([t0, t1], self.history.t, self._integral(place))
        return float((ends[1] - ends[0]) / (t1 - t0))

    def centred_mean(self, place: str, width: float = 600.0) -> np.ndarray:
        """Centred mean at every instant; at the ends the window shrinks to what is there. [°C]"""
        t, total = self.history.t, self._integral(place)
        begin, end = np.maximum(t - width / 2, t[0]), np.minimum(t + width / 2, t[-1])
        return (np.interp(end, t, total) - np.interp(begin, t, total)) / (end - begin)

    def lowest_mean(self, place: str, width: float = 3600.0) -> float:
        """Lowest centred mean of whole windows after power on. [°C]"""
        t = self.history.t
        whole = (t >= width / 2) & (t <= t[-1] - width / 2)
        return float(self.centred_mean(place, width)[whole].min())

    def crossing(self, place: str, target: float) -> float:
        """Time to a target: power on to the centred 10 min mean at or below it.

        NaN where it starts below or never gets there. [s]
        """
        after = self.history.t >= 0
        t, smooth = self.history.t[after], self.centred_mean(place)[after]
        below = np.flatnonzero(smooth <= target)
        if below.size == 0 or below[0] == 0:
            return float("nan")
        i = below[0]
        share = (smooth[i - 1] - target) / (smooth[i - 1] - smooth[i])
        return float(t[i - 1] + share * (t[i] - t[i - 1]))

    def energy(self, t0: float, t1: float) -> float:
        """Electrical energy over a window. [Wh]"""
        ends = np.interp([t0, t1], self.history.t, self.history.energy)
        return float(ends[1] - ends[0]) / 3600

    def mean_power(self, t0: float, t1: float) -> float:
        """Mean electrical power over a window. [W]"""
        return float(self.energy(t0, t1) * 3600 / (t1 - t0))

    def load_heat(self, t0: float, t1: float, containers: bool = True) -> float:
        """Heat that the loads gave up in a window, containers included unless told. [Wh]

        A load that began as ice is no load to be cooled and does not count.
        """
        names = ["ice" if i == 0 else f"ice_{i + 1}" for i in range(len(self.history.taken))]
        counts = np.array([self.history.states[name][0] < 0.5 for name in names])
        taken = self.history.taken[counts].sum(axis=0)
        if containers:
            taken = taken + self.history.taken_container[counts].sum(axis=0)
        ends = np.interp([t0, t1], self.history.t, taken)
        return float(ends[1] - ends[0]) / 3600

    def flow_mean(self, flow: str, t0: float, t1: float) -> float:
        """Mean of ``leak``, ``machine``, ``inside`` or ``power`` over a window. [W]"""
        total = np.cumsum(self.history.flows[flow].astype(float)) * self.history.step
        ends = np.interp([t0, t1], self.history.t, np.concatenate([[0.0], total]))
        return float((ends[1] - ends[0]) / (t1 - t0))

    def duty(self, t0: float, t1: float) -> float:
        """Share of a window in which the machine runs. [-]"""
        ran = np.concatenate([[0.0], np.cumsum(self.history.on)]) * self.history.step
        ends = np.interp([t0, t1], self.history.t, ran)
        return float((ends[1] - ends[0]) / (t1 - t0))

    def starts(self, t0: float = 0.0, t1: float = float("inf")) -> np.ndarray:
        """Instants in a window at which the machine starts. [s]"""
        on = self.history.on
        first = np.flatnonzero(on & ~np.concatenate([[False], on[:-1]]))
        at = self.history.t[first]
        return at[(at >= t0) & (at <= t1)]

    def cycle_time(self, t0: float, t1: float) -> float:
        """Mean time from start to start within a window; NaN below two starts. [s]"""
        starts = self.starts(t0, t1)
        return float(np.diff(starts).mean()) if starts.size > 1 else float("nan")

    def running_power(self, t0: float, t1: float, run_in: float = 60.0) -> float:
        """Median power while running, the first part of each run left out. [W]"""
        t, on = self.history.t[:-1], self.history.on
        begins = np.where(on & ~np.concatenate([[False], on[:-1]]), t, -np.inf)
        since = t - np.maximum.accumulate(begins)
        chosen = on & (since >= run_in) & (t >= t0) & (t < t1)
        return float(np.median(self.history.flows["power"][chosen]))

    def idle_power(self, t0: float, t1: float) -> float:
        """Median power while powered and not running. [W]"""
        t = self.history.t[:-1]
        chosen = ~self.history.on & (t >= t0) & (t < t1) & (t >= 0)
        return float(np.median(self.history.flows["power"][chosen]))

    def swing(self, t0: float, t1: float, place: str = "air") -> float:
        """Mean over whole cycles of warmest minus coldest. [K]"""
        starts = self.starts(t0, t1)
        cycle = np.searchsorted(self.history.t, starts)
        y = self.history.state(place)
        swings = [np.ptp(y[a:b]) for a, b in zip(cycle[:-1], cycle[1:], strict=True)]
        return float(np.mean(swings)) if swings else float("nan")

    def extreme(self, place: str, t0: float, t1: float) -> tuple[float, float]:
        """Lowest and highest value of a state in a window. [°C]"""
        y = self.history.state(place)[(self.history.t >= t0) & (self.history.t <= t1)]
        return float(y.min()), float(y.max())

    def freeze_start(self, load: int = 0) -> float:
        """First ice after supercooling, else the core's arrival at the plateau; NaN if none. [s]

        Without supercooling the core nears 0 °C without end; within 0.05 K counts as there.
        """
        at = float(self.history.nucleated[load])
        if np.isnan(at):
            return at
        core = self._core(load)
        here = np.searchsorted(self.history.t, at)
        arrived = np.flatnonzero(core[here:] <= 0.05)
        return float(self.history.t[here + arrived[0]]) if arrived.size else float("nan")

    def plateau_end(self, load: int = 0) -> float:
        """When the core has left the plateau by 0.5 K downwards; NaN if it has not. [s]"""
        begin = self.freeze_start(load)
        if np.isnan(begin):
            return begin
        left = (self.history.t > begin) & (self._core(load) <= -PLATEAU_LEAVE)
        return float(self.history.t[left][0]) if left.any() else float("nan")

    def freeze_energy(self, load: int = 0) -> float:
        """Electrical energy from power on to the plateau's end; NaN without one. [Wh]"""
        end = self.plateau_end(load)
        return float("nan") if np.isnan(end) else self.energy(0.0, end)

    def ice_fraction(self, t: float | None = None, load: int = 0) -> float:
        """Share of a load that is ice, at the end unless told when. [-]"""
        ice = self.history.state("ice" if load == 0 else f"ice_{load + 1}")
        return float(ice[-1] if t is None else np.interp(t, self.history.t, ice))

    def _core(self, load: int) -> np.ndarray:
        return self.history.state("load" if load == 0 else f"load_{load + 1}")
