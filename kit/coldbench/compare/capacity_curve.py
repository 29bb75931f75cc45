"""Cooling capacity against inside temperature, from the stretch a machine ran without a break."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coldbench import draws
from coldbench.analysis.balance import PLATEAU, end_span
from coldbench.analysis.campaign import CampaignResult
from coldbench.analysis.context import Context
from coldbench.analysis.cycles import find_cycles
from coldbench.analysis.doubt import gain, mean_scatter, noise_sd, true_of
from coldbench.analysis.limits import LIMITS
from coldbench.analysis.steady import EVENTS
from coldbench.compare.heat_taken import Known, Missing, load_capacity, of, structure_heat, unfit
from coldbench.compare.leaks import Leak
from coldbench.logs.cumulative import cumulative
from coldbench.logs.record import Trace

BLOCKS = (1200.0, 1800.0, 3600.0, 7200.0)  # lengths tried, the shortest first [s]
NOISE = 0.1  # of the middle value: what a block's noise may be, as a standard deviation [-]
COVERED = 0.95  # of a block, else nothing is said of it [-]


@dataclass(frozen=True)
class CapacityCurve:
    """Cooling capacity block by block; NaN where it is not known.

    Parameters
    ----------
    cooler, run : str
        Ids.
    t : ndarray, shape (n,)
        Middles of the blocks, POSIX. [s]
    inside, ambient : ndarray, shape (n,)
        Means of the blocks. [°C]
    capacity, low, high : ndarray, shape (n,)
        Net heat taken from the inside, and its 95 % interval; the latter NaN where an instrument
        states no error. [W]
    power : ndarray, shape (n,)
        Electrical, NaN where it was not logged. [W]
    block : float
        Length of a block. [s]
    metered_at : str
        Where power was metered.
    note : str
        What was left out.
    draws : ndarray, shape (n, 4000), or None
        Of the capacity; None where an instrument states no error. [W]
    """

    cooler: str
    run: str
    t: np.ndarray
    inside: np.ndarray
    ambient: np.ndarray
    capacity: np.ndarray
    low: np.ndarray
    high: np.ndarray
    power: np.ndarray
    block: float
    metered_at: str = ""
    note: str = ""
    draws: np.ndarray | None = None

    @property
    def cop(self) -> np.ndarray:
        """Capacity over power, NaN where either is not known. [-]"""
        return self.capacity / np.where(self.power > 0, self.power, np.nan)


def capacity_curve(result: CampaignResult, run: str, leak: Leak) -> CapacityCurve | None:
    """Cooling capacity through a pull-down, while the machine runs without a break.

    Parameters
    ----------
    result : CampaignResult
        Runs, analysed.
    run : str
        Id of a run with inside air, ambient, and the temperature of any load.
    leak : Leak
        Of the walls.

    Returns
    -------
    CapacityCurve or None
        None where a trace is lacking, where ice or a heater stood inside, or where the machine
        did not run long enough for two blocks.

    Notes
    -----
    In each block: heat given up by load and structure, from means about its borders, plus the
    heat leak at its mean temperatures. Blocks are the shortest whose noise stays below a tenth of
    the middle value. A load near 0 °C may be freezing, and its heat is then not known from its
    temperature: such blocks are left out, as are those with a gap or a mark in them. The first
    minutes are left out as well: liner and foam do not follow the air at once.

    References
    ----------
    .. [1] First law for the inside of a closed box; its use here is this kit's own.
    """
    context = Context(result.results[run].record, result.campaign)
    parts = _Parts.of(context, leak, result)
    if parts is None:
        return None
    begin, end = context.record.zero + LIMITS.curve_from, _running_until(context)
    found = None
    for block in BLOCKS:
        borders = np.arange(begin, end - end_span(parts.air) / 2, block)
        if len(borders) < 3:
            break
        found = parts.curve(borders)
        if parts.noise(block) <= NOISE * np.nanmedian(np.append(np.abs(found.capacity), 0.0)):
            break
    return found if found is not None and np.isfinite(found.capacity).any() else None


def _running_until(context: Context) -> float:
    """End of the first spell of running: the thermostat's first stop, or the end of the run."""
    power, zero, end = context.record.trace("power"), context.record.zero, context.end
    cycling = find_cycles(power, zero, end) if power is not None else None
    if cycling is None:
        return end
    stops = np.flatnonzero(cycling.state[:-1] & ~cycling.state[1:])
    return float(cycling.t[stops[0]]) if len(stops) else end


