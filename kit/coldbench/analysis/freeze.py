"""Freezing water: when it starts, how long the plateau lasts, with how much energy."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from coldbench import draws
from coldbench.analysis.context import Context
from coldbench.analysis.coverage import is_short
from coldbench.analysis.crossing import Curve, first_below
from coldbench.analysis.doubt import noise_sd
from coldbench.analysis.freeze_doubts import doubts, no_plateau
from coldbench.analysis.freezing import Freezing, find_freezing
from coldbench.analysis.heat import load_mass, load_mass_draws
from coldbench.analysis.limits import LIMITS
from coldbench.analysis.settled_rows import as_stated
from coldbench.findings import Finding, Notice, measured
from coldbench.logs.record import Trace
from coldbench.quantities import number

HOUR = 3600.0
LIQUID = "part of the load was still water when the run ended: only what had frozen counts"


def freeze(context: Context) -> tuple[list[Finding], list[Notice], Freezing | None]:
    """Findings of a freeze run.

    Parameters
    ----------
    context : Context
        Run with a load probe at the centre; ``[freeze]`` with what was poured off.

    Returns
    -------
    findings : list of Finding
        Start, plateau, time, energy, share frozen, capacity.
    notices : list of Notice
        What makes the probe's place, the water or the load doubtful.
    freezing : Freezing or None
        For the figure.

    References
    ----------
    .. [1] This kit's own definitions.
    """
    record = context.record
    loads = record.loads()
    findings = list(_poured_off(context))
    if not loads:
        return [_missing(context, "needs a load probe at the centre"), *findings], [], None
    put_in = [m.t for m in record.marks if m.what == "load in"]
    zero = put_in[0] if put_in else record.zero
    freezing = find_freezing(loads[0], zero, context.end)
    if freezing is None:
        unseen = no_plateau(context, loads[0], zero)
        if unseen is not None:
            why = "needs the probe at the centre, in plain water: no plateau near 0 °C was seen"
            return [_missing(context, why), *findings], [unseen], None
        tried = (context.end - zero) / HOUR
        note = f"did not freeze in {tried:.1f} h; coldest {number(loads[0].y.min(), 1)} °C"
        base = _base(context, zero, "freeze_time", loads[0])
        return [replace(base, basis="not reached", low=tried, note=note), *findings], [], None
    rows = list(_times(context, loads[0], freezing))
    return rows + findings, doubts(context, loads[0], freezing), freezing


def _base(context: Context, zero: float, finding: str, trace: Trace, **more) -> Finding:
    conditions = context.conditions(zero, context.end)
    near = (trace.t >= zero - trace.step) & (trace.t < zero + 60.0)
    if near.any():
        conditions["start"] = float(trace.y[near].mean())
    return Finding(
        cooler=context.record.cooler, finding=finding, unit="h", conditions=conditions,
        runs=(context.record.run,), coverage=context.coverage(trace, zero, context.end), **more,
    )


def _missing(context: Context, what: str) -> Finding:
    return Finding(cooler=context.record.cooler, finding="freeze_time", unit="h",
                   basis="not measured", runs=(context.record.run,), note=what)


def _times(context: Context, trace: Trace, found: Freezing) -> Iterator[Finding]:
    name = context.name
    zero = found.zero
    half = _silence(found.start_between) / 2
    # A jump lies between two samples; the plateau's first sample lies at most a step late.
    start = found.start + draws.uniform(f"{name} freeze start", half)
    start = start - (0.0 if found.dip is not None else half)
    end = _end_draws(trace, found, name)
    base = _base(context, zero, "freeze_start", trace)
    note = f"supercooled to {number(found.dip, 1)} °C" if found.dip is not None else ""
    if _silence(found.start_between) > trace.gap:
        yield _in_gap(base, found.start_between, zero, "freezing began in a gap of the log")
    else:
        value = (found.start - zero) / HOUR
        row = replace(base, note=note, **measured((start - zero) / HOUR, value))
        # The plateau's first sample is itself the latest instant at which it may have begun.
        yield as_stated(replace(row, high=max(row.high, value)), trace)
    if not np.isfinite(found.end):
        tried = (context.end - zero) / HOUR
        note = f"not frozen through in {tried:.1f} h"
        yield replace(base, finding="freeze_time", basis="not reached", low=tried, note=note)
        return
    if end is None:
        yield _in_gap(replace(base, finding="freeze_time"), found.end_between, zero,
                      "the plateau ended in a gap of the log")
        return
    plateau = replace(base, finding="plateau_time", note=_slope_note(found))
    length = (found.end - found.start) / HOUR
    yield as_stated(replace(plateau, **measured((end - start) / HOUR, length)), trace)
    whole = replace(base, finding="freeze_time")
    row = replace(whole, **measured((end - zero) / HOUR, (found.end - zero) / HOUR))
    yield as_stated(row, trace)
    yield from _energy(context, base, found, end)
    yield from _capacity(context, base, found, end, trace)


def _silence(between: tuple[float, float]) -> float:
    return between[1] - between[0]


def _in_gap(base: Finding, between: tuple[float, float], zero: float, note: str) -> Finding:
    low, high = ((t - zero) / HOUR for t in between)
    return replace(base, basis="bounded", low=max(low, 0.0), high=high, note=note)


def _end_draws(trace: Trace, found: Freezing, name: str) -> np.ndarray | None:
    """Draws of the plateau's end: noise and rounding through the local slope, and the level's.

    None where it was not seen, or lies in a gap.
    """
    if not np.isfinite(found.end) or _silence(found.end_between) > trace.gap:
        return None
    after = trace.t >= found.start
    curve = Curve(trace.t[after], trace.y[after], trace.gap, 1)
    level = found.level - LIMITS.plateau_leave
    moved = level + draws.normal(f"{name} plateau end", noise_sd(trace))
    moved = moved + draws.uniform(f"{name} plateau level", trace.resolution / 2)
    late = first_below(curve, np.minimum(moved, found.level - 0.1))[1]
    late = np.where(np.isfinite(late), late, found.end)
    # Nor is the instant known better than to the log's step.
    return late + draws.uniform(f"{name} plateau step", _silence(found.end_between) / 2)


def _energy(
    context: Context, base: Finding, found: Freezing, end: np.ndarray
) -> Iterator[Finding]:
    meter = context.meter
    if meter is None:
        return
    row = replace(base, finding="freeze_energy", unit="Wh", at=meter.main.metered_at)
    energy = meter.between(found.zero, found.end)
    low, high = float(energy.low[0]), float(energy.high[0])
    if not is_short(base.coverage):
        row = replace(row, coverage=energy.covered)
    if not energy.whole:
        yield replace(row, basis="bounded", low=low, note="gap in the power log",
                      high=high if np.isfinite(high) else None)
        return
    drawn = meter.between(found.zero, np.minimum(end, context.end)).low
    hours = (end - found.zero) / HOUR
    edges = meter.switchings(found.zero, found.end)
    true = meter.true_energy(f"{context.name} freeze", drawn, hours, energy.source, edges)
    if true is None:
        yield replace(row, value=low, note="error not stated")
        return
    yield replace(row, **measured(true, low))
    if context.run.load:
        mass = load_mass(context.run)
        each = true / load_mass_draws(context.record.run, context.run)
        row = replace(row, finding="freeze_energy_per_kg", unit="Wh/kg")
        share = _liquid_left(context)
        if share is None:
            yield replace(row, **measured(each, low / mass))
        else:
            least = draws.interval(each / share)[0]
            yield replace(row, basis="bounded", low=least, note=LIQUID)


def _capacity(
    context: Context, base: Finding, found: Freezing, end: np.ndarray, trace: Trace
) -> Iterator[Finding]:
    """Load a day from its start temperature to the end of the plateau."""
    if not context.run.load:
        return
    hours, mass = (found.end - found.zero) / HOUR, load_mass(context.run)
    last = found.level - LIMITS.plateau_leave
    start = base.conditions.get("start")
    at = f"{start:.0f} to {last:.1f} °C" if isinstance(start, float) else f"to {last:.1f} °C"
    drawn = 24 * load_mass_draws(context.record.run, context.run) / ((end - found.zero) / HOUR)
    row = replace(base, finding="freezing_capacity", unit="kg/d", at=at.replace("-", "−"))
    share = _liquid_left(context)
    if share is not None:
        most = draws.interval(drawn * share)[1]
        yield replace(row, basis="bounded", high=most, note=LIQUID)
        return
    yield as_stated(replace(row, **measured(drawn, 24 * mass / hours)), trace)


def _frozen_share(context: Context) -> np.ndarray | None:
    """Draws of the share that was ice at the end of the run, None where nothing was weighed."""
    sheet = context.run.freeze
    if sheet is None:
        return None
    drawn = []
    for name, mass in (("drained", sheet.drained), ("total", sheet.total)):
        limit = mass.limit if mass.limit is not None else LIMITS.scale * mass.value
        drawn.append(mass.value + draws.uniform(f"{context.name} {name}", limit))
    return 1 - drawn[0] / drawn[1]


def _liquid_left(context: Context) -> np.ndarray | None:
    """The same where some of the load had not frozen even by then: it froze slower than its probe.

    None where all of it may have frozen with the probe.
    """
    share = _frozen_share(context)
    if share is None or draws.interval(share)[1] > 1 - LIMITS.liquid_left:
        return None
    return share


def _poured_off(context: Context) -> Iterator[Finding]:
    """Share frozen at the end of the run, from the water that could still be poured off."""
    sheet, share = context.run.freeze, _frozen_share(context)
    if share is None:
        return
    value = 1 - sheet.drained.value / sheet.total.value
    record = context.record
    base = Finding(
        cooler=record.cooler, finding="ice_fraction", at="poured off", unit="-",
        conditions=context.conditions(record.zero, context.end), runs=(record.run,),
        note=f"at the end of the run, {(context.end - record.zero) / HOUR:.1f} h",
    )
    yield replace(base, **measured(share, value))


def _slope_note(found: Freezing) -> str:
    if abs(found.slope) <= LIMITS.plateau_slope:
        return ""
    return f"sloping plateau, {number(found.slope, 2)} K/h"
