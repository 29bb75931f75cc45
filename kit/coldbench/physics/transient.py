"""Cooling of a body with a lag inside: the first term of the series for slab, cylinder, sphere."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

Shape = Literal["slab", "cylinder", "sphere"]

FOURIER_LEAST = 0.2
"""Fourier number from which the first term of the series stands for all, within about 2 %. [-]

Y. A. Çengel, Heat and Mass Transfer: A Practical Approach, section 4-2 (from memory)."""


@dataclass(frozen=True)
class OneTerm:
    """First term of the series, for a body that was of one temperature at the start.

    Attributes
    ----------
    root : ndarray
        First root of the shape's equation. [-]
    centre, mean : ndarray
        Factors of the centre's and the mean difference to the surroundings. [-]
    """

    root: np.ndarray
    centre: np.ndarray
    mean: np.ndarray


def one_term(shape: Shape, biot: ArrayLike) -> OneTerm:
    """Root and factors of the first term for a slab, a long cylinder or a sphere.

    Parameters
    ----------
    shape : {"slab", "cylinder", "sphere"}
        The slab is cooled on both faces, the cylinder has no ends.
    biot : array_like
        Film times half thickness, or radius, over conductivity; above zero. Not the number of
        the lumped gate, whose length is volume over surface. [-]

    Returns
    -------
    OneTerm
        The difference left is ``factor · exp(−root² Fo)`` of that at the start.

    References
    ----------
    .. [1] Y. A. Çengel, Heat and Mass Transfer: A Practical Approach, section 4-2 and table 4-2:
       ``ζ tan ζ = Bi``; ``ζ J1(ζ)/J0(ζ) = Bi``; ``1 − ζ cot ζ = Bi`` (means from memory; they are
       the factors integrated over the body).

    Examples
    --------
    >>> term = one_term("sphere", 1.0)
    >>> round(float(term.root), 4), round(float(term.centre), 4)  # the table: 1.5708, 1.2732
    (1.5708, 1.2732)
    """
    from scipy.special import j0, j1

    biot = np.asarray(biot, float)
    if shape == "slab":
        z = _root(lambda z: z * np.sin(z) - biot * np.cos(z), np.pi / 2, biot)
        centre = 4 * np.sin(z) / (2 * z + np.sin(2 * z))
        return OneTerm(z, centre, centre * np.sin(z) / z)
    if shape == "cylinder":
        z = _root(lambda z: z * j1(z) - biot * j0(z), 2.404825557695773, biot)
        centre = 2 * j1(z) / (z * (j0(z) ** 2 + j1(z) ** 2))
        return OneTerm(z, centre, centre * 2 * j1(z) / z)
    z = _root(lambda z: (1 - biot) * np.sin(z) - z * np.cos(z), np.pi, biot)
    bulge = np.sin(z) - z * np.cos(z)
    centre = 4 * bulge / (2 * z - np.sin(2 * z))
    return OneTerm(z, centre, centre * 3 * bulge / z**3)


def centre_left(shape: Shape, biot: ArrayLike, fourier: ArrayLike) -> np.ndarray:
    """Share of the difference to the surroundings that the centre of a body still has.

    Parameters
    ----------
    shape : {"slab", "cylinder", "sphere"}
        As in ``one_term``.
    biot : array_like
        As in ``one_term``. [-]
    fourier : array_like
        Diffusivity times time over half thickness, or radius, squared. [-]

    Returns
    -------
    ndarray
        1 at the start, 0 in the end. [-]

    Raises
    ------
    ValueError
        A Fourier number lies below 0.2: one term is not enough yet.

    References
    ----------
    .. [1] Y. A. Çengel, Heat and Mass Transfer: A Practical Approach, section 4-2 (from memory).

    Examples
    --------
    >>> centre_left("slab", 1.0, [0.2, 1.0]).round(4)
    array([0.9651, 0.5339])
    """
    fourier = np.asarray(fourier, float)
    _refuse_early(fourier)
    term = one_term(shape, biot)
    return term.centre * np.exp(-(term.root**2) * fourier)


def fourier_to_reach(shape: Shape, biot: ArrayLike, left: ArrayLike) -> np.ndarray:
    """Fourier number at which the centre has a given share of the difference left.

    Parameters
    ----------
    shape : {"slab", "cylinder", "sphere"}
        As in ``one_term``.
    biot : array_like
        As in ``one_term``. [-]
    left : array_like
        Share of the difference at the start, above 0 and below 1. [-]

    Returns
    -------
    ndarray
        Times half thickness, or radius, squared over diffusivity it is the time. [-]

    Raises
    ------
    ValueError
        It lies below 0.2: one term is not enough yet.

    References
    ----------
    .. [1] ``centre_left`` solved for the Fourier number.
    """
    term = one_term(shape, biot)
    fourier = np.log(term.centre / np.asarray(left, float)) / term.root**2
    _refuse_early(fourier)
    return fourier


def _refuse_early(fourier: np.ndarray) -> None:
    if np.any(fourier < FOURIER_LEAST):
        raise ValueError(
            f"too early for one term: Fourier number {np.min(fourier):.2g} is below "
            f"{FOURIER_LEAST:g}"
        )


def _root(residual: Callable[[np.ndarray], np.ndarray], most: float, like: np.ndarray):
    """Root of a function that goes from below to above zero, by bisection."""
    low, high = np.zeros_like(like), np.full_like(like, most)
    for _ in range(60):
        middle = (low + high) / 2
        above = residual(middle) > 0
        low, high = np.where(above, low, middle), np.where(above, middle, high)
    return (low + high) / 2
