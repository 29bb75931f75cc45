"""Pull-down: how long and with how much energy to each target, on air and on load."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from coldbench import draws
from coldbench.analysis.context import Context
from coldbench.analysis.coverage import is_short
from coldbench.analysis.crossing import Crossing, Curve, find_crossing, smooth
from coldbench.analysis.doubt import mean_scatter, true_of
from coldbench.analysis.heat import load_heat, load_mass, load_mass_draws
from coldbench.analysis.limits import LIMITS
from coldbench.findings import Finding, measured
from coldbench.logs.record import Trace
from coldbench.quantities import number, show

HOUR = 3600.0


def pull_down(context: Context) -> tuple[list[Finding], dict[str, Crossing]]:
    """Findings of a pull-down run.

    Parameters
    ----------
    context : Context
        Run, record, campaign and meter.

    Returns
    -------
    findings : list of Finding
        ``pull_down_time`` and ``pull_down_energy`` for each target on air and on the first load
        place; ``load_heat`` and ``load_heat_ratio`` where a load is in the sheet.
    crossings : dict of str to Crossing
        By ``at``, for the figures.

    References
    ----------
    .. [1] This kit's own definitions.
    """
    findings: list[Finding] = []
    crossings: dict[str, Crossing] = {}
    record = context.record
    places = [t for t in (record.trace("air"), *record.loads()[:1]) if t is not None]
    for trace in places:
        role = "air" if trace.role == "air" else "load"
        curve = smooth(trace, record.zero, context.end)
        if len(curve.t) < 2:
            continue
        start = _start_of(context, trace)
        for target in context.targets:
            at = f"{role}<={target:g} °C"
            crossing = find_crossing(trace, curve, target, f"{context.name} {at}")
            crossings[at] = crossing
            rows = _rows(context, trace, curve, at, crossing, start)
            findings.extend(rows)
            if role == "air":
                findings.extend(_from_footing_start(context, trace, curve, at, crossing))
            elif context.run.load:
                findings.extend(_load_heat(context, trace, at, crossing, start, rows))
    return findings, crossings


def _rows(
    context: Context, trace: Trace, curve: Curve, at: str, crossing: Crossing, start: float
) -> list[Finding]:
    record = context.record
    base = Finding(
        cooler=record.cooler, finding="pull_down_time", at=at, unit="h", runs=(record.run,),
        conditions=context.conditions(record.zero, _until(context, crossing), start=start),
        coverage=context.coverage(trace, record.zero, _until(context, crossing)),
    )
    time = time_finding(base, crossing, record.zero, context.end, curve)
    base = replace(base, finding="pull_down_energy", unit="Wh")
    if crossing.state == "reached" and is_short(base.coverage):
        return [time, *_energy_by_then(context, base, time)]
    return [time, *_energy(context, base, crossing, trace)]


def _until(context: Context, crossing: Crossing) -> float:
    late = crossing.bounds[1]
    return late if np.isfinite(late) else context.end


def time_finding(
    base: Finding, crossing: Crossing, zero: float, end: float, curve: Curve
) -> Finding:
    """A crossing as a finding: value, bound, or how long was tried.

    Parameters
    ----------
    base : Finding
        Identity and conditions.
    crossing : Crossing
        Instants, POSIX. [s]
    zero, end : float
        Where time counts from, and the end of the trial. [s]
    curve : Curve
        Its coldest point enters the note.

    Returns
    -------
    Finding
        In hours. [h]

    References
    ----------
    .. [1] This kit's own definition.
    """
    tried = (end - zero) / HOUR
    coldest = float(curve.y.min())
    if crossing.state == "started below":
        return replace(base, basis="not applicable", note="started below the target")
    if crossing.state == "not reached":
        note = f"not reached in {tried:.1f} h; coldest {number(coldest, 1)} °C"
        return replace(base, basis="not reached", low=tried, note=note)
    low, high = _drawn_bounds(crossing, zero)
    if crossing.state == "unsure":
        note = (
            f"coldest {number(coldest, 1)} °C in {tried:.1f} h lies within the probe's error of "
            "the target: cannot tell whether it was reached"
        )
        return replace(base, basis="bounded", low=low, note=note)
    if crossing.state == "gap":
        stated = crossing.early is not None
        if not stated:
            low, high = ((b - zero) / HOUR for b in crossing.bounds)
        note = f"{show(None, low, high, 'h')} (gap in the log)"
        note += "" if stated else "; error not stated"
        return replace(base, basis="bounded", low=low, high=high, note=note)
    value = (crossing.t - zero) / HOUR
    if is_short(base.coverage):
        # A silence may hide that the target had been reached before.
        low = min(value if low is None else low, _first_silence(curve, zero))
        high, note = (value, "error not stated") if crossing.early is None else (high, "")
        return replace(base, basis="bounded", low=low, high=high, note=note)
    if crossing.early is None:
        return replace(base, value=value, note="error not stated")
    hours = ((crossing.early + crossing.late) / 2 - zero) / HOUR
    return replace(base, value=value, low=low, high=high, draws=hours)


def _first_silence(curve: Curve, zero: float) -> float:
    """When the first silence of a curve began, infinite without one. [h]"""
    begins_late = curve.t[0] - zero > curve.gap + LIMITS.smoothing
    silent = curve.t[:-1][np.diff(curve.t) > curve.gap * (1 + 1e-9)]
    return 0.0 if begins_late else float((np.append(silent, np.inf)[0] - zero) / HOUR)


def _drawn_bounds(crossing: Crossing, zero: float) -> tuple[float | None, float | None]:
    if crossing.early is None:
        return None, None
    low = max(0.0, (draws.interval(crossing.early)[0] - zero) / HOUR)
    high = (draws.interval(crossing.late)[1] - zero) / HOUR
    return low if np.isfinite(low) else None, high if np.isfinite(high) else None


def _energy(
    context: Context, base: Finding, crossing: Crossing, trace: Trace
) -> list[Finding]:
    """Energy from time zero to the crossing; none where nothing electrical was metered."""
    meter, record = context.meter, context.record
    if meter is None or crossing.state == "started below":
        return []
    base = replace(base, at=f"{base.at} {meter.main.metered_at}".strip())
    if crossing.state in ("not reached", "unsure"):
        return [replace(base, basis="not reached", note="target not reached")]
    bounds = meter.between(record.zero, np.array(crossing.bounds))
    low, high = float(bounds.low[0]), float(bounds.high[1])
    base = replace(base, coverage=bounds.covered)
    if crossing.state == "gap" or not bounds.whole:
        why = "crossing in a gap" if crossing.state == "gap" else "gap in the power log"
        low, high = _widened(context, base, crossing, low, high, bounds.source)
        return [replace(base, basis="bounded", low=low, high=high, note=why)]
    note = "energy from the counter" if bounds.source == "counter" else ""
    if crossing.early is None:
        return [replace(base, value=low, note="error not stated")]
    instant = (crossing.early + crossing.late) / 2
    if trace.clock != meter.main.clock:
        # The crossing was timed by one clock, the energy by another.
        apart = max(LIMITS.clocks, trace.step, meter.main.step)
        instant = instant + draws.uniform(f"{record.run} {trace.clock} {meter.main.clock}", apart)
    instant = np.clip(instant, record.zero, context.end)
    drawn = meter.between(record.zero, instant)
    hours = (instant - record.zero) / HOUR
    edges = meter.switchings(record.zero, crossing.t)
    true = meter.true_energy(f"{context.name} {base.at}", drawn.low, hours, bounds.source, edges)
    if true is None:
        return [replace(base, value=low, note="error not stated")]
    never = ~np.isfinite(crossing.late)
    true = np.where(never, np.inf, true)
    return [replace(base, note=note, **measured(true, low))]


def _energy_by_then(context: Context, base: Finding, time: Finding) -> list[Finding]:
    """Bounds of the energy where too little is covered to tell the instant."""
    meter, zero = context.meter, context.record.zero
    if meter is None:
        return []
    hours = np.array([time.low, (context.end - zero) / HOUR if time.high is None else time.high])
    energy = meter.between(zero, zero + HOUR * hours)
    ends = [float(energy.low[0]), float(energy.high[1])]
    base = replace(base, at=f"{base.at} {meter.main.metered_at}".strip(), basis="bounded")
    for side in (0, 1):
        true = meter.true_energy(f"{context.name} {base.at}", ends[side], hours[side],
                                 energy.source, edges=0)
        ends[side] = draws.interval(true)[side] if true is not None else ends[side]
    high = ends[1] if time.high is not None and np.isfinite(ends[1]) else None
    return [replace(base, low=max(0.0, ends[0]), high=high)]


def _widened(
    context: Context, base: Finding, crossing: Crossing, low: float, high: float, source: str
) -> tuple[float | None, float | None]:
    """Bounds of an energy, widened by the instruments."""
    meter, record = context.meter, context.record
    if crossing.early is None or meter is None:
        return low, high if np.isfinite(high) else None
    ends = []
    for side, instants in ((0, crossing.early), (1, crossing.late)):
        at = np.clip(instants, record.zero, context.end)
        drawn = meter.between(record.zero, at)
        energy = drawn.low if side == 0 else drawn.high
        hours = (at - record.zero) / HOUR
        true = meter.true_energy(f"{context.name} {base.at}", energy, hours, source, edges=0)
        ends.append(draws.interval(true)[side] if true is not None else (low, high)[side])
    return max(0.0, ends[0]), ends[1] if np.isfinite(ends[1]) else None


def _from_footing_start(
    context: Context, trace: Trace, curve: Curve, at: str, crossing: Crossing
) -> list[Finding]:
    """The same, counted from the passing of the campaign's start temperature."""
    level = context.footing_start
    if level is None or crossing.target >= level or crossing.state == "started below":
        return []
    name = f"{context.name} footing start"
    passing = find_crossing(trace, curve, level, name)
    if passing.state != "reached":
        return []
    record = context.record
    base = Finding(
        cooler=record.cooler, finding="pull_down_time", at=f"{at} from footing start", unit="h",
        runs=(record.run,),
        conditions=context.conditions(passing.t, _until(context, crossing), start=level),
        coverage=context.coverage(trace, passing.t, _until(context, crossing)),
    )
    if crossing.early is None or passing.early is None:
        return [time_finding(base, crossing, passing.t, context.end, curve)]
    # Both instants move together with the probe's offset: subtract draw by draw.
    shift = passing.early - passing.t
    shift = np.where(np.isfinite(shift), shift, record.zero - passing.t)
    moved = replace(crossing, early=crossing.early - shift, late=crossing.late - shift)
    return [time_finding(base, moved, passing.t, context.end, curve)]


