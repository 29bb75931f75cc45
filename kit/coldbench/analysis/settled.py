"""Findings of the steady window: how cold, how much power, how often, how even."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from coldbench import draws
from coldbench.analysis.context import Context
from coldbench.analysis.cycles import Cycling, running_share
from coldbench.analysis.doubt import mean_scatter, noise_sd, true_of
from coldbench.analysis.limits import LIMITS
from coldbench.analysis.steady import SteadyWindow, inside_trace
from coldbench.findings import Finding, measured
from coldbench.logs.cumulative import Cumulative
from coldbench.logs.record import Trace

HOUR = 3600.0


def settled(context: Context, window: SteadyWindow) -> Iterator[Finding]:
    """Findings of a run's steady window.

    Parameters
    ----------
    context : Context
        Run, record, campaign and meter.
    window : SteadyWindow
        Bounds only where it did not pass.

    Yields
    ------
    Finding
        Temperatures, powers, duty, cycle time, swing and spread, as far as roles allow.

    References
    ----------
    .. [1] This kit's own definitions.
    """
    yield from _coldest(context, window)
    yield from _places(context, window)
    yield from _power(context, window)
    if window.cycling is not None and window.passed:
        yield from _cycle_findings(context, window)


def conditions_of(context: Context, window: SteadyWindow) -> dict[str, float | str]:
    """Ambient, inside and length of the window; its lowest and highest ambient."""
    record = context.record
    found = context.conditions(window.t0, window.t1)
    ambient = record.trace("ambient")
    if ambient is not None:
        found["ambient"] = window.mean(ambient)
    inside = inside_trace(record)
    if inside is not None:
        found["inside"] = window.mean(inside)
    found["window"] = window.hours
    return found


def _base(context: Context, window: SteadyWindow, finding: str, trace: Trace, **more) -> Finding:
    coverage = window.coverage(trace) if not trace.by_hand else None
    note = []
    if window.passed and not window.days:
        note.append(f"window {window.hours:.1f} h, short of 24 h")
    if coverage is not None and coverage < LIMITS.coverage_doubt:
        note.append(f"coverage {coverage:.0f} %")
    return Finding(
        cooler=context.record.cooler, finding=finding, runs=(context.record.run,),
        conditions=conditions_of(context, window), coverage=coverage, note="; ".join(note),
        **more,
    )


def _temperature(
    context: Context, window: SteadyWindow, trace: Trace, name: str
) -> tuple[float, np.ndarray | None]:
    """Mean of a temperature over the window, and its draws."""
    mean = window.mean(trace)
    true = true_of(trace, mean)
    if true is None:
        return mean, None
    used = (trace.t >= window.t0) & (trace.t <= window.t1)
    seen = float(np.ptp(trace.y[used])) if used.any() else 0.0
    return mean, true + mean_scatter(f"{context.name} {name}", trace, seen, int(used.sum()))


def _valued(base: Finding, value: float, true: np.ndarray | None) -> Finding:
    if not np.isfinite(value):
        return replace(base, basis="not measured", note="no samples in the window")
    if true is None:
        return replace(base, value=value, note=_joined(base.note, "error not stated"))
    if base.coverage is not None and base.coverage < LIMITS.coverage_bounds:
        low, high = draws.interval(true)
        note = _joined(base.note, "bounds only")
        return replace(base, basis="bounded", low=low, high=high, note=note)
    return replace(base, **measured(true, value))


def _joined(*notes: str) -> str:
    return "; ".join(n for n in notes if n)


# --- temperatures ------------------------------------------------------------------------------


def _coldest(context: Context, window: SteadyWindow) -> Iterator[Finding]:
    air = context.record.trace("air")
    if air is None:
        return
    base = _base(context, window, "coldest_air", air, unit="°C")
    value, true = _temperature(context, window, air, "air mean")
    if not window.passed or context.run.setting != "coldest":
        why = "not steady" if not window.passed else f"setting {_setting(context) or 'not stated'}"
        cycles = window.cycling.starts if window.cycling is not None else None
        yield coldest_bound(context, replace(base, note=f"{why}: it gets at least this cold"),
                            air, cycles)
        return
    yield _valued(base, value, true)
    ambient, ambient_true = context.ambient(window.t0, window.t1)
    logged = context.record.trace("ambient")
    if logged is not None:
        ambient, ambient_true = _temperature(context, window, logged, "ambient mean")
    if ambient is None:
        return
    both = None if true is None or ambient_true is None else ambient_true - true
    below = replace(base, finding="below_ambient", unit="K")
    yield _valued(below, ambient - value, both)


def coldest_bound(
    context: Context, base: Finding, air: Trace, cycles: np.ndarray | None = None
) -> Finding:
    """Lowest whole-cycle mean, or lowest 60 min mean: the cooler gets at least this cold.

    Parameters
    ----------
    context : Context
        Run and record.
    base : Finding
        Identity, conditions and note.
    air : Trace
        Air temperature.
    cycles : ndarray, shape (m,), or None
        Cycle starts, POSIX; None takes means of an hour. [s]

    Returns
    -------
    Finding
        Bounded above by that mean and the probe's error. [°C]

    References
    ----------
    .. [1] This kit's own definition.
    """
    total = Cumulative(air)
    if cycles is not None:
        begin, end = cycles[:-1], cycles[1:]
    else:
        begin = np.arange(context.record.zero, context.end - HOUR + 1, 60)
        end = begin + HOUR
    covered = total.covered(begin, end) >= 0.95 * (end - begin)
    if not covered.any():
        return replace(base, basis="not measured", note="needs an hour of air readings")
    lowest = float(total.mean(begin, end)[covered].min())
    true = true_of(air, lowest)
    high = draws.interval(true)[1] if true is not None else lowest
    return replace(base, basis="bounded", high=high)


def _places(context: Context, window: SteadyWindow) -> Iterator[Finding]:
    """Warmest load place, spread between places, display error, hours above the food limit."""
    record = context.record
    loads = record.loads()
    if loads and window.passed:
        warmest = max(loads, key=window.mean)
        base = _base(context, window, "warmest_load", warmest, unit="°C", at=_setting(context))
        yield _valued(base, *_temperature(context, window, warmest, "load mean"))
    places = [t for r in ("air", "air_warm", "air_cold") if (t := record.trace(r)) is not None]
    if len(places) > 1 and window.passed:
        means = [_temperature(context, window, t, f"{t.role} mean") for t in places]
        values = [m for m, _ in means]
        hot, cold = int(np.argmax(values)), int(np.argmin(values))
        true = None if any(d is None for _, d in means) else means[hot][1] - means[cold][1]
        base = _base(context, window, "spread", places[hot], unit="K", at=_setting(context))
        yield _valued(base, values[hot] - values[cold], true)
    air = record.trace("air")
    if air is not None and context.run.display is not None and window.passed:
        mean, true = _temperature(context, window, air, "air mean")
        base = _base(context, window, "display_error", air, unit="K", at=_setting(context))
        shown = context.run.display.value
        yield _valued(base, shown - mean, None if true is None else shown - true)


def _setting(context: Context) -> str:
    return context.run.setting or ""


# --- power -------------------------------------------------------------------------------------


def _power(context: Context, window: SteadyWindow) -> Iterator[Finding]:
    meter = context.meter
    if meter is None:
        return
    at = f"{meter.main.metered_at} {_setting(context)}".strip()
    base = _base(context, window, "mean_power", meter.main, unit="W", at=at)
    if not window.passed:
        yield from _unsteady_power(context, window, base)
        return
    mean, true, source, covered = mean_power(context, window)
    if not np.isfinite(mean):
        yield replace(base, basis="not measured", note="power was not logged over the window")
        return
    base = replace(base, coverage=covered)
    if source == "counter":
        base = replace(base, note=_joined(base.note, "energy from the counter"))
    yield _valued(base, mean, true)
    daily = replace(base, finding="daily_energy", unit="Wh/d")
    yield _valued(daily, mean * 24, None if true is None else true * 24)
    if meter.power is not None:
        yield from _levels(context, window, meter.power, base)
        if window.cycling is None:
            duty = replace(base, finding="duty", unit="-", at=_setting(context),
                           note="runs without a break")
            yield replace(duty, **measured(np.ones(draws.DRAWS), 1.0))


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
    whole = meter._by_counter(window.t0, np.array([window.t1])) if meter.counter else None
    name = f"{context.name} steady"
    lost = bool(window.cycling is not None and (~window.good).any()) or coverage < 99.9
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
    if cumulative is None or not len(begin):
        yield replace(base, basis="not measured", note="not steady; needs a longer run")
        return
    means = cumulative.mean(begin, end)
    means = means[np.isfinite(means)]
    if not len(means):
        yield replace(base, basis="not measured", note="not steady; needs a log without gaps")
        return
    trace = context.meter.power
    low, high = float(means.min()), float(means.max())
    if trace.error is not None:
        low = draws.interval(true_of(trace, low))[0]
        high = draws.interval(true_of(trace, high))[1]
    bounded = replace(base, basis="bounded", low=max(low, 0.0), high=high, note=note)
    yield bounded
    yield replace(bounded, finding="daily_energy", unit="Wh/d", low=bounded.low * 24,
                  high=high * 24)


def _levels(
    context: Context, window: SteadyWindow, trace: Trace, base: Finding
) -> Iterator[Finding]:
    """Running, idle and largest power."""
    used = (trace.t >= window.t0) & (trace.t < window.t1)
    t, y = trace.t[used], trace.y[used]
    running, idle = _settled_samples(window, trace, t)
    for finding, chosen in (("running_power", running), ("idle_power", idle)):
        if not chosen.any():
            continue
        value = float(np.median(y[chosen]))
        true = true_of(trace, value)
        if true is not None:
            name = f"{context.name} {finding}"
            true = true + mean_scatter(name, trace, float(np.ptp(y[chosen])), int(chosen.sum()))
            true = true + draws.uniform(f"{name} spell", _between_samples(y, chosen))
        row = replace(base, finding=finding, note="")
        yield _valued(row, value, true)
    after = (trace.t >= context.record.zero) & (trace.t <= context.end)
    largest = float(trace.y[after].max())
    peak = replace(base, finding="peak_power", at=trace.metered_at, note="")
    true = true_of(trace, largest)
    if trace.step > 1.0:
        low = draws.interval(true)[0] if true is not None else largest
        note = f"largest sample, one each {trace.step:g} s: a start peak may be higher"
        yield replace(peak, basis="bounded", low=low, note=note)
    else:
        yield _valued(peak, largest, true)


def _between_samples(y: np.ndarray, chosen: np.ndarray) -> float:
    """How far a spell's few samples leave its median open: their middle range over their number."""
    spells = max(1, int((np.diff(chosen.astype(int)) == 1).sum() + chosen[0]))
    quarter, three = np.quantile(y[chosen], [0.25, 0.75])
    return float((three - quarter) * spells / chosen.sum())


