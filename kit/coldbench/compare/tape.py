"""Lengths as a tape gives them: one hidden constant a length, the same wherever it is used."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from coldbench import draws
from coldbench.analysis.limits import LIMITS
from coldbench.quantities import Quantity

SIDES = ("width", "depth", "height")


def taped(name: str, length: Quantity) -> np.ndarray:
    """Draws of a length under its stated limit, else that of a tape.

    Parameters
    ----------
    name : str
        Name of the length, such as ``"chest outside width"``.
    length : Quantity
        As a sheet states it. [mm]

    Returns
    -------
    ndarray, shape (4000,)
        [mm]

    References
    ----------
    .. [1] This kit's own definition; a tape's limit is assumed.
    """
    half = length.limit if length.limit is not None else LIMITS.tape
    return length.value + draws.uniform(name, half)


def sides_of(box: object) -> list[Quantity] | None:
    """Width, depth and height of a sheet's table, or None where one of them is missing."""
    sides = [getattr(box, side, None) for side in SIDES]
    return None if None in sides else sides


def taped_sides(name: str, sides: Iterable[Quantity]) -> np.ndarray:
    """Draws of a box's sides, shape (3, 4000). [mm]"""
    return np.array([taped(f"{name} {side}", length)
                     for side, length in zip(SIDES, sides, strict=True)])
