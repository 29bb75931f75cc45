"""Arithmetic of the European energy label, as an informative comparison only.

Mobile appliances, run from extra-low direct voltage, lie outside the label (Art. 1(2) of the
regulation), and the tests here are not its tests: no figure from this module is a label's. Units
are the regulation's: litres, kilowatt-hours, °C.

Source of all of it: Commission Delegated Regulation (EU) 2019/2016 as first published.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

SCOPE = (
    "An informative comparison: mobile 12/24 V boxes lie outside the European energy label, and "
    "the runs are not its tests."
)
"""Stands beside every figure of this module."""


@dataclass(frozen=True)
class Kind:
    """A kind of compartment (Annex IV, tables 3 and 4).

    Attributes
    ----------
    target : float
        [°C]
    base : float
        Modelling parameter N. [kWh/a]
    slope : float
        Modelling parameter M. [kWh/(L a)]
    """

    target: float
    base: float
    slope: float


KINDS = {
    "pantry": Kind(17.0, 75.0, 0.12),
    "cellar": Kind(12.0, 75.0, 0.12),
    "fresh food": Kind(4.0, 75.0, 0.12),
    "chill": Kind(2.0, 138.0, 0.12),
    "0-star": Kind(0.0, 138.0, 0.15),
    "1-star": Kind(-6.0, 138.0, 0.15),
    "2-star": Kind(-12.0, 138.0, 0.15),
    "3-star": Kind(-18.0, 138.0, 0.15),
    "4-star": Kind(-18.0, 138.0, 0.15),
}
DEEP = ("3-star", "4-star")
UNFROZEN = ("pantry", "cellar", "fresh food")

CLASSES = (("A", 41.0), ("B", 51.0), ("C", 64.0), ("D", 80.0), ("E", 100.0), ("F", 125.0))
"""Energy classes and their highest index, which belongs to them (Annex II, table 1). [%]"""

@dataclass(frozen=True)
class Compartment:
    """A compartment of an appliance.

    Attributes
    ----------
    kind : str
        One of ``KINDS``.
    volume : float
        [L]
    defrost, built_in : float
        Factors A and B of Annex IV, table 5; 1 for manual defrost and standing free. [-]
    """

    kind: str
    volume: float
    defrost: float = 1.0
    built_in: float = 1.0


def thermodynamic_parameter(target: ArrayLike) -> np.ndarray:
    """How much harder a compartment is to keep than fresh food.

    Parameters
    ----------
    target : array_like
        [°C]

    Returns
    -------
    ndarray
        ``(24 − target)/20``; the repealed rule of 2009 had 25 for 24. [-]

    References
    ----------
    .. [1] (EU) 2019/2016, Annex IV, table 4.

    Examples
    --------
    >>> thermodynamic_parameter([4.0, -18.0])
    array([1. , 2.1])
    """
    return (24 - np.asarray(target, float)) / 20


def combi_parameter(share: ArrayLike) -> np.ndarray:
    """Factor of appliances with unfrozen and deep-frozen compartments.

    Parameters
    ----------
    share : array_like
        Volume of 3- and 4-star compartments over the whole. [-]

    Returns
    -------
    ndarray
        With the rule's own small steps at 0.3 and 0.7. [-]

    References
    ----------
    .. [1] (EU) 2019/2016, Annex IV, table 4, note 2.

    Examples
    --------
    >>> float(combi_parameter(10 / 60).round(3))
    1.445
    """
    f = np.asarray(share, float)
    return np.where(f <= 0.3, 1.3 + 0.87 * f, np.where(f < 0.7, 1.87 - 1.0275 * f, 1.15))


def standard_energy(compartments: Sequence[Compartment], doors: float = 1.0) -> float:
    """Standard annual energy of an appliance.

    Parameters
    ----------
    compartments : sequence of Compartment
    doors : float
        Factor D of Annex IV, table 5; 1 up to two doors. [-]

    Returns
    -------
    float
        [kWh/a]

    References
    ----------
    .. [1] (EU) 2019/2016, Annex IV 4. The combi parameter is 1 unless there is an unfrozen and a
       3- or 4-star compartment.

    Examples
    --------
    >>> both = [Compartment("fresh food", 50.0), Compartment("4-star", 10.0)]
    >>> round(standard_energy(both), 2)
    136.77
    """
    whole = sum(one.volume for one in compartments)
    deep = sum(one.volume for one in compartments if one.kind in DEEP)
    mixed = deep > 0 and any(one.kind in UNFROZEN for one in compartments)
    total = 0.0
    for one in compartments:
        kind = KINDS[one.kind]
        own = kind.base + whole * float(thermodynamic_parameter(kind.target)) * kind.slope
        total += one.defrost * one.built_in * one.volume / whole * own
    return total * doors * (float(combi_parameter(deep / whole)) if mixed else 1.0)


def energy_index(annual: ArrayLike, standard: ArrayLike) -> np.ndarray:
    """Energy efficiency index.

    Parameters
    ----------
    annual, standard : array_like
        [kWh/a]

    Returns
    -------
    ndarray
        To one decimal. [%]

    References
    ----------
    .. [1] (EU) 2019/2016, Annex IV 5.

    Examples
    --------
    >>> float(energy_index(182.5, 79.8))
    228.7
    """
    return np.round(100 * np.asarray(annual, float) / np.asarray(standard, float), 1)


def energy_class(index: float) -> str:
    """Letter of an energy efficiency index; for comparison, no label.

    Parameters
    ----------
    index : float
        [%]

    Returns
    -------
    str

    References
    ----------
    .. [1] (EU) 2019/2016, Annex II, table 1.

    Examples
    --------
    >>> energy_class(80.0), energy_class(80.1)
    ('D', 'E')
    """
    return next((letter for letter, most in CLASSES if index <= most), "G")
