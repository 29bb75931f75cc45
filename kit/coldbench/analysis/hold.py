"""How long a box without its machine holds a load between two temperatures."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from coldbench import draws
from coldbench.analysis.context import Context
from coldbench.analysis.crossing import Curve, first_below, smooth
from coldbench.analysis.doubt import noise_sd, reading_of
from coldbench.analysis.limits import LIMITS
from coldbench.findings import Finding, measured
from coldbench.logs.record import Trace

HOUR = 3600.0


def hold_time(context: Context) -> list[Finding]:
    """Hold time of each pair of temperatures that the campaign asks for.

    Parameters
    ----------
    context : Context
        Run of kind ``warm-up`` with a load place, else air (the note says so).

    Returns
    -------
    list of Finding
        ``hold_time`` [h], at ``load 4 to 8 °C``: from the last passing of the first temperature
        after the coldest instant to the first passing of the second. Bounded from below where the
        second was not reached; empty where the first was never undercut.

    References
    ----------
    .. [1] This kit's own definition.
    """
    targets, record = context.campaign.sheet.targets, context.record
    places = record.loads() or [t for t in [record.trace("air")] if t is not None]
    if "warm-up" not in context.run.kind or targets is None or not places:
        return []
    # The load is held as long as its warmest place is.
    trace = max(places, key=lambda place: float(place.y[-1]))
    off = [mark.t for mark in record.marks if mark.what == "power off"]
    curve = smooth(trace, off[0] if off else record.zero, record.end)
    if len(curve.t) < 2:
        return []
    coldest = int(np.argmin(curve.y))
    rising = Curve(curve.t[coldest:], -curve.y[coldest:], curve.gap, curve.samples)
    note = "" if record.loads() else "air, no load place was logged"
    found = [_pair(context, trace, rising, first.value, second.value, note)
             for first, second in targets.hold]
    return [finding for finding in found if finding is not None]


def _pair(
    context: Context, trace: Trace, rising: Curve, first: float, second: float, note: str
) -> Finding | None:
    """Time between two levels on the way up, None where it began above the first."""
    if len(rising.t) < 2 or -rising.y[0] > first:
        return None
    record = context.record
    begin, end = (float(first_below(rising, np.array([-level]))[1][0]) for level in (first, second))
    if not np.isfinite(begin):
        return None
    until = end if np.isfinite(end) else record.end
    place = "load" if record.loads() else "air"
    base = Finding(
        cooler=record.cooler, finding="hold_time", at=f"{place} {first:g} to {second:g} °C",
        unit="h", runs=(record.run,), note=note, conditions=context.conditions(begin, until),
        coverage=context.coverage(trace, begin, until),
    )
    drawn = _drawn(context, trace, rising, first, second)
    if not np.isfinite(end):
        low = (record.end - begin) / HOUR if drawn is None else draws.interval(
            (record.end - drawn[0]) / HOUR)[0]
        said = "the log ends before the second temperature is reached"
        return replace(base, basis="bounded", low=max(low, 0.0),
                       note="; ".join(part for part in (note, said) if part))
    value = (end - begin) / HOUR
    if drawn is None:
        return replace(base, value=value, note="; ".join(
            part for part in (note, "error not stated") if part))
    hours = np.where(np.isfinite(drawn[1]), (drawn[1] - drawn[0]) / HOUR, np.inf)
    if _in_gap(rising, first) or _in_gap(rising, second) or base.coverage < LIMITS.coverage_bounds:
        earliest = _drawn(context, trace, rising, first, second, edge=0)
        low = draws.interval((earliest[1] - drawn[0]) / HOUR)[0]
        high = draws.interval((drawn[1] - earliest[0]) / HOUR)[1]
        return replace(base, basis="bounded", low=max(low, 0.0),
                       high=high if np.isfinite(high) else None, note="crossing in a gap")
    return replace(base, **measured(hours, value))


def _in_gap(rising: Curve, level: float) -> bool:
    early, late = first_below(rising, np.array([-level]))
    return bool(early[0] < late[0])


def _drawn(
    context: Context, trace: Trace, rising: Curve, first: float, second: float, edge: int = 1
) -> tuple[np.ndarray, np.ndarray] | None:
    """Draws of both passings; the probe's constants are in both and cancel for the most part."""
    passings = []
    for level in (first, second):
        reading = reading_of(trace, level)
        if reading is None:
            return None
        name = f"{context.name} hold {level:g}"
        noise = draws.normal(f"{name} noise", noise_sd(trace) / np.sqrt(rising.samples))
        step = draws.uniform(f"{name} step", min(trace.step, LIMITS.smoothing) / 2)
        at = first_below(rising, -(reading + noise))[edge]
        # Where a probe reads high, the coldest instant may lie above the level already.
        passings.append(np.maximum(at, rising.t[0]) + step)
    return passings[0], passings[1]
