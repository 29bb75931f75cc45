"""Heat in the load: water, containers and the ice that forms."""

from __future__ import annotations

import numpy as np

from coldbench import draws
from coldbench.analysis.limits import LIMITS
from coldbench.physics.water import heat_to_cool_container, heat_to_cool_water
from coldbench.sheets import RunSheet


def load_mass(run: RunSheet) -> float:
    """Water in the load.

    Returns
    -------
    float
        All containers together. [kg]

    References
    ----------
    .. [1] This kit's own definition.
    """
    return float(sum(item.count * item.water.value for item in run.load))


def load_mass_draws(run_id: str, run: RunSheet) -> np.ndarray:
    """Draws of the water's mass: stated limits, else a nominal filling's.

    Returns
    -------
    ndarray, shape (4000,)
        [kg]

    References
    ----------
    .. [1] JCGM 101:2008, 6.4.2; the filling's limit of 3 % is assumed.
    """
    total = np.zeros(draws.DRAWS)
    for i, item in enumerate(run.load):
        mass, limit = item.water.value, item.water.limit
        # Bottles of one filling share its error: one constant, not one a bottle.
        half = limit if limit is not None else LIMITS.filling * mass
        total += item.count * (mass + draws.uniform(f"{run_id} load {i} filling", half))
    return total


def load_heat(
    run: RunSheet, water_kg: np.ndarray | float, start: np.ndarray | float,
    target: np.ndarray | float,
) -> np.ndarray:
    """Heat given up by load and containers from a start temperature to a target.

    Parameters
    ----------
    run : RunSheet
        Its ``[[load]]`` blocks.
    water_kg : float or ndarray, shape (4000,)
        [kg]
    start : float or ndarray, shape (4000,)
        [°C]
    target : float or ndarray, shape (4000,)
        Below 0 °C the whole load counts as frozen: its centre has passed the plateau. [°C]

    Returns
    -------
    ndarray
        [Wh]

    References
    ----------
    .. [1] Property values and sources: :mod:`coldbench.physics.water`.
    """
    heat = water_kg * heat_to_cool_water(start, target)
    for item in run.load:
        if item.container is not None:
            each = heat_to_cool_container(item.container.material, start, target)
            heat = heat + item.count * item.container.mass.value * each
    return np.asarray(heat) / 3600
