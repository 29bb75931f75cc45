"""What a finding is worth by its coverage: marked where short, bounds only where too short."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from coldbench import draws
from coldbench.analysis.doubt import true_of
from coldbench.analysis.limits import LIMITS
from coldbench.findings import Finding
from coldbench.logs.record import Trace


def is_short(coverage: float | None) -> bool:
    """Whether so little is covered that there is no number, only bounds.

    Parameters
    ----------
    coverage : float or None
        [%]

    References
    ----------
    .. [1] This kit's own definition.
    """
    return coverage is not None and coverage < LIMITS.coverage_bounds


def by_coverage(row: Finding) -> Finding:
    """A finding with its coverage in the note where that is short, and without a value below.

    Parameters
    ----------
    row : Finding
        Of any analysis.

    Returns
    -------
    Finding
        Of a value that is no longer one, its interval stays as bounds; where it had none, nothing
        is measured.

    References
    ----------
    .. [1] This kit's own definition.

    Examples
    --------
    >>> found = Finding(cooler="a", finding="duty", value=0.4, low=0.38, coverage=91.0)
    >>> by_coverage(found).value, by_coverage(found).note
    (0.4, 'coverage 91 %')
    >>> found = by_coverage(Finding(cooler="a", finding="duty", value=0.4, coverage=60.0))
    >>> found.value, found.basis
    (None, 'not measured')
    """
    if row.coverage is None or row.coverage >= LIMITS.coverage_doubt:
        return row
    said = f"coverage {_told(row.coverage)} %"
    if is_short(row.coverage) and (row.value is not None or row.basis == "bounded"):
        said += ": bounds only"
        bounds = row.low is not None or row.high is not None
        row = replace(row, value=None, draws=None, basis="bounded" if bounds else "not measured")
        if not bounds:
            said += ", and none can be told; needs a log without gaps"
    note = "; ".join(part for part in (row.note, said) if part)
    return replace(row, note=note)


def _told(coverage: float) -> str:
    """Whole per cent; where that would round up to a limit it lies below, under that limit."""
    rounded = round(coverage)
    limits = (LIMITS.coverage_doubt, LIMITS.coverage_bounds)
    return f"under {rounded}" if rounded in limits and rounded > coverage else f"{rounded}"


def bounds_of_mean(
    coverage: float, low: float, high: float, least: float, most: float
) -> tuple[float, float]:
    """Bounds of a mean of which only a part is covered.

    Parameters
    ----------
    coverage : float
        Share of the time that is covered. [%]
    low, high : float
        Bounds of the mean over that time. [unit]
    least, most : float
        Bounds of what it was in the rest. [unit]

    Returns
    -------
    low, high : float
        [unit]

    References
    ----------
    .. [1] This kit's own definition: shares of time weigh both.

    Examples
    --------
    >>> bounds_of_mean(75.0, 20.0, 20.0, 0.0, 40.0)
    (15.0, 25.0)
    """
    share = coverage / 100
    return share * low + (1 - share) * least, share * high + (1 - share) * most


def true_bounds(trace: Trace, low: float, high: float) -> tuple[float, float]:
    """Two readings as bounds of what was true, by the instrument's limit where one is stated.

    Parameters
    ----------
    trace : Trace
        The instrument.
    low, high : float
        Readings. [unit of the trace]

    Returns
    -------
    low, high : float
        [unit of the trace]

    References
    ----------
    .. [1] This kit's own definition.
    """
    if trace.error is None:
        return low, high
    return draws.interval(true_of(trace, low))[0], draws.interval(true_of(trace, high))[1]


def seen_bounds(trace: Trace, t0: float, t1: float) -> tuple[float, float]:
    """Lowest and highest of what was seen in a window: what its silences are taken to hide.

    Parameters
    ----------
    trace : Trace
        Native samples.
    t0, t1 : float
        POSIX. [s]

    Returns
    -------
    low, high : float
        NaN without samples. [unit of the trace]

    References
    ----------
    .. [1] This kit's own definition.
    """
    seen = trace.y[trace.within(t0, t1)]
    if not len(seen):
        return np.nan, np.nan
    return true_bounds(trace, float(seen.min()), float(seen.max()))