def _start_of(context: Context, trace: Trace) -> float:
    """Mean of the readings about time zero, else the first after it: where it started. [°C]"""
    zero = context.record.zero
    near = slice(*np.searchsorted(trace.t, [zero - trace.gap, zero + 60.0]).tolist())
    if near.stop > near.start:
        return float(trace.y[near].mean())
    return float(trace.y[min(np.searchsorted(trace.t, zero), len(trace.t) - 1)])


def _load_heat(
    context: Context, trace: Trace, at: str, crossing: Crossing, start: float,
    rows: list[Finding],
) -> list[Finding]:
    """Heat taken from the load, and its ratio to the energy; only where the target was reached."""
    if crossing.state not in ("reached", "gap"):
        return []
    record, run = context.record, context.run
    value = float(load_heat(run, load_mass(run), start, crossing.target))
    note = "no ice counted" if crossing.target == 0 else ""
    base = Finding(
        cooler=record.cooler, finding="load_heat", at=at, unit="Wh", runs=(record.run,),
        conditions={"start": start, "load": load_mass(run)},
    )
    true_start = true_of(trace, start)
    if true_start is None:
        return [replace(base, value=value, note="error not stated")]
    true_start = true_start + mean_scatter(f"{context.name} load start", trace, 0.0, 1)
    mass = load_mass_draws(record.run, run)
    drawn = load_heat(run, mass, true_start, crossing.target)
    heat = replace(base, note=note, **measured(drawn, value))
    energy = next((f for f in rows if f.finding == "pull_down_energy"), None)
    if energy is None or energy.value is None or energy.draws is None:
        return [heat]
    ratio = replace(
        base, finding="load_heat_ratio", unit="-", at=energy.at, conditions=energy.conditions,
        coverage=energy.coverage,
        note="load heat for each unit of electrical energy, not a COP",
        **measured(drawn / energy.draws, value / energy.value),
    )
    return [heat, ratio]