def _settled_samples(
    window: SteadyWindow, trace: Trace, t: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """Samples while running (first 60 s of each spell left out) and while idle."""
    cycling = window.cycling
    if cycling is None or cycling.source != "power":
        return np.ones(len(t), bool), np.zeros(len(t), bool)
    y = trace.y[(trace.t >= window.t0) & (trace.t < window.t1)]
    state = y > cycling.threshold
    steps = np.flatnonzero(np.diff(state)) + 1
    since = t - t[np.concatenate([[0], steps])][np.searchsorted(steps, np.arange(len(t)), "right")]
    # A sample beside a change may hold both states where it is a mean over an interval.
    beside = np.zeros(len(t), bool)
    if trace.power == "mean":
        beside[steps] = beside[steps - 1] = True
    return state & (since >= LIMITS.run_in) & ~beside, ~state & ~beside


# --- cycles ------------------------------------------------------------------------------------


def _cycle_findings(context: Context, window: SteadyWindow) -> Iterator[Finding]:
    cycling, record = window.cycling, context.record
    source = record.trace(cycling.source)
    said = "" if cycling.source == "power" else "cycles found from the air temperature"
    setting = _setting(context)
    cycles = int(window.good.sum())
    begin, end = window.starts[:-1][window.good], window.starts[1:][window.good]
    kept = float((end - begin).sum())
    base = _base(context, window, "cycle_time", source, unit="min", at=setting)
    base = replace(base, note=_joined(base.note, said),
                   conditions={**base.conditions, "cycles": cycles})
    edge = source.step / np.sqrt(12)
    scatter = draws.normal(f"{context.name} edges", 1.0)
    value = kept / cycles / 60
    stretches = int((np.diff(window.good.astype(int)) == 1).sum() + window.good[0])
    yield _valued(replace(base), value,
                  value + scatter * edge * np.sqrt(2 * stretches) / cycles / 60)
    if cycling.source == "power":
        on = _running_time(source, cycling, begin, end)
        duty = on / kept
        sd = edge * np.sqrt(2 * cycles) / kept
        yield _valued(
            replace(base, finding="duty", unit="-"),
            duty, np.clip(duty + scatter * sd, 0.0, 1.0),
        )
    air = record.trace("air")
    if air is not None:
        yield _swing(context, window, air, begin, end)


def _running_time(trace: Trace, cycling: Cycling, begin: np.ndarray, end: np.ndarray) -> float:
    """Time the machine ran inside the kept cycles. [s]"""
    share = replace(trace, t=cycling.t, y=running_share(trace, cycling))
    return float(Cumulative(share).integral(begin, end).sum())


def _swing(
    context: Context, window: SteadyWindow, air: Trace, begin: np.ndarray, end: np.ndarray
) -> Finding:
    first, last = np.searchsorted(air.t, begin), np.searchsorted(air.t, end)
    some = last > first
    edges = np.column_stack([first[some], last[some]]).ravel()
    padded = np.append(air.y, air.y[-1])
    highest = np.maximum.reduceat(padded, edges)[::2]
    lowest = np.minimum.reduceat(padded, edges)[::2]
    value = float(np.mean(highest - lowest))
    base = _base(context, window, "air_swing", air, unit="K", at=_setting(context))
    if air.error is None:
        return replace(base, value=value, note="error not stated")
    # Offsets cancel in a swing; what stays is the reading's step and noise at both turns.
    name = f"{context.name} swing"
    true = value * (1 + draws.uniform(f"{air.probe} gain", air.error.relative))
    true = true + draws.uniform(f"{name} noise", air.resolution / 2 + 2 * noise_sd(air))
    # The turns lie between samples: the swing may be larger by a step of the readings.
    step = float(np.median(np.abs(np.diff(air.y[first[0]:last[-1]]))))
    true = true + (draws.uniform(f"{name} turns", step / 2) + step / 2)
    return _valued(base, value, true)
