"""Cycles of the steady window: how long, how much of them running, how far the air swings."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from coldbench import draws
from coldbench.analysis.context import Context
from coldbench.analysis.cycles import Cycling, running_share
from coldbench.analysis.doubt import noise_sd
from coldbench.analysis.settled_rows import as_stated, base_row, joined, setting_of, valued
from coldbench.analysis.steady import SteadyWindow
from coldbench.findings import Finding
from coldbench.logs.cumulative import Cumulative
from coldbench.logs.record import Trace


def settled_cycles(context: Context, window: SteadyWindow) -> Iterator[Finding]:
    """Cycle time, duty and air swing of a window that passed.

    Parameters
    ----------
    context : Context
        Run and record.
    window : SteadyWindow
        With cycles.

    Yields
    ------
    Finding
        [min], [-], [K]

    References
    ----------
    .. [1] This kit's own definition.
    """
    cycling, record = window.cycling, context.record
    source = record.trace(cycling.source)
    said = "" if cycling.source == "power" else "cycles found from the air temperature"
    setting = setting_of(context)
    cycles = int(window.good.sum())
    begin, end = window.starts[:-1][window.good], window.starts[1:][window.good]
    kept = float((end - begin).sum())
    base = base_row(context, window, "cycle_time", source, unit="min", at=setting)
    base = replace(base, note=joined(base.note, said),
                   conditions={**base.conditions, "cycles": cycles})
    edge = source.step / np.sqrt(12)
    scatter = draws.normal(f"{context.name} edges", 1.0)
    value = kept / cycles / 60
    stretches = int((np.diff(window.good.astype(int)) == 1).sum() + window.good[0])
    true = value + scatter * edge * np.sqrt(2 * stretches) / cycles / 60
    lengths = (end - begin) / 60
    yield as_stated(valued(base, value, true, (lengths.min(), lengths.max())), source)
    if cycling.source == "power":
        on = _running_time(source, cycling, begin, end)
        duty = on / kept
        sd = edge * np.sqrt(2 * cycles) / kept
        row = replace(base, finding="duty", unit="-")
        true = np.clip(duty + scatter * sd, 0.0, 1.0)
        yield as_stated(valued(row, duty, true, (0.0, 1.0)), source)
    air = record.trace("air")
    if air is not None:
        yield _swing(context, window, air, begin, end)


def _running_time(trace: Trace, cycling: Cycling, begin: np.ndarray, end: np.ndarray) -> float:
    """Time the machine ran inside the kept cycles. [s]"""
    if trace.on_change:
        running = replace(trace, y=(trace.y > cycling.threshold).astype(float))
        return float(Cumulative(running).integral(begin, end).sum())
    found_in = trace.part(trace.within(cycling.t[0], cycling.t[-1]))
    share = replace(found_in, y=running_share(trace, cycling))
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
    swings = highest - lowest
    value = float(np.mean(swings))
    base = base_row(context, window, "air_swing", air, unit="K", at=setting_of(context))
    if air.error is None:
        return replace(base, value=value, note="error not stated")
    # Offsets cancel in a swing; what stays is the reading's step and noise at both turns.
    name = f"{context.name} swing"
    true = value * (1 + draws.uniform(f"{air.probe} gain", air.error.relative))
    true = true + draws.uniform(f"{name} noise", air.resolution / 2 + 2 * noise_sd(air))
    # The turns lie between samples: the swing may be larger by a step of the readings.
    step = float(np.median(np.abs(np.diff(air.y[first[0]:last[-1]]))))
    true = true + (draws.uniform(f"{name} turns", step / 2) + step / 2)
    row = valued(base, value, true, (float(swings.min()), float(swings.max())))
    # What was seen may be all there was.
    return row if row.low is None else replace(row, low=min(row.low, value))
