"""A finding against a fixed number: on which side it lies, by how much, and how surely."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from coldbench import draws
from coldbench.compare.differences import run_to_run
from coldbench.compare.repeats import Spread
from coldbench.findings import Finding

WIDTH = 2 * 1.959964  # of a 95 % interval, in standard deviations of a normal: common practice
NOT_STATED = "error not stated"


@dataclass(frozen=True)
class Against:
    """A margin; above zero is on the wanted side.

    Attributes
    ----------
    holds : bool or None
        Whether the finding is on the wanted side; None where it cannot be told.
    margin, low, high : float or None
        With its 95 % interval, run-to-run spread included. [unit of the finding]
    margin_u : float or None
        In standard uncertainties of itself; None for a count without error, and for bounds. [-]
    why : str
        What it rests on, or why it cannot be told.
    """

    holds: bool | None
    margin: float | None = None
    low: float | None = None
    high: float | None = None
    margin_u: float | None = None
    why: str = ""


def against(
    row: Finding, limit: float, better: int, spread: Spread | None = None, slack: float = 0.0
) -> Against:
    """Judge a finding by a fixed number.

    Parameters
    ----------
    row : Finding
        With a value or bounds.
    limit : float
        What it is held against. [unit of the finding]
    better : {-1, 1}
        The finding has to be at most (-1) or at least (1) the limit.
    spread : Spread or None
        Seen between repeats; the assumed one enters without.
    slack : float
        What may be missing without counting: the last digit in which the limit was printed. [unit]

    Returns
    -------
    Against

    References
    ----------
    .. [1] This kit's own rule: only what holds with the whole 95 % interval is said to hold
       (a guard band on both sides, after JCGM 106:2012, 8.3; clause from memory).

    Examples
    --------
    >>> paid = Finding(cooler="a", finding="price", value=280.0, low=280.0, high=280.0)
    >>> against(paid, 300.0, -1).holds, against(paid, 300.0, -1).margin
    (True, 20.0)
    """
    if row.value is None:
        return _by_bounds(row, limit, better, slack)
    margin = better * (row.value - limit)
    drawn, said = _drawn(row, spread)
    if drawn is None and row.low is not None and row.low == row.high == row.value:
        return Against(margin >= -slack, margin, margin, margin, why="exact")
    if drawn is None:
        judged = _by_bounds(row, limit, better, slack)
        if judged.low is None and judged.high is None:
            return Against(None, margin, why=NOT_STATED)
        judged = replace(judged, margin=margin)
        return replace(judged, margin_u=in_widths(judged))
    low, high = draws.interval(better * (drawn - limit))
    sd = float(np.std(drawn)) if np.isfinite(drawn).all() else 0.0
    return Against(_side(low, high, slack), margin, low, high, margin / sd if sd else None, said)


def carried(seen: Against, harder: float) -> Against:
    """A verdict carried over to other conditions, as far as it can be.

    Parameters
    ----------
    seen : Against
        Under the conditions of the measurement.
    harder : float
        Above zero where the task was harder than it is where the verdict is wanted, below zero
        where it was easier. [any]

    Returns
    -------
    Against
        What held at the harder task holds; what failed at the easier one fails; else unknown.

    Examples
    --------
    >>> carried(Against(True), 2.0).holds, carried(Against(True), -2.0).holds
    (True, None)
    """
    if harder == 0 or seen.holds is None or seen.holds == (harder > 0):
        return seen
    kind = "harder" if harder > 0 else "easier"
    return replace(seen, holds=None, why=f"measured at {kind} conditions than asked for")


def beyond(gap: float, most: float) -> float:
    """A gap that counts, or zero.

    Examples
    --------
    >>> beyond(0.4, 1.5), beyond(-3.0, 1.5)
    (0.0, -3.0)
    """
    return gap if abs(gap) > most else 0.0


def in_widths(seen: Against) -> float | None:
    """A margin in standard uncertainties, out of its 95 % interval alone. [-]

    Examples
    --------
    >>> round(in_widths(Against(True, 10.0, 8.0, 12.0)), 1)
    9.8
    """
    if None in (seen.margin, seen.low, seen.high) or seen.high <= seen.low:
        return None
    return WIDTH * seen.margin / (seen.high - seen.low)


def _drawn(row: Finding, spread: Spread | None) -> tuple[np.ndarray | None, str]:
    if row.draws is None or np.ptp(row.draws) == 0:
        return None, ""
    scatter, said = run_to_run(row, spread)
    return row.draws + scatter, said


def _by_bounds(row: Finding, limit: float, better: int, slack: float) -> Against:
    ends = (row.low, row.high) if better > 0 else (row.high, row.low)
    low, high = (None if end is None else better * (end - limit) for end in ends)
    holds = _side(-np.inf if low is None else low, np.inf if high is None else high, slack)
    return Against(holds, None, low, high, why="by bounds" if holds is not None
                   else "only a bound is known")


def _side(low: float, high: float, slack: float) -> bool | None:
    return True if low >= -slack else False if high < -slack else None
