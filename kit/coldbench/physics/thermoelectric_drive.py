"""A thermoelectric module between what it cools and the air, through resistances on both sides.

At a given current the module and its two resistances are linear in the heats, so that there is a
closed solution. ``thermoelectric_box`` makes a box of the same problem.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from coldbench.physics.thermoelectric import Module, Point, checked_kelvin, operating_point


@dataclass(frozen=True)
class Sides:
    """What a module works between.

    Attributes
    ----------
    t_inside, t_ambient : array_like
        On the far side of each resistance. [K]
    r_cold, r_hot : array_like
        From inside to cold face, from hot face to ambient; shared by all modules of an array.
        [K/W]
    """

    t_inside: ArrayLike
    t_ambient: ArrayLike
    r_cold: ArrayLike
    r_hot: ArrayLike


@dataclass(frozen=True)
class Driven:
    """A module's steady state between its sides.

    Attributes
    ----------
    current : ndarray
        [A]
    t_cold, t_hot : ndarray
        Of the faces. [K]
    point : Point
        Heats and voltage.
    """

    current: np.ndarray
    t_cold: np.ndarray
    t_hot: np.ndarray
    point: Point


def drive(module: Module, current: ArrayLike, sides: Sides) -> Driven:
    """Steady state at a given current.

    Parameters
    ----------
    module : Module
    current : array_like
        [A]
    sides : Sides

    Returns
    -------
    Driven
        Not a number where the hot side runs away: it sheds less heat than the current adds.

    Raises
    ------
    ValueError
        A temperature that cannot be kelvin.

    References
    ----------
    .. [1] M. Kutz (ed.), Mechanical Engineers' Handbook vol. 4, p. 411, eqs. (112) and (115),
       solved together with ``Qc = (T_inside − Tc)/r_cold`` and ``Qh = (Th − T_ambient)/r_hot``.

    Examples
    --------
    >>> module = Module(0.05133, 1.985, 0.5254)
    >>> found = drive(module, 3.0, Sides(278.15, 298.15, 0.3, 0.5))
    >>> float(found.t_hot.round(1)), float(found.point.cooling.round(2))
    (316.1, 11.61)
    """
    current = np.asarray(current, float)
    inside, ambient = checked_kelvin(sides.t_inside), checked_kelvin(sides.t_ambient)
    r_cold, r_hot = np.asarray(sides.r_cold, float), np.asarray(sides.r_hot, float)
    k, joule = module.conductance, current**2 * module.resistance / 2
    a, b = k + module.seebeck * current, k - module.seebeck * current
    # Unknown are Qc and Qh: (1 + a rc) Qc + k rh Qh = c, k rc Qc + (1 + b rh) Qh = h.
    c, h = a * inside - k * ambient - joule, k * inside - b * ambient + joule
    determinant = (1 + a * r_cold) * (1 + b * r_hot) - k**2 * r_cold * r_hot
    determinant = np.where(determinant > 0, determinant, np.nan)
    cooling = ((1 + b * r_hot) * c - k * r_hot * h) / determinant
    rejected = ((1 + a * r_cold) * h - k * r_cold * c) / determinant
    cold, hot = inside - r_cold * cooling, ambient + r_hot * rejected
    # Far out on the way to a runaway the cold face falls out of the range of the model.
    valid = cold > 0
    cold, hot = np.where(valid, cold, np.nan), np.where(valid, hot, np.nan)
    return Driven(current, cold, hot, operating_point(module, current, cold, hot))


def runaway_current(module: Module, sides: Sides) -> np.ndarray:
    """Current from which on the hot side runs away.

    Parameters
    ----------
    module : Module
    sides : Sides

    Returns
    -------
    ndarray
        Infinite without a resistance on the hot side. [A]

    References
    ----------
    .. [1] Zero of the determinant of ``drive``; this kit's own.
    """
    r_cold, r_hot = np.asarray(sides.r_cold, float), np.asarray(sides.r_hot, float)
    constant = 1 + module.conductance * (r_cold + r_hot)
    # With x = α I: constant + (rc − rh) x − rc rh x² = 0, its positive root without cancellation.
    linear = r_cold - r_hot
    root = np.sqrt(linear**2 + 4 * r_cold * r_hot * constant)
    with np.errstate(divide="ignore"):
        return 2 * constant / (root - linear) / module.seebeck


def drive_at_voltage(module: Module, voltage: ArrayLike, sides: Sides) -> Driven:
    """Steady state at a given voltage.

    Parameters
    ----------
    module : Module
    voltage : array_like
        At the module's or the array's leads. [V]
    sides : Sides

    Returns
    -------
    Driven
        Not a number where the voltage is below what the module makes by itself.

    Raises
    ------
    ValueError
        A temperature that cannot be kelvin.

    References
    ----------
    .. [1] ``drive``, with the current found by bisection: the voltage rises with it up to the
       runaway.

    Examples
    --------
    >>> module = Module(0.05133, 1.985, 0.5254)
    >>> found = drive_at_voltage(module, 8.0, Sides(278.15, 298.15, 0.3, 0.5))
    >>> float(found.current.round(2)), float(found.point.voltage.round(4))
    (3.0, 8.0)
    """
    voltage = np.asarray(voltage, float)
    own = drive(module, 0.0, sides).point.voltage
    most = np.minimum((voltage - own) / module.resistance, runaway_current(module, sides))
    most = np.where(voltage >= own, most, np.nan)

    def too_much(current: np.ndarray) -> np.ndarray:
        reached = drive(module, current, sides).point.voltage
        return ~(reached < voltage)

    low, high = np.zeros_like(most), most
    for _ in range(60):
        middle = (low + high) / 2
        above = too_much(middle)
        low, high = np.where(above, low, middle), np.where(above, middle, high)
    return drive(module, np.where(np.isnan(most), np.nan, low), sides)


def coldest_current(module: Module, sides: Sides) -> np.ndarray:
    """Current of most heat between the sides; for a box, that of its coldest air.

    Parameters
    ----------
    module : Module
    sides : Sides

    Returns
    -------
    ndarray
        [A]

    Raises
    ------
    ValueError
        A temperature that cannot be kelvin.

    References
    ----------
    .. [1] Maximum of ``drive`` by golden section; without resistances it is ``α Tc/R``.
    """
    return _best(lambda one: drive(module, one, sides).point.cooling, module, sides)


def best_cop_current(module: Module, sides: Sides) -> np.ndarray:
    """Current of the best COP between the sides.

    Parameters
    ----------
    module : Module
    sides : Sides

    Returns
    -------
    ndarray
        Not a number where the module cannot pump at all or needs no power to. [A]

    Raises
    ------
    ValueError
        A temperature that cannot be kelvin.

    References
    ----------
    .. [1] Maximum of ``drive`` by golden section, below the current of most heat.
    """
    most = coldest_current(module, sides)
    pumps = drive(module, most, sides).point.cooling > 0
    uphill = drive(module, 0.0, sides).point.cooling < 0
    best = _best(lambda one: drive(module, one, sides).point.cop, module, sides, most)
    return np.where(pumps & uphill, best, np.nan)


def _best(
    value: Callable[[np.ndarray], np.ndarray], module: Module, sides: Sides,
    most: ArrayLike | None = None,
) -> np.ndarray:
    """Current of the largest value, which has one maximum, by golden section."""
    if most is None:
        # No module gains beyond αTc/R, and the cold face is below both sides there.
        warmest = np.maximum(checked_kelvin(sides.t_inside), checked_kelvin(sides.t_ambient))
        most = np.minimum(module.seebeck * warmest / module.resistance,
                          runaway_current(module, sides))
    high = np.asarray(most, float)
    low, golden = np.zeros_like(high), (np.sqrt(5) - 1) / 2
    for _ in range(60):
        left, right = high - golden * (high - low), low + golden * (high - low)
        # A runaway is not a number and counts as worse than anything.
        at_left, at_right = (np.nan_to_num(value(one), nan=-np.inf) for one in (left, right))
        better = at_left >= at_right
        low, high = np.where(better, low, left), np.where(better, right, high)
    return (low + high) / 2
