"""Sound levels: energy average, what the background adds, levels exceeded, means over a duty.

Levels are A-weighted sound pressure levels in decibels, at one place. A level here is never the
sound power of a label, which needs a room made for it.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

BACKGROUND_LEAST = 3.0
"""Least difference to the background at which it can be taken out. [dB]

Survey practice, no source; ISO 3744:2010 asks for 6 dB."""

BACKGROUND_NONE = 15.0
"""Difference above which the background is not taken out. [dB]

ISO 3744:2010, where K1 is 0.14 dB; read of the building-acoustics standard with the same rule."""


def energy_mean(levels: ArrayLike, weights: ArrayLike | None = None) -> np.ndarray:
    """Energy average of levels.

    Parameters
    ----------
    levels : array_like, shape (..., n)
        [dB]
    weights : array_like, shape (n,), optional
        Time that each level stands for; all alike by default. [s]

    Returns
    -------
    ndarray, shape (...)
        [dB]

    References
    ----------
    .. [1] ISO 3744:2010, mean of the levels at all positions; ISO 1996-1:2016, equivalent
       continuous level (clauses from memory).

    Examples
    --------
    >>> float(energy_mean([38, 40, 42, 39]))
    40.01
    """
    power = 10 ** (np.asarray(levels, float) / 10)
    return 10 * np.log10(np.average(power, axis=-1, weights=weights))


def background_correction(difference: ArrayLike) -> np.ndarray:
    """What the background adds to a reading.

    Parameters
    ----------
    difference : array_like
        Reading with the background minus that of the background alone. [dB]

    Returns
    -------
    ndarray
        To be taken from the reading; 0 above 15 dB, infinite where the background alone is as
        loud. [dB]

    References
    ----------
    .. [1] ISO 3744:2010, background correction K1.

    Examples
    --------
    >>> background_correction([3, 6, 10, 16]).round(2).tolist()
    [3.02, 1.26, 0.46, 0.0]
    """
    difference = np.asarray(difference, float)
    left = 1 - 10 ** (-np.maximum(difference, 0.0) / 10)
    with np.errstate(divide="ignore"):
        added = -10 * np.log10(left)
    return np.where(difference > BACKGROUND_NONE, 0.0, added)


def level_exceeded(
    levels: ArrayLike, percent: ArrayLike, weights: ArrayLike | None = None
) -> np.ndarray:
    """Level exceeded for a share of the time: L10 is that of the loud tenth, L90 of the quiet.

    Parameters
    ----------
    levels : array_like, shape (n,)
        Samples. [dB]
    percent : array_like
        Share of the time, 0 to 100. [%]
    weights : array_like, shape (n,), optional
        Time that each sample stands for; all alike by default. [s]

    Returns
    -------
    ndarray
        [dB]

    References
    ----------
    .. [1] ISO 1996-1:2016, N percent exceedance level (clause from memory).

    Examples
    --------
    >>> level_exceeded([30] * 8 + [50] * 2, [10, 50, 90]).tolist()
    [50.0, 30.0, 30.0]
    """
    share = 1 - np.asarray(percent, float) / 100
    return np.quantile(np.asarray(levels, float), share, weights=weights, method="inverted_cdf")


def duty_level(duty: ArrayLike, running: ArrayLike, idle: ArrayLike) -> np.ndarray:
    """Mean level of a machine that runs for a share of the time.

    Parameters
    ----------
    duty : array_like
        Share of the time in which it runs. [-]
    running, idle : array_like
        Levels of the two states; −inf is silence. [dB]

    Returns
    -------
    ndarray
        [dB]

    References
    ----------
    .. [1] ISO 1996-1:2016, equivalent continuous level (clause from memory).

    Examples
    --------
    >>> float(duty_level(0.4, 42, 25))
    38.15
    """
    duty, running, idle = (np.asarray(x, float) for x in (duty, running, idle))
    with np.errstate(divide="ignore"):
        return 10 * np.log10(duty * 10 ** (running / 10) + (1 - duty) * 10 ** (idle / 10))


def level_at(level: ArrayLike, read_at: ArrayLike, distance: ArrayLike) -> np.ndarray:
    """Level at another distance in the open, an estimate: 6 dB less at twice the distance.

    Parameters
    ----------
    level : array_like
        [dB]
    read_at, distance : array_like
        Where it was read, and where it is wanted. [m]

    Returns
    -------
    ndarray
        In a room the level falls less, and near walls hardly at all. [dB]

    References
    ----------
    .. [1] Hemisphere over a hard floor, as in ISO 3744:2010.

    Examples
    --------
    >>> float(level_at(40, 1, 2))
    33.98
    """
    return np.asarray(level, float) - 20 * np.log10(np.asarray(distance, float) / read_at)
