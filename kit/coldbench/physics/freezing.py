"""Freezing times by Plank and by Pham, for slabs, long cylinders, spheres, cans and bricks.

Both take the half thickness or radius of the body, of a brick half its shortest side, and the
film at its surface; ``film_through_wall`` puts a container's wall into that film. The shape enters
Plank's law as two factors, Pham's as the equivalent dimension (``freezing_shapes``). Supercooling
is in neither: it comes on top, and differs from run to run.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from coldbench.physics.freezing_shapes import PlankFactors
from coldbench.physics.water import CP_ICE, CP_WATER, LATENT_HEAT

WATER_DENSITY = 1000.0
"""Mass of water in a volume that was filled before it froze. [kg/m³]"""


@dataclass(frozen=True)
class Substance:
    """What freezes, for each cubic metre as filled.

    Attributes
    ----------
    heat_unfrozen, heat_frozen : float
        Heat capacities. [J/(m³ K)]
    latent : float
        Heat of freezing. [J/m³]
    conductivity_frozen : float
        [W/(m K)]
    """

    heat_unfrozen: float
    heat_frozen: float
    latent: float
    conductivity_frozen: float


WATER = Substance(
    WATER_DENSITY * CP_WATER, WATER_DENSITY * CP_ICE, WATER_DENSITY * LATENT_HEAT, 2.22
)
"""Plain water; the conductivity is that of ice near −5 °C, see ``ice_conductivity``.

