"""Water that cools, supercools, freezes and melts, by its enthalpy.

A load is two nodes: a shell (with the containers) that the air touches, and a core where the probe
sits. Heat content is counted from liquid water at 0 °C.
"""

from __future__ import annotations

import numpy as np

from coldbench.physics.water import CP_ICE, CP_WATER, LATENT_HEAT

SHELL_SHARE = 0.6  # of the water; this kit's own choice
STIRRED = 50.0  # shell to core by convection in liquid water [W/K per kg]
FROZEN = 8.0  # shell to core through ice [W/K per kg]


def temperature(
    content: np.ndarray, water: np.ndarray, other: np.ndarray, seeded: np.ndarray
) -> np.ndarray:
    """Temperature of a node from its heat content.

    Parameters
    ----------
    content : ndarray
        Heat content above liquid water at 0 °C. [J]
    water : ndarray
        [kg]
    other : ndarray
        Heat capacity of what shares the node, a container. [J/K]
    seeded : ndarray of bool
        Ice is present somewhere in the load, so that water below 0 °C freezes.

    Returns
    -------
    ndarray
        [°C]
    """
    liquid = content / (water * CP_WATER + other)
    below_ice = (content + water * LATENT_HEAT) / (water * CP_ICE + other)
    return np.where(seeded & (content < 0), np.minimum(below_ice, 0.0), liquid)


def ice_share(content: np.ndarray, water: np.ndarray, seeded: np.ndarray) -> np.ndarray:
    """Share of a node's water that is ice.

    Parameters
    ----------
    content : ndarray
        [J]
    water : ndarray
        [kg]
    seeded : ndarray of bool
        As in ``temperature``.

    Returns
    -------
    ndarray
        Between 0 and 1. [-]
    """
    return np.where(seeded, np.clip(-content / (water * LATENT_HEAT), 0.0, 1.0), 0.0)


def content_at(
    degrees: np.ndarray, water: np.ndarray, other: np.ndarray, as_ice: np.ndarray
) -> np.ndarray:
    """Heat content of a node at a temperature.

    Parameters
    ----------
    degrees : ndarray
        [°C]
    water : ndarray
        [kg]
    other : ndarray
        [J/K]
    as_ice : ndarray of bool
        All of it ice.

    Returns
    -------
    ndarray
        [J]
    """
    liquid = (water * CP_WATER + other) * degrees
    ice = (water * CP_ICE + other) * degrees - water * LATENT_HEAT
    return np.where(as_ice, ice, liquid)
