"""The steady window: where a cooler has settled, by a rule that is printed with its result."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

import numpy as np

from coldbench.analysis.cycles import Cycling, find_cycles
from coldbench.analysis.energy import EnergyMeter
from coldbench.analysis.limits import LIMITS
from coldbench.logs.cumulative import Cumulative
from coldbench.logs.record import Mark, Record, Trace

DAY, HOUR = 86400.0, 3600.0
EVENTS = {
    "lid opened", "lid shut", "load in", "load out", "setting changed", "power on", "power off",
}
NEW_START = {"load in", "load out", "setting changed", "power on"}


@dataclass(frozen=True)
class SteadyWindow:
    """Where a run is judged, and why there.

    Parameters
    ----------
    t0, t1 : float
        Window, POSIX. [s]
    passed : bool
        Whether the rule passed.
    cycling : Cycling or None
        None for a machine that runs without a break.
    starts : ndarray, shape (m + 1,)
        Cycle starts in the window, the last one its end. [s]
    good : ndarray of bool, shape (m,)
        False for cycles touched by a gap or a mark; these are dropped whole.
    tests : dict of str to float
        Test values, by what was tested.
    text : str
        The rule's result in a sentence.
    ambient_move : float
        Ambient by which a window short of 24 h may differ from the run's 24 h mean. [K]
    """

    t0: float
    t1: float
    passed: bool
    cycling: Cycling | None
    starts: np.ndarray
    good: np.ndarray
    tests: dict[str, float] = field(default_factory=dict)
    text: str = ""
    ambient_move: float = 0.0

    @property
    def hours(self) -> float:
        """Length. [h]"""
        return (self.t1 - self.t0) / HOUR

    @property
    def days(self) -> int:
        """Whole days it holds, to within a cycle; 0 where it is short of one."""
        return whole_days(self.t0, self.t1, self.starts)

    def mean(self, trace: Trace) -> float:
        """Time-weighted mean of a trace over the kept cycles (or the whole window). [unit]"""
        total = Cumulative(trace)
        if self.cycling is None:
            return float(total.mean(self.t0, self.t1))
        begin, end = self.starts[:-1][self.good], self.starts[1:][self.good]
        time = total.covered(begin, end).sum()
        return float(total.integral(begin, end).sum() / time) if time > 0 else float("nan")

    def coverage(self, trace: Trace) -> float:
        """Share of the window that the kept cycles (or samples) speak for. [%]"""
        if self.cycling is None:
            return Cumulative(trace).coverage(self.t0, self.t1)
        kept = (np.diff(self.starts) * self.good).sum()
        return float(100 * kept / (self.t1 - self.t0)) if self.t1 > self.t0 else 0.0


def whole_days(t0: float, t1: float, starts: np.ndarray) -> int:
    """Multiple of 24 h between two instants, to within a cycle; 0 for anything else.

    Parameters
    ----------
    t0, t1 : float
        POSIX. [s]
    starts : ndarray, shape (m,)
        Cycle starts; two of them (the ends) for a machine without cycles. [s]

    Returns
    -------
    int

    References
    ----------
    .. [1] This kit's own definition.
    """
    days = int(np.rint((t1 - t0) / DAY))
    slack = float(np.diff(starts).max()) if len(starts) > 2 else 60.0
    return days if abs(t1 - t0 - days * DAY) <= slack else 0


def inside_trace(record: Record) -> Trace | None:
    """Trace that stands for the inside: air, else the first load place."""
    loads = record.loads()
    return record.trace("air") or (loads[0] if loads else None)


def find_steady(
    record: Record, meter: EnergyMeter | None, chosen: tuple[float, float] | None = None
) -> SteadyWindow | None:
    """Steady window of a run.

    Parameters
    ----------
    record : Record
        Air (or load) and power; ambient where it was logged.
    meter : EnergyMeter or None
        None where nothing electrical was logged.
    chosen : (float, float) or None
        Window written in the run sheet, in seconds since time zero; found by rule without it.
        [s]

    Returns
    -------
    SteadyWindow or None
        ``passed`` is False where the rule did not pass; None where there is nothing to judge.

    References
    ----------
    .. [1] This kit's own rule, after the block idea of IEC 62552-3:2015.
    """
    inside = inside_trace(record)
    if inside is None and meter is None:
        return None
    first, last = record.zero, _running_end(record)
    if chosen:
        first, last = record.zero + chosen[0], min(last, record.zero + chosen[1])
    source = meter.power if meter and meter.power else record.trace("air")
    best: SteadyWindow | None = None
    for begin, end in _stretches(record.marks, first, last):
        cycling = find_cycles(source, begin, end) if source is not None else None
        if cycling is not None and len(cycling.starts) > 2 * LIMITS.block_cycles:
            window = _cycling_window(record, meter, inside, cycling, bool(chosen))
        else:
            window = _continuous_window(record, meter, inside, begin, end, bool(chosen))
        if window and (best is None or _rank(window) >= _rank(best)):
            best = window
    return best


def _rank(window: SteadyWindow) -> tuple[bool, int, float]:
    return window.passed, window.days, 0.0 if window.days else window.hours


def _running_end(record: Record) -> float:
    off = [m.t for m in record.marks if m.what == "power off" and m.t > record.zero]
    return min([record.end, *off])


def _stretches(
    marks: tuple[Mark, ...], first: float, last: float
) -> Iterator[tuple[float, float]]:
    """Parts of a run between marks that give the cooler a new start."""
    cuts = [m.t for m in marks if m.what in NEW_START and first < m.t < last]
    edges = [first, *sorted(cuts), last]
    for begin, end in zip(edges[:-1], edges[1:], strict=True):
        if end - begin >= LIMITS.slope_window * HOUR:
            yield begin, end


# --- a thermostat's cycles ---------------------------------------------------------------------


def _cycling_window(
    record: Record, meter: EnergyMeter | None, inside: Trace | None, cycling: Cycling, whole: bool
) -> SteadyWindow:
    starts = cycling.starts
    table, good = _cycle_table(record, meter, inside, starts)
    total = np.concatenate([np.zeros((1, table.shape[1])), np.cumsum(table, axis=0)])
    count = np.concatenate([[0], np.cumsum(good)])
    if whole:
        picked = (0, len(starts) - 1)
    else:
        picked = _longest_passing(starts, total, count)
    passed = picked is not None
    i, j = picked if picked else (max(0, len(starts) - 1 - 2 * LIMITS.block_cycles),
                                  len(starts) - 1)
    cuts = _block_cuts(starts, np.array([i]), np.array([j]))
    tests, ok = _block_tests(total, count, cuts)
    passed = passed and bool(ok[0])
    values = {k: float(v[0]) for k, v in tests.items()}
    return SteadyWindow(
        starts[i], starts[j], passed, cycling, starts[i:j + 1], good[i:j], values,
        _cycling_text(passed, starts[i:j + 1], good[i:j], cuts.shape[0] - 1, values),
        _ambient_move(record, starts[i], starts[j], starts[i:j + 1]),
    )


def _cycle_table(
    record: Record, meter: EnergyMeter | None, inside: Trace | None, starts: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """Per cycle: duration and integrals of power, inside, ambient; zero where dropped."""
    begin, end = starts[:-1], starts[1:]
    power = meter.power if meter else None
    traces = [power, inside, record.trace("ambient")]
    good = np.ones(len(begin), bool)
    columns = [end - begin]
    for trace in traces:
        if trace is None:
            columns.append(np.full(len(begin), np.nan))
            continue
        total = Cumulative(trace)
        good &= total.covered(begin, end) >= (end - begin) - 1.0
        # A start that follows a gap may have come inside it.
        good &= total.covered(begin - trace.step, begin) > 0
        columns.append(total.integral(begin, end))
    for mark in record.marks:
        if mark.what in EVENTS:
            good &= ~((begin <= mark.t) & (mark.t < end))
    table = np.column_stack(columns)
    return np.where(good[:, None], table, np.where(np.isnan(table), np.nan, 0.0)), good


def _longest_passing(
    starts: np.ndarray, total: np.ndarray, count: np.ndarray
) -> tuple[int, int] | None:
    """Largest multiple of 24 h that passes, the latest of them; else the longest shorter one."""
    n = len(starts) - 1
    whole = starts[-1] - starts[0]
    cycle = np.max(np.diff(starts))
    for days in range(int((whole + cycle) // DAY), 0, -1):
        first = np.arange(n)
        last = _nearest(starts, starts[:-1] + days * DAY)
        # The nearest cycle border lies within half a cycle, unless the run ends before it.
        fits = np.abs(starts[last] - starts[first] - days * DAY) <= cycle / 2
        found = _latest(starts, total, count, first[fits], last[fits])
        if found:
            return found
    most = np.searchsorted(starts, starts + DAY) - np.arange(n + 1)
    for span in range(min(int(most.max()), n), 2 * LIMITS.block_cycles - 1, -1):
        first = np.arange(n - span + 1)
        found = _latest(starts, total, count, first, first + span)
        if found:
            return found
    return None


def _latest(
    starts: np.ndarray, total: np.ndarray, count: np.ndarray, first: np.ndarray, last: np.ndarray
) -> tuple[int, int] | None:
    if not len(first):
        return None
    days = np.maximum(np.rint((starts[last] - starts[first]) / DAY).astype(int), 1)
    for number in np.unique(days)[::-1]:
        of = days == number
        _, ok = _block_tests(total, count, _block_cuts(starts, first[of], last[of]))
        if ok.any():
            at = np.flatnonzero(of)[np.flatnonzero(ok)[-1]]
            return int(first[at]), int(last[at])
    return None


def _block_cuts(starts: np.ndarray, first: np.ndarray, last: np.ndarray) -> np.ndarray:
    """Indices of block borders, shape (blocks + 1, n): halves, or days from 48 h on."""
    days = int(np.rint((starts[last[0]] - starts[first[0]]) / DAY))
    blocks = days if days >= 2 else 2
    share = np.arange(blocks + 1)[:, None] / blocks
    return _nearest(starts, starts[first] + share * (starts[last] - starts[first]))


def _nearest(starts: np.ndarray, when: np.ndarray) -> np.ndarray:
    right = np.clip(np.searchsorted(starts, when), 1, len(starts) - 1)
    return right - (when - starts[right - 1] < starts[right] - when)


def _block_tests(
    total: np.ndarray, count: np.ndarray, cuts: np.ndarray
) -> tuple[dict[str, np.ndarray], np.ndarray]:
    """Largest difference of neighbouring blocks, and whether all limits hold."""
    block = total[cuts[1:]] - total[cuts[:-1]]
    cycles = count[cuts[1:]] - count[cuts[:-1]]
    with np.errstate(invalid="ignore", divide="ignore"):
        mean = block[..., 1:] / block[..., :1]
        step = np.abs(np.diff(mean, axis=0)).max(axis=0)
        power = step[:, 0] / mean[..., 0].mean(axis=0)
    tests = {"inside": step[:, 1], "power": power, "ambient": step[:, 2]}
    ok = (cycles >= LIMITS.block_cycles).all(axis=0)
    limits = (LIMITS.block_inside, LIMITS.block_power, LIMITS.block_ambient)
    for value, limit in zip(tests.values(), limits, strict=True):
        ok &= np.isnan(value) | (value <= limit)
    return tests, ok


def _cycling_text(
    passed: bool, starts: np.ndarray, good: np.ndarray, blocks: int, tests: dict[str, float]
) -> str:
    hours = (starts[-1] - starts[0]) / HOUR
    dropped = int((~good).sum())
    lost = f", {dropped} dropped for a gap or a mark" if dropped else ""
    parts = [
        f"inside {tests['inside']:.2f} K (limit {LIMITS.block_inside:g} K)",
        f"power {100 * tests['power']:.1f} % (limit {100 * LIMITS.block_power:g} %)",
        f"ambient {tests['ambient']:.2f} K (limit {LIMITS.block_ambient:g} K)",
    ]
    known = [p for p, v in zip(parts, tests.values(), strict=True) if np.isfinite(v)]
    verdict = "steady" if passed else "not steady"
    return (
        f"{verdict}: {hours:.1f} h, {len(good)} whole cycles{lost}, {blocks} blocks; "
        f"neighbours differ by {', '.join(known)}"
    )


# --- a machine that runs without a break -------------------------------------------------------


def _continuous_window(
    record: Record, meter: EnergyMeter | None, inside: Trace | None,
    begin: float, end: float, whole: bool,
) -> SteadyWindow | None:
    events = [m.t for m in record.marks if m.what in EVENTS and begin < m.t < end]
    begin = max([begin, *events])
    hours = (end - begin) / HOUR
    if hours < LIMITS.slope_window:
        return None
    days = np.arange(int(hours / 24 + 1e-6), 0, -1) * 24.0
    shorter = np.arange(min(hours, 24.0), LIMITS.slope_window - 1e-9, -0.5)
    lengths = np.array([hours]) if whole else np.concatenate([days, shorter])
    tests = _slope_tests(record, meter, inside, end - lengths * HOUR, end)
    limits = (LIMITS.slope_inside, LIMITS.slope_power, LIMITS.slope_ambient)
    ok = np.ones(len(lengths), bool)
    for value, limit in zip(tests.values(), limits, strict=True):
        ok &= np.isnan(value) | (value < limit)
    if inside is None:
        ok[:] = False
    at = int(np.flatnonzero(ok)[0]) if ok.any() else len(lengths) - 1
    t0 = end - lengths[at] * HOUR
    values = {k: float(v[at]) for k, v in tests.items()}
    return SteadyWindow(
        t0, end, bool(ok.any()), None, np.array([t0, end]), np.ones(1, bool), values,
        _continuous_text(bool(ok.any()), lengths[at], values),
        _ambient_move(record, t0, end, np.array([t0, end])),
    )


def _slope_tests(
    record: Record, meter: EnergyMeter | None, inside: Trace | None, t0: np.ndarray, t1: float
) -> dict[str, np.ndarray]:
    ambient = record.trace("ambient")
    none = np.full(len(t0), np.nan)
    of_inside = _slopes(inside, t0, t1) if inside is not None else none
    of_ambient = _slopes(ambient, t0, t1) if ambient is not None else none
    power = none
    if meter and meter.power:
        mean = Cumulative(meter.power).mean(t0, np.full(len(t0), t1))
        power = np.abs(_slopes(meter.power, t0, t1)) / np.maximum(mean, 1e-9)
    drift = np.where(np.isnan(of_ambient), of_inside, of_ambient - of_inside)
    return {"inside": np.abs(drift), "power": power, "ambient": np.abs(of_ambient)}


def _slopes(trace: Trace, t0: np.ndarray, t1: float) -> np.ndarray:
    """Least-squares slopes over windows that share an end. [unit/h]"""
    hours = (trace.t - t1) / HOUR
    used = hours <= 0
    x, y = hours[used], trace.y[used] - trace.y[used].mean()
    if len(x) < 3:
        return np.full(len(t0), np.nan)
    sums = np.cumsum(np.column_stack([np.ones_like(x), x, y, x * y, x * x])[::-1], axis=0)
    n = np.clip(len(x) - np.searchsorted(trace.t[used], t0), 3, len(x))
    one, sx, sy, sxy, sxx = sums[n - 1].T
    return (one * sxy - sx * sy) / (one * sxx - sx**2)


def _continuous_text(passed: bool, hours: float, tests: dict[str, float]) -> str:
    parts = [
        f"(ambient − inside) drifts {tests['inside']:.3f} K/h (limit {LIMITS.slope_inside:g})",
        f"power {100 * tests['power']:.2f} %/h (limit {100 * LIMITS.slope_power:g})",
        f"ambient {tests['ambient']:.3f} K/h (limit {LIMITS.slope_ambient:g})",
    ]
    known = [p for p, v in zip(parts, tests.values(), strict=True) if np.isfinite(v)]
    verdict = "steady" if passed else "not steady"
    return f"{verdict}: last {hours:.1f} h, running without a break; {', '.join(known)}"


def _ambient_move(record: Record, t0: float, t1: float, starts: np.ndarray) -> float:
    """How far a window short of 24 h may sit from the run's 24 h mean ambient. [K]"""
    ambient = record.trace("ambient")
    if ambient is None or whole_days(t0, t1, starts):
        return 0.0
    total = Cumulative(ambient)
    if record.end - record.zero >= DAY:
        return abs(float(total.mean(t0, t1) - total.mean(record.end - DAY, record.end)))
    return float(np.ptp(ambient.y)) / 2
