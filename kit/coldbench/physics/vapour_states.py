"""Vapour-compression cycle through measured states, each by its pressure and temperature.

``vapour.cycle`` makes a cycle from what a machine ought to do; here the states are what gauges and
probes said, so that a compression may come out better than an isentropic one where gas gave off
heat on its way.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from coldbench.physics.refrigerant import props, reference_state, saturation_temperature
from coldbench.physics.vapour import Cycle, State

# A state this near to saturation is taken as saturated gas or liquid: pressure and temperature
# together tell nothing of a mixture.
_NEAR = 1e-3  # [K]


def measured_cycle(
    fluid: str, low: ArrayLike, high: ArrayLike, suction: ArrayLike, discharge: ArrayLike,
    liquid: ArrayLike, reference: str = "IIR",
) -> Cycle:
    """Cycle through measured pressures and temperatures.

    Parameters
    ----------
    fluid : str
        A pure refrigerant as CoolProp names it.
    low, high : array_like
        Absolute pressures. [Pa]
    suction, discharge, liquid : array_like
        Temperatures of the gas before and behind the compressor, and of the liquid before the
        throttle. [K]
    reference : {"IIR", "ASHRAE", "NBP"}
        Of enthalpy and entropy.

    Returns
    -------
    Cycle
        Gas that was read colder than it boils counts as saturated, and so does liquid that was
        read warmer.

    Raises
    ------
    ValueError
        Unknown refrigerant or reference; a pressure at which nothing boils; a high pressure that
        is not above the low one.

    References
    ----------
    .. [1] Y. A. Çengel and M. A. Boles, Thermodynamics: An Engineering Approach, 5th ed.,
       Example 11-2 (numbering from memory); properties by CoolProp.

    Examples
    --------
    >>> real = measured_cycle("R134a", 0.14e6, 0.8e6, 263.15, 323.15, 299.15)
    >>> round(float(real.cop), 2)  # the example: 3.93
    3.93
    """
    low, high, suction, discharge, liquid = np.broadcast_arrays(
        *(np.asarray(one, float) for one in (low, high, suction, discharge, liquid)))
    if np.any(high <= low):
        raise ValueError("the high pressure is not above the low one")
    zero = reference_state(fluid, reference)
    boiling, condensing = saturation_temperature(fluid, low), saturation_temperature(fluid, high)
    h1 = _enthalpy(fluid, low, np.maximum(suction - boiling, 0.0), boiling, 1.0)
    h2 = _enthalpy(fluid, high, np.maximum(discharge - condensing, 0.0), condensing, 1.0)
    h3 = _enthalpy(fluid, high, np.minimum(liquid - condensing, 0.0), condensing, 0.0)
    states = tuple(
        State(props("T", "P", p, "H", h, fluid), p, h - zero[0],
              props("S", "P", p, "H", h, fluid) - zero[1], props("D", "P", p, "H", h, fluid))
        for p, h in ((low, h1), (high, h2), (high, h3), (low, h3))
    )
    cooling, work = h1 - h3, h2 - h1
    return Cycle(fluid, reference, states, cooling, work, h2 - h3, cooling / work,
                 cooling * states[0].density)


def isentropic_discharge(cycle: Cycle) -> np.ndarray:
    """Enthalpy behind a compression without loss, from the suction state to the high pressure.

    Parameters
    ----------
    cycle : Cycle
        Measured.

    Returns
    -------
    ndarray
        From the cycle's reference state. [J/kg]

    References
    ----------
    .. [1] As :func:`measured_cycle`.

    Examples
    --------
    >>> real = measured_cycle("R134a", 0.14e6, 0.8e6, 263.15, 323.15, 299.15)
    >>> work = isentropic_discharge(real) - real.states[0].enthalpy
    >>> round(float(work / real.work), 3)  # the example: 0.939
    0.937
    """
    enthalpy, entropy = reference_state(cycle.fluid, cycle.reference)
    suction, discharge = cycle.states[0], cycle.states[1]
    return props("H", "P", discharge.pressure, "S", suction.entropy + entropy,
                 cycle.fluid) - enthalpy


def _enthalpy(
    fluid: str, pressure: np.ndarray, off: np.ndarray, saturated: np.ndarray, quality: float
) -> np.ndarray:
    """Enthalpy so far off saturation; at it, of the saturated gas or liquid. [J/kg]"""
    at = props("H", "P", pressure, "Q", quality, fluid)
    clear = np.where(np.abs(off) > _NEAR, off, 1.0 if quality else -1.0)
    return np.where(np.abs(off) > _NEAR,
                    props("H", "P", pressure, "T", saturated + clear, fluid), at)
