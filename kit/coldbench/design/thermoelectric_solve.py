"""From what a run shows of modules back to their current, their faces and their volts."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from coldbench.physics.thermoelectric import Module

ROUNDS = 12  # Newton from above, which a curve bent upwards cannot miss


@dataclass(frozen=True)
class Solved:
    """Modules as a run shows them.

    Attributes
    ----------
    current : ndarray
        While they run. [A]
    volts : ndarray
        While they run. [V]
    t_cold, t_hot : ndarray
        Mean of the faces. [K]
    """

    current: np.ndarray
    volts: np.ndarray
    t_cold: np.ndarray
    t_hot: np.ndarray


def solve(
    module: Module, heat: ArrayLike, power: ArrayLike, t_hot: ArrayLike, duty: ArrayLike = 1.0
) -> Solved:
    """Current and cold faces from heat, power and hot faces.

    Parameters
    ----------
    module : Module
    heat : array_like
        Mean taken up by the cold faces. [W]
    power : array_like
        Of the modules while they run. [W]
    t_hot : array_like
        Of the hot faces. [K]
    duty : array_like
        Share of time in which they run, their faces staying at the mean. [-]

    Returns
    -------
    Solved

    References
    ----------
    .. [1] M. Kutz (ed.), Mechanical Engineers' Handbook vol. 4, p. 411, eqs. (112) and (115),
       solved for ``x = α I``: with ``d = P/x − x/s`` and ``s = α²/R`` they make the cubic
       ``D x³/(2s) + (D Th + K/s) x² − (D P + Q) x − K P = 0`` of one positive root.

    Examples
    --------
    >>> found = solve(Module(0.05133, 1.985, 0.5254), 12.887, 24.02, 318.15)
    >>> float(found.current.round(2)), float(found.t_cold.round(1))
    (3.0, 278.2)
    """
    heat, power, t_hot, duty = (np.asarray(one, float) for one in (heat, power, t_hot, duty))
    k = np.asarray(module.conductance, float)
    s = np.asarray(module.seebeck, float) ** 2 / module.resistance
    third, second = duty / (2 * s), duty * t_hot + k / s
    first, constant = -(duty * power + heat), -k * power
    # The root lies below that of the square part alone, left without its cube.
    x = -first / second + np.sqrt(-constant / second)
    for _ in range(ROUNDS):
        value = constant + x * (first + x * (second + x * third))
        x = x - value / (first + x * (2 * second + 3 * x * third))
    apart = power / x - x / s
    current = x / module.seebeck
    return Solved(current, power / current, t_hot - apart, t_hot)
