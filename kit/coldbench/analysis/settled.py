"""Findings of the steady window: how cold, how much power, how often, how even."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from coldbench import draws
from coldbench.analysis.context import Context
from coldbench.analysis.coverage import seen_bounds
from coldbench.analysis.doubt import true_of
from coldbench.analysis.settled_cycles import settled_cycles
from coldbench.analysis.settled_power import settled_power
from coldbench.analysis.settled_rows import base_row, setting_of, valued, window_mean
from coldbench.analysis.steady import SteadyWindow
from coldbench.findings import Finding
from coldbench.logs.cumulative import cumulative
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
    yield from settled_power(context, window)
    if window.cycling is not None and window.passed:
        yield from settled_cycles(context, window)


def _coldest(context: Context, window: SteadyWindow) -> Iterator[Finding]:
    air = context.record.trace("air")
    if air is None:
        return
    base = base_row(context, window, "coldest_air", air, unit="°C")
    value, true = window_mean(context, window, air, "air mean")
    if not window.passed or context.run.setting != "coldest":
        setting = setting_of(context) or "not stated"
        why = f"setting {setting}" if window.passed else "not steady"
        cycles = window.cycling.starts if window.cycling is not None else None
        yield coldest_bound(context, replace(base, note=f"{why}: it gets at least this cold"),
                            air, cycles)
        return
    coldest, warmest = seen_bounds(air, window.t0, window.t1)
    yield valued(base, value, true, (coldest, warmest))
    ambient, ambient_true = context.ambient(window.t0, window.t1)
    logged = context.record.trace("ambient")
    if logged is not None:
        ambient, ambient_true = window_mean(context, window, logged, "ambient mean")
    if ambient is None:
        return
    both = None if true is None or ambient_true is None else ambient_true - true
    room = (ambient, ambient)
    if logged is not None:
        base = base_row(context, window, "coldest_air", air, logged)
        room = seen_bounds(logged, window.t0, window.t1)
    below = replace(base, finding="below_ambient", unit="K")
    yield valued(below, ambient - value, both, (room[0] - warmest, room[1] - coldest))


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
    total = cumulative(air)
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
        base = base_row(context, window, "warmest_load", warmest, unit="°C", at=setting_of(context))
        yield valued(base, *window_mean(context, window, warmest, "load mean"),
                     seen_bounds(warmest, window.t0, window.t1))
    places = [t for r in ("air", "air_warm", "air_cold") if (t := record.trace(r)) is not None]
    if len(places) > 1 and window.passed:
        means = [window_mean(context, window, t, f"{t.role} mean") for t in places]
        values = [m for m, _ in means]
        hot, cold = int(np.argmax(values)), int(np.argmin(values))
        true = None if any(d is None for _, d in means) else means[hot][1] - means[cold][1]
        base = base_row(context, window, "spread", places[hot], places[cold], unit="K",
                        at=setting_of(context))
        (least, most), (lowest, highest) = (
            seen_bounds(places[i], window.t0, window.t1) for i in (hot, cold))
        yield valued(base, values[hot] - values[cold], true, (least - highest, most - lowest))
    air = record.trace("air")
    if air is not None and context.run.display is not None and window.passed:
        mean, true = window_mean(context, window, air, "air mean")
        base = base_row(context, window, "display_error", air, unit="K", at=setting_of(context))
        shown = context.run.display.value
        lowest, highest = seen_bounds(air, window.t0, window.t1)
        yield valued(base, shown - mean, None if true is None else shown - true,
                     (shown - highest, shown - lowest))
