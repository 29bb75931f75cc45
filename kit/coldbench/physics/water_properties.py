"""Properties of water and ice that depend on temperature: this kit's own fits to IAPWS values."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

# Polynomials in t/100 °C, fitted by least squares to IAPWS values at 101.325 kPa, 0–60 °C.
_HEAT_CAPACITY = (4219.344, -337.8349, 1151.181, -2136.42, 2270.931, -1016.184)
_DENSITY = (999.8451, 6.619997, -88.10182, 83.20675, -70.29577, 28.73473)
_CONDUCTIVITY = (0.5557033, 0.2532381, -0.2467667, 0.2158785, -0.1117001)
_ICE_AT = (-40.0, -30.0, -20.0, -10.0, 0.0)
_ICE_CONDUCTIVITY = (2.6, 2.5, 2.4, 2.3, 2.14)


def water_heat_capacity(temperature: ArrayLike) -> np.ndarray:
    """Heat capacity of liquid water at 101.325 kPa.

    Parameters
    ----------
    temperature : array_like
        0 to 60. [°C]

    Returns
    -------
    ndarray
        Within 0.01 % of the source. [J/(kg K)]

    Raises
    ------
    ValueError
        A temperature lies outside the range of the fit.

    References
    ----------
    .. [1] Fitted to IAPWS R6-95(2018).

    Examples
    --------
    >>> water_heat_capacity([0.01, 20.0]).round(1)  # IAPWS: 4219.4, 4184.1
    array([4219.3, 4184. ])
    """
    return _polynomial(temperature, _HEAT_CAPACITY)


def water_density(temperature: ArrayLike) -> np.ndarray:
    """Density of liquid water at 101.325 kPa.

    Parameters
    ----------
    temperature : array_like
        0 to 60. [°C]

    Returns
    -------
    ndarray
        Within 0.01 kg/m³ of the source. [kg/m³]

    Raises
    ------
    ValueError
        A temperature lies outside the range of the fit.

    References
    ----------
    .. [1] Fitted to IAPWS R6-95(2018).

    Examples
    --------
    >>> water_density([4.0, 25.0]).round(2)  # IAPWS: 999.97, 997.05
    array([999.97, 997.05])
    """
    return _polynomial(temperature, _DENSITY)


def water_conductivity(temperature: ArrayLike) -> np.ndarray:
    """Thermal conductivity of liquid water at 101.325 kPa.

    Parameters
    ----------
    temperature : array_like
        0 to 60. [°C]

    Returns
    -------
    ndarray
        Within 0.1 % of the source. [W/(m K)]

    Raises
    ------
    ValueError
        A temperature lies outside the range of the fit.

    References
    ----------
    .. [1] Fitted to IAPWS R15-11.

    Examples
    --------
    >>> float(water_conductivity(20.0).round(3))  # IAPWS: 0.598
    0.598
    """
    return _polynomial(temperature, _CONDUCTIVITY)


def ice_heat_capacity(temperature: ArrayLike) -> np.ndarray:
    """Heat capacity of ice at 101.325 kPa.

    Parameters
    ----------
    temperature : array_like
        −40 to 0. [°C]

    Returns
    -------
    ndarray
        Within 0.1 % of the source; handbooks stand up to 0.6 % higher. [J/(kg K)]

    Raises
    ------
    ValueError
        A temperature lies outside the range of the fit.

    References
    ----------
    .. [1] Fitted to IAPWS R10-06(2009).

    Examples
    --------
    >>> ice_heat_capacity([0.0, -20.0]).round(1)  # IAPWS: 2096.7, 1949.8
    array([2096.7, 1949.8])
    """
    t = _within(temperature, -40.0, 0.0)
    return 2096.722 + 7.382948 * t + 1.921999e-3 * t**2


def ice_density(temperature: ArrayLike) -> np.ndarray:
    """Density of ice at 101.325 kPa.

    Parameters
    ----------
    temperature : array_like
        −40 to 0. [°C]

    Returns
    -------
    ndarray
        Within 0.01 kg/m³ of the source. [kg/m³]

    Raises
    ------
    ValueError
        A temperature lies outside the range of the fit.

    References
    ----------
    .. [1] Fitted to IAPWS R10-06(2009).

    Examples
    --------
    >>> float(ice_density(0.0).round(2))  # IAPWS and CRC Handbook: 916.7
    916.72
    """
    t = _within(temperature, -40.0, 0.0)
    return 916.7204 - 0.1469758 * t - 2.36736e-4 * t**2


def ice_conductivity(temperature: ArrayLike) -> np.ndarray:
    """Thermal conductivity of ice.

    Parameters
    ----------
    temperature : array_like
        −40 to 0. [°C]

    Returns
    -------
    ndarray
        Straight lines between the handbook's values, which other handbooks differ from by up to
        4 %. [W/(m K)]

    Raises
    ------
    ValueError
        A temperature lies outside the table.

    References
    ----------
    .. [1] CRC Handbook of Chemistry and Physics, table "Properties of Ice and Supercooled Water";
       −30 and −40 °C from memory. FAO manual T0713E, chapter 12, has 2.22 W/(m K) at 0 °C.

    Examples
    --------
    >>> ice_conductivity([0.0, -5.0, -20.0])
    array([2.14, 2.22, 2.4 ])
    """
    return np.interp(_within(temperature, -40.0, 0.0), _ICE_AT, _ICE_CONDUCTIVITY)


def _within(temperature: ArrayLike, low: float, high: float) -> np.ndarray:
    t = np.asarray(temperature, float)
    if np.any((t < low) | (t > high)):
        raise ValueError(
            f"known from {low:g} to {high:g} °C only, asked for {np.min(t):g} to {np.max(t):g} °C"
        )
    return t


def _polynomial(temperature: ArrayLike, coefficients: tuple[float, ...]) -> np.ndarray:
    return np.polynomial.polynomial.polyval(_within(temperature, 0.0, 60.0) / 100, coefficients)
