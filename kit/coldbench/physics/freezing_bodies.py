"""Freezing time of a slab, a can or a brick from its measures, by both methods at once."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from coldbench.physics.freezing import Substance, pham_time, plank_time
from coldbench.physics.freezing_shapes import (
    PLANK,
    PlankFactors,
    brick_dimension,
    can_dimension,
    plank_brick,
    plank_can,
)

Body = Literal["slab", "can", "brick"]


@dataclass(frozen=True)
class Times:
    """What the two methods say of one body.

    Attributes
    ----------
    plank, pham : ndarray
        Plank's has no sensible heat in it: it is the shorter one. [s]
    biot, dimension : ndarray
        Of Pham's method. [-]
    """

    plank: np.ndarray
    pham: np.ndarray
    biot: np.ndarray
    dimension: np.ndarray


def freezing_times(
    body: Body,
    lengths: tuple[ArrayLike, ...],
    film: ArrayLike,
    substance: Substance,
    start: ArrayLike,
    end: ArrayLike,
    surroundings: ArrayLike,
    freezing_point: ArrayLike = 0.0,
    mean_freezing: ArrayLike | None = 0.0,
) -> Times:
    """Freezing times of a body that is cooled alike on its whole surface.

    Parameters
    ----------
    body : {"slab", "can", "brick"}
    lengths : tuple of array_like
        Thickness of a slab; diameter and height of a can; three sides of a brick, in any
        order. [m]
    film : array_like
        As the content sees it, ``film_through_wall`` for a container. [W/(m² K)]
    substance : Substance
    start, end, surroundings : array_like
        Of the whole body, of its centre, of the air around. [°C]
    freezing_point : array_like
        For Plank. [°C]
    mean_freezing : array_like, optional
        For Pham: 0 for plain water, None for moist food. [°C]

    Returns
    -------
    Times

    Raises
    ------
    ValueError
        Not the lengths of such a body, or a body that never freezes.

    Notes
    -----
    A face that stands on a cold plate, or one that is insulated, is outside of this.

    References
    ----------
    .. [1] ``plank_time``, ``pham_time`` and ``freezing_shapes`` with their sources.

    Examples
    --------
    >>> from coldbench.physics.freezing import WATER, film_through_wall
    >>> film = film_through_wall(10.0, 0.0001, 200.0)
    >>> can = freezing_times("can", (0.066, 0.115), film, WATER, 20.0, -5.0, -20.0)
    >>> [round(float(time) / 3600, 1) for time in (can.plank, can.pham)]  # h
    [6.4, 7.7]
    """
    wanted = {"slab": 1, "can": 2, "brick": 3}[body]
    if len(lengths) != wanted:
        raise ValueError(f"a {body} has {wanted} lengths, found {len(lengths)}")
    sides = np.broadcast_arrays(*(np.asarray(one, float) for one in lengths))
    size, plank_size, factors = _measures(body, sides)
    biot = np.asarray(film, float) * size / substance.conductivity_frozen
    dimension = _dimension(body, sides, biot)
    plank = plank_time(
        plank_size, film, substance.conductivity_frozen, substance.latent, freezing_point,
        surroundings, factors,
    )
    pham = pham_time(
        size, film, substance, start, end, surroundings, dimension, mean_freezing
    )
    return Times(plank, pham, biot, dimension)


def _measures(body: Body, sides: list[np.ndarray]) -> tuple[np.ndarray, np.ndarray, PlankFactors]:
    """Size for Pham, size for Plank, and Plank's factors."""
    if body == "slab":
        return sides[0] / 2, sides[0] / 2, PLANK["slab"]
    if body == "can":
        diameter, height = sides
        return np.minimum(diameter, height) / 2, diameter / 2, plank_can(height / diameter)
    short, middle, long = np.sort(sides, axis=0)
    return short / 2, short / 2, plank_brick(middle / short, long / short)


def _dimension(body: Body, sides: list[np.ndarray], biot: np.ndarray) -> np.ndarray:
    """Pham's equivalent dimension."""
    if body == "slab":
        return np.ones_like(biot)
    if body == "can":
        return can_dimension(sides[1] / sides[0], biot)
    short, middle, long = np.sort(sides, axis=0)
    return brick_dimension(middle / short, long / short, biot)
