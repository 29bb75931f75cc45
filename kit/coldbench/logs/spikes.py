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
    if len(y) < 3 or y.max() - y.min() <= QUALITY.leap:
        return np.zeros(0, int)
    step = np.diff(y)
    leaps = np.flatnonzero(np.abs(step, out=step) > QUALITY.leap)
    found, until = [], -1
    for length in range(1, QUALITY.spike_run + 1):
        away = leaps[leaps + length + 1 < len(y)] + 1
        back = away + length
        agree = np.abs(y[away - 1] - y[back]) < QUALITY.leap
        for k in range(length):
            agree &= np.abs(y[away + k] - y[away - 1]) > QUALITY.leap
            agree &= np.abs(y[away + k] - y[back]) > QUALITY.leap
        found.append(np.column_stack([away, back])[agree])
    spans = np.concatenate(found)
    spans = spans[np.lexsort((spans[:, 1], spans[:, 0]))]
    kept = []
    # The good samples between two spikes are themselves far from both: the earlier one stands.
    for begin, end in spans.tolist():
        if begin > until:
            kept.append(begin)
            until = end
    return np.array(kept, int)


def stuck(
    t: np.ndarray, y: np.ndarray, gap: float = np.inf
) -> tuple[float, float] | None:
    """The longest stretch in which a probe that moves elsewhere shows one and the same value.

    Parameters
    ----------
    t, y : ndarray, shape (n,)
        Times [s] and values.
    gap : float
        A longer silence ends a stretch. [s]

    Returns
    -------
    (float, float) or None
        Its begin and end; None where it is short, where the values never move at all, or where
        the usual stretch is nearly as long: a reading in coarse steps. [s]

    References
    ----------
    .. [1] This kit's own definition.
    """
    if _never_held(t, y):
        return None
    moves = np.flatnonzero((y[1:] != y[:-1]) | (np.diff(t) > gap * (1 + 1e-9)))
    if not len(moves) or not (y[1:] != y[:-1]).any():
        return None
    begin = np.append(0, moves + 1)
    end = np.append(moves, len(y) - 1)
    length = t[end] - t[begin]
    worst = int(np.argmax(length))
    if length[worst] <= QUALITY.stuck_time or end[worst] - begin[worst] < QUALITY.stuck_samples:
        return None
    others = np.delete(length, worst)
    if length[worst] <= QUALITY.stuck_stands_out * float(np.median(others)):
        return None
    return float(t[begin[worst]]), float(t[end[worst]])


def moves_within(t: np.ndarray, y: np.ndarray, begin: float, end: float) -> bool:
    """Whether another channel moved between two instants.

    Parameters
    ----------
    t, y : ndarray, shape (n,)
        Times [s] and values.
    begin, end : float
        [s]

    References
    ----------
    .. [1] This kit's own definition.
    """
    inside = y[slice(*np.searchsorted(t, [begin, end]).tolist())]
    return len(inside) > 1 and bool(inside.min() < inside.max())


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
