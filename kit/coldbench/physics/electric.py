"""Copper cables at low voltage: resistance, and what is left of the volts at the load.

Estimates of what reaches a cooler, not a rule for choosing a wire: heat, protection and the
rules of the place decide that.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

AREAS = (0.5, 0.75, 1.0, 1.5, 2.5, 4.0, 6.0, 10.0, 16.0, 25.0, 35.0, 50.0)
"""Nominal areas of conductors. [mm²]"""

RESISTANCES = {
    2: (36.0, 24.5, 18.1, 12.1, 7.41, 4.61, 3.08, 1.83, 1.15, 0.727, 0.524, 0.387),
    5: (39.0, 26.0, 19.5, 13.3, 7.98, 4.95, 3.30, 1.91, 1.21, 0.780, 0.554, 0.386),
}
"""Most that a kilometre may have at 20 °C: class 2, stranded, and 5, flexible. [Ω/km]

IEC 60228:2004, plain copper (read in public copies of the tables)."""

SLOPE = 0.00393
"""Change of the resistance of copper for a kelvin, of that at 20 °C. [1/K]

Annealed copper standard, NBS Handbook 100."""

RESISTIVITY = 17.241
"""Resistivity of copper at 20 °C. [Ω mm²/km]

Annealed copper standard, NBS Handbook 100."""


def conductor_resistance(
    area: ArrayLike, kind: int = 5, temperature: ArrayLike = 20.0
) -> np.ndarray:
    """Greatest resistance of a copper conductor that keeps to the standard.

    Parameters
    ----------
    area : array_like
        Nominal area, 0.5 to 50 mm²; between the standard's areas the resistivity that its
        figures amount to is carried over. [mm²]
    kind : {2, 5}
        Class of the conductor: stranded or flexible.
    temperature : array_like
        Of the conductor. [°C]

    Returns
    -------
    ndarray
        Of one conductor, one way. [Ω/m]

    References
    ----------
    .. [1] IEC 60228:2004, tables of classes 2 and 5, plain copper; temperature by the slope of
       NBS Handbook 100.

    Examples
    --------
    >>> float(conductor_resistance(2.5))
    0.00798
    """
    area = np.asarray(area, float)
    amounts_to = np.asarray(RESISTANCES[kind]) * AREAS
    at_20 = np.interp(np.log(area), np.log(AREAS), amounts_to) / area
    return at_20 / 1000 * warmth_factor(temperature)


def copper_resistance(area: ArrayLike, temperature: ArrayLike = 20.0) -> np.ndarray:
    """Resistance of copper that fills its area: the least a conductor can have.

    Parameters
    ----------
    area : array_like
        [mm²]
    temperature : array_like
        Of the conductor. [°C]

    Returns
    -------
    ndarray
        Of one conductor, one way. [Ω/m]

    References
    ----------
    .. [1] Annealed copper standard, NBS Handbook 100.

    Examples
    --------
    >>> float(copper_resistance(2.5))
    0.0068964
    """
    return RESISTIVITY / np.asarray(area, float) / 1000 * warmth_factor(temperature)


def warmth_factor(temperature: ArrayLike) -> np.ndarray:
    """Resistance of copper against that at 20 °C.

    Parameters
    ----------
    temperature : array_like
        [°C]

    Returns
    -------
    ndarray
        [-]

    References
    ----------
    .. [1] Annealed copper standard, NBS Handbook 100.

    Examples
    --------
    >>> float(warmth_factor(75.0))
    1.2162
    """
    return 1 + SLOPE * (np.asarray(temperature, float) - 20.0)


def volts_at_load(volts: ArrayLike, power: ArrayLike, resistance: ArrayLike) -> np.ndarray:
    """Volts left at a load that draws its power whatever the volts, as a controller does.

    Parameters
    ----------
    volts : array_like
        At the source. [V]
    power : array_like
        Drawn at the load. [W]
    resistance : array_like
        Of the whole cable, there and back. [Ω]

    Returns
    -------
    ndarray
        NaN where so much power cannot be drawn through the cable. [V]

    References
    ----------
    .. [1] Ohm's law: the greater root of u² − volts · u + power · resistance = 0.

    Examples
    --------
    >>> float(volts_at_load(12.0, 0.0, 0.1)), float(volts_at_load(12.0, 59.5, 0.1))
    (12.0, 11.48)
    """
    volts = np.asarray(volts, float)
    under_root = volts**2 - 4 * np.asarray(power, float) * resistance
    with np.errstate(invalid="ignore"):
        return (volts + np.sqrt(under_root)) / 2
