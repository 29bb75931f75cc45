"""What the European energy label takes from tests: daily and annual energy, freezing capacity.

For comparison only, as in ``regulation``; its ``SCOPE`` stands beside every figure. Source of all
of it: Commission Delegated Regulation (EU) 2019/2016 as first published.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

LOAD_PER_LITRE, LOAD_LEAST = 0.035, 2.0
"""Light load of a freezing test (Annex IV 1(h)). [kg/L], [kg]"""


def daily_energy(
    power: ArrayLike, defrost_energy: ArrayLike = 0.0, defrost_interval: ArrayLike = 24.0
) -> np.ndarray:
    """Daily energy from steady power and what defrosting adds.

    Parameters
    ----------
    power : array_like
        Steady mean. [W]
    defrost_energy : array_like
        Added by one defrost and recovery. [Wh]
    defrost_interval : array_like
        [h]

    Returns
    -------
    ndarray
        [kWh/d]

    References
    ----------
    .. [1] (EU) 2019/2016, Annex IV 3(a).

    Examples
    --------
    >>> float(daily_energy(20.0, 100.0, 40.0).round(3))
    0.54
    """
    added = np.asarray(defrost_energy, float) / np.asarray(defrost_interval, float)
    return 0.024 * (np.asarray(power, float) + added)


def interpolated(
    at: ArrayLike, one: tuple[ArrayLike, ArrayLike], other: tuple[ArrayLike, ArrayLike]
) -> np.ndarray:
    """Daily energy between two tests: two ambients, 16 and 32 °C, or two inside temperatures.

    Parameters
    ----------
    at : array_like
        Temperature wanted, between the two. [°C]
    one, other : tuple of array_like
        Temperature and daily energy of the two tests. [°C], [kWh/d]

    Returns
    -------
    ndarray
        On the straight line. [kWh/d]

    Raises
    ------
    ValueError
        The temperature wanted lies outside the tests.

    References
    ----------
    .. [1] (EU) 2019/2016, Annex IV 3(a); between ambients this kit's own use of the same line.

    Examples
    --------
    >>> float(interpolated(4.0, (3.0, 0.620), (5.0, 0.560)).round(3))
    0.59
    """
    (t_one, e_one), (t_other, e_other) = (
        tuple(np.asarray(part, float) for part in pair) for pair in (one, other)
    )
    way = (np.asarray(at, float) - t_one) / (t_other - t_one)
    if not np.all((way >= 0) & (way <= 1)):
        raise ValueError("the wanted temperature lies outside the two tests")
    return e_one + way * (e_other - e_one)


def annual_energy(
    at_16: ArrayLike, at_32: ArrayLike, only_frozen: bool = False, auxiliary: ArrayLike = 0.0
) -> np.ndarray:
    """Annual energy from daily energy at two ambients.

    Parameters
    ----------
    at_16, at_32 : array_like
        At 16 and 32 °C; of a low-noise appliance both are that at 25 °C. [kWh/d]
    only_frozen : bool
        All compartments are frozen: load factor 0.9.
    auxiliary : array_like
        [kWh/a]

    Returns
    -------
    ndarray
        [kWh/a]

    References
    ----------
    .. [1] (EU) 2019/2016, Annex IV 3(a), (b).

    Examples
    --------
    >>> float(annual_energy(0.3, 0.7).round(1))
    182.5
    """
    daily = (np.asarray(at_16, float) + np.asarray(at_32, float)) / 2
    return 365 * daily / (0.9 if only_frozen else 1.0) + np.asarray(auxiliary, float)


def light_load(volume: ArrayLike) -> np.ndarray:
    """Mass of the light load of a freezing test, from +25 to −18 °C at 25 °C ambient.

    Parameters
    ----------
    volume : array_like
        Of the compartment. [L]

    Returns
    -------
    ndarray
        [kg]

    References
    ----------
    .. [1] (EU) 2019/2016, Annex IV 1(h).

    Examples
    --------
    >>> light_load([40.0, 100.0])
    array([2. , 3.5])
    """
    return np.maximum(LOAD_PER_LITRE * np.asarray(volume, float), LOAD_LEAST)


def freezing_capacity(load: ArrayLike, time: ArrayLike) -> np.ndarray:
    """Specific freezing capacity of such a test.

    Parameters
    ----------
    load : array_like
        [kg]
    time : array_like
        [h]

    Returns
    -------
    ndarray
        To one decimal. [kg/12 h]

    References
    ----------
    .. [1] (EU) 2019/2016, Annex IV 1(h), (i).

    Examples
    --------
    >>> float(freezing_capacity(3.5, 18.5))
    2.3
    """
    return np.round(12 * np.asarray(load, float) / np.asarray(time, float), 1)
