"""An energy counter that was reset, rolled over, or came back to its old value."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coldbench.logs.limits import QUALITY

# Steps in which registers of 16, 24 or 32 bit count: Ws, and decimal parts of Wh. [Wh]
BINARY_UNITS = (1 / 3600, 0.001, 0.01, 0.1, 1.0, 10.0, 100.0, 1000.0)
REMEMBERED = 8  # old counts to which it may come back


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
    falls : int
        How often it falls where that is too often for a counter: nothing is known then. [-]
    rolls_at : float
        A range that would explain a fall and that nobody stated, else 0. [Wh]
    """

    y: np.ndarray
    breaks: tuple[Break, ...] = ()
    rollovers: tuple[float, ...] = ()
    rolls_at: float = 0.0
    falls: int = 0


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
    >>> found = repaired_counter(t, np.array([5.0, 15.0, 0.0, 10.0, 90.0]), 20.0, None, 1.0)
    >>> [b.what for b in found.breaks], found.y.tolist()
    (['reset', 'jump'], [0.0, 10.0, 10.0, 20.0, 20.0])
    """
    odd, possible = _odd_steps(t, y, most_watts, step)
    if not len(odd):
        return Counter(y)
    gained = np.diff(y)
    falls = int((gained[odd] < 0).sum())
    if falls > max(QUALITY.counter_falls_few, QUALITY.counter_falls * len(y)):
        most = np.inf if most_watts is None else most_watts * float(t[-1] - t[0]) / 3600
        nothing = Break(float(t[0]), float(t[-1]), 0.0, most, "reset")
        return Counter(np.zeros(len(y)), (nothing,), falls=falls)
    breaks, rollovers, rolls_at = [], [], 0.0
    remembered: list[tuple[float, float]] = []
    for i, most in zip(odd.tolist(), possible.tolist(), strict=True):
        old, new = float(y[i]), float(y[i + 1])
        low, what = 0.0, "jump"
        if new < old:
            rolled = None if range_wh is None or old < range_wh / 2 else new + range_wh - old
            if rolled is not None and 0 <= rolled <= most:
                rollovers.append(float(t[i + 1]))
                gained[i] = rolled
                continue
            what = "reset"
            remembered = [*remembered, (float(t[i]), old)][-REMEMBERED:]
            if new <= QUALITY.counter_new * old:
                # What it shows has flowed since it began again, where the power allows that.
                low = new if np.isfinite(most) and new <= most else 0.0
                rolls_at = rolls_at or _likely_range(old, new, most)
        elif _comes_back(float(t[i + 1]), new, remembered, most_watts, step):
            # It has found its old count again: what lies between was never consumed.
            what = "return"
        breaks.append(Break(float(t[i]), float(t[i + 1]), low, max(low, most), what))
        gained[i] = low
    count = np.concatenate([[0.0], np.cumsum(gained)])
    return Counter(count, tuple(breaks), tuple(rollovers), rolls_at)


def _odd_steps(
    t: np.ndarray, y: np.ndarray, most_watts: float | None, step: float
) -> tuple[np.ndarray, np.ndarray]:
    """Steps that fall, or rise by more than can have flowed, and how much that is. [-], [Wh]"""
    none = np.zeros(0, int)
    if len(y) < 2:
        return none, none
    rise, watts = np.diff(y), np.inf if most_watts is None else most_watts
    falls, most = rise.min() < 0, rise.max()
    if not falls and most <= step:
        return none, none
    seconds = np.diff(t)
    if not falls and most <= watts * seconds.min() / 3600 + step:
        return none, none
    moved = np.flatnonzero(rise)
    # A count that is brought up to date only now and then has all of the time since to do so.
    usual = float(np.median(np.diff(t[moved + 1]))) if len(moved) > 2 else 0.0
    odd = np.flatnonzero((rise < 0) | (rise > watts * seconds / 3600 + step))
    before = np.searchsorted(moved, odd) - 1
    since = t[odd + 1] - np.where(before < 0, t[0], t[moved[before] + 1])
    since = np.where(before < 0, np.maximum(since, usual), since)
    since = np.where(rise[odd] < 0, np.maximum(seconds[odd], usual), since)
    possible = watts * since / 3600 + step
    wrong = (rise[odd] < 0) | (rise[odd] > possible)
    odd, possible = odd[wrong], possible[wrong]
    if most_watts is None and falls:
        odd = np.union1d(odd, _leaps_back(t, y, odd))
        possible = np.full(len(odd), np.inf)
    return odd, possible


def _leaps_back(t: np.ndarray, y: np.ndarray, falls: np.ndarray) -> np.ndarray:
    """Rises back to an old count, far faster than it usually grows: for want of a known power."""
    rate = np.diff(y) / np.diff(t)
    grows = np.flatnonzero(rate > 0)
    found = []
    for i in falls[np.argsort(y[falls])][-REMEMBERED:]:
        above = np.flatnonzero(y[i + 1 :] >= y[i])
        if not len(above):
            continue
        j = int(i + above[0])
        others = rate[grows[grows != j]]
        if not len(others) or rate[j] > QUALITY.counter_return * np.median(others):
            found.append(j)
    return np.array(found, int)


def _comes_back(
    t: float, new: float, remembered: list[tuple[float, float]], most_watts: float | None,
    step: float,
) -> bool:
    """Whether a reading is an old count, or as much above it as can have flowed since."""
    watts = np.inf if most_watts is None else most_watts
    return any(0 <= new - old <= watts * (t - then) / 3600 + step for then, old in remembered)


def _likely_range(old: float, new: float, most: float) -> float:
    """A round range that lies just above the old count, 0 where none does. [Wh]"""
    decimal = [10.0**k for k in range(2, 11)]
    binary = [unit * 2**k for k in (16, 24, 32) for unit in BINARY_UNITS]
    for range_wh in decimal + binary:
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
