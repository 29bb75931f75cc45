"""What boxes are made of: foams, plastics and metals, each with where its values are from."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from coldbench.physics.water import SPECIFIC_HEAT

_ASHRAE = "ASHRAE Handbook-Fundamentals (2013), building materials, as carried by ht 1.2.0"
_MEMORY = "handbook values from memory"


@dataclass(frozen=True)
class Material:
    """A material near room temperature; limits of conductivity cover what is sold, aged.

    Attributes
    ----------
    conductivity, lowest, highest : float
        [W/(m K)]
    density : float
        [kg/m³]
    specific_heat : float
        [J/(kg K)]
    source : str
        Of the conductivity; density and heat are from memory unless the source says otherwise.
    """

    conductivity: float
    lowest: float
    highest: float
    density: float
    specific_heat: float
    source: str


FOAMS = {
    "EPS": Material(0.0355, 0.033, 0.040, 20.0, 1450.0, f"{_ASHRAE}; limits from memory"),
    "XPS": Material(0.026, 0.026, 0.036, 32.5, 1450.0, f"{_ASHRAE}; limits from memory"),
    "PUR": Material(0.026, 0.019, 0.028, 40.0, 1400.0, f"{_ASHRAE}; limits from memory"),
    "PIR": Material(0.0235, 0.022, 0.028, 35.0, 1400.0, f"{_ASHRAE}; limits from memory"),
    "glass fibre": Material(0.036, 0.031, 0.041, 100.0, 800.0, f"{_ASHRAE}; limits of 15 %"),
    "vacuum panel": Material(0.006, 0.004, 0.020, 200.0, 800.0, f"centre of a panel, {_MEMORY}"),
}
"""Insulation at a mean temperature of 24 °C.

EPS is moulded of beads, XPS extruded (new boards conduct 0.026, aged ones 0.029–0.036), PUR is
sprayed or injected (in a closed liner 0.019–0.024 when new), PIR is aged without facers. A vacuum
panel loses more at its edges and is an ordinary wall, about 0.020, once it is punctured."""

PLASTICS = {
    "polypropylene": Material(
        0.20, 0.15, 0.25, 905.0, SPECIFIC_HEAT["polypropylene"], _MEMORY
    ),
    "polyethylene": Material(0.42, 0.33, 0.52, 950.0, SPECIFIC_HEAT["polyethylene"], _MEMORY),
    "polystyrene": Material(
        0.16, 0.12, 0.18, 1050.0, 1300.0, f"{_ASHRAE}; limits from memory"
    ),
    "ABS": Material(0.18, 0.15, 0.25, 1050.0, 1400.0, _MEMORY),
    "PET": Material(0.20, 0.15, 0.29, 1350.0, SPECIFIC_HEAT["PET"], _MEMORY),
}
"""Liners, shells and bottles near 20 °C."""

METALS = {
    "aluminium": Material(237.0, 120.0, 237.0, 2700.0, SPECIFIC_HEAT["aluminium"], _MEMORY),
    "copper": Material(400.0, 390.0, 401.0, 8960.0, 385.0, _MEMORY),
    "steel": Material(50.0, 40.0, 65.0, 7850.0, SPECIFIC_HEAT["steel"], _MEMORY),
    "stainless steel": Material(15.0, 14.0, 17.0, 8000.0, 500.0, _MEMORY),
}
"""Plates, cans and screws near 20 °C; alloys of aluminium conduct down to half of the metal."""

FOAM_MEAN = 24.0
"""Mean temperature at which foams are tabulated. [°C]"""

FOAM_SLOPE, FOAM_SLOPE_LIMIT = 0.004, 0.002
"""Relative rise of a foam's conductivity, and its limit of error. [1/K]

This kit's own figure after published measurements of closed-cell foams, from memory."""


def foam_conductivity(
    conductivity: ArrayLike,
    mean_temperature: ArrayLike,
    known_at: ArrayLike = FOAM_MEAN,
    slope: ArrayLike = FOAM_SLOPE,
) -> np.ndarray:
    """Conductivity of a foam at another mean temperature of the wall.

    Parameters
    ----------
    conductivity : array_like
        At the temperature it is known at. [W/(m K)]
    mean_temperature : array_like
        Mean of the wall's faces, −30 to 60; outside it the straight line is not backed. [°C]
    known_at : array_like
        [°C]
    slope : array_like
        Relative rise; 0.004 ± 0.002 unless measured. [1/K]

    Returns
    -------
    ndarray
        ``conductivity · (1 + slope · (mean_temperature − known_at))``. [W/(m K)]

    Raises
    ------
    ValueError
        A mean temperature lies outside the range.

    Notes
    -----
    A heat leak moves from one wall temperature to another by the same factor as far as foam
    makes it: films and seals do not follow it.

    References
    ----------
    .. [1] This kit's own definition, see ``FOAM_SLOPE``.

    Examples
    --------
    >>> foam_conductivity(0.026, [24.0, 14.0]).round(5)
    array([0.026  , 0.02496])
    """
    mean = np.asarray(mean_temperature, float)
    if np.any((mean < -30.0) | (mean > 60.0)):
        raise ValueError(
            f"foam known from -30 to 60 °C only, asked for {np.min(mean):g} to {np.max(mean):g} °C"
        )
    return np.asarray(conductivity) * (1 + np.asarray(slope) * (mean - np.asarray(known_at)))
