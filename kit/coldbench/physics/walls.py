"""Plane walls: layers, films of air, and the coefficient over a mean surface."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

FILMS = {"inside, still": 8.29, "inside, heat up": 9.26, "inside, heat down": 6.13, "wind": 34.0}
"""Films of air with radiation, emittance 0.9, wind of 24 km/h. [W/(m² K)]

ASHRAE Handbook-Fundamentals, table of surface conductances: vertical and wind as used by
Y. A. Çengel, Heat and Mass Transfer, Example 3-15, the horizontal ones from memory."""

SURFACE_RESISTANCE = {"up": 0.10, "horizontal": 0.13, "down": 0.17, "outside": 0.04}
"""Surface resistances of buildings by the direction of heat. [m² K/W]

ISO 6946:2017, Annex C (from memory)."""


def layers_resistance(thickness: ArrayLike, conductivity: ArrayLike) -> np.ndarray:
    """Resistance of layers one behind the other, for a square metre.

    Parameters
    ----------
    thickness : array_like
        Of each layer, along the last axis. [m]
    conductivity : array_like
        Of each layer, along the last axis. [W/(m K)]

    Returns
    -------
    ndarray
        Sum over the last axis of thickness over conductivity. [m² K/W]

    References
    ----------
    .. [1] F. P. Incropera and D. P. DeWitt, Fundamentals of Heat and Mass Transfer, 6th ed.,
       section 3.1 (section from memory).

    Examples
    --------
    >>> float(layers_resistance([0.040], [0.035]).round(2))
    1.14
    """
    return np.sum(np.asarray(thickness, float) / np.asarray(conductivity, float), axis=-1)


def plane_leak(
    area: ArrayLike, resistance: ArrayLike, film_inside: ArrayLike, film_outside: ArrayLike
) -> np.ndarray:
    """Heat leak of a plane wall; with the inner or the outer surface of a box its plain variant.

    Parameters
    ----------
    area : array_like
        One area for films and wall alike. [m²]
    resistance : array_like
        Thickness over conductivity. [m² K/W]
    film_inside, film_outside : array_like
        [W/(m² K)]

    Returns
    -------
    ndarray
        [W/K]

    References
    ----------
    .. [1] Y. A. Çengel, Heat and Mass Transfer: A Practical Approach, Example 3-15.

    Examples
    --------
    >>> float(plane_leak(126.0, 2.3, 8.29, 34.0).round(2))  # the example, as W/K
    51.43
    """
    through = np.asarray(resistance) + 1 / np.asarray(film_inside) + 1 / np.asarray(film_outside)
    return np.asarray(area) / through


def mean_coefficient(leak: ArrayLike, inner: ArrayLike, outer: ArrayLike) -> np.ndarray:
    """Coefficient of heat transfer of a body over the geometric mean of its surfaces.

    Parameters
    ----------
    leak : array_like
        [W/K]
    inner, outer : array_like
        Surfaces. [m²]

    Returns
    -------
    ndarray
        At most 0.70 for normal, 0.40 for heavy insulation of transport bodies. [W/(m² K)]

    References
    ----------
    .. [1] Agreement on the international carriage of perishable foodstuffs (ATP), Annex 1
       (definition of the surface from memory).
    """
    return np.asarray(leak) / np.sqrt(np.asarray(inner) * np.asarray(outer))
