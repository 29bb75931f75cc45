"""Heat through the walls of a cuboid box: walls, edges, corners and the films of air on both sides.

Lengths are the inside's; walls may differ in thickness. ``walls.plane_leak`` with the inner or the
outer surface gives the plain variants, without edges, for comparison only: on a small box they are
wrong by tens of percent, the inner surface low, the outer one high.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

EDGE, CORNER = 0.54, 0.15
"""Shape factors of an edge, for its length, and of a corner, for the wall's thickness. [-]

I. Langmuir, E. Q. Adams and G. S. Meikle, Transactions of the American Electrochemical Society 24
(1913), as in J. P. Holman, Heat Transfer, table 3-1 (reference from memory)."""

INSIDE_LEAST = 0.2
"""Least inside length, in wall thicknesses, for which these factors hold. [-]

J. P. Holman, Heat Transfer, table 3-1 (from memory); an edge alone needs as much."""


@dataclass(frozen=True)
class Box:
    """A cuboid box: inside lengths and its six walls, all numbers or arrays of one shape.

    Attributes
    ----------
    width, depth, height : array_like
        Inside. [m]
    left, right, front, back, bottom, lid : array_like
        Thickness of each wall. [m]
    """

    width: ArrayLike
    depth: ArrayLike
    height: ArrayLike
    left: ArrayLike
    right: ArrayLike
    front: ArrayLike
    back: ArrayLike
    bottom: ArrayLike
    lid: ArrayLike

    def inside(self) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Width, depth and height inside. [m]"""
        return tuple(np.asarray(side, float) for side in (self.width, self.depth, self.height))

    def walls(self) -> tuple[tuple[np.ndarray, np.ndarray], ...]:
        """Thickness of the two walls across the width, the depth and the height. [m]"""
        pairs = ((self.left, self.right), (self.front, self.back), (self.bottom, self.lid))
        return tuple(tuple(np.asarray(wall, float) for wall in pair) for pair in pairs)

    def outside(self) -> tuple[np.ndarray, ...]:
        """Width, depth and height outside. [m]"""
        return tuple(
            side + a + b for side, (a, b) in zip(self.inside(), self.walls(), strict=True)
        )


def even_box(width: ArrayLike, depth: ArrayLike, height: ArrayLike, wall: ArrayLike) -> Box:
    """Box with one thickness of wall all round.

    Parameters
    ----------
    width, depth, height : array_like
        Inside. [m]
    wall : array_like
        Thickness. [m]

    Returns
    -------
    Box

    References
    ----------
    .. [1] This kit's own definition.
    """
    return Box(width, depth, height, wall, wall, wall, wall, wall, wall)


def volume(lengths: tuple[np.ndarray, ...]) -> np.ndarray:
    """Volume of a cuboid.

    Parameters
    ----------
    lengths : tuple of ndarray
        ``box.inside()`` or ``box.outside()``. [m]

    Returns
    -------
    ndarray
        [m³]

    References
    ----------
    .. [1] Definition of the volume of a cuboid.
    """
    return lengths[0] * lengths[1] * lengths[2]


def surface(lengths: tuple[np.ndarray, ...]) -> np.ndarray:
    """Surface of a cuboid.

    Parameters
    ----------
    lengths : tuple of ndarray
        ``box.inside()`` or ``box.outside()``. [m]

    Returns
    -------
    ndarray
        [m²]

    References
    ----------
    .. [1] Definition of the surface of a cuboid.
    """
    w, d, h = lengths
    return 2 * (w * d + w * h + d * h)


def edge_factor(one: ArrayLike, other: ArrayLike) -> np.ndarray:
    """Shape factor of an edge between two walls, for each metre of its inside length.

    Parameters
    ----------
    one, other : array_like
        Thickness of the two walls. [m]

    Returns
    -------
    ndarray
        0.54 for equal walls, more for unequal ones. [-]

    Notes
    -----
    Between equal walls the exact value is 0.559; the handbook's 0.54 is kept and raised for
    unequal walls, of ratio r, in proportion to the exact
    ``(ln((1 + r²)(1 + 1/r²)/16) + 2r atan(1/r) + (2/r) atan r)/π``.

    References
    ----------
    .. [1] ``EDGE``. The exact expression is this kit's own, by conformal mapping of the edge
       between two half-infinite walls.

    Examples
    --------
    >>> edge_factor(0.04, [0.04, 0.08]).round(3)
    array([0.54 , 0.622])
    """
    r = np.asarray(one, float) / np.asarray(other, float)
    return EDGE * _exact_edge(r) / _exact_edge(1.0)


