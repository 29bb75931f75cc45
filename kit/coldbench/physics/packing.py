"""How many round things stand on a rectangular floor: in squares, or staggered row by row.

Any length will do, as long as all are in the same unit. What is counted here can be placed; a
cleverer arrangement without rows may hold one or two more.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

SNUG = 1e-9
"""Share of a diameter by which things that just fit may be short, for rounding alone. [-]"""


@dataclass(frozen=True)
class Rows:
    """Rows of equal circles in a rectangle, numbers or arrays of one shape.

    Attributes
    ----------
    staggered : bool
        Every second row is moved by half a step, so that rows nest.
    short : bool
        Every second row has one fewer.
    turned : bool
        The rows run along the rectangle's depth, not its width.
    a_row, rows : array_like
        Circles in the first row, and rows. [-]
    step, pitch : array_like
        Between middles in a row, and between rows. [as the rectangle]
    """

    staggered: bool
    short: bool
    turned: bool
    a_row: ArrayLike
    rows: ArrayLike
    step: ArrayLike
    pitch: ArrayLike

    @property
    def count(self) -> np.ndarray:
        """Circles in all. [-]"""
        rows = np.asarray(self.rows)
        return np.asarray(self.a_row) * rows - (rows // 2 if self.short else 0)

    def middles(self, diameter: float) -> np.ndarray:
        """Middles of the circles from the rectangle's corner, shape (count, 2). [as diameter]"""
        places = []
        for row in range(int(self.rows)):
            odd = row % 2 == 1
            along = np.arange(int(self.a_row) - (self.short and odd)) * float(self.step)
            along = along + (float(self.step) / 2 if self.staggered and odd else 0.0)
            places.append(np.column_stack([along, np.full(len(along), row * float(self.pitch))]))
        middles = np.concatenate([np.empty((0, 2)), *places]) + diameter / 2
        return middles[:, ::-1] if self.turned else middles


def most(width: ArrayLike, depth: ArrayLike, diameter: float) -> np.ndarray:
    """Most circles that stand in a rectangle, in squares or staggered, rows either way.

    Parameters
    ----------
    width, depth : array_like
        Sides of the rectangle. [any length]
    diameter : float
        [as the sides]

    Returns
    -------
    ndarray
        Whole numbers. [-]

    References
    ----------
    .. [1] This kit's own definition: the largest count among :func:`arrangements`.

    Examples
    --------
    >>> int(most(300.0, 200.0, 66.0)), int(most(330.0, 190.0, 66.0))
    (13, 14)
    """
    return np.max([one.count for one in arrangements(width, depth, diameter)], axis=0)


def best(width: float, depth: float, diameter: float) -> Rows:
    """The arrangement with the most circles; squares where they hold as many.

    Parameters
    ----------
    width, depth, diameter : float
        Sides of the rectangle and diameter of the circles. [any length]

    Returns
    -------
    Rows
        Its lengths are as those given. [any length]

    References
    ----------
    .. [1] This kit's own definition.
    """
    return max(arrangements(width, depth, diameter), key=lambda one: int(one.count))


def arrangements(width: ArrayLike, depth: ArrayLike, diameter: float) -> Iterator[Rows]:
    """All arrangements in rows that are compared, squares first.

    Parameters
    ----------
    width, depth : array_like
        Sides of the rectangle. [any length]
    diameter : float
        [as the sides]

    Yields
    ------
    Rows

    Notes
    -----
    Staggered rows of n spread over the whole side: the wider the step, the deeper the next row
    nests, since the middles of three touching circles then form a flatter triangle. At a step of
    √3 diameters every second row touches the one before the last, and wider ones gain nothing.

    References
    ----------
    .. [1] This kit's own definition; plain geometry of touching circles.
    """
    width, depth = np.broadcast_arrays(np.asarray(width, float), np.asarray(depth, float))
    for turned, (across, along) in enumerate(((width, depth), (depth, width))):
        fits = [np.floor(np.maximum(side, 0) / diameter + SNUG).astype(int)
                for side in (across, along)]
        yield Rows(False, False, bool(turned), *fits, diameter, diameter)
        for a_row in range(1, int(fits[0].max(initial=0)) + 1):
            yield _staggered(across, along, diameter, a_row, turned=bool(turned), short=False)
            if a_row > 1:
                yield _staggered(across, along, diameter, a_row, turned=bool(turned), short=True)


def _staggered(
    across: np.ndarray, along: np.ndarray, diameter: float, a_row: int, *, turned: bool,
    short: bool,
) -> Rows:
    steps = a_row - 1 if short else a_row - 0.5
    room = across - diameter
    step = np.clip(room / steps, 0, np.sqrt(3) * diameter)
    pitch = np.sqrt(diameter**2 - step**2 / 4)
    rows = np.floor((along - diameter) / pitch + SNUG).astype(int) + 1
    wide_enough = room >= -SNUG * diameter if a_row == 1 else step >= diameter * (1 - SNUG)
    possible = wide_enough & (along >= diameter * (1 - SNUG))
    return Rows(True, short, turned, a_row, np.where(possible, rows, 0), step, pitch)
