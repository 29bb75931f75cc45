"""Growth of ice on water from a cold face, after Neumann: the exact law of a flat front."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from coldbench.physics.water import CP_WATER, LATENT_HEAT

WATER_CONDUCTIVITY, WATER_DENSITY = 0.57, 1000.0
"""Of still water near 5 °C. [W/(m K)], [kg/m³]"""


@dataclass(frozen=True)
class Ice:
    """Ice at its mean temperature.

    Attributes
    ----------
    conductivity : float
        [W/(m K)]
    density : float
        [kg/m³]
    specific_heat : float
        [J/(kg K)]
    latent : float
        [J/kg]
    """

    conductivity: float = 2.22
    density: float = 917.0
    specific_heat: float = 2060.0
    latent: float = LATENT_HEAT


def growth_number(face: ArrayLike, water: ArrayLike = 0.0, ice: Ice | None = None) -> np.ndarray:
    """Front of the ice over twice the root of diffusivity times time.

    Parameters
    ----------
    face : array_like
        Temperature at which the cold face is held from time zero, below 0. [°C]
    water : array_like
        Of the water at time zero and far off, from 0. [°C]
    ice : Ice, optional
        Near −5 °C if not given.

    Returns
    -------
    ndarray
        [-]

    Raises
    ------
    ValueError
        Face not below or water below 0 °C.

    Notes
    -----
    No film, no supercooling, no stirring in the water, no swelling of the ice.

    References
    ----------
    .. [1] H. S. Carslaw and J. C. Jaeger, Conduction of Heat in Solids, 2nd ed., section 11.2
       (section from memory). With water at 0 °C it is Stefan's
       ``√π λ exp(λ²) erf(λ) = c (0 − face)/L``.

    Examples
    --------
    >>> growth_number([-5.0, -20.0]).round(4)
    array([0.1236, 0.2436])
    """
    from scipy.special import erf, erfcx

    ice = ice or Ice()
    face, water = np.broadcast_arrays(np.asarray(face, float), np.asarray(water, float))
    if np.any(face >= 0) or np.any(water < 0):
        raise ValueError("ice grows from a face below 0 °C on water not below it")
    diffusivity = ice.conductivity / (ice.density * ice.specific_heat)
    ratio = np.sqrt(diffusivity / (WATER_CONDUCTIVITY / (WATER_DENSITY * CP_WATER)))
    warm = WATER_CONDUCTIVITY / ice.conductivity * ratio * water
    latent = np.sqrt(np.pi) * ice.latent / ice.specific_heat
    low, high = np.full(face.shape, 1e-9), np.full(face.shape, 3.0)
    for _ in range(60):
        middle = (low + high) / 2
        # Heat that reaches the face, less what the water and the new ice give; it falls with λ.
        left = -face * np.exp(-(middle**2)) / erf(middle)
        left = left - warm / erfcx(middle * ratio) - latent * middle
        low, high = np.where(left > 0, middle, low), np.where(left > 0, high, middle)
    return (low + high) / 2


def ice_thickness(
    time: ArrayLike, face: ArrayLike, water: ArrayLike = 0.0, ice: Ice | None = None
) -> np.ndarray:
    """Thickness of ice that has grown on a cold face.

    Parameters
    ----------
    time : array_like
        Since the face became cold. [s]
    face, water : array_like
        As in ``growth_number``. [°C]
    ice : Ice, optional
        Near −5 °C if not given.

    Returns
    -------
    ndarray
        [m]

    Raises
    ------
    ValueError
        Face not below or water below 0 °C.

    References
    ----------
    .. [1] As ``growth_number``.

    Examples
    --------
    >>> ice = Ice(conductivity=2.3, density=918.2, specific_heat=2023.0, latent=333.42e3)
    >>> round(1000 * float(ice_thickness(3600.0, -10.0, ice=ice)), 2)  # mm in an hour
    23.03
    """
    ice = ice or Ice()
    diffusivity = ice.conductivity / (ice.density * ice.specific_heat)
    return 2 * growth_number(face, water, ice) * np.sqrt(diffusivity * np.asarray(time, float))
