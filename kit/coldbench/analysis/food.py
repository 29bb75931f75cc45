"""How long the load stayed above the food limit after it first came below."""

from __future__ import annotations

import numpy as np

from coldbench import draws
from coldbench.analysis.context import Context
from coldbench.analysis.crossing import find_crossing, smooth
from coldbench.analysis.doubt import reading_of
from coldbench.findings import Finding, measured
from coldbench.logs.cumulative import cumulative
from coldbench.logs.record import Trace

HOUR = 3600.0


def hours_above_limit(context: Context) -> list[Finding]:
    """Time the warmest load place spends above the food limit after first reaching it.

    Parameters
    ----------
    context : Context
        Run with a load place, else air (the note says so); campaign with a food limit.

    Returns
    -------
    list of Finding
        Empty where neither was logged or no limit is set. Bounded where a gap hides time.

    Notes
    -----
    A margin for the reader; never a statement that food is safe.

    References
    ----------
    .. [1] This kit's own definition.
    """
    limit, record = context.food_limit, context.record
    places = record.loads() or [t for t in [record.trace("air")] if t is not None]
    if limit is None or not places:
        return []
    trace = max(places, key=lambda t: float(t.y.mean()))
    note = "" if record.loads() else "air, no load place was logged"
    base = dict(
        cooler=record.cooler, finding="hours_above_limit", at=f"{limit:g} °C", unit="h",
        runs=(record.run,), conditions=context.conditions(record.zero, context.end),
    )
    curve = smooth(trace, record.zero, context.end)
    if len(curve.t) < 2:
        return []
    crossing = find_crossing(trace, curve, limit, f"{context.name} food limit")
    if crossing.state in ("not reached", "unsure"):
        tried = (context.end - record.zero) / HOUR
        note = f"food limit not reached in {tried:.1f} h"
        return [Finding(**base, basis="not reached", low=tried, note=note)]
    first = record.zero if crossing.state == "started below" else crossing.bounds[1]
    hidden = (context.end - first - float(cumulative(trace).covered(first, context.end))) / HOUR
    base["coverage"] = context.coverage(trace, first, context.end)
    value = float(_time_above(trace, first, context.end, np.array([limit]))[0])
    level = reading_of(trace, limit)
    by_gaps = f"{hidden:.1f} h hidden by gaps"
    silent = hidden > 2 * trace.step / HOUR
    if level is None:
        if silent:
            note = f"{by_gaps}; error not stated"
            return [Finding(**base, basis="bounded", low=value, high=value + hidden, note=note)]
        return [Finding(**base, value=value, note="error not stated")]
    drawn = _time_above(trace, first, context.end, level)
    if crossing.late is not None:
        drawn = np.where(np.isfinite(crossing.late) | (crossing.late < 0), drawn, np.inf)
    if silent:
        low, high = draws.interval(drawn)
        high = high + hidden if np.isfinite(high) else None
        return [Finding(**base, basis="bounded", low=low, high=high, note=by_gaps)]
    return [Finding(**base, note=note, **measured(drawn, value))]


def _time_above(trace: Trace, t0: float, t1: float, level: np.ndarray) -> np.ndarray:
    """Time above each level, each sample standing for half the step on either side. [h]"""
    used = trace.within(t0, t1)
    t, y = trace.t[used], trace.y[used]
    if len(t) < 2:
        return np.zeros(len(level))
    if trace.even:
        # Each sample stands for one step, the first and the last for half of one.
        order = np.sort(y)
        count = len(y) - np.searchsorted(order, level, side="right")
        ends = (y[0] > level) / 2 + (y[-1] > level) / 2
        return (count - ends) * trace.even / HOUR
    step = np.where(trace.covered[used.start : used.stop - 1], np.diff(t), 0.0)
    weight = np.zeros(len(t))
    weight[1:] += step / 2
    weight[:-1] += step / 2
    order = np.argsort(y, kind="stable")
    below = np.concatenate([[0.0], np.cumsum(weight[order])])
    return (below[-1] - below[np.searchsorted(y[order], level, side="right")]) / HOUR
