"""Lumped cooling: a body of one temperature in surroundings of another, and when that holds."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

BIOT_MOST = 0.1
"""Biot number above which a body is not of one temperature: differences inside it then exceed
about 5 % of those to its surroundings. [-]

F. P. Incropera and D. P. DeWitt, Fundamentals of Heat and Mass Transfer, 6th ed., section 5.2
(section from memory)."""


def biot_number(film: ArrayLike, length: ArrayLike, conductivity: ArrayLike) -> np.ndarray:
    """Resistance inside a body against that of the film around it.

    Parameters
    ----------
    film : array_like
        Heat transfer coefficient at the surface. [W/(m² K)]
    length : array_like
        Volume over surface: a sixth of a sphere's diameter. [m]
    conductivity : array_like
        Of the body. [W/(m K)]

    Returns
    -------
    ndarray
        [-]

    References
    ----------
    .. [1] F. P. Incropera and D. P. DeWitt, Fundamentals of Heat and Mass Transfer, 6th ed.,
       section 5.2 (section from memory).

    Examples
    --------
    >>> round(float(biot_number(10.0, 0.10 / 6, 0.6)), 3)  # an apple in moving air
    0.278
    """
    return np.asarray(film) * np.asarray(length) / np.asarray(conductivity)


def lumped_time_constant(
    film: ArrayLike,
    length: ArrayLike,
    conductivity: ArrayLike,
    density: ArrayLike,
    specific_heat: ArrayLike,
) -> np.ndarray:
    """Time constant of a body that is of one temperature throughout.

    Parameters
    ----------
    film : array_like
        Heat transfer coefficient at the surface. [W/(m² K)]
    length : array_like
        Volume over surface. [m]
    conductivity : array_like
        Of the body; only decides whether the body may count as lumped. [W/(m K)]
    density : array_like
        [kg/m³]
    specific_heat : array_like
        [J/(kg K)]

    Returns
    -------
    ndarray
        ``density · specific_heat · length / film``. [s]

    Raises
    ------
    ValueError
        A Biot number exceeds 0.1: the inside lags behind the surface.

    References
    ----------
    .. [1] F. P. Incropera and D. P. DeWitt, Fundamentals of Heat and Mass Transfer, 6th ed.,
       Example 5.1.
    """
    biot = biot_number(film, length, conductivity)
    if np.any(biot > BIOT_MOST):
        raise ValueError(
            f"not lumped: Biot number {np.max(biot):.2g} exceeds {BIOT_MOST:g}, the inside lags "
            "behind the surface"
        )
    return np.asarray(density) * np.asarray(specific_heat) * np.asarray(length) / np.asarray(film)


def time_to_reach(
    start: ArrayLike, surroundings: ArrayLike, target: ArrayLike, time_constant: ArrayLike
) -> np.ndarray:
    """Time a lumped body needs from one temperature to another.

    Parameters
    ----------
    start, surroundings, target : array_like
        Start is not the surroundings' temperature. [°C]
    time_constant : array_like
        [any time]

    Returns
    -------
    ndarray
        Infinite where the target lies at or beyond the surroundings' temperature, zero where the
        start has already passed it. [as time_constant]

    References
    ----------
    .. [1] Solved from ``(T − surroundings) = (start − surroundings) · exp(−t/time_constant)``,
       F. P. Incropera and D. P. DeWitt, Fundamentals of Heat and Mass Transfer, 6th ed.,
       Example 5.1.

    Examples
    --------
    >>> time_to_reach(25.0, 5.0, [30.0, 15.0, 5.0], 60.0)  # min
    array([ 0.        , 41.58883083,         inf])
    """
    start, surroundings = np.asarray(start, float), np.asarray(surroundings, float)
    left = (np.asarray(target, float) - surroundings) / (start - surroundings)
    with np.errstate(divide="ignore"):
        logs = -np.log(np.clip(left, 0.0, 1.0))
    return np.abs(np.asarray(time_constant) * logs)
