"""Properties of pure refrigerants through CoolProp, and their named reference states."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

REFERENCES = ("IIR", "ASHRAE", "NBP")
"""Named reference states.

IIR: 200 kJ/kg and 1 kJ/(kg K) for saturated liquid at 0 °C; ASHRAE: zero for saturated liquid at
−40 °C; NBP: zero for saturated liquid at the normal boiling point. As in CoolProp's manual."""


def props(
    wanted: str, first: str, one: ArrayLike, second: str, other: ArrayLike, fluid: str
) -> np.ndarray:
    """A property by two others, for arrays of any shape.

    Parameters
    ----------
    wanted, first, second : str
        As CoolProp names them: T, P, H, S, D, Q, …
    one, other : array_like
        Values of the two. [SI]
    fluid : str

    Returns
    -------
    ndarray
        [SI]

    Raises
    ------
    ValueError
        The library finds no such state; of an array with a single one it would tell by infinity.

    References
    ----------
    .. [1] CoolProp's high-level interface.
    """
    from CoolProp.CoolProp import PropsSI

    one, other = np.broadcast_arrays(np.asarray(one, float), np.asarray(other, float))
    found = np.reshape(PropsSI(wanted, first, one.ravel(), second, other.ravel(), fluid), one.shape)
    missing = ~np.isfinite(found)
    if np.any(missing):
        raise ValueError(
            f"{fluid} has no {wanted} at {first} = {one[missing][0]:g}, "
            f"{second} = {other[missing][0]:g}"
        )
    return found


def critical_temperature(fluid: str) -> float:
    """Critical temperature of a refrigerant.

    Parameters
    ----------
    fluid : str

    Returns
    -------
    float
        [K]

    Raises
    ------
    ValueError
        The library knows no such fluid.

    References
    ----------
    .. [1] CoolProp's equation of state.
    """
    from CoolProp.CoolProp import PropsSI

    try:
        return PropsSI("Tcrit", fluid)
    except ValueError:
        raise ValueError(f"no refrigerant {fluid!r}; try R134a, R600a or R290") from None


def triple_temperature(fluid: str) -> float:
    """Temperature below which a refrigerant is solid.

    Parameters
    ----------
    fluid : str

    Returns
    -------
    float
        Of its triple point. [K]

    References
    ----------
    .. [1] CoolProp's equation of state.

    Examples
    --------
    >>> round(triple_temperature("Water"), 2)
    273.16
    """
    from CoolProp.CoolProp import PropsSI

    return PropsSI("Ttriple", fluid)


def saturation_temperature(fluid: str, pressure: ArrayLike) -> np.ndarray:
    """Temperature at which a pure refrigerant boils.

    Parameters
    ----------
    fluid : str
    pressure : array_like
        [Pa]

    Returns
    -------
    ndarray
        [K]

    References
    ----------
    .. [1] CoolProp's equation of state.

    Examples
    --------
    >>> float(saturation_temperature("R134a", 0.14e6).round(2))
    254.39
    """
    return props("T", "P", pressure, "Q", 1.0, fluid)


def reference_state(fluid: str, reference: str) -> tuple[float, float]:
    """What to take off the library's enthalpy and entropy for a named reference state.

    Parameters
    ----------
    fluid : str
    reference : {"IIR", "ASHRAE", "NBP"}

    Returns
    -------
    tuple of float
        [J/kg], [J/(kg K)]

    Raises
    ------
    ValueError
        No such reference state.

    Notes
    -----
    The library's own, which may be set for a whole process, is neither changed nor relied on.

    References
    ----------
    .. [1] ``REFERENCES``.
    """
    if reference not in REFERENCES:
        raise ValueError(f"no reference state {reference!r}; there are {', '.join(REFERENCES)}")
    name, value = {"IIR": ("T", 273.15), "ASHRAE": ("T", 233.15), "NBP": ("P", 101325.0)}[reference]
    enthalpy = float(props("H", name, value, "Q", 0.0, fluid))
    entropy = float(props("S", name, value, "Q", 0.0, fluid))
    return (enthalpy - 200e3, entropy - 1e3) if reference == "IIR" else (enthalpy, entropy)
