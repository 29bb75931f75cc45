"""Vapour-compression cycle of a pure refrigerant: states, COP, capacities, by CoolProp.

States are 1 suction, 2 discharge, 3 liquid before the throttle, 4 behind it; pressures drop in no
pipe. A compression that starts or ends in the two-phase dome is refused: liquid in a compressor
is no cycle to compare a machine with.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from coldbench.physics.refrigerant import (
    critical_temperature,
    props,
    reference_state,
    triple_temperature,
)

# Nearer to saturation than this a state is taken as saturated: the library refuses it otherwise.
_NEAR = 1e-3  # [K]
_GLIDE = 1.0  # [K]

@dataclass(frozen=True)
class State:
    """A state of the refrigerant.

    Attributes
    ----------
    temperature : ndarray
        [K]
    pressure : ndarray
        [Pa]
    enthalpy : ndarray
        From the cycle's reference state. [J/kg]
    entropy : ndarray
        From the cycle's reference state. [J/(kg K)]
    density : ndarray
        [kg/m³]
    """

    temperature: np.ndarray
    pressure: np.ndarray
    enthalpy: np.ndarray
    entropy: np.ndarray
    density: np.ndarray


@dataclass(frozen=True)
class Cycle:
    """A cycle with its states 1, 2, 3, 4 and their reference state.

    Attributes
    ----------
    fluid, reference : str
    states : tuple of State
    cooling, work, rejected : ndarray
        Of a kilogram. [J/kg]
    cop : ndarray
        [-]
    volumetric : ndarray
        Cooling of a cubic metre of suction gas. [J/m³]
    """

    fluid: str
    reference: str
    states: tuple[State, State, State, State]
    cooling: np.ndarray
    work: np.ndarray
    rejected: np.ndarray
    cop: np.ndarray
    volumetric: np.ndarray


def cycle(
    fluid: str,
    evaporating: ArrayLike,
    condensing: ArrayLike,
    *,
    superheat: ArrayLike = 0.0,
    subcooling: ArrayLike = 0.0,
    efficiency: ArrayLike = 1.0,
    reference: str = "IIR",
) -> Cycle:
    """Cycle between two saturation temperatures.

    Parameters
    ----------
    fluid : str
        A pure refrigerant as CoolProp names it: R134a, R600a, R290.
    evaporating, condensing : array_like
        Saturation temperatures. [K]
    superheat : array_like
        Of the suction gas above evaporating; all of it counts as cooling. [K]
    subcooling : array_like
        Of the liquid below condensing. [K]
    efficiency : array_like
        Isentropic, ``(h2s − h1)/(h2 − h1)``. [-]
    reference : {"IIR", "ASHRAE", "NBP"}
        Of enthalpy and entropy.

    Returns
    -------
    Cycle

    Raises
    ------
    ValueError
        Unknown refrigerant or reference; condensing not below the critical and not above the
        evaporating temperature; superheat or subcooling below zero; liquid colder than
        evaporating; efficiency not above 0 and up to 1; a discharge inside the dome; evaporating
        below the triple point; a blend whose boiling point glides by more than 1 K.

    References
    ----------
    .. [1] Y. A. Çengel and M. A. Boles, Thermodynamics: An Engineering Approach, 5th ed.,
       Examples 11-1 and 11-2; properties by CoolProp.

    Examples
    --------
    >>> ideal = cycle("R134a", 254.39, 304.48)  # 0.14 and 0.8 MPa; the example: 3.97
    >>> float(ideal.cop.round(2))
    3.97
    >>> cycle("R600a", 263.15, 313.15)
    Traceback (most recent call last):
    ...
    ValueError: the compression of R600a ends inside the dome (quality 0.976): it needs more
    superheat
    """
    t_evaporating, t_condensing, superheat, subcooling, efficiency = np.broadcast_arrays(
        *(np.asarray(one, float) for one in
          (evaporating, condensing, superheat, subcooling, efficiency))
    )
    _refuse(fluid, t_evaporating, t_condensing, superheat, subcooling, efficiency)
    zero = reference_state(fluid, reference)
    low = props("P", "T", t_evaporating, "Q", 1.0, fluid)
    glide = float(np.max(t_evaporating - props("T", "P", low, "Q", 0.0, fluid)))
    if glide > _GLIDE:
        raise ValueError(f"{fluid} boils over {glide:.1f} K: a blend has no such cycle")
    high = props("P", "T", t_condensing, "Q", 0.0, fluid)
    h1 = _off_saturation(fluid, low, t_evaporating, superheat, 1.0)
    h3 = _off_saturation(fluid, high, t_condensing, -subcooling, 0.0)
    s1 = props("S", "P", low, "H", h1, fluid)
    h2 = h1 + (props("H", "P", high, "S", s1, fluid) - h1) / efficiency
    _refuse_wet(fluid, high, h2)
    states = tuple(
        _state(fluid, pressure, h, zero)
        for pressure, h in ((low, h1), (high, h2), (high, h3), (low, h3))
    )
    cooling, work = h1 - h3, h2 - h1
    return Cycle(
        fluid, reference, states, cooling, work, h2 - h3, cooling / work,
        cooling * states[0].density,
    )


def carnot_cop(t_cold: ArrayLike, t_hot: ArrayLike) -> np.ndarray:
    """Best COP that any machine can have between two temperatures.

    Parameters
    ----------
    t_cold, t_hot : array_like
        [K]

    Returns
    -------
    ndarray
        ``t_cold/(t_hot − t_cold)``; infinite where the hot side is not the warmer one. [-]

    References
    ----------
    .. [1] Definition of the reversed Carnot cycle.

    Examples
    --------
    >>> carnot_cop([277.15, 255.15], 305.15).round(3)
    array([9.898, 5.103])
    """
    cold = np.asarray(t_cold, float)
    difference = np.asarray(t_hot, float) - cold
    with np.errstate(divide="ignore"):
        return np.where(difference > 0, cold / np.maximum(difference, 0.0), np.inf)


def isentropic_efficiency(
    fluid: str, suction: tuple[ArrayLike, ArrayLike], discharge: tuple[ArrayLike, ArrayLike]
) -> np.ndarray:
    """Isentropic efficiency of a compression between two measured states of gas.

    Parameters
    ----------
    fluid : str
    suction, discharge : tuple of array_like
        Pressure and temperature. [Pa], [K]

    Returns
    -------
    ndarray
        [-]

    References
    ----------
    .. [1] Y. A. Çengel and M. A. Boles, Thermodynamics: An Engineering Approach, 5th ed.,
       Example 11-2.

    Examples
    --------
    >>> found = isentropic_efficiency("R134a", (0.14e6, 263.15), (0.8e6, 323.15))
    >>> round(float(found), 3)  # the example: 0.939
    0.937
    """
    h1 = props("H", "P", suction[0], "T", suction[1], fluid)
    s1 = props("S", "P", suction[0], "T", suction[1], fluid)
    h2 = props("H", "P", discharge[0], "T", discharge[1], fluid)
    return (props("H", "P", discharge[0], "S", s1, fluid) - h1) / (h2 - h1)


def _refuse(
    fluid: str, evaporating: np.ndarray, condensing: np.ndarray, superheat: np.ndarray,
    subcooling: np.ndarray, efficiency: np.ndarray,
) -> None:
    critical = critical_temperature(fluid)
    if np.any(condensing >= critical):
        raise ValueError(
            f"condensing at {np.max(condensing):.1f} K: {fluid} is critical at {critical:.1f} K"
        )
    if np.any(evaporating < triple_temperature(fluid)):
        raise ValueError(f"{fluid} is solid at {np.min(evaporating):.1f} K")
    if np.any(evaporating >= condensing):
        raise ValueError("the evaporating temperature is not below the condensing one")
    if np.any(superheat < 0):
        raise ValueError(f"the compression starts inside the dome: superheat {superheat.min():g} K")
    if np.any(subcooling < 0):
        raise ValueError(f"the throttle gets vapour: subcooling {subcooling.min():g} K")
    if np.any(subcooling > condensing - evaporating):
        raise ValueError("the liquid before the throttle is colder than the evaporator")
    if np.any((efficiency <= 0) | (efficiency > 1)):
        raise ValueError(f"isentropic efficiency {efficiency.min():g}; it is above 0 and at most 1")


def _refuse_wet(fluid: str, pressure: np.ndarray, enthalpy: np.ndarray) -> None:
    liquid = props("H", "P", pressure, "Q", 0.0, fluid)
    vapour = props("H", "P", pressure, "Q", 1.0, fluid)
    quality = np.min((enthalpy - liquid) / (vapour - liquid))
    if quality < 1:
        raise ValueError(
            f"the compression of {fluid} ends inside the dome (quality {quality:.3f}): it needs "
            "more superheat"
        )


def _off_saturation(
    fluid: str, pressure: np.ndarray, saturated: np.ndarray, offset: np.ndarray, quality: float
) -> np.ndarray:
    """Enthalpy of gas above, or liquid below, its saturation temperature. [J/kg]"""
    at = props("H", "P", pressure, "Q", quality, fluid)
    off = np.abs(offset) > _NEAR
    clear = np.where(off, saturated + offset, saturated + (1.0 if quality else -1.0))
    return np.where(off, props("H", "P", pressure, "T", clear, fluid), at)


def _state(
    fluid: str, pressure: np.ndarray, enthalpy: np.ndarray, zero: tuple[float, float]
) -> State:
    temperature, entropy, density = (
        props(one, "P", pressure, "H", enthalpy, fluid) for one in "TSD"
    )
    return State(temperature, pressure, enthalpy - zero[0], entropy - zero[1], density)
