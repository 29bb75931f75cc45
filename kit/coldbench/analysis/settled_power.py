"""Power and energy of the steady window."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from coldbench import draws
from coldbench.analysis.context import Context
from coldbench.analysis.coverage import bounds_of_mean, is_short, true_bounds
from coldbench.analysis.doubt import mean_scatter, true_of
from coldbench.analysis.limits import LIMITS
from coldbench.analysis.settled_rows import base_row, joined, setting_of, valued
from coldbench.analysis.steady import SteadyWindow
from coldbench.findings import Finding, measured
from coldbench.logs.record import Trace

HOUR = 3600.0
WHOLE = 99.9  # coverage from which nothing is missed but rounding [%]


def settled_power(context: Context, window: SteadyWindow) -> Iterator[Finding]:
    """Mean power, daily energy, running, idle and largest power.

    Parameters
    ----------
    context : Context
        Run, record and meter.
    window : SteadyWindow
        Bounds only where it did not pass.

    Yields
    ------
    Finding
        [W], [Wh/d], [-]

    References
    ----------
    .. [1] This kit's own definition.
    """
    meter = context.meter
    if meter is None:
        return
    at = f"{meter.main.metered_at} {setting_of(context)}".strip()
    base = base_row(context, window, "mean_power", meter.main, unit="W", at=at)
    if not window.passed:
        yield from _unsteady_power(context, window, base)
        return
    if meter.power is None and (bounds := _open_count(context, window)):
        note = joined(base.note, "the counter does not tell what flowed in the window: bounds only")
        yield from _bounds_of_power(replace(base, coverage=100.0), *bounds, note)
        return
    mean, true, source, covered = mean_power(context, window)
    if not np.isfinite(mean):
        yield replace(base, basis="not measured", note="power was not logged over the window")
        return
    base = replace(base, coverage=covered)
    if source == "counter":
        base = replace(base, note=joined(base.note, "energy from the counter"))
    open_by = read_too_seldom(context, window) if source == "power" else 0.0
    unseen = _unseen(context) if source == "power" else None
    power = valued(base, mean, true, unseen)
    if open_by:
        power = _left_open(power, mean, open_by)
    yield power
    daily = replace(base, finding="daily_energy", unit="Wh/d")
    if open_by:
        yield replace(power, finding="daily_energy", unit="Wh/d", low=power.low * 24,
                      high=power.high * 24)
    else:
        yield valued(daily, mean * 24, None if true is None else true * 24,
                     unseen and (unseen[0] * 24, unseen[1] * 24))
    if meter.power is not None:
        # The counter may speak for the energy of a silence, but not for its levels.
        base = replace(base, coverage=window.coverage(meter.power))
    if meter.power is not None and meter.power.bucket > LIMITS.bucket_shape:
        minutes = meter.power.bucket / 60
        note = f"energy was logged in intervals of {minutes:g} min: needs the power itself"
        for finding, unit in (("running_power", "W"), ("duty", "-")):
            yield replace(base, finding=finding, unit=unit, at=setting_of(context),
                          basis="not measured", note=note)
    elif meter.power is not None:
        yield from _levels(context, window, meter.power, base)
        if window.cycling is None and not open_by:
            duty = replace(base, finding="duty", unit="-", at=setting_of(context),
                           note="runs without a break")
            yield replace(duty, **measured(np.ones(draws.DRAWS), 1.0))


def _unseen(context: Context) -> tuple[float, float]:
    """What flowed in the time that nothing was read: nothing, to the largest running power. [W]"""
    return 0.0, true_bounds(context.meter.power, 0.0, context.meter.running_most)[1]


def read_too_seldom(context: Context, window: SteadyWindow) -> float:
    """How far a mean of instants may lie off because they come too seldom for the switching.

    Parameters
    ----------
    context : Context
        Its meter.
    window : SteadyWindow
        Where the mean is taken.

    Returns
    -------
    float
        0 where a spell of running or idling holds three readings or more, or where power was
        logged as means; else half a step at every switching, all to one side, as when the
        logger and the thermostat keep step. [W]

    References
    ----------
    .. [1] This kit's own definition.
    """
    power = context.meter.power
    if power is None or power.power != "hold" or power.on_change:
        return 0.0
    inside = power.y[power.within(window.t0, window.t1)]
    some = inside[:: max(1, len(inside) // 200_000)]
    lower, upper = np.quantile(some, [0.05, 0.95])
    edges = context.meter.switchings(window.t0, window.t1)
    least = max(LIMITS.level_watts, LIMITS.level_share * upper)
    if upper - lower < least or edges < 4 or len(inside) >= 3 * edges:
        return 0.0
    return float((upper - lower) * power.step / 2 * edges / (window.t1 - window.t0))


def _left_open(row: Finding, mean: float, open_by: float) -> Finding:
    low = max((row.low if row.low is not None else mean) - open_by, 0.0)
    high = (row.high if row.high is not None else mean) + open_by
    note = "read too seldom for its switching: bounds only; log means or a counter"
    return replace(row, basis="bounded", value=None, draws=None, low=low, high=high,
                   note=joined(row.note, note))


def mean_power(
    context: Context, window: SteadyWindow
) -> tuple[float, np.ndarray | None, str, float]:
    """Mean power of the window's kept cycles, its draws, source and coverage.

    Returns
    -------
    mean : float
        [W]
    draws : ndarray, shape (4000,), or None
        [W]
    source : {"power", "counter"}
        The counter serves where cycles were dropped for a gap and it ran through.
    coverage : float
        [%]

    References
    ----------
    .. [1] This kit's own definition.
    """
    meter = context.meter
    hours = (window.t1 - window.t0) / HOUR
    coverage = window.coverage(meter.main)
    whole = meter.counted(window.t0, np.array([window.t1])) if meter.counter else None
    name = f"{context.name} steady"
    lost = bool(window.cycling is not None and (~window.good).any()) or coverage < WHOLE
    if meter.power is None or (lost and whole is not None and whole.whole):
        if whole is None:
            return np.nan, None, "counter", 0.0
        energy = float((whole.low + whole.high)[0] / 2)
        true = meter.true_energy(name, energy, hours, "counter", 0)
        if true is not None and not whole.whole:
            half = float(np.ptp([whole.low, whole.high])) / 2
            true = true + draws.uniform(f"{name} reading", half)
        mean, source, coverage = energy / hours, "counter", 100.0
        true = None if true is None else true / hours
    else:
        mean, source = window.mean(meter.power), "power"
        kept = hours * coverage / 100
        edges = 2 * int(window.good.sum()) if window.cycling is not None else 0
        true = meter.true_energy(name, mean * kept, kept, "power", edges) if kept else None
        true = None if true is None else true / kept
    if true is not None and window.ambient_move:
        move = LIMITS.energy_per_kelvin * window.ambient_move * mean
        true = true + draws.uniform(f"{name} short window", move)
    return mean, true, source, coverage


def _unsteady_power(
    context: Context, window: SteadyWindow, base: Finding
) -> Iterator[Finding]:
    """Bounds where nothing passed: lowest and highest block of the second half of the run."""
    cumulative = context.meter.cumulative
    middle = (context.record.zero + context.end) / 2
    if cumulative is not None and window.cycling is not None:
        starts = window.cycling.starts[window.cycling.starts >= middle]
        n = LIMITS.block_cycles
        begin, end = starts[:-n], starts[n:]
    else:
        begin = np.arange(middle, context.end - HOUR + 1, HOUR / 2)
        end = begin + HOUR
    note = "not steady: bounds of the second half of the run"
    if cumulative is None:
        yield from _between_counts(context, base, middle)
        return
    if not len(begin):
        yield replace(base, basis="not measured", note="not steady; needs a longer run")
        return
    means = cumulative.mean(begin, end)
    means = means[np.isfinite(means)]
    if not len(means):
        yield replace(base, basis="not measured", note="not steady; needs a log without gaps")
        return
    trace = context.meter.power
    low, high = true_bounds(trace, float(means.min()), float(means.max()))
    if is_short(base.coverage):
        low, high = bounds_of_mean(base.coverage, low, high, *_unseen(context))
    yield from _bounds_of_power(base, low, high, note)


def _bounds_of_power(base: Finding, low: float, high: float, note: str) -> Iterator[Finding]:
    low = max(low, 0.0)
    bounded = replace(base, basis="bounded", low=low, high=high, note=note)
    yield bounded
    yield replace(bounded, finding="daily_energy", unit="Wh/d", low=low * 24, high=high * 24)


def _open_count(context: Context, window: SteadyWindow) -> tuple[float, float] | None:
    """Bounds of the mean power where a counter alone leaves it open, else None. [W]

    It does where it was reset or came back, and where its readings lie far from the window's ends.
    """
    counter = context.meter.counter
    hours = (window.t1 - window.t0) / HOUR
    energy = context.meter.counted(window.t0, np.array([window.t1]))
    if energy is None or not np.isfinite(energy.high).all():
        return None
    low, high = float(energy.low[0]) / hours, float(energy.high[0]) / hours
    if high - low <= LIMITS.count_open * (low + high) / 2:
        return None
    return true_bounds(counter, low, high)


def _between_counts(context: Context, base: Finding, middle: float) -> Iterator[Finding]:
    """The same from a counter alone: means between its readings, widened by their step."""
    counter = context.meter.counter
    later = np.flatnonzero(counter.t[1:] > middle) + 1
    hours = np.diff(counter.t)[later - 1] / HOUR
    counted = np.diff(counter.y)[later - 1]
    hidden = np.array([sum(b.high - b.low for b in counter.broken if b.t0 == t)
                       for t in counter.t[later - 1]])
    if not len(later) or not np.isfinite(hidden).all():
        note = "not steady; needs two counter readings in one count"
        yield replace(base, basis="not measured", note=note)
        return
    step = counter.counter_step or counter.resolution
    low = float(((counted - step) / hours).min())
    high = float(((counted + hidden + step) / hours).max())
    low, high = true_bounds(counter, low, high)
    note = "not shown to be steady: bounds of the counter readings in the second half of the run"
    yield from _bounds_of_power(base, low, high, note)


def _levels(
    context: Context, window: SteadyWindow, trace: Trace, base: Finding
) -> Iterator[Finding]:
    """Running, idle and largest power."""
    used = slice(*np.searchsorted(trace.t, [window.t0, window.t1]).tolist())
    t, y = trace.t[used], trace.y[used]
    running, idle = _settled_samples(window, trace, t, y)
    for finding, chosen in (("running_power", running), ("idle_power", idle)):
        if not chosen.any():
            continue
        values = np.sort(y[chosen])
        value = _quantile(values, 0.5)
        true = true_of(trace, value)
        if true is not None:
            name = f"{context.name} {finding}"
            # A median takes the steps of the readings: rounding does not average out in it.
            true = true + mean_scatter(name, trace, 0.0, len(values))
            true = true + draws.uniform(f"{name} spell", _between_samples(values, chosen))
        row = replace(base, finding=finding, note="")
        yield valued(row, value, true, true_bounds(trace, values[0], values[-1]))
    largest = float(trace.y[trace.within(context.record.zero, context.end)].max())
    covered = context.coverage(trace, context.record.zero, context.end)
    peak = replace(base, finding="peak_power", at=trace.metered_at, note="", coverage=covered)
    true = true_of(trace, largest)
    if trace.step > 1.0 or covered < WHOLE:
        low = draws.interval(true)[0] if true is not None else largest
        note = f"largest sample, one each {trace.step:g} s: a start peak may be higher"
        if trace.step <= 1.0:
            note = "largest sample; a silence may hide a higher one"
        yield replace(peak, basis="bounded", low=low, note=note)
    else:
        yield valued(peak, largest, true)


def _between_samples(values: np.ndarray, chosen: np.ndarray) -> float:
    """How far a spell's few samples leave its median open: their middle range over their number.

    ``values`` are the chosen samples in order of size.
    """
    spells = max(1, np.count_nonzero(chosen[1:] & ~chosen[:-1]) + int(chosen[0]))
    quarter, three = (_quantile(values, share) for share in (0.25, 0.75))
    return (three - quarter) * spells / len(values)


def _quantile(values: np.ndarray, share: float) -> float:
    """Quantile of values that are in order, on a straight line between its neighbours."""
    place = share * (len(values) - 1)
    before = int(place)
    after = min(before + 1, len(values) - 1)
    return float(values[before] + (place - before) * (values[after] - values[before]))


def _settled_samples(
    window: SteadyWindow, trace: Trace, t: np.ndarray, y: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """Samples while running (first 60 s of each spell left out) and while idle."""
    cycling = window.cycling
    if cycling is None or cycling.source != "power":
        return np.ones(len(t), bool), np.zeros(len(t), bool)
    state = y > cycling.threshold
    steps = np.flatnonzero(state[1:] != state[:-1]) + 1
    spells = np.concatenate([[0], steps])
    since = t - np.repeat(t[spells], np.diff(np.append(spells, len(t))))
    if trace.on_change:
        since = since + np.diff(np.append(t, window.t1))  # each value holds to the next
    # A sample beside a change may hold both states where it is a mean over an interval.
    beside = np.zeros(len(t), bool)
    if trace.power == "mean":
        beside[steps] = beside[steps - 1] = True
    return state & (since >= LIMITS.run_in) & ~beside, ~state & ~beside
