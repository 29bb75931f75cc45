"""Best currents of a thermoelectric module, and the best couple, at given faces.

Current for most heat, for the best COP and for the greatest difference are three currents: the
first two at given temperatures of both faces, the third at a given hot face and no heat.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from coldbench.physics.thermoelectric import Module, checked_kelvin, figure_of_merit


@dataclass(frozen=True)
class BestCurrents:
    """The three currents. [A]

    Attributes
    ----------
    most_heat, best_cop, most_difference : ndarray
        [A]
    """

    most_heat: np.ndarray
    best_cop: np.ndarray
    most_difference: np.ndarray


def best_currents(module: Module, t_cold: ArrayLike, t_hot: ArrayLike) -> BestCurrents:
    """The three best currents of a module whose faces have given temperatures.

    Parameters
    ----------
    module : Module
    t_cold, t_hot : array_like
        Of the faces. [K]

    Returns
    -------
    BestCurrents
        No best COP (not a number) where the hot face is not the warmer one.

    Raises
    ------
    ValueError
        A temperature that cannot be kelvin.

    References
    ----------
    .. [1] M. Kutz (ed.), Mechanical Engineers' Handbook vol. 4, p. 411: ``α Tc/R`` and
       ``α ΔT/(R (M − 1))``, ``M = √(1 + Z Tm)``. The third, ``(K/α)(√(1 + 2 Z Th) − 1)``, is
       the current of least cold side with no heat, worked from eq. (112).

    Examples
    --------
    >>> from coldbench.physics.thermoelectric import module_from_sheet
    >>> best = best_currents(module_from_sheet(6.0, 15.4, 68.0, 300.0), 278.15, 300.0)
    >>> [float(one.round(2)) for one in (best.most_heat, best.best_cop, best.most_difference)]
    [7.19, 1.79, 6.0]
    """
    cold, hot = checked_kelvin(t_cold), checked_kelvin(t_hot)
    z = figure_of_merit(module)
    mean = np.sqrt(1 + z * (cold + hot) / 2)
    difference = np.where(hot > cold, hot - cold, np.nan)
    return BestCurrents(
        module.seebeck * cold / module.resistance,
        module.seebeck * difference / (module.resistance * (mean - 1)),
        module.conductance / module.seebeck * (np.sqrt(1 + 2 * z * hot) - 1),
    )


def best_cop(merit: ArrayLike, t_cold: ArrayLike, t_hot: ArrayLike) -> np.ndarray:
    """Best COP of a figure of merit between two faces.

    Parameters
    ----------
    merit : array_like
        Figure of merit. [1/K]
    t_cold, t_hot : array_like
        Of the faces, the hot one the warmer. [K]

    Returns
    -------
    ndarray
        Below zero where the difference exceeds the greatest. [-]

    Raises
    ------
    ValueError
        A temperature that cannot be kelvin.

    References
    ----------
    .. [1] A. V. da Rosa, Fundamentals of Renewable Energy Processes, thermoelectric refrigerator
       example: ``Tc/ΔT · (M − Th/Tc)/(M + 1)``.

    Examples
    --------
    >>> float(best_cop(0.003, 258.15, 313.15).round(4))
    0.2973
    """
    cold, hot = checked_kelvin(t_cold), checked_kelvin(t_hot)
    mean = np.sqrt(1 + np.asarray(merit) * (cold + hot) / 2)
    return cold / (hot - cold) * (mean - hot / cold) / (mean + 1)


def best_couple(
    conductivity: tuple[ArrayLike, ArrayLike], resistivity: tuple[ArrayLike, ArrayLike]
) -> np.ndarray:
    """Conductance times resistance of a couple whose legs have the best ratio of areas.

    Parameters
    ----------
    conductivity : tuple of array_like
        Of the two legs. [W/(m K)]
    resistivity : tuple of array_like
        Of the two legs. [Ω m]

    Returns
    -------
    ndarray
        Least product; the Seebeck coefficient squared over it is the figure of merit. [V²/K]

    References
    ----------
    .. [1] A. V. da Rosa, Fundamentals of Renewable Energy Processes, thermoelectric refrigerator
       example: ``(√(k_A ρ_A) + √(k_B ρ_B))²``.

    Examples
    --------
    >>> round(float(best_couple((1.5, 1.0), (2e-5, 3e-5))), 6)
    0.00012
    """
    (k_a, k_b), (r_a, r_b) = np.asarray(conductivity, float), np.asarray(resistivity, float)
    return (np.sqrt(k_a * r_a) + np.sqrt(k_b * r_b)) ** 2
