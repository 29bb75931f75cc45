"""Volts at which a cooler cuts out and starts again, from a ramp of its supply."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from coldbench import draws
from coldbench.analysis.context import Context
from coldbench.analysis.doubt import true_of
from coldbench.analysis.limits import LIMITS
from coldbench.analysis.settled_rows import as_stated, joined
from coldbench.findings import Finding, measured
from coldbench.logs.record import Trace
from coldbench.quantities import number

UPPER = 0.9  # quantile of power that stands for running: above it lie start peaks
BEFORE = 5  # samples that tell how fast the volts were moved


def supply_volts(context: Context) -> list[Finding]:
    """Cut-out and restart volts of a run of kind ``supply-volts``.

    Parameters
    ----------
    context : Context
        Run with volts and power, logged or read by eye, whose supply was turned down until the
        cooler stopped, and up again.

    Returns
    -------
    list of Finding
        ``cut_out_volts`` and ``restart_volts`` [V] at the metering point: between the last sample
        of one state and the first of the other. Bounds where it never stopped, or never started
        again.

    Notes
    -----
    The stop at the lowest volts counts. When the load goes, volts rise by what cable and source
    had lost; where the first sample after a stop is higher than the last before it, the ramp is
    carried on to the time of that sample, for the cut-out lies on it.

    References
    ----------
    .. [1] This kit's own definition.
    """
    if "supply-volts" not in context.run.kind:
        return []
    record = context.record
    volts, power = (record.trace(role) or record.trace(f"{role} by hand")
                    for role in ("voltage", "power"))
    base = Finding(cooler=record.cooler, finding="cut_out_volts", unit="V", runs=(record.run,))
    if volts is None or power is None:
        empty = replace(base, basis="not measured", note="needs volts and power over a ramp")
        return [empty, replace(empty, finding="restart_volts")]
    base = replace(base, at=power.metered_at,
                   conditions=context.conditions(power.t[0], power.t[-1]))
    u = np.interp(power.t, volts.t, volts.y)
    runs = power.y > LIMITS.supply_running * np.quantile(power.y, UPPER)
    stops = np.flatnonzero(runs[:-1] & ~runs[1:])
    if not len(stops):
        return _never_stopped(volts, base, u[runs])
    stop = int(stops[np.argmin(u[stops])])
    cut_out = _between(context, volts, base, *_ramped(power.t, u, stop, -1))
    if context.run.setting != "coldest":
        said = "a thermostat's stop looks alike: ramp at the coldest setting"
        cut_out = replace(cut_out, note=joined(cut_out.note, said))
    return [cut_out, _restart(context, volts, base, power.t, u, runs, stop)]


def _never_stopped(volts: Trace, base: Finding, u: np.ndarray) -> list[Finding]:
    lowest = float(u.min()) if len(u) else np.nan
    if not np.isfinite(lowest):
        empty = replace(base, basis="not measured", note="needs a ramp in which it runs")
        return [empty, replace(empty, finding="restart_volts")]
    note = f"it still ran at {number(lowest, 2)} V"
    return [_bound(volts, replace(base, note=note), high=lowest),
            replace(base, finding="restart_volts", basis="not measured",
                    note="it never cut out; needs a ramp to lower volts")]


def _restart(
    context: Context, volts: Trace, base: Finding, t: np.ndarray, u: np.ndarray,
    runs: np.ndarray, stop: int,
) -> Finding:
    base = replace(base, finding="restart_volts")
    starts = np.flatnonzero(~runs[stop + 1:-1] & runs[stop + 2:]) + stop + 1
    if not len(starts):
        highest = float(u[stop + 1:].max())
        note = f"it did not start again up to {number(highest, 2)} V"
        return _bound(volts, replace(base, note=note), low=highest)
    start = int(starts[0])
    row = _between(context, volts, base, *_ramped(t, u, start, +1, since=stop + 1))
    if u[start] < u[stop]:
        said = "at lower volts than it stopped at: that stop was hardly a cut-out"
    else:
        said = "a controller that waits before it starts again reads high: turn up slowly"
    return replace(row, note=joined(row.note, said))


def _ramped(
    t: np.ndarray, u: np.ndarray, last: int, way: int, since: int = 0
) -> tuple[float, float]:
    """Volts at the last sample of a state, and those that the ramp had reached by the next. [V]"""
    first = max(last - BEFORE, since)
    rate = (u[last] - u[first]) / (t[last] - t[first]) if last > first else 0.0
    carried = u[last] + way * max(way * rate, 0.0) * (t[last + 1] - t[last])
    beyond = way * max(way * carried, way * u[last + 1])
    return float(u[last]), float(beyond)


def _between(context: Context, volts: Trace, base: Finding, last: float, beyond: float) -> Finding:
    middle, half = (last + beyond) / 2, abs(last - beyond) / 2
    name = f"{context.name} {base.finding}"
    drawn = middle + draws.uniform(name, half)
    drawn = drawn + draws.uniform(f"{name} rounding", volts.resolution / 2)
    true = true_of(volts, drawn)
    note = f"between the readings {number(last, 2)} and {number(beyond, 2)} V"
    row = replace(base, note=note, **measured(drawn if true is None else true, middle))
    return as_stated(row, volts)


def _bound(
    volts: Trace, row: Finding, low: float | None = None, high: float | None = None
) -> Finding:
    """A bound, widened by the instrument where its error is stated."""
    ends = []
    for reading, end in ((low, 0), (high, 1)):
        true = true_of(volts, reading) if reading is not None else None
        ends.append(reading if true is None else draws.interval(true)[end])
    note = joined(row.note, "" if volts.error is not None else "error not stated")
    return replace(row, basis="bounded", low=ends[0], high=ends[1], note=note)
