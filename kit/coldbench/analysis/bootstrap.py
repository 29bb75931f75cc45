"""Intervals of fitted parameters where neighbouring residuals hang together.

A fit's own covariance takes every sample for a new piece of news. Readings a minute apart are not:
what the course leaves over wanders, and the covariance then promises far too much.
"""

from __future__ import annotations

import numpy as np

from coldbench import draws

STARTS = 1000  # places at which a block may begin; more of them change nothing


def lag_one(residuals: np.ndarray, parameters: int = 0) -> float:
    """Correlation of residuals with their next.

    Parameters
    ----------
    residuals : ndarray, shape (n,)
        Of a fit, in order of time. [any]
    parameters : int
        Fitted ones: each takes up some of the slow wandering, which is put back. 0 gives the
        correlation as seen.

    Returns
    -------
    float
        [-]

    References
    ----------
    .. [1] F. H. C. Marriott and J. A. Pope, Bias in the estimation of autocorrelations,
       Biometrika 41, 1954: ``(1 + 4 φ)/n`` for a fitted mean (from memory); the same for each
       further parameter is this kit's own.

    Examples
    --------
    >>> round(lag_one(np.array([1.0, 1.0, 1.0, -1.0, -1.0, -1.0])), 3)
    0.5
    """
    n, total = len(residuals), float(residuals @ residuals)
    if total == 0:
        return 0.0
    seen = float(residuals[1:] @ residuals[:-1]) / total
    return min(seen + parameters * (1 + 4 * seen) / n, 1 - 2 / n) if parameters else seen


def correlated(residuals: np.ndarray) -> bool:
    """Whether neighbouring residuals hang together more than chance lets them.

    Parameters
    ----------
    residuals : ndarray, shape (n,)
        [any]

    Returns
    -------
    bool
        Two standard errors of the correlation of independent ones, ``2/√n``, are exceeded.

    References
    ----------
    .. [1] M. S. Bartlett, 1946, on the error of autocorrelations (from memory).
    """
    return lag_one(residuals) > 2 / np.sqrt(len(residuals))


def parameter_draws(
    slopes: np.ndarray, residuals: np.ndarray, name: str, count: int = draws.DRAWS
) -> np.ndarray:
    """Draws of what the residuals leave open in each parameter of a least-squares fit.

    Parameters
    ----------
    slopes : ndarray, shape (n, m)
        Derivatives of the course by the parameters, at the fit. [residual per parameter]
    residuals : ndarray, shape (n,)
        At even steps, in order of time. [any]
    name : str
        Seeds the draws.
    count : int
        Replicates.

    Returns
    -------
    ndarray, shape (m, count)
        To be added to the fitted values; their mean is 0. [each parameter]

    Raises
    ------
    ValueError
        The samples are worth hardly more independent ones than there are parameters.

    Notes
    -----
    The correlation of neighbours is taken out of the residuals, blocks of what is left are put
    behind one another in chance order, the correlation is put back, and the fit, made linear at
    its solution, is repeated on each such record. Replicates are widened by ``√(n/(n − m))`` and
    by the quantile of Student's t with ``n (1 − φ)/(1 + φ) − m`` degrees of freedom over that of
    the normal.

    References
    ----------
    .. [1] A. C. Davison and D. V. Hinkley, Bootstrap Methods and their Application, 1997, section
       8.2: blocks after pre-whitening (from memory). Blocks of the cube root of n samples, and
       the widening, are this kit's own; its tests hold them against known parameters.
    """
    n, m = slopes.shape
    wanders = correlated(residuals)
    phi = lag_one(residuals, m) if wanders else 0.0
    free = n * (1 - phi) / (1 + phi) - m
    if free < 1:
        raise ValueError(f"{n} samples are worth {free + m:.1f} independent ones")
    first = np.sqrt(1 - phi**2)  # what the first residual would have been without a past
    left = residuals - phi * np.r_[0.0, residuals[:-1]]
    left[0] = first * residuals[0]
    solving = _carried(np.linalg.pinv(slopes), phi)
    solving[:, 0] /= first
    length = round(n ** (1 / 3)) if wanders else 1
    moved = _resampled(solving, left, length, draws.generator(name), count)
    return _widening(n, m, free) * (moved - moved.mean(axis=1, keepdims=True))


def _carried(solving: np.ndarray, phi: float) -> np.ndarray:
    """What a chance of one instant does through all later residuals that inherit it."""
    step = 1
    while step < solving.shape[1] and phi:
        solving = solving.copy()
        solving[:, :-step] += phi**step * solving[:, step:].copy()
        step *= 2
    return solving


def _resampled(
    solving: np.ndarray, left: np.ndarray, length: int, rng: np.random.Generator, count: int
) -> np.ndarray:
    """``solving`` times records of circular blocks, shape (m, count)."""
    m, n = solving.shape
    blocks = -(-n // length)
    whole = np.zeros((m, blocks * length))
    whole[:, :n] = solving
    begins = np.unique(np.linspace(0, n - 1, min(n, STARTS)).astype(int))
    windows = left[(begins[:, None] + np.arange(length)) % n]
    # What each block adds to each parameter at each place is looked up, not summed anew.
    adds = whole.reshape(m, blocks, length) @ windows.T
    chosen = rng.integers(len(begins), size=(count, blocks))
    return np.stack([of[np.arange(blocks), chosen].sum(axis=1) for of in adds])


def _widening(samples: int, parameters: int, free: float) -> float:
    from scipy.special import ndtri, stdtrit

    student = stdtrit(free, draws.HIGH / 100) / ndtri(draws.HIGH / 100)
    return float(np.sqrt(samples / (samples - parameters)) * student)
