"""Shape in freezing: Plank's two factors and Pham's equivalent dimension.

Lengths are ratios. Of a brick both other sides are counted in its shortest side; of a can its
height in its diameter, whichever is longer.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike


@dataclass(frozen=True)
class PlankFactors:
    """Factors of Plank's law for the full thickness.

    Attributes
    ----------
    film : ndarray or float
        Of the film's share, P: volume over surface. [-]
    body : ndarray or float
        Of the frozen body's share, R. [-]
    """

    film: np.ndarray | float
    body: np.ndarray | float


PLANK = {
    "slab": PlankFactors(1 / 2, 1 / 8),
    "cylinder": PlankFactors(1 / 4, 1 / 16),
    "sphere": PlankFactors(1 / 6, 1 / 24),
}
"""Shapes of one dimension.

C. J. Geankoplis, Transport Processes and Unit Operations, 3rd ed., section 5.5 (cylinder and
sphere from memory)."""

# Nodes from 0 to 1 for the fronts' way to the middle; the integrand is a smooth ratio.
_X, _W = np.polynomial.legendre.leggauss(64)
_LEFT, _WEIGHT = (1 - _X) / 2, _W / 2


def plank_brick(second: ArrayLike, third: ArrayLike) -> PlankFactors:
    """Plank's factors of a brick that is cooled on all six sides.

    Parameters
    ----------
    second, third : array_like
        The other two sides over the shortest, each at least 1. [-]

    Returns
    -------
    PlankFactors

    Raises
    ------
    ValueError
        A ratio below 1.

    Notes
    -----
    Plank lets the fronts move in from all faces alike, so that the body factor is the integral of
    unfrozen volume over unfrozen surface along their way. It is taken numerically; the closed form
    of the handbooks, which divides zero by zero for a cube, gives the same.

    References
    ----------
    .. [1] R. Plank's model as in the ASHRAE Handbook-Refrigeration, chapter on cooling and
       freezing times of foods; written as an integral by this kit.

    Examples
    --------
    >>> brick = plank_brick(2.4, 4.0)
    >>> float(brick.film.round(3)), float(brick.body.round(3))  # handbook: 0.3, chart: 0.085
    (0.3, 0.085)
    """
    b, c = _at_least_one(second), _at_least_one(third)
    film = b * c / (2 * (b * c + b + c))
    u = _LEFT
    v, w = b[..., None] - 1 + u, c[..., None] - 1 + u
    ratio = u * v * w / (2 * (u * v + u * w + v * w))
    return PlankFactors(film, np.sum(ratio * _WEIGHT, axis=-1) / 2)


def plank_can(height: ArrayLike) -> PlankFactors:
    """Plank's factors of a can or bottle that is cooled all round, counted in its diameter.

    Parameters
    ----------
    height : array_like
        Over the diameter. [-]

    Returns
    -------
    PlankFactors
        For the diameter as full thickness, also where the can is flatter than wide.

    Raises
    ------
    ValueError
        A height that is not above 0.

    References
    ----------
    .. [1] As in ``plank_brick``, with the volume and surface of a can; this kit's own.

    Examples
    --------
    >>> can = plank_can(1.8)
    >>> float(can.film.round(3)), float(can.body.round(3))
    (0.196, 0.051)
    """
    b = np.asarray(height, float)
    if np.any(b <= 0):
        raise ValueError("a can's height over its diameter is above 0")
    film = b / (2 + 4 * b)
    way = np.minimum(b, 1.0)[..., None]
    radial, axial = 1 - way + way * _LEFT, b[..., None] - way + way * _LEFT
    ratio = radial * axial / (2 * radial + 4 * axial)
    return PlankFactors(film, np.sum(ratio * _WEIGHT, axis=-1) * way[..., 0] / 2)


def brick_dimension(second: ArrayLike, third: ArrayLike, biot: ArrayLike) -> np.ndarray:
    """Equivalent dimension of a brick: how many times faster it freezes than a slab of its side.

    Parameters
    ----------
    second, third : array_like
        The other two sides over the shortest, each at least 1. [-]
    biot : array_like
        Film times half the shortest side over conductivity when frozen. [-]

    Returns
    -------
    ndarray
        ``1 + 1/b + 1/c`` for a slight film, ``1 + 1/b² + 1/c²`` for a strong one. [-]

    Raises
    ------
    ValueError
        A ratio below 1.

    References
    ----------
    .. [1] Q. T. Pham (1991) as in the ASHRAE Handbook-Refrigeration, chapter on cooling and
       freezing times of foods (from memory); its limit for a slight film is eq. (20) of the
       edition of 2010, p. 20.5.

    Examples
    --------
    >>> brick_dimension(2.0, 3.0, [1e-6, 1.0, 1e6]).round(3)
    array([1.833, 1.575, 1.361])
    """
    b, c = _at_least_one(second), _at_least_one(third)
    return 1 + _side(b, biot) + _side(c, biot)


def can_dimension(height: ArrayLike, biot: ArrayLike) -> np.ndarray:
    """Equivalent dimension of a can; goes with half its diameter or half its height.

    Parameters
    ----------
    height : array_like
        Over the diameter, above 0. From 1 on the size is the radius, below half the height. [-]
    biot : array_like
        Film times that size over conductivity when frozen. [-]

    Returns
    -------
    ndarray
        2 for a long can, 1 for a flat one. [-]

    Raises
    ------
    ValueError
        A height that is not above 0.

    Notes
    -----
    A can has one pair of faces across its height and a round across it that counts as two. For
    a slight film the dimension is size times surface over volume, as it must be; a can as high
    as wide has the same dimension from both sides.

    References
    ----------
    .. [1] M. M. Hossain, D. J. Cleland and A. C. Cleland, International Journal of Refrigeration
       15 (1992), in the form of ``brick_dimension`` (from memory).

    Examples
    --------
    >>> can_dimension([0.2, 1.0, 1.8], 0.1).round(3)
    array([1.336, 3.   , 2.535])
    """
    b = np.asarray(height, float)
    if np.any(b <= 0):
        raise ValueError("a can's height over its diameter is above 0")
    return np.where(b >= 1, 2 + _side(np.maximum(b, 1), biot), 1 + 2 * _side(1 / b, biot))


def _side(ratio: np.ndarray, biot: ArrayLike) -> np.ndarray:
    """What a pair of faces further apart adds."""
    biot = np.asarray(biot, float)
    return (1 + 2 / biot) / (ratio**2 + 2 * ratio / biot)


def _at_least_one(ratio: ArrayLike) -> np.ndarray:
    ratio = np.asarray(ratio, float)
    if np.any(ratio < 1):
        raise ValueError("sides of a brick are counted in its shortest: ratios are at least 1")
    return ratio
