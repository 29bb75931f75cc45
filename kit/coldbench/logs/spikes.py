"""Single readings far from their neighbours, and values that do not move: told, never removed."""

from __future__ import annotations

import numpy as np

from coldbench.logs.limits import QUALITY

MANY = 10_000  # samples from which it pays to ask a few first


def spikes(y: np.ndarray) -> np.ndarray:
    """Where one to three samples jump away from neighbours that agree with each other.

    Parameters
    ----------
    y : ndarray, shape (n,)
        A temperature. [°C]

    Returns
    -------
    ndarray of int
        First sample of each spike.

    References
    ----------
    .. [1] This kit's own definition.

    Examples
    --------
    >>> spikes(np.array([4.0, 4.1, 30.0, 4.0, 4.1])).tolist()
    [2]
    """
    if len(y) < 3:
        return np.zeros(0, int)
    leaps = np.flatnonzero(np.abs(y[1:] - y[:-1]) > QUALITY.jump)
    if len(leaps) < 2:
        return np.zeros(0, int)
    away, back = leaps[:-1] + 1, leaps[1:]
    short = back - away + 1 <= QUALITY.spike_run
    before, after = y[away - 1], y[np.minimum(back + 1, len(y) - 1)]
    agree = np.abs(before - after) < QUALITY.jump
    found = away[short & agree]
    # The leap back from one spike is no leap into the next.
    keep = np.append(True, np.diff(found) > QUALITY.spike_run) if len(found) else found.astype(bool)
    return found[keep]


def stuck(t: np.ndarray, y: np.ndarray) -> tuple[float, float] | None:
    """The longest stretch in which a probe shows one and the same value.

    Parameters
    ----------
    t, y : ndarray, shape (n,)
        Times [s] and values.

    Returns
    -------
    (float, float) or None
        Its begin and end; None where it is short, or where the values never move at all. [s]

    References
    ----------
    .. [1] This kit's own definition.
    """
    if _never_held(t, y):
        return None
    moves = np.flatnonzero(y[1:] != y[:-1])
    if not len(moves):
        return None
    begin = np.append(0, moves + 1)
    end = np.append(moves, len(y) - 1)
    length = t[end] - t[begin]
    worst = int(np.argmax(length))
    long = length[worst] > QUALITY.stuck_time
    many = end[worst] - begin[worst] > QUALITY.stuck_samples
    # A coarse step holds a value as long, and often: only one that stands out is remarked.
    usual = np.median(length) if len(length) > 2 else 0.0
    stands_out = length[worst] > 10 * max(usual, 1.0)
    return (float(t[begin[worst]]), float(t[end[worst]])) if long and many and stands_out else None


def _never_held(t: np.ndarray, y: np.ndarray) -> bool:
    """Whether a few samples tell already that no value was held for long.

    A long stretch of one value holds two of some that lie half its length apart.
    """
    if len(t) < MANY:
        return False
    stride = int(QUALITY.stuck_time / 2 / (np.diff(t[:MANY]).max()))
    far = t[::stride] if stride else t
    if stride < 2 or np.diff(far).max() > QUALITY.stuck_time / 2:
        return False  # uneven: each sample has to be asked
    some = y[::stride]
    held = np.flatnonzero(some[1:] == some[:-1]) * stride
    return not any((y[i : i + stride + 1] == y[i]).all() for i in held)
