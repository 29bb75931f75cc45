"""Rows of the steady window: identity, conditions, and a value with its draws."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from coldbench import draws
from coldbench.analysis.context import Context
from coldbench.analysis.doubt import mean_scatter, true_of
from coldbench.analysis.limits import LIMITS
from coldbench.analysis.steady import SteadyWindow, inside_trace
from coldbench.findings import Finding, measured
from coldbench.logs.record import Trace


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


def base_row(context: Context, window: SteadyWindow, finding: str, trace: Trace, **more) -> Finding:
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


def window_mean(
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


def valued(base: Finding, value: float, true: np.ndarray | None) -> Finding:
    if not np.isfinite(value):
        return replace(base, basis="not measured", note="no samples in the window")
    if true is None:
        return replace(base, value=value, note=joined(base.note, "error not stated"))
    if base.coverage is not None and base.coverage < LIMITS.coverage_bounds:
        low, high = draws.interval(true)
        note = joined(base.note, "bounds only")
        return replace(base, basis="bounded", low=low, high=high, note=note)
    return replace(base, **measured(true, value))


def joined(*notes: str) -> str:
    return "; ".join(n for n in notes if n)


def setting_of(context: Context) -> str:
    return context.run.setting or ""
