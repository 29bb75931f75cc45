"""Sun on level ground by solar time: its height, what arrives above the air and under a clear sky.

All times are solar: the sun stands highest at 12 h, so that no longitude and no clock is needed.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

SOLAR_CONSTANT = 1366.1
"""Sun above the air, square to its rays, mean of the year. [W/m²]

ASTM E490-00."""

CLEAR, THICKNESS = 1098.0, 0.059
"""Clear sky: what it amounts to without air [W/m²], and how much air takes of it. [-]

Haurwitz 1945 and 1946, as restated in SAND2012-2389."""


def declination(day: ArrayLike) -> np.ndarray:
    """Angle of the sun above the plane of the equator.

    Parameters
    ----------
    day : array_like
        Day of the year, 1 as 1 January begins. [d]

    Returns
    -------
    ndarray
        [rad]

    References
    ----------
    .. [1] J. W. Spencer, "Fourier series representation of the position of the sun", Search 2
       (1971) 172; coefficients from memory, checked against other formulas.

    Examples
    --------
    >>> round(float(np.degrees(declination(172.5))), 2)
    23.45
    """
    b = _orbit(day)
    return (0.006918 - 0.399912 * np.cos(b) + 0.070257 * np.sin(b) - 0.006758 * np.cos(2 * b)
            + 0.000907 * np.sin(2 * b) - 0.002697 * np.cos(3 * b) + 0.00148 * np.sin(3 * b))


def _orbit(day: ArrayLike) -> np.ndarray:
    """Angle of the day in the year. [rad]"""
    return 2 * np.pi * (np.asarray(day, float) - 1) / 365


def sun_height(latitude: ArrayLike, day: ArrayLike, hour: ArrayLike) -> np.ndarray:
    """Sine of the sun's height above the horizon.

    Parameters
    ----------
    latitude : array_like
        North is positive. [°]
    day : array_like
        Day of the year. [d]
    hour : array_like
        Solar time. [h]

    Returns
    -------
    ndarray
        Negative by night. [-]

    References
    ----------
    .. [1] Spherical trigonometry; Allen et al., Crop evapotranspiration, FAO Irrigation and
       Drainage Paper 56 (1998), chapter 3.

    Examples
    --------
    >>> round(float(sun_height(0.0, 80.5, 12.0)), 3)
    1.0
    """
    phi, delta = np.radians(latitude), declination(day)
    turned = np.pi / 12 * (np.asarray(hour, float) - 12)
    return np.sin(phi) * np.sin(delta) + np.cos(phi) * np.cos(delta) * np.cos(turned)


def above_air(day: ArrayLike, height: ArrayLike) -> np.ndarray:
    """Sun on a level plane above the air.

    Parameters
    ----------
    day : array_like
        Day of the year. [d]
    height : array_like
        Sine of the sun's height. [-]

    Returns
    -------
    ndarray
        Nothing by night. [W/m²]

    References
    ----------
    .. [1] Spencer 1971, as in :func:`declination`: square of the mean over the actual distance.

    Examples
    --------
    >>> round(float(above_air(3, 1.0)))
    1414
    """
    b = _orbit(day)
    nearer = (1.000110 + 0.034221 * np.cos(b) + 0.001280 * np.sin(b) + 0.000719 * np.cos(2 * b)
              + 0.000077 * np.sin(2 * b))
    return SOLAR_CONSTANT * nearer * np.maximum(height, 0.0)


def clear_sky(height: ArrayLike) -> np.ndarray:
    """Sun and sky on a level plane under a clear sky.

    Parameters
    ----------
    height : array_like
        Sine of the sun's height. [-]

    Returns
    -------
    ndarray
        Nothing by night. [W/m²]

    References
    ----------
    .. [1] B. Haurwitz, J. Meteorology 2 (1945) 154 and 3 (1946) 123, as restated in M. Reno,
       C. Hansen, J. Stein, Global Horizontal Irradiance Clear Sky Models, Sandia report
       SAND2012-2389 (2012).

    Examples
    --------
    >>> round(float(clear_sky(1.0)), 2)
    1035.09
    """
    height = np.asarray(height, float)
    up = np.maximum(height, 1e-4)  # lower down nothing is left
    return np.where(height > 0, CLEAR * up * np.exp(-THICKNESS / up), 0.0)