def shape_factor(box: Box) -> np.ndarray:
    """Shape factor of the walls with edges and corners: heat is conductivity times it times kelvin.

    Parameters
    ----------
    box : Box

    Returns
    -------
    ndarray
        Inside area over thickness, 0.54 of each edge, 0.15 of the mean thickness at each of the
        eight corners. [m]

    Raises
    ------
    ValueError
        An inside length is not above a fifth of a wall's thickness.

    References
    ----------
    .. [1] J. P. Holman, Heat Transfer (SI), 10th ed., Example 3-2 and table 3-1. Three-dimensional
       finite volumes give 0.4 % more for a box of 30 × 20 × 24 cm with walls of 4 cm.

    Examples
    --------
    >>> float(shape_factor(even_box(0.5, 0.5, 0.5, 0.1)).round(2))  # the example: 18.36
    18.36
    """
    sides, walls = box.inside(), box.walls()
    _refuse_thick(sides, [wall for pair in walls for wall in pair])
    total = np.zeros(())
    for axis, (side, pair) in enumerate(zip(sides, walls, strict=True)):
        b, c = (axis + 1) % 3, (axis + 2) % 3
        total = total + sides[b] * sides[c] * (1 / pair[0] + 1 / pair[1])
        total = total + side * sum(edge_factor(x, y) for x in walls[b] for y in walls[c])
        total = total + CORNER * 4 * (pair[0] + pair[1]) / 3
    return total


def heat_leak(
    box: Box, conductivity: ArrayLike, film_inside: ArrayLike, film_outside: ArrayLike
) -> np.ndarray:
    """Heat leak of a box: films and walls with edges and corners one behind the other.

    Parameters
    ----------
    box : Box
    conductivity : array_like
        Of the walls, at their mean temperature. [W/(m K)]
    film_inside, film_outside : array_like
        Infinite leaves the film out. [W/(m² K)]

    Returns
    -------
    ndarray
        [W/K]

    Raises
    ------
    ValueError
        As in ``shape_factor``.

    Notes
    -----
    Seal, hinges, drain and machine are not in it; a measured leak is usually larger.

    References
    ----------
    .. [1] Resistances in series: films over inner and outer surface after Y. A. Çengel, Heat and
       Mass Transfer: A Practical Approach, Example 3-15, walls by ``shape_factor``.

    Examples
    --------
    >>> box = even_box(0.52, 0.32, 0.32, 0.04)
    >>> float(heat_leak(box, 0.025, 6.0, 8.0).round(2))
    0.52
    """
    walls = 1 / (np.asarray(conductivity) * shape_factor(box))
    inner = 1 / (np.asarray(film_inside) * surface(box.inside()))
    outer = 1 / (np.asarray(film_outside) * surface(box.outside()))
    return 1 / (inner + walls + outer)


def _refuse_thick(sides: tuple[np.ndarray, ...], walls: list[np.ndarray]) -> None:
    least = np.minimum.reduce(np.broadcast_arrays(*sides))
    thickest = np.maximum.reduce(np.broadcast_arrays(*walls))
    least, thickest = np.broadcast_arrays(least, thickest)
    if not least.size:
        return
    worst = np.argmin(least / thickest)
    if not least.flat[worst] > INSIDE_LEAST * thickest.flat[worst]:
        raise ValueError(
            "edge and corner factors do not hold: inside length "
            f"{1000 * least.flat[worst]:.0f} mm, wall of {1000 * thickest.flat[worst]:.0f} mm "
            "(needs more than a fifth)"
        )


def _exact_edge(r: ArrayLike) -> np.ndarray:
    """Exact shape factor of an edge by the ratio of its walls."""
    corner = np.log((1 + r**2) * (1 + 1 / r**2) / 16)
    return (corner + 2 * r * np.arctan(1 / r) + 2 / r * np.arctan(r)) / np.pi
