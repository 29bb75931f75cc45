"""Modules in a box: arrays, the box as their cold side, the bridge they are without current.

The heat leak of a box is one more resistance on the cold side, towards an ambient that is raised
by what heats the inside.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from coldbench.physics.thermoelectric import Module
from coldbench.physics.thermoelectric_drive import Driven, Sides


def array_of(module: Module, series: int, parallel: int) -> Module:
    """Like modules between the same plates, as one.

    Parameters
    ----------
    module : Module
    series : int
        Modules in a string, one current through all.
    parallel : int
        Strings side by side, one voltage at all.

    Returns
    -------
    Module

    Raises
    ------
    ValueError
        Less than one module.

    References
    ----------
    .. [1] Kirchhoff's laws; side by side for heat in either case.

    Examples
    --------
    >>> array_of(Module(0.05, 2.0, 0.5), series=2, parallel=3)
    Module(seebeck=0.1, resistance=1.3333333333333333, conductance=3.0)
    """
    if series < 1 or parallel < 1:
        raise ValueError(f"an array of {series} × {parallel} has no modules")
    return Module(
        module.seebeck * series,
        module.resistance * series / parallel,
        module.conductance * series * parallel,
    )


def box_as_side(
    heat_leak: ArrayLike, t_ambient: ArrayLike, r_cold: ArrayLike, r_hot: ArrayLike,
    inside_heat: ArrayLike = 0.0,
) -> Sides:
    """A box in steady state, as sides of the module that cools it.

    Parameters
    ----------
    heat_leak : array_like
        Of the walls, without the module. [W/K]
    t_ambient : array_like
        [K]
    r_cold, r_hot : array_like
        From inside air to cold face, from hot face to ambient. [K/W]
    inside_heat : array_like
        Of a fan or a load inside. [W]

    Returns
    -------
    Sides
        The inside air is then at ``box_air`` of the solution.

    References
    ----------
    .. [1] Steady heat balance of the inside; this kit's own arrangement.
    """
    leak = np.asarray(heat_leak, float)
    return Sides(
        np.asarray(t_ambient) + np.asarray(inside_heat) / leak, t_ambient,
        np.asarray(r_cold) + 1 / leak, r_hot,
    )


def box_air(driven: Driven, r_cold: ArrayLike) -> np.ndarray:
    """Air inside a box, from the module that holds it.

    Parameters
    ----------
    driven : Driven
        Solved for ``box_as_side``.
    r_cold : array_like
        From inside air to cold face, as given there. [K/W]

    Returns
    -------
    ndarray
        [K]

    References
    ----------
    .. [1] Definition of the resistance.
    """
    return driven.t_cold + driven.point.cooling * np.asarray(r_cold)


def bridge(module: Module, r_cold: ArrayLike, r_hot: ArrayLike) -> np.ndarray:
    """Heat that modules without current let back in, for each kelvin.

    Parameters
    ----------
    module : Module
        One, or an array of them.
    r_cold, r_hot : array_like
        From inside to cold face, from hot face to ambient, fans as they are then. [K/W]

    Returns
    -------
    ndarray
        With open leads; a supply that lets the module's own current flow adds to it. [W/K]

    References
    ----------
    .. [1] Resistances in series.

    Examples
    --------
    >>> float(bridge(Module(0.05, 2.0, 0.6), 0.3, 0.25).round(3))
    0.451
    """
    return 1 / (np.asarray(r_cold) + 1 / np.asarray(module.conductance) + np.asarray(r_hot))