Ice takes a twelfth more room than the water did; that lengthens its way for heat, which these
laws leave out."""


def freezing_heat(
    start: ArrayLike,
    freezing_point: ArrayLike,
    end: ArrayLike,
    heat_unfrozen: ArrayLike,
    latent: ArrayLike,
    heat_frozen: ArrayLike,
) -> np.ndarray:
    """Heat given up by a kilogram on its way through its freezing point.

    Parameters
    ----------
    start, freezing_point, end : array_like
        Start not below the freezing point, end not above it. [°C]
    heat_unfrozen, heat_frozen : array_like
        [J/(kg K)]
    latent : array_like
        [J/kg]

    Returns
    -------
    ndarray
        [J/kg]

    References
    ----------
    .. [1] G. F. Hundy, A. R. Trott and T. C. Welch, Refrigeration and Air-Conditioning, 4th ed.,
       Example 18.6, p. 231.

    Examples
    --------
    >>> heat = freezing_heat(2.0, -1.0, -12.0, 3200.0, 225e3, 1630.0)
    >>> float((90e3 * heat / 86400 / 1000).round())  # 90 t a day, kW; the example: 263
    263.0
    """
    start, point, end = (np.asarray(one, float) for one in (start, freezing_point, end))
    warm = np.asarray(heat_unfrozen) * (start - point)
    return warm + np.asarray(latent) + np.asarray(heat_frozen) * (point - end)


def film_through_wall(
    film: ArrayLike, thickness: ArrayLike, conductivity: ArrayLike
) -> np.ndarray:
    """Film as the content of a container sees it: the wall stands behind it.

    Parameters
    ----------
    film : array_like
        On the outside. [W/(m² K)]
    thickness : array_like
        Of the wall, thin against the container; its two surfaces count as one. [m]
    conductivity : array_like
        Of the wall. [W/(m K)]

    Returns
    -------
    ndarray
        [W/(m² K)]

    References
    ----------
    .. [1] Resistances in series; F. P. Incropera and D. P. DeWitt, Fundamentals of Heat and Mass
       Transfer, 6th ed., section 3.1 (section from memory).

    Examples
    --------
    >>> float(film_through_wall(10.0, 0.001, 0.2).round(2))  # a bottle of 1 mm PET
    9.52
    """
    return 1 / (1 / np.asarray(film, float) + np.asarray(thickness) / np.asarray(conductivity))


def plank_time(
    size: ArrayLike,
    film: ArrayLike,
    conductivity_frozen: ArrayLike,
    latent: ArrayLike,
    freezing_point: ArrayLike,
    surroundings: ArrayLike,
    factors: PlankFactors,
) -> np.ndarray:
    """Time in which a body that starts at its freezing point freezes through, after Plank.

    Parameters
    ----------
    size : array_like
        Half thickness or radius; of a brick half the shortest side. [m]
    film : array_like
        [W/(m² K)]
    conductivity_frozen : array_like
        [W/(m K)]
    latent : array_like
        [J/m³]
    freezing_point, surroundings : array_like
        Surroundings below the freezing point. [°C]
    factors : PlankFactors
        Of the shape.

    Returns
    -------
    ndarray
        Too short where the body starts warm or ends cold: no sensible heat is in it. [s]

    Raises
    ------
    ValueError
        Surroundings not below the freezing point.

    References
    ----------
    .. [1] C. J. Geankoplis, Transport Processes and Unit Operations, 3rd ed., Example 5.5-2,
       p. 364: ``λρ/(Tf − Ta) · (P a/h + R a²/k)`` with a the full thickness.

    Examples
    --------
    >>> from coldbench.physics.freezing_shapes import PLANK
    >>> meat = plank_time(0.0635 / 2, 17.0, 1.038, 1057 * 251.25e3, -2.75, -28.85, PLANK["slab"])
    >>> round(float(meat) / 3600, 2)  # h; the example: 6.65
    6.65
    """
    full = 2 * np.asarray(size, float)
    difference = _below(surroundings, freezing_point)
    through = factors.film * full / np.asarray(film)
    through = through + factors.body * full**2 / np.asarray(conductivity_frozen)
    return np.asarray(latent) / difference * through


def pham_mean_freezing(end: ArrayLike, surroundings: ArrayLike) -> np.ndarray:
    """Temperature that parts precooling from freezing in Pham's method, for moist foods.

    Parameters
    ----------
    end : array_like
        Of the centre. [°C]
    surroundings : array_like
        [°C]

    Returns
    -------
    ndarray
        Plain water freezes at 0 °C instead. [°C]

    References
    ----------
    .. [1] Q. T. Pham, Journal of Food Technology 21 (1986), as in the ASHRAE
       Handbook-Refrigeration, chapter on cooling and freezing times of foods.

    Examples
    --------
    >>> float(pham_mean_freezing(-10.0, -30.0))
    -3.98
    """
    return 1.8 + 0.263 * np.asarray(end, float) + 0.105 * np.asarray(surroundings, float)


def pham_time(
    size: ArrayLike,
    film: ArrayLike,
    substance: Substance,
    start: ArrayLike,
    end: ArrayLike,
    surroundings: ArrayLike,
    dimension: ArrayLike,
    mean_freezing: ArrayLike | None = None,
) -> np.ndarray:
    """Time from a warm start to a frozen centre, after Pham.

    Parameters
    ----------
    size : array_like
        Half thickness or radius; of a brick half the shortest side. [m]
    film : array_like
        [W/(m² K)]
    substance : Substance
    start, end, surroundings : array_like
        Of the whole body, of its centre, of the air around. [°C]
    dimension : array_like
        Equivalent dimension: 1 slab, 2 long cylinder, 3 sphere, others from
        ``freezing_shapes``. [-]
    mean_freezing : array_like, optional
        Temperature between precooling and freezing; ``pham_mean_freezing`` if not given, 0 for
        plain water. [°C]

    Returns
    -------
    ndarray
        [s]

    Raises
    ------
    ValueError
        Not start ≥ mean freezing ≥ end > surroundings.

    Notes
    -----
    Made for Biot numbers of 0.02 to 11 and end temperatures to −25 °C (range from memory);
    published comparisons speak of 10 to 15 %.

    References
    ----------
    .. [1] Q. T. Pham, Journal of Food Technology 21 (1986), as in the ASHRAE
       Handbook-Refrigeration, chapter on cooling and freezing times of foods:
       ``d/(E h) (ΔH1/ΔT1 + ΔH2/ΔT2)(1 + Bi/2)``.

    Examples
    --------
    >>> time = pham_time(0.025, 12.0, WATER, 20.0, -10.0, -20.0, 1.0, mean_freezing=0.0)
    >>> round(float(time) / 3600, 1)  # h, a slab of water of 50 mm
    12.7
    """
    if mean_freezing is None:
        mean_freezing = pham_mean_freezing(end, surroundings)
    size, film, mean = (np.asarray(one, float) for one in (size, film, mean_freezing))
    start, end, around = (np.asarray(one, float) for one in (start, end, surroundings))
    if np.any(start < mean) or np.any(mean < end):
        raise ValueError("Pham's method goes from above the mean freezing temperature to below it")
    _below(around, end)
    precooling = substance.heat_unfrozen * (start - mean) / ((start + mean) / 2 - around)
    freezing = (substance.latent + substance.heat_frozen * (mean - end)) / (mean - around)
    lag = 1 + film * size / substance.conductivity_frozen / 2
    return size / (np.asarray(dimension) * film) * (precooling + freezing) * lag


def _below(surroundings: ArrayLike, limit: ArrayLike) -> np.ndarray:
    """How far the surroundings lie below a temperature. [K]"""
    difference = np.asarray(limit, float) - np.asarray(surroundings, float)
    if np.any(difference <= 0):
        raise ValueError("never frozen: the surroundings are not colder")
    return difference
