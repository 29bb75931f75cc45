"""Two levels of one signal: running and idle."""

from __future__ import annotations

import numpy as np

LEVEL_WATTS = 3.0  # running and idle differ at least by this [W]
LEVEL_SHARE = 0.20  # and by this share of the upper level [-]


def two_levels(y: np.ndarray) -> float:
    """Threshold that parts values into two levels with the largest variance between them.

    Parameters
    ----------
    y : ndarray, shape (n,)
        At least two different values. [any]

    Returns
    -------
    float
        Middle between the two class means. [as y]

    References
    ----------
    .. [1] N. Otsu, A threshold selection method from gray-level histograms, IEEE Trans. SMC
       9(1), 1979, 62–66 (criterion; here over the sorted values instead of a histogram).

    Examples
    --------
    >>> float(two_levels(np.array([1.0, 1.2, 48.0, 50.0])))
    25.05
    """
    # Equal values belong to one level, and instruments round: few values stand for many samples.
    s = np.sort(np.asarray(y, float))
    last = np.flatnonzero(np.append(np.diff(s) > 0, True))
    count = np.diff(last, prepend=-1)
    sums, n = np.cumsum(s[last] * count), np.cumsum(count)
    lower = sums[:-1] / n[:-1]
    upper = (sums[-1] - sums[:-1]) / (n[-1] - n[:-1])
    between = (n * (n[-1] - n))[:-1] * (upper - lower) ** 2
    best = int(np.argmax(between))
    return float((lower[best] + upper[best]) / 2)


def first_above_idle(power: np.ndarray) -> int | None:
    """Index of the first sample on the upper of two levels of power.

    Parameters
    ----------
    power : ndarray, shape (n,)
        [W]

    Returns
    -------
    int or None
        None where there is one level only, or where the first sample is on the upper one: then
        nothing was seen of the switching on.

    References
    ----------
    .. [1] This kit's own definition.

    Examples
    --------
    >>> first_above_idle(np.array([2.0, 2.1, 50.0, 2.0, 48.0]))
    2
    >>> first_above_idle(np.array([2.0, 2.1, 2.0])) is None
    True
    """
    if len(power) < 2 or np.ptp(power) == 0:
        return None
    above = power > two_levels(power)
    lower, upper = float(np.median(power[~above])), float(np.median(power[above]))
    if upper - lower < max(LEVEL_WATTS, LEVEL_SHARE * upper) or above[0]:
        return None
    return int(np.argmax(above))
