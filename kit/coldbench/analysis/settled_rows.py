"""Rows of the steady window: identity, conditions, and a value with its draws."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from coldbench import draws
from coldbench.analysis.context import Context
from coldbench.analysis.coverage import bounds_of_mean, is_short
from coldbench.analysis.doubt import mean_scatter, true_of
from coldbench.analysis.steady import SteadyWindow, inside_trace
from coldbench.findings import Finding, measured
from coldbench.logs.record import Trace


def conditions_of(context: Context, window: SteadyWindow) -> dict[str, float | str]:
    """Ambient, inside, load and length of the window.

    Returns
    -------
    dict of str to float or str
        In the units of ``findings.CONDITION_UNITS``. [°C], [kg], [h]

    References
    ----------
    .. [1] This kit's own definition.
    """
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


def base_row(
    context: Context, window: SteadyWindow, finding: str, *traces: Trace, **more: Any
) -> Finding:
    """A row without its value: identity, conditions, coverage, and what weakens it.

    Parameters
    ----------
    context : Context
        Run and record.
    window : SteadyWindow
        Where the value is taken.
    finding : str
        Its name.
    *traces : Trace
        What it rests on: the least covered of them counts.
    **more
        Further fields of the finding.

    Returns
    -------
    Finding

    References
    ----------
    .. [1] This kit's own definition.
    """
    coverage = min((window.coverage(t) for t in traces if not t.by_hand), default=None)
    short = window.passed and not window.days
    return Finding(
        cooler=context.record.cooler, finding=finding, runs=(context.record.run,),
        conditions=conditions_of(context, window), coverage=coverage,
        note=f"window {window.hours:.1f} h, short of 24 h" if short else "", **more,
    )


def window_mean(
    context: Context, window: SteadyWindow, trace: Trace, name: str
) -> tuple[float, np.ndarray | None]:
    """Mean of a temperature over the window, and its draws.

    Returns
    -------
    mean : float
        [°C]
    draws : ndarray, shape (4000,), or None
        None when the instrument's error is not stated. [°C]

    References
    ----------
    .. [1] This kit's own definition.
    """
    mean = window.mean(trace)
    true = true_of(trace, mean)
    if true is None:
        return mean, None
    inside = trace.y[trace.within(window.t0, window.t1)]
    seen = float(np.ptp(inside)) if len(inside) else 0.0
    return mean, true + mean_scatter(f"{context.name} {name}", trace, seen, len(inside))


def valued(
    base: Finding, value: float, true: np.ndarray | None,
    unseen: tuple[float, float] | None = None,
) -> Finding:
    """A row with its value and interval; bounds only where too little of the window is covered.

    Parameters
    ----------
    base : Finding
        The row without them.
    value : float
        As the readings stand. [unit of the row]
    true : ndarray, shape (4000,), or None
        Its draws; None when the instrument's error is not stated. [unit of the row]
    unseen : (float, float) or None
        Bounds of what it was in the time that is not covered. [unit of the row]

    Returns
    -------
    Finding

    References
    ----------
    .. [1] This kit's own definition.
    """
    if not np.isfinite(value):
        return replace(base, basis="not measured", note="no samples in the window")
    note = base.note if true is not None else joined(base.note, "error not stated")
    if is_short(base.coverage) and unseen is not None:
        low, high = draws.interval(true) if true is not None else (value, value)
        low, high = bounds_of_mean(base.coverage, low, high, *unseen)
        return replace(base, basis="bounded", low=low, high=high, note=note)
    if true is None:
        return replace(base, value=value, note=note)
    return replace(base, **measured(true, value))


def as_stated(row: Finding, trace: Trace) -> Finding:
    """A row as it is, or without interval where the instrument's error is not stated.

    Parameters
    ----------
    row : Finding
        With its value.
    trace : Trace
        The instrument it rests on.

    Returns
    -------
    Finding

    References
    ----------
    .. [1] This kit's own definition: no interval is claimed for an instrument without a limit.
    """
    if trace.error is not None:
        return row
    note = joined(row.note, "error not stated")
    return replace(row, low=None, high=None, draws=None, note=note)


def joined(*notes: str) -> str:
    """Notes in one line, empty ones left out.

    References
    ----------
    .. [1] This kit's own definition.

    Examples
    --------
    >>> joined("a", "", "b")
    'a; b'
    """
    return "; ".join(n for n in notes if n)


def setting_of(context: Context) -> str:
    """Setting of the run, part of the key of what depends on it.

    References
    ----------
    .. [1] This kit's own definition.
    """
    return context.run.setting or ""