@dataclass(frozen=True)
class _Parts:
    """Traces and heat capacities that the balance of each block needs."""

    context: Context
    air: Trace
    ambient: Trace
    loads: list[Trace]
    leak: Leak
    structure: Known
    note: str

    @classmethod
    def of(cls, context: Context, leak: Leak, result: CampaignResult) -> _Parts | None:
        """What was logged, or None where that does not do."""
        record = context.record
        air, ambient, loads = record.trace("air"), record.trace("ambient"), record.loads()
        if air is None or ambient is None or (context.run.load and not loads):
            return None
        try:
            unfit(context)
            structure, note = structure_heat(context, result.findings)
        except Missing:
            return None
        return cls(context, air, ambient, loads if context.run.load else [], leak, structure, note)

    def noise(self, block: float) -> float:
        """What noise and steps of the readings leave in a block, a standard deviation. [W]"""
        heats = [(self.structure.value, [self.air])]
        if self.loads:
            heats.append((load_capacity(self.context, 10.0).value, self.loads))
        left = [heat * np.linalg.norm([_border_sd(t) for t in traces]) / len(traces)
                for heat, traces in heats]
        return float(np.sqrt(2) * np.linalg.norm(left) / block)

    def curve(self, borders: np.ndarray) -> CapacityCurve:
        """The balance of each block between borders."""
        record, t0, t1 = self.context.record, borders[:-1], borders[1:]
        inside, ambient = (cumulative(t).mean(t0, t1) for t in (self.air, self.ambient))
        drive = of(lambda a, i: a - i, *(self._true(t, y) for t, y in (
            (self.ambient, ambient), (self.air, inside))))
        value, true = self.leak.at_temperatures(inside[:, None], ambient[:, None])
        leak = Known(np.ravel(value), true)
        load, lost = self._load(borders)
        given = of(lambda c, x: c * x, self.structure, self._fall(self.air, borders))
        capacity = of(lambda k, d, s, q: k * d + s + q, leak, drive, given, load)
        known = self._known(borders) & ~lost
        kept = np.where(known, capacity.value, np.nan)
        true = _placed(capacity, self.context)
        low, high = _band(true, known)
        power, metered = self._power(t0, t1)
        note = self.note
        if lost.any():
            note += "; blocks with the load near 0 °C left out: it may be freezing"
        return CapacityCurve(record.cooler, record.run, (t0 + t1) / 2, inside, ambient, kept, low,
                             high, power, float(borders[1] - borders[0]), metered, note, true)

    def _true(self, trace: Trace, y: np.ndarray) -> Known:
        return Known(y, true_of(trace, y[:, None]))

    def _load(self, borders: np.ndarray) -> tuple[Known, np.ndarray]:
        """Heat that the load gave up in each block, and where that is not known. [W]"""
        n = len(borders) - 1
        if not self.loads:
            return Known(np.zeros(n), np.zeros((n, draws.DRAWS))), np.zeros(n, bool)
        ends = np.array([_at(place, borders) for place in self.loads])
        beside = np.concatenate([ends[:, :-1], ends[:, 1:]])
        lowest, highest = beside.min(axis=0), beside.max(axis=0)
        lost = (lowest < LIMITS.curve_plateau) & (highest > -PLATEAU)
        falls = [self._fall(place, borders) for place in self.loads]
        fall = of(lambda *x: np.mean(x, axis=0), *falls)
        warm, cold = (load_capacity(self.context, side) for side in (10.0, -10.0))
        above = highest > 0
        value = np.where(above, warm.value, cold.value) * fall.value
        if fall.draws is None:
            return Known(value, None), lost
        heat = np.where(above[:, None], warm.draws, cold.draws)
        return Known(value, heat * fall.draws), lost

    def _fall(self, trace: Trace, borders: np.ndarray) -> Known:
        """Mean rate at which a temperature fell in each block. [K/s]"""
        at, block = _at(trace, borders), np.diff(borders)
        value = -np.diff(at) / block
        if trace.error is None:
            return Known(value, None)
        name, samples = f"{self.context.name} {trace.role} border", _samples(trace)
        scatter = np.array([mean_scatter(f"{name} {i}", trace, 0.0, samples)
                            for i in range(len(borders))])
        true = value[:, None] / (1 + gain(trace)) - np.diff(scatter, axis=0) / block[:, None]
        return Known(value, true)

    def _known(self, borders: np.ndarray) -> np.ndarray:
        """Blocks that are covered and that no mark touches."""
        t0, t1 = borders[:-1], borders[1:]
        known = np.ones(len(t0), bool)
        for trace in (self.air, self.ambient, *self.loads):
            known &= cumulative(trace).covered(t0, t1) >= COVERED * (t1 - t0)
            known &= np.isfinite(np.diff(_at(trace, borders)))
        for mark in self.context.record.marks:
            if mark.what in EVENTS:
                known &= ~((t0 <= mark.t) & (mark.t < t1))
        return known

    def _power(self, t0: np.ndarray, t1: np.ndarray) -> tuple[np.ndarray, str]:
        power = self.context.record.trace("power")
        if power is None:
            return np.full(len(t0), np.nan), ""
        total = cumulative(power)
        whole = total.covered(t0, t1) >= COVERED * (t1 - t0)
        return np.where(whole, total.mean(t0, t1), np.nan), power.metered_at


def _placed(capacity: Known, context: Context) -> np.ndarray | None:
    """Draws of the capacity; one probe stands for all of the air."""
    if capacity.draws is None:
        return None
    return capacity.draws * (
        1 + draws.uniform(f"{context.name} capacity method", LIMITS.model_capacity))


def _band(true: np.ndarray | None, known: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """95 % interval of each known block."""
    low = np.full(len(known), np.nan)
    high = low.copy()
    if true is not None and known.any():
        low[known], high[known] = np.array([draws.interval(row) for row in true[known]]).T
    return low, high


def _at(trace: Trace, borders: np.ndarray) -> np.ndarray:
    """Means about instants. [°C]"""
    half = end_span(trace) / 2
    return cumulative(trace).mean(borders - half, borders + half)


def _samples(trace: Trace) -> int:
    return max(2, int(end_span(trace) / trace.step))


def _border_sd(trace: Trace) -> float:
    return float(np.hypot(noise_sd(trace) / np.sqrt(_samples(trace)),
                          trace.resolution / np.sqrt(12)))
