"""What later money is worth today, and when what is saved has paid for what was paid more."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike


def present_value_factor(rate: ArrayLike, years: ArrayLike) -> np.ndarray:
    """Worth today of a sum that is paid once, as a share of it.

    Parameters
    ----------
    rate : array_like
        Yearly discount rate, above −1. [1/yr]
    years : array_like
        Until it is paid. [yr]

    Returns
    -------
    ndarray
        ``(1 + rate)^−years``. [-]

    References
    ----------
    .. [1] NIST Handbook 135, Life-Cycle Costing Manual, single present value factor (from memory).

    Examples
    --------
    >>> round(float(present_value_factor(0.10, 2)), 4)
    0.8264
    """
    return np.exp(-np.asarray(years, float) * np.log1p(rate))


def annuity_factor(rate: ArrayLike, years: ArrayLike) -> np.ndarray:
    """Worth today of equal sums at the end of each year, over one of them.

    Parameters
    ----------
    rate : array_like
        Yearly discount rate, above −1; at 0 each year counts in full. [1/yr]
    years : array_like
        Number of sums. [yr]

    Returns
    -------
    ndarray
        ``(1 − (1 + rate)^−years) / rate``; the same formula between whole years. [yr]

    References
    ----------
    .. [1] NIST Handbook 135, Life-Cycle Costing Manual, uniform present value factor (from memory).

    Examples
    --------
    >>> round(float(annuity_factor(0.10, 10)), 4)
    6.1446
    >>> float(annuity_factor(0.0, 8))
    8.0
    """
    rate, years = np.broadcast_arrays(np.asarray(rate, float), np.asarray(years, float))
    some = np.where(rate == 0, 1.0, rate)
    return np.where(rate == 0, years, -np.expm1(-years * np.log1p(some)) / some)


def replacement_factor(rate: float, years: float, every: int) -> float:
    """Worth today of buying a thing anew again and again, over its price.

    Parameters
    ----------
    rate : float
        Yearly discount rate, above −1. [1/yr]
    years : float
        In the last of which, at the end, nothing is bought any more. [yr]
    every : int
        It lasts so long. [yr]

    Returns
    -------
    float
        Sum of the present value factors of all times it is bought anew. [-]

    References
    ----------
    .. [1] NIST Handbook 135, Life-Cycle Costing Manual, replacement costs (from memory).

    Examples
    --------
    >>> replacement_factor(0.0, 8, 3)  # after 3 and 6 years
    2.0
    >>> replacement_factor(0.0, 6, 3)
    1.0
    """
    return float(present_value_factor(rate, np.arange(every, years, every)).sum())


def payback_years(more: ArrayLike, saved: ArrayLike) -> np.ndarray:
    """Time until what is saved each year has paid for what was paid more at first.

    Parameters
    ----------
    more : array_like
        Paid more at first. [money]
    saved : array_like
        Saved each year, evenly; negative where it costs more. [money/yr]

    Returns
    -------
    ndarray
        0 where nothing more was paid; infinite where nothing is saved. Later money counts in
        full. [yr]

    References
    ----------
    .. [1] NIST Handbook 135, Life-Cycle Costing Manual, simple payback (from memory).

    Examples
    --------
    >>> payback_years([100.0, 100.0, 0.0], [50.0, -1.0, 5.0]).tolist()
    [2.0, inf, 0.0]
    """
    more, saved = np.broadcast_arrays(np.asarray(more, float), np.asarray(saved, float))
    gains = np.where(saved > 0, saved, 1.0)
    return np.where(more <= 0, 0.0, np.where(saved > 0, more / gains, np.inf))
