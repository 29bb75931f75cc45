"""Error codes that instruments write in place of a value: dropped only when they also jump."""

from __future__ import annotations

import numpy as np

from coldbench.logs.limits import QUALITY
from coldbench.quantities import unit_kind

# Common practice, no source. In °C, and as a hub turns them into °F. The first two are also
# temperatures that a bench can have: a probe in ice water, a hot side.
OF_PROBES = (0.0, 85.0, -127.0, 127.0, 127.9, 127.94, 127.9375, -100.0)
OF_ANYTHING = (999.0, 999.9, -999.0, -999.9, 9999.0, 9999.9, -9999.0, 99999.0, 32767.0, -32768.0,
               3276.7, -3276.8, 65535.0, 6553.5)
ICE = 0.0  # a logger that reads seldom shows a bath of ice water for a few samples only
COULD_BE_TRUE = (-80.0, 120.0)  # what a bench can have [°C]
SAME = 1e-6
FAHRENHEIT = 1.8


def error_codes(written: np.ndarray, unit: str) -> np.ndarray:
    """Samples that are an instrument's error code.

    Parameters
    ----------
    written : ndarray, shape (n,)
        As written; NaN where blank. [unit]
    unit : str
        Unit of the column.

    Returns
    -------
    ndarray of bool, shape (n,)
        Codes that jump by more than 5 K from the good values on both sides, or on the one side
        that there is; a run of codes counts as one sample. One that a bench can have is a code for
        a few samples only, 0 °C for one. Of a column that is no temperature, codes that are ten
        times larger than any other value: power and mass jump as they please.

    References
    ----------
    .. [1] This kit's own definition; the codes are common practice, no source.

    Examples
    --------
    >>> error_codes(np.array([85.0, 24.0, -127.0, -127.0, 24.1, 0.0, 0.3]), "°C").tolist()
    [True, False, True, True, False, False, False]
    """
    bad = np.zeros(len(written), bool)
    kind = unit_kind(unit) if unit else None
    codes = _codes(written, unit, kind)
    if not len(codes):
        return bad
    blank = np.isnan(written)
    there = np.flatnonzero(~blank) if blank.any() else slice(None)
    values = written[there]
    if kind == "temperature":
        limit = QUALITY.leap * (FAHRENHEIT if unit == "°F" else 1.0)
        bad[there] = _that_jump(values, codes, limit, unit)
        return bad
    found = _are(values, codes)
    if found.any() and not found.all():
        largest = np.abs(values[~found]).max()
        bad[there] = found & (np.abs(values) > QUALITY.code_share * max(largest, 1.0))
    return bad


def suspected_codes(y: np.ndarray) -> list[tuple[int, int]]:
    """Runs of exactly 0 or 85 °C between jumps: an error code, or a bath; nobody can tell.

    Parameters
    ----------
    y : ndarray, shape (n,)
        A temperature without blanks and without the codes that were dropped. [°C]

    Returns
    -------
    list of (int, int)
        First sample of each run, and the first one after it.

    References
    ----------
    .. [1] This kit's own definition.

    Examples
    --------
    >>> suspected_codes(np.array([24.0, 0.0, 0.0, 0.0, 24.1]))
    [(1, 4)]
    """
    codes = np.array(OF_PROBES[:2])
    if len(y) < 2 or not ((y.min() - SAME <= codes) & (codes <= y.max() + SAME)).any():
        return []
    begin, end = _stretches(y, QUALITY.leap)
    if len(begin) < 2:
        return []
    held = _all_are(y, begin, end, codes)
    return list(zip(begin[held].tolist(), end[held].tolist(), strict=True))


def _that_jump(values: np.ndarray, codes: np.ndarray, limit: float, unit: str) -> np.ndarray:
    """Codes among the temperatures of a column."""
    bad = np.zeros(len(values), bool)
    begin, end = _stretches(values, limit)
    held = _all_are(values, begin, end, codes)
    if not held.any():
        return bad
    shown = values[begin]
    celsius = (shown - 32) / FAHRENHEIT if unit == "°F" else shown
    most = np.where(_are(shown, np.array([ICE])) | _are(celsius, np.array([ICE])), 1,
                    QUALITY.code_run)
    could_be = (celsius > COULD_BE_TRUE[0]) & (celsius < COULD_BE_TRUE[1])
    held &= ~could_be | (end - begin <= most)
    good = np.flatnonzero(~held)
    if not len(good):
        return bad  # nothing to compare with
    of = np.flatnonzero(held)
    after = np.searchsorted(good, of)
    last = np.where(after > 0, values[end[good[after - 1]] - 1], np.nan)
    following = np.where(after < len(good), values[begin[good[np.minimum(after, len(good) - 1)]]],
                         np.nan)
    near = (np.abs(last - shown[of]) <= limit) | (np.abs(following - shown[of]) <= limit)
    of = of[~near]
    bad[_samples_of(begin[of], end[of])[0]] = True
    return bad


def _stretches(values: np.ndarray, limit: float) -> tuple[np.ndarray, np.ndarray]:
    """First and past-the-last sample of each stretch without a jump."""
    step = np.diff(values)
    leaps = np.flatnonzero(np.abs(step, out=step) > limit) + 1
    return np.append(0, leaps), np.append(leaps, len(values))


def _all_are(
    values: np.ndarray, begin: np.ndarray, end: np.ndarray, codes: np.ndarray
) -> np.ndarray:
    """Stretches that hold nothing but codes."""
    held = _are(values[begin], codes) & _are(values[end - 1], codes)
    some = np.flatnonzero(held)
    if not len(some):
        return held
    at, first = _samples_of(begin[some], end[some])
    held[some] = np.logical_and.reduceat(_are(values[at], codes), first)
    return held


def _samples_of(begin: np.ndarray, end: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Samples of several stretches in one row, and where each begins in it."""
    length = end - begin
    first = np.cumsum(length) - length
    return np.arange(length.sum()) + np.repeat(begin - first, length), first


def _are(values: np.ndarray, codes: np.ndarray) -> np.ndarray:
    found = np.zeros(len(values), bool)
    for code in codes:
        found |= np.abs(values - code) < SAME
    return found


def _codes(written: np.ndarray, unit: str, kind: str | None) -> np.ndarray:
    """Codes that lie within what was written."""
    low, high = extent(written)
    codes = list(OF_ANYTHING)
    if kind == "temperature":
        codes += OF_PROBES
        if unit == "°F":
            codes += [round(c * FAHRENHEIT + 32, digits) for c in codes for digits in (4, 2, 1)]
    every = np.unique(codes)
    return every[(low - SAME <= every) & (every <= high + SAME)]


def extent(values: np.ndarray) -> tuple[float, float]:
    """Least and greatest value, blanks left out; NaN where there is none."""
    low, high = (float(values.min()), float(values.max())) if len(values) else (np.nan, np.nan)
    if np.isfinite(low) or not len(values) or np.isnan(values).all():
        return low, high
    return float(np.nanmin(values)), float(np.nanmax(values))
