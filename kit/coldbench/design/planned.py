"""A box as someone would build it, wall by wall: litres, heat leak, mass, board and price."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from coldbench.design.box import Excess, board_area, board_mass, drawn_walls, rim_of
from coldbench.design.wishes import Board
from coldbench.physics.box import INSIDE_LEAST, Box, surface, volume
from coldbench.physics.walls import mean_coefficient
from coldbench.sheets.campaign import PlannedBoxSheet

FACES = ("left", "right", "front", "back", "bottom", "lid")


@dataclass(frozen=True)
class Planned:
    """A box yet to be built.

    Parameters
    ----------
    box : Box
        [m]
    material : str
    inside, usable : float
        [L]
    outside : tuple of float
        Width, depth and height, without a machine. [m]
    walls : ndarray, shape (4000,)
        Heat leak by its sizes alone. [W/K]
    leak : ndarray, shape (4000,)
        With what the present box leaks beyond its own. [W/K]
    coefficient : ndarray, shape (4000,)
        Of that, over the mean surface. [W/(m² K)]
    area : float
        Of its walls, at their middle. [m²]
    mass : float
        Of the foam. [kg]
    price : float or None
        Of the foam. [currency]
    """

    box: Box
    material: str
    inside: float
    usable: float
    outside: tuple[float, float, float]
    walls: np.ndarray
    leak: np.ndarray
    coefficient: np.ndarray
    area: float
    mass: float
    price: float | None


def planned(
    sheet: PlannedBoxSheet, boards: Sequence[Board], excess: Excess, usable: float, wall: float,
    cooler: str,
) -> Planned | None:
    """What a box as drawn would be.

    Parameters
    ----------
    sheet : PlannedBoxSheet
    boards : sequence of Board
        Stated ones tell conductivity and price of its material.
    excess : Excess
        What the present box leaks beyond its walls.
    usable : float
        Share of the inside that can be filled. [-]
    wall : float
        Mean wall temperature. [°C]
    cooler : str
        Id of the present box.

    Returns
    -------
    Planned or None
        None where the walls are too thick for the inside: factors of edges and corners then do not
        hold.

    References
    ----------
    .. [1] :func:`coldbench.physics.box.heat_leak`; mean surface after the ATP agreement, Annex 1
       (from memory).
    """
    sides = [getattr(sheet, side).value / 1000 for side in ("width", "depth", "height")]
    thick = {face: (getattr(sheet, face) or sheet.wall).value / 1000 for face in FACES}
    if min(sides) <= INSIDE_LEAST * max(thick.values()):
        return None
    box = Box(*sides, **thick)
    board = next((one for one in boards if one.material == sheet.material),
                 Board(sheet.material, sheet.wall.value / 1000))
    # Layers do not matter: it is one foam all through.
    walls = drawn_walls(box, [(board.conducts(), board.thickness)], wall, cooler)
    leak = excess.carry(walls, rim_of(sides[0], sides[1]))
    outside, litres = box.outside(), float(1000 * volume(box.inside()))
    foam_volume = float(volume(outside) - volume(box.inside()))
    return Planned(
        box, sheet.material, litres, usable * litres, tuple(float(x) for x in outside), walls, leak,
        mean_coefficient(leak, surface(box.inside()), surface(outside)), float(board_area(box)),
        float(board_mass(box, sheet.material)),
        None if board.price is None else foam_volume / board.thickness * board.price,
    )
