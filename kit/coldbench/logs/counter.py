"""An energy counter that was reset, rolled over, or came back to its old value."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coldbench.logs.limits import QUALITY

NEAR_ZERO = 0.02  # share of the old count below which a count has started again


@dataclass(frozen=True)
class Break:
    """A step of a counter whose energy is not known, but bounded.

    Parameters
    ----------
    t0, t1 : float
        Readings before and after, POSIX. [s]
    low, high : float
        Bounds of the energy between them. [Wh]
    what : str
        ``reset``, ``return`` or ``jump``.
    """

    t0: float
    t1: float
    low: float
    high: float
    what: str


@dataclass(frozen=True, eq=False)
class Counter:
    """A count that only grows.

    Parameters
    ----------
    y : ndarray, shape (n,)
        Count; across a break it goes on with the lower bound. [Wh]
    breaks : tuple of Break
        In order of time.
    rollovers : tuple of float
        When it rolled over at its known range, POSIX. [s]
    rolls_at : float
        A range that would explain a fall and that nobody stated, else 0. [Wh]
    """

    y: np.ndarray
    breaks: tuple[Break, ...] = ()
    rollovers: tuple[float, ...] = ()
    rolls_at: float = 0.0


def repaired_counter(
    t: np.ndarray, y: np.ndarray, most_watts: float | None, range_wh: float | None, step: float
) -> Counter:
    """A count that only grows, with the steps named whose energy is not known.

    Parameters
    ----------
    t, y : ndarray, shape (n,)
        Times [s] and readings [Wh].
    most_watts : float or None
        More cannot have flowed; None where nothing tells. [W]
    range_wh : float or None
        Where the counter starts again at 0; None where nobody stated it. [Wh]
    step : float
        Of the counter. [Wh]

    Returns
    -------
    Counter

    References
    ----------
    .. [1] This kit's own definition.

    Examples
    --------
    >>> t = np.arange(5) * 3600.0
    >>> found = repaired_counter(t, np.array([5.0, 15.0, 0.0, 10.0, 60.0]), 20.0, None, 1.0)
    >>> [b.what for b in found.breaks], found.y.tolist()
    (['reset', 'jump'], [0.0, 10.0, 10.0, 20.0, 20.0])
    """
    rise = np.diff(y)
    possible = (np.inf if most_watts is None else most_watts) * np.diff(t) / 3600 + step
    odd = np.flatnonzero((rise < 0) | (rise > possible))
    if not len(odd):
        return Counter(y)
    breaks, rollovers, gained, rolls_at = [], [], rise.copy(), 0.0
    remembered: list[float] = []
    for i in odd:  # a handful: each falls or jumps
        old, new, most = float(y[i]), float(y[i + 1]), float(possible[i])
        low, high, what = 0.0, most, "jump"
        if new < old:
            rolled = None if range_wh is None or old < range_wh / 2 else new + range_wh - old
            if rolled is not None and 0 <= rolled <= most:
                rollovers.append(float(t[i + 1]))
                gained[i] = rolled
                continue
            what = "reset"
            remembered.append(old)
            if new <= NEAR_ZERO * old:
                low = min(new, most)
                rolls_at = rolls_at or _likely_range(old, new, most)
        elif any(0 <= new - before <= most for before in remembered):
            # It has found its old count again: what lies between was never consumed.
            what = "return"
        breaks.append(Break(float(t[i]), float(t[i + 1]), low, max(low, high), what))
        gained[i] = low
    count = np.concatenate([[0.0], np.cumsum(gained)])
    return Counter(count, tuple(breaks), tuple(rollovers), rolls_at)


def _likely_range(old: float, new: float, most: float) -> float:
    """A round range that lies just above the old count, 0 where none does. [Wh]"""
    for unit in (1.0, 10.0, 100.0, 1000.0):
        ranges = [unit * 10**k for k in range(2, 8)] + [unit * 2**k for k in (16, 24, 32)]
        for range_wh in ranges:
            if old >= 0.98 * range_wh and 0 <= new + range_wh - old <= min(most, 0.05 * range_wh):
                return range_wh
    return 0.0


def most_power(seen: np.ndarray | None, rated: float | None) -> float | None:
    """More than this cannot have flowed, None where nothing tells. [W]

    Parameters
    ----------
    seen : ndarray, shape (n,), or None
        Power of the same run. [W]
    rated : float or None
        Claimed power. [W]
    """
    known = [float(seen.max())] if seen is not None and len(seen) else []
    known += [rated] if rated else []
    return QUALITY.counter_margin * max(known) if known else None
