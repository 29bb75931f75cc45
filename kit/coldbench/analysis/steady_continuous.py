"""The steady window of a machine that runs without a break: the slopes of its last hours."""

from __future__ import annotations

import numpy as np

from coldbench.analysis.energy import EnergyMeter
from coldbench.analysis.limits import LIMITS
from coldbench.analysis.steady import EVENTS, HOUR, SteadyWindow, ambient_move
from coldbench.logs.cumulative import cumulative
from coldbench.logs.record import Record, Trace


def continuous_window(
    record: Record, meter: EnergyMeter | None, inside: Trace | None,
    begin: float, end: float, whole: bool,
) -> SteadyWindow | None:
    """The last hours whose slopes pass, or the last two as not steady.

    Parameters
    ----------
    record : Record
        The run.
    meter : EnergyMeter or None
        Its electrical side.
    inside : Trace or None
        Stands for the inside.
    begin, end : float
        Stretch to look in, POSIX. [s]
    whole : bool
        Take the stretch as it is: the run sheet names the window.

    Returns
    -------
    SteadyWindow or None

    References
    ----------
    .. [1] This kit's own rule, after the block idea of IEC 62552-3:2015.
    """
    events = [m.t for m in record.marks if m.what in EVENTS and begin < m.t < end]
    begin = max([begin, *events])
    power = meter.power if meter else None
    in_intervals = power is not None and power.bucket > LIMITS.bucket_shape
    if in_intervals:
        # What an interval holds is known, but not where in it: the window takes whole ones.
        inner = power.t[(power.t >= begin) & (power.t <= end)]
        begin, end = (inner[0], inner[-1]) if len(inner) > 1 else (begin, end)
    hours = (end - begin) / HOUR
    if hours < LIMITS.slope_window:
        return None
    days = np.arange(int(hours / 24 + 1e-6), 0, -1) * 24.0
    least = power.bucket / HOUR if in_intervals else 0.5
    shorter = np.arange(min(hours, 24.0), LIMITS.slope_window - 1e-9, -least)
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
        _continuous_text(bool(ok.any()), lengths[at], values, power, in_intervals),
        ambient_move(record, t0, end, np.array([t0, end])),
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
        mean = cumulative(meter.power).mean(t0, np.full(len(t0), t1))
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


def _continuous_text(
    passed: bool, hours: float, tests: dict[str, float], power: Trace | None, in_intervals: bool
) -> str:
    parts = [
        f"(ambient − inside) drifts {tests['inside']:.3f} K/h (limit {LIMITS.slope_inside:g})",
        f"power {100 * tests['power']:.2f} %/h (limit {100 * LIMITS.slope_power:g})",
        f"ambient {tests['ambient']:.3f} K/h (limit {LIMITS.slope_ambient:g})",
    ]
    known = [p for p, v in zip(parts, tests.values(), strict=True) if np.isfinite(v)]
    if not known:
        return "not steady: neither the inside nor the power was logged; no test can be made"
    verdict = "steady" if passed else "not steady"
    how = "running without a break" if power is not None else "no cycles seen in the air"
    how = "energy logged in intervals" if in_intervals else how
    return f"{verdict}: last {hours:.1f} h, {how}; {', '.join(known)}"
