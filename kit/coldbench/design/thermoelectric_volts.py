"""Modules between two sides at given volts, or at a given heat, without a search for the current.

With ``x = α I`` and ``s = α²/R`` [W/K each, s in W/K²·K] the balance at given volts is a quadratic
in ``x`` and that of a given heat a cubic, so that a hundred thousand candidates take milliseconds.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from coldbench.physics.thermoelectric import Module
from coldbench.physics.thermoelectric_drive import Sides

ROUNDS = 8  # Newton doubles the digits each time, from a start that is right at the peak


@dataclass(frozen=True)
class Faces:
    """Steady state of modules between their sides.

    Attributes
    ----------
    current : ndarray
        [A]
    t_cold, t_hot : ndarray
        Of the faces. [K]
    cooling, power : ndarray
        Taken up by the cold faces, electrical. [W]
    volts : ndarray
        [V]
    """

    current: np.ndarray
    t_cold: np.ndarray
    t_hot: np.ndarray
    cooling: np.ndarray
    power: np.ndarray
    volts: np.ndarray


def at_volts(module: Module, volts: ArrayLike, sides: Sides) -> Faces:
    """Steady state at a voltage.

    Parameters
    ----------
    module : Module
    volts : array_like
        At the leads. [V]
    sides : Sides

    Returns
    -------
    Faces
        Not a number where the voltage is below what the modules make by themselves. At any other
        there is a steady state, however hot: a current runs away, a voltage does not.

    References
    ----------
    .. [1] M. Kutz (ed.), Mechanical Engineers' Handbook vol. 4, p. 411, eqs. (112) and (115), and
       both sides' resistances; with ``I = (V − α ΔT)/R`` the cubic terms cancel. Held against
       :func:`coldbench.physics.thermoelectric_drive.drive_at_voltage` in the tests.

    Examples
    --------
    >>> found = at_volts(Module(0.05133, 1.985, 0.5254), 8.0, Sides(278.15, 298.15, 0.3, 0.5))
    >>> float(found.current.round(2)), float(found.cooling.round(2))
    (2.97, 11.52)
    """
    inside, ambient = np.asarray(sides.t_inside, float), np.asarray(sides.t_ambient, float)
    r_cold, r_hot = np.asarray(sides.r_cold, float), np.asarray(sides.r_hot, float)
    alpha, k = np.asarray(module.seebeck, float), np.asarray(module.conductance, float)
    s = alpha**2 / module.resistance
    y = np.asarray(volts, float) * alpha / module.resistance
    still = 1 + k * (r_cold + r_hot)
    square = (r_cold - r_hot) / 2 + y * r_cold * r_hot
    linear = s * (ambient * r_cold + inside * r_hot) + still - y * (r_cold - r_hot)
    constant = s * (ambient - inside) - y * still
    with np.errstate(invalid="ignore", divide="ignore"):
        root = np.sqrt(linear**2 - 4 * square * constant)
        x = -2 * constant / (linear + root)
        x = np.where(x >= 0, x, np.nan)
        determinant = still + x * (r_cold - r_hot) - x**2 * r_cold * r_hot
        joule = x**2 / (2 * s)
        above = ambient - inside + joule * (r_hot - r_cold) + 2 * x * joule * r_cold * r_hot
        apart = (above + x * (ambient * r_cold + inside * r_hot)) / determinant
        cold = (inside + r_cold * (joule + k * apart)) / (1 + r_cold * x)
        cold = np.where(cold > 0, cold, np.nan)
    return Faces(
        x / alpha, cold, cold + apart, x * cold - joule - k * apart, x * apart + 2 * joule,
        alpha * apart + x * module.resistance / alpha,
    )


def at_heat(module: Module, heat: ArrayLike, sides: Sides) -> Faces:
    """Steady state at the least current that takes a heat.

    Parameters
    ----------
    module : Module
    heat : array_like
        Taken up by the cold faces. [W]
    sides : Sides

    Returns
    -------
    Faces
        No current and no power where as much flows out by itself; not a number where no current
        takes the heat.

    References
    ----------
    .. [1] As :func:`at_volts`; the cold faces' temperature follows from the heat, and a cubic in
       the current is left. Its smaller root by Newton's method, from the parabola at its peak.

    Examples
    --------
    >>> found = at_heat(Module(0.05133, 1.985, 0.5254), 11.52, Sides(278.15, 298.15, 0.3, 0.5))
    >>> float(found.volts.round(1)), float(found.power.round(1))
    (8.0, 23.8)
    """
    inside, ambient = np.asarray(sides.t_inside, float), np.asarray(sides.t_ambient, float)
    heat, r_hot = np.asarray(heat, float), np.asarray(sides.r_hot, float)
    alpha, k = np.asarray(module.seebeck, float), np.asarray(module.conductance, float)
    s = alpha**2 / module.resistance
    cold = inside - np.asarray(sides.r_cold) * heat
    third = r_hot / (2 * s)
    second = -(1 / (2 * s) + r_hot * cold + k * r_hot / s)
    first = cold + r_hot * heat
    constant = -heat - k * (ambient - cold + r_hot * heat)
    with np.errstate(invalid="ignore", divide="ignore"):
        bend = np.sqrt(second**2 - 3 * third * first)
        peak = first / (bend - second)
        most = constant + peak * (first + peak * (second + peak * third))
        x = np.maximum(peak - np.sqrt(most / bend), 0.0)
        for _ in range(ROUNDS):
            value = constant + x * (first + x * (second + x * third))
            slope = first + x * (2 * second + 3 * x * third)
            x = x - np.where(slope > 0, value / slope, 0.0)
    x = np.where(constant >= 0, 0.0, x)
    joule = x**2 / (2 * s)
    # Without current the faces lie where the heat that flows by itself puts them.
    apart = (x * cold - joule - heat) / k
    rests = x == 0
    volts = np.where(rests, 0.0, alpha * apart + x * module.resistance / alpha)
    power = np.where(rests, 0.0, x * apart + 2 * joule)
    return Faces(x / alpha, cold, cold + apart, heat + 0 * x, power, volts)
