"""Lines of a log p–h chart, from a named reference state: dome, isotherms, isentropes."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coldbench.physics.refrigerant import critical_temperature, props, reference_state


@dataclass(frozen=True)
class Line:
    """A line of the chart.

    Attributes
    ----------
    pressure : ndarray
        [Pa]
    enthalpy : ndarray
        From the reference state. [J/kg]
    """

    pressure: np.ndarray
    enthalpy: np.ndarray


def dome(fluid: str, lowest: float, reference: str = "IIR", points: int = 120) -> Line:
    """Saturation line: liquid up to the critical point, vapour down again.

    Parameters
    ----------
    fluid : str
        A pure refrigerant as CoolProp names it.
    lowest : float
        Temperature at both ends. [K]
    reference : {"IIR", "ASHRAE", "NBP"}
        Of the enthalpy.
    points : int
        On each side.

    Returns
    -------
    Line

    Raises
    ------
    ValueError
        Lowest temperature not below the critical one.

    References
    ----------
    .. [1] CoolProp's equation of state.

    Examples
    --------
    >>> line = dome("R134a", 273.15)
    >>> float((line.enthalpy[0] / 1000).round(3))  # saturated liquid at 0 °C, by definition
    200.0
    """
    critical = critical_temperature(fluid)
    if lowest >= critical:
        raise ValueError(f"{fluid} has no dome from {lowest:g} K: critical at {critical:.1f} K")
    # Closer points near the top, where the line turns; the top itself is the critical point.
    rise = np.linspace(0, 1, points, endpoint=False)
    temperature = lowest + (critical - lowest) * (1 - (1 - rise) ** 2)
    pressure = props("P", "T", temperature, "Q", 0.0, fluid)
    liquid = props("H", "T", temperature, "Q", 0.0, fluid)
    vapour = props("H", "T", temperature, "Q", 1.0, fluid)
    top_pressure, top = _critical_point(fluid, critical)
    zero, _ = reference_state(fluid, reference)
    return Line(
        np.concatenate([pressure, [top_pressure], pressure[::-1]]),
        np.concatenate([liquid, [top], vapour[::-1]]) - zero,
    )


def isotherm(
    fluid: str, temperature: float, lowest: float, highest: float, reference: str = "IIR",
    points: int = 40,
) -> Line:
    """Line of one temperature, from the highest pressure to the lowest, level inside the dome.

    Parameters
    ----------
    fluid : str
        A pure refrigerant as CoolProp names it.
    temperature : float
        [K]
    lowest, highest : float
        Pressures. [Pa]
    reference : {"IIR", "ASHRAE", "NBP"}
        Of the enthalpy.
    points : int
        On each side of the dome.

    Returns
    -------
    Line

    References
    ----------
    .. [1] CoolProp's equation of state.

    Examples
    --------
    >>> line = isotherm("R134a", 273.15, 1e5, 1e6)
    >>> bool(np.all(np.diff(line.pressure) <= 0))
    True
    """
    zero, _ = reference_state(fluid, reference)
    if temperature >= critical_temperature(fluid):
        pressure = np.geomspace(highest, lowest, 2 * points)
        return Line(pressure, props("H", "P", pressure, "T", temperature, fluid) - zero)
    boiling = float(props("P", "T", temperature, "Q", 1.0, fluid))
    parts = []
    if highest > boiling:
        above = np.geomspace(highest, max(boiling, lowest), points)
        parts.append(_branch(fluid, temperature, above, boiling, 0.0))
    if lowest < boiling:
        below = np.geomspace(min(boiling, highest), lowest, points)
        parts.append(_branch(fluid, temperature, below, boiling, 1.0))
    pressure, enthalpy = (np.concatenate(one) for one in zip(*parts, strict=True))
    return Line(pressure, enthalpy - zero)


def isentrope(
    fluid: str, entropy: float, lowest: float, highest: float, reference: str = "IIR",
    points: int = 60,
) -> Line:
    """Line of one entropy in the superheated gas, from the lower pressure to the higher.

    Parameters
    ----------
    fluid : str
        A pure refrigerant as CoolProp names it.
    entropy : float
        From the reference state. [J/(kg K)]
    lowest, highest : float
        Pressures; below the critical one only where gas of that entropy is superheated. [Pa]
    reference : {"IIR", "ASHRAE", "NBP"}
        Of enthalpy and entropy.
    points : int
        Before what lies in the dome is left out.

    Returns
    -------
    Line
        Empty where no gas of that entropy is superheated.

    References
    ----------
    .. [1] CoolProp's equation of state.

    Examples
    --------
    >>> line = isentrope("R134a", 1750.0, 1e5, 1e6)
    >>> bool(np.all(np.diff(line.enthalpy) > 0))
    True
    """
    zero, ground = reference_state(fluid, reference)
    pressure = np.geomspace(lowest, highest, points)
    critical = _critical_point(fluid, critical_temperature(fluid))[0]
    below = np.minimum(pressure, 0.999 * critical)
    clear = entropy + ground > props("S", "P", below, "Q", 1.0, fluid)
    pressure = pressure[clear]
    if not len(pressure):
        return Line(pressure, pressure)
    return Line(pressure, props("H", "P", pressure, "S", entropy + ground, fluid) - zero)


def _branch(
    fluid: str, temperature: float, pressure: np.ndarray, boiling: float, quality: float
) -> tuple[np.ndarray, np.ndarray]:
    """Liquid or vapour at one temperature; at its boiling pressure it is saturated."""
    at = np.isclose(pressure, boiling, rtol=1e-9)
    clear = np.where(at, boiling * (0.9 if quality else 1.1), pressure)
    saturated = props("H", "T", temperature, "Q", quality, fluid)
    return pressure, np.where(at, saturated, props("H", "P", clear, "T", temperature, fluid))


def _critical_point(fluid: str, temperature: float) -> tuple[float, float]:
    """Pressure and enthalpy of the critical point. [Pa], [J/kg]"""
    from CoolProp.CoolProp import PropsSI

    density = PropsSI("rhocrit", fluid)
    return PropsSI("pcrit", fluid), PropsSI("H", "T", temperature, "D", density, fluid)
