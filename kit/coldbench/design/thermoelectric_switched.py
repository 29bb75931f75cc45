"""Modules that are switched on and off: how long they run to hold an inside, and for what power.

Between two limits that a real cycle lies between: sinks that settle within every spell, and sinks
so heavy that they stay at the mean of the cycle. Both agree where the modules never rest.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from coldbench.physics.thermoelectric import Module
from coldbench.physics.thermoelectric_drive import Sides

ROUNDS = 30  # halvings


@dataclass(frozen=True)
class Spells:
    """What switching comes to.

    Attributes
    ----------
    duty : ndarray
        Share of time on; over 1 or not a number where the heat is too much. [-]
    power : ndarray
        Of the modules while on. [W]
    """

    duty: np.ndarray
    power: np.ndarray


def settled_spells(
    full_heat: ArrayLike, full_power: ArrayLike, back: ArrayLike, heat: ArrayLike
) -> Spells:
    """Sinks that settle within every spell.

    Parameters
    ----------
    full_heat, full_power : array_like
        Of the modules, running without a break. [W]
    back : array_like
        Let back in while they rest. [W]
    heat : array_like
        To be taken in the mean. [W]

    Returns
    -------
    Spells

    References
    ----------
    .. [1] Heat balance of a cycle, ``duty × full − (1 − duty) × back = heat``; this kit's own.

    Examples
    --------
    >>> float(settled_spells(20.0, 50.0, 5.0, 7.5).duty)
    0.5
    """
    heat, back = np.asarray(heat, float), np.asarray(back, float)
    with np.errstate(divide="ignore", invalid="ignore"):
        duty = (heat + back) / (full_heat + back)
    able = np.asarray(full_heat) + back > 0
    return Spells(np.where(able, duty, np.nan), full_power + 0 * duty)


def mean_spells(
    module: Module, volts: ArrayLike, sides: Sides, r_still: ArrayLike, heat: ArrayLike
) -> Spells:
    """Sinks that stay at the mean of a cycle.

    Parameters
    ----------
    module : Module
    volts : array_like
        While on. [V]
    sides : Sides
    r_still : array_like
        From hot faces to ambient while the modules rest. [K/W]
    heat : array_like
        To be taken in the mean. [W]

    Returns
    -------
    Spells

    References
    ----------
    .. [1] The same balance with both faces held at their means; at a given duty the hot face has
       a closed form, and the duty is a root of a cubic, found by halving. This kit's own.

    Examples
    --------
    >>> module = Module(0.05133, 1.985, 0.5254)
    >>> spells = mean_spells(module, 8.0, Sides(278.15, 298.15, 0.3, 0.5), 1.6, 4.0)
    >>> float(spells.duty.round(2)), float(spells.power.round(1))
    (0.64, 25.1)
    """
    heat, volts = np.asarray(heat, float), np.asarray(volts, float)
    alpha, ohms = np.asarray(module.seebeck, float), np.asarray(module.resistance, float)
    cold = np.asarray(sides.t_inside) - np.asarray(sides.r_cold) * heat
    lift = np.asarray(sides.t_ambient) - cold
    runs, rests = 1 / np.asarray(sides.r_hot, float), 1 / np.asarray(r_still, float)
    # With the duty D the faces lie (p0 + p1 D) / (q0 + q1 D) apart, and the voltage left to drive
    # the current is u / q alike.
    p0, p1 = lift * rests + heat, lift * (runs - rests) + volts**2 / ohms
    q0, q1 = rests, runs - rests + volts * alpha / ohms
    u0, u1 = volts * q0 - alpha * p0, volts * q1 - alpha * p1
    # D (α Tc u q / R − u² / 2R) − K p q − heat q² = 0, by powers of D.
    k, pumps = np.asarray(module.conductance, float), alpha * cold / ohms
    taken = (pumps * u0 * q0 - u0**2 / (2 * ohms),
             pumps * (u0 * q1 + u1 * q0) - u0 * u1 / ohms,
             pumps * u1 * q1 - u1**2 / (2 * ohms))
    back = (k * p0 * q0 + heat * q0**2, k * (p0 * q1 + p1 * q0) + 2 * heat * q0 * q1,
            k * p1 * q1 + heat * q1**2)
    third, second, first, last = taken[2], taken[1] - back[2], taken[0] - back[1], -back[0]
    low, high = np.zeros(np.shape(third)), np.ones(np.shape(third))
    for _ in range(ROUNDS):
        duty = (low + high) / 2
        short = last + duty * (first + duty * (second + duty * third)) < 0
        low, high = np.where(short, duty, low), np.where(short, high, duty)
    current = (u0 + u1 * duty) / (q0 + q1 * duty) / ohms
    return Spells(duty, volts * current)
