"""Thermoelectric modules: data sheet, operating point, the three best currents, arrays.

Properties are taken as constant at the data sheet's hot side, which is what the sheet allows;
temperatures are in kelvin and belong to the module's faces. ``thermoelectric_drive`` puts the
resistances of fins and plates around it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

KELVIN_LEAST = 150.0
"""Below this a temperature is taken for one in °C that was not converted. [K]"""


@dataclass(frozen=True)
class Module:
    """A module, or an array of them as one.

    Attributes
    ----------
    seebeck : array_like
        [V/K]
    resistance : array_like
        [Ω]
    conductance : array_like
        Between its faces, without current. [W/K]
    """

    seebeck: ArrayLike
    resistance: ArrayLike
    conductance: ArrayLike


@dataclass(frozen=True)
class Sheet:
    """What a data sheet states of a module, at one temperature of its hot side.

    Attributes
    ----------
    i_max : array_like
        Current of the greatest temperature difference. [A]
    v_max : array_like
        Voltage at that current and difference. [V]
    dt_max : array_like
        Greatest difference, no heat pumped. [K]
    q_max : array_like
        Most heat, at that current without a difference. [W]
    """

    i_max: ArrayLike
    v_max: ArrayLike
    dt_max: ArrayLike
    q_max: ArrayLike


@dataclass(frozen=True)
class Point:
    """Heats of an operating point.

    Attributes
    ----------
    cooling : ndarray
        Taken up by the cold face. [W]
    power : ndarray
        Electrical. [W]
    rejected : ndarray
        Given off by the hot face. [W]
    voltage : ndarray
        [V]
    """

    cooling: np.ndarray
    power: np.ndarray
    rejected: np.ndarray
    voltage: np.ndarray

    @property
    def cop(self) -> np.ndarray:
        """Cooling over power; nothing where there is no power. [-]"""
        none = np.where(self.power == 0, np.nan, self.power)
        return self.cooling / none


def checked_kelvin(temperature: ArrayLike) -> np.ndarray:
    """A temperature that can be kelvin.

    Parameters
    ----------
    temperature : array_like
        [K]

    Returns
    -------
    ndarray
        The same. [K]

    Raises
    ------
    ValueError
        Below 150 K: surely in °C.

    References
    ----------
    .. [1] This kit's own definition.
    """
    kelvin = np.asarray(temperature, float)
    if np.any(kelvin < KELVIN_LEAST):
        raise ValueError(f"temperatures are in kelvin, found {np.min(kelvin):g}")
    return kelvin


def module_from_sheet(
    i_max: ArrayLike, v_max: ArrayLike, dt_max: ArrayLike, t_hot: ArrayLike
) -> Module:
    """Seebeck coefficient, resistance and conductance from a data sheet.

    Parameters
    ----------
    i_max : array_like
        [A]
    v_max : array_like
        [V]
    dt_max : array_like
        [K]
    t_hot : array_like
        Hot side the sheet holds for. [K]

    Returns
    -------
    Module

    Raises
    ------
    ValueError
        A temperature that cannot be kelvin.

    Notes
    -----
    Sheets are rounded and samples differ by 5 to 10 %; the stated most heat is not used.

    References
    ----------
    .. [1] Standard data-sheet relations (from memory): ``α = V/Th``,
       ``R = V (Th − ΔT)/(I Th)``, ``K = V I (Th − ΔT)/(2 Th ΔT)``; they agree with
       M. Kutz (ed.), Mechanical Engineers' Handbook vol. 4, p. 411, eq. (117).

    Examples
    --------
    >>> module = module_from_sheet(6.0, 15.4, 68.0, 300.0)
    >>> round(float(module.seebeck), 5), round(float(module.resistance), 3)
    (0.05133, 1.985)
    """
    t_hot = checked_kelvin(t_hot)
    i_max, v_max, dt_max = (np.asarray(one, float) for one in (i_max, v_max, dt_max))
    seebeck = v_max / t_hot
    cold = t_hot - dt_max
    return Module(seebeck, seebeck * cold / i_max, seebeck * i_max * cold / (2 * dt_max))


def sheet_of(module: Module, t_hot: ArrayLike) -> Sheet:
    """What a data sheet would state of a module.

    Parameters
    ----------
    module : Module
    t_hot : array_like
        [K]

    Returns
    -------
    Sheet

    Raises
    ------
    ValueError
        A temperature that cannot be kelvin.

    References
    ----------
    .. [1] M. Kutz (ed.), Mechanical Engineers' Handbook vol. 4, p. 411, eqs. (112)–(117);
       ``ΔT = Z Tc²/2`` solved for the cold side.

    Examples
    --------
    >>> sheet = sheet_of(module_from_sheet(6.0, 15.4, 68.0, 300.0), 300.0)
    >>> round(float(sheet.dt_max), 6), round(float(sheet.q_max), 1)
    (68.0, 56.7)
    """
    t_hot = checked_kelvin(t_hot)
    z = figure_of_merit(module)
    cold = (np.sqrt(1 + 2 * z * t_hot) - 1) / z
    i_max = module.seebeck * cold / module.resistance
    q_max = module.seebeck * t_hot * i_max - i_max**2 * module.resistance / 2
    return Sheet(i_max, module.seebeck * t_hot, t_hot - cold, q_max)


def figure_of_merit(module: Module) -> np.ndarray:
    """Figure of merit of a module.

    Parameters
    ----------
    module : Module

    Returns
    -------
    ndarray
        Seebeck coefficient squared over resistance and conductance. [1/K]

    References
    ----------
    .. [1] M. Kutz (ed.), Mechanical Engineers' Handbook vol. 4, p. 411.
    """
    return np.asarray(module.seebeck) ** 2 / (
        np.asarray(module.resistance) * np.asarray(module.conductance)
    )


def operating_point(
    module: Module, current: ArrayLike, t_cold: ArrayLike, t_hot: ArrayLike
) -> Point:
    """Heats and voltage at given temperatures of the faces.

    Parameters
    ----------
    module : Module
    current : array_like
        [A]
    t_cold, t_hot : array_like
        Of the faces. [K]

    Returns
    -------
    Point

    Raises
    ------
    ValueError
        A temperature that cannot be kelvin.

    References
    ----------
    .. [1] M. Kutz (ed.), Mechanical Engineers' Handbook vol. 4, p. 411, eqs. (112)–(116):
       ``Qc = α I Tc − I² R/2 − K ΔT``, ``P = (α ΔT + I R) I``.

    Examples
    --------
    >>> module = module_from_sheet(6.0, 15.4, 68.0, 300.0)
    >>> point = operating_point(module, 3.0, 278.15, 318.15)
    >>> float(point.cooling.round(2)), float(point.power.round(2)), float(point.cop.round(3))
    (12.89, 24.02, 0.536)
    """
    current = np.asarray(current, float)
    cold, hot = checked_kelvin(t_cold), checked_kelvin(t_hot)
    difference = hot - cold
    joule = current**2 * module.resistance / 2
    through = module.conductance * difference
    cooling = module.seebeck * current * cold - joule - through
    voltage = module.seebeck * difference + current * module.resistance
    rejected = module.seebeck * current * hot + joule - through
    return Point(cooling, voltage * current, rejected, voltage)
