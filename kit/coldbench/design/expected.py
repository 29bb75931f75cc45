"""What a build will do: the findings it is expected to give, with their intervals."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike

from coldbench import draws
from coldbench.analysis.limits import LIMITS
from coldbench.design.compressor_unit import CompressorUnit
from coldbench.design.thermoelectric_unit import ThermoelectricUnit
from coldbench.findings import Finding, measured
from coldbench.physics.materials import FOAM_SLOPE

DAY = 24.0
Unit = ThermoelectricUnit | CompressorUnit
SURE = 0.975  # share of the draws that hold, from which a machine holds


@dataclass(frozen=True)
class Expected:
    """What a machine on a box will do at one ambient.

    Parameters
    ----------
    ambient, inside : float
        Conditions. [°C]
    heat_leak : ndarray, shape (4000,)
        Walls, at their mean temperature. [W/K]
    coldest : ndarray, shape (4000,)
        At full drive. [°C]
    power : ndarray, shape (4000,)
        Mean, holding the inside; NaN where it cannot. [W]
    duty : ndarray, shape (4000,)
        [-]
    """

    ambient: float
    inside: float
    heat_leak: np.ndarray
    coldest: np.ndarray
    power: np.ndarray
    duty: np.ndarray

    @property
    def holds(self) -> float:
        """Share of the draws in which it holds the inside. [-]"""
        return float(np.isfinite(self.power).mean())


def expected(
    unit: Unit, leak: ArrayLike, ambient: float, inside: float, extra: ArrayLike = 0.0
) -> Expected:
    """What a machine on a box will do.

    Parameters
    ----------
    unit : ThermoelectricUnit or CompressorUnit
        Its constants as draws.
    leak : array_like
        Of the walls, their mean temperature half way between ambient and inside. [W/K]
    ambient, inside : float
        [°C]
    extra : array_like
        Heat that comes in besides, as a mean: warm goods, openings. [W]

    Returns
    -------
    Expected

    References
    ----------
    .. [1] Steady heat balance of the inside; this kit's own arrangement.
    """
    leak = np.broadcast_to(np.asarray(leak, float), (draws.DRAWS,))
    coldest = coldest_air(unit, leak, ambient, inside, extra)
    held = unit.hold(inside, ambient, leak * (ambient - inside) + extra)
    whole = (np.broadcast_to(one, (draws.DRAWS,)) for one in (coldest, held.power, held.duty))
    return Expected(ambient, inside, leak, *whole)


def coldest_air(
    unit: Unit, leak: ArrayLike, ambient: float, inside: float, extra: ArrayLike = 0.0
) -> np.ndarray:
    """Inside at full drive, the heat leak being known at another one.

    Parameters
    ----------
    unit : ThermoelectricUnit or CompressorUnit
    leak : array_like
        Of the walls, their mean temperature half way between ambient and inside. [W/K]
    ambient, inside : float
        [°C]
    extra : array_like
        Heat that comes in besides. [W]

    Returns
    -------
    ndarray
        [°C]

    References
    ----------
    .. [1] The machine's own ``coldest``, twice; this kit's own.
    """
    first = unit.coldest(leak, ambient, extra)
    # The wall of the coldest box is another one than that of the box that is held.
    colder = LIMITS.foam_share * FOAM_SLOPE * (np.nan_to_num(first, nan=inside) - inside) / 2
    return unit.coldest(leak * np.exp(colder), ambient, extra)


def findings_of(found: Expected, build: str, at: str) -> list[Finding]:
    """The same as findings, basis modelled.

    Parameters
    ----------
    found : Expected
    build : str
        Id of the build.
    at : str
        Where its power is metered.

    Returns
    -------
    list of Finding
        ``heat_leak`` [W/K], ``coldest_air`` [°C], ``mean_power`` [W], ``duty`` [-],
        ``daily_energy`` [Wh/d]. Without a value where holding is not sure: bounded from below
        where it may hold, not reached where it does not.

    References
    ----------
    .. [1] This kit's own definition.
    """
    here = {"ambient": found.ambient}
    held = {**here, "inside": found.inside}
    rows = [
        _row(build, "heat_leak", "W/K", "walls predicted", found.heat_leak,
             {"wall": (found.ambient + found.inside) / 2}),
        _row(build, "coldest_air", "°C", "", found.coldest, here),
    ]
    for name, unit, values in (("mean_power", "W", found.power), ("duty", "-", found.duty),
                               ("daily_energy", "Wh/d", DAY * found.power)):
        rows.append(_row(build, name, unit, at, values, held))
    return rows


def _row(
    build: str, name: str, unit: str, at: str, values: np.ndarray, conditions: dict[str, float]
) -> Finding:
    row = Finding(cooler=build, finding=name, at=at, unit=unit, basis="modelled",
                  conditions=conditions)
    share = float(np.isfinite(values).mean())
    if share >= SURE:
        worst = np.nanmax(values)  # of the few draws in which it cannot
        kept = np.where(np.isfinite(values), values, worst)
        return replace(row, **measured(kept, float(np.median(kept))))
    if share <= 1 - SURE:
        return replace(row, basis="not reached", note="will not hold that")
    return replace(row, basis="bounded", low=float(np.nanquantile(values, 1 - SURE)),
                   note=f"holds in {100 * share:.0f} % of the draws: cannot tell")
