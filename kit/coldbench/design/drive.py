"""A thermoelectric machine over its drive: how cold, for how much power, and where it is best.

Most cold, most heat and best COP are three different voltages; a machine that runs at a fourth
may be brought to whichever its owner wants.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike

from coldbench import draws
from coldbench.design.thermoelectric_unit import ThermoelectricUnit

DAY = 24.0  # [h]
POINTS = 41
FINE = 2001
LEAST, MOST = 0.15, 2.2  # of today's volts, looked at
SHOWN, PAST = 1.3, 1.12  # shown up to: of today's volts at least, past those of most cold
HELD = 0.95  # share of the draws that must hold an inside where a band of it is shown
TODAY, JUST = "today", "just holds"
COLDEST, HEAT, COP = "most cold", "most heat", "best COP"


@dataclass(frozen=True)
class Band:
    """Medians over an axis, each with its 95 % interval; not a number where it is not held.

    Attributes
    ----------
    value, low, high : ndarray, shape (n,)
    """

    value: np.ndarray
    low: np.ndarray
    high: np.ndarray


@dataclass(frozen=True)
class Mark:
    """One voltage that stands out.

    Attributes
    ----------
    name : str
        Which.
    volts, current : float
        At the leads of all modules. [V], [A]
    coldest : float
        Inside air at that drive. [°C]
    power : float
        Everything drawn at it. [W]
    heat, cop : float
        Taken from the wanted inside, and over the power there. [W], [-]
    daily : float
        Energy a day that holds the wanted inside; NaN where it does not. [Wh/d]
    """

    name: str
    volts: float
    current: float
    coldest: float
    power: float
    heat: float
    cop: float
    daily: float


@dataclass(frozen=True)
class DriveMap:
    """The machine in its box over the voltage of its modules.

    Attributes
    ----------
    volts : ndarray, shape (n,)
        [V]
    inside, ambient : float
        Wanted inside, and the ambient of the bands. [°C]
    coldest, power : Band
        Inside at that drive [°C], and everything drawn there. [W]
    heat, cop : Band
        Taken from the wanted inside, net [W], and over the power there. [-]
    daily : Band
        Energy that holds the wanted inside, switched on and off at these volts. [Wh/d]
    elsewhere : dict of float to ndarray
        Coldest at other ambients. [°C]
    marks : tuple of Mark
    """

    volts: np.ndarray
    inside: float
    ambient: float
    coldest: Band
    power: Band
    heat: Band
    cop: Band
    daily: Band
    elsewhere: dict[float, np.ndarray]
    marks: tuple[Mark, ...]

    def mark(self, name: str) -> Mark | None:
        """One of the marks, None where it lies beyond the voltages looked at."""
        return next((one for one in self.marks if one.name == name), None)


def drive_map(
    unit: ThermoelectricUnit, central: ThermoelectricUnit, leak: ArrayLike, ambient: float,
    inside: float, elsewhere: Sequence[float] = (),
) -> DriveMap:
    """Everything over the drive, of a fitted machine in a box.

    Parameters
    ----------
    unit, central : ThermoelectricUnit
        Draws, and scalars from which marks are read.
    leak : array_like
        Heat leak of the walls, draws. [W/K]
    ambient, inside : float
        [°C]
    elsewhere : sequence of float
        Further ambients. [°C]

    Returns
    -------
    DriveMap

    References
    ----------
    .. [1] The machine's own balances at each voltage; the three best drives after M. Kutz (ed.),
       Mechanical Engineers' Handbook vol. 4, p. 411, here with fans and both sides in them.
    """
    today = float(central.volts)
    walls = np.asarray(leak, float)
    middle = float(np.median(walls))
    marks = _marks(central, middle, ambient, inside, today)
    end = max([SHOWN * today, *(PAST * one.volts for one in marks if one.name == COLDEST)])
    volts = np.linspace(LEAST * today, min(end, MOST * today), POINTS)
    many, wide = replace(_across(unit), volts=volts), walls[..., None]
    coldest = many.coldest(wide, ambient)
    heat, power = many.capacity(inside, ambient), many.power(inside, ambient)
    switched = replace(many, driven="switched")
    held = switched.hold(inside, ambient, wide * (ambient - inside)).power
    others = {at: replace(central, volts=volts).coldest(middle, at) for at in elsewhere}
    return DriveMap(
        volts, inside, ambient, band(coldest), band(many.power(coldest, ambient)), band(heat),
        band(heat / power), band(DAY * held), others,
        tuple(marks),
    )


def _across(unit: ThermoelectricUnit) -> ThermoelectricUnit:
    """Draws down, voltages across."""
    names = ("r_cold", "r_hot", "auxiliary", "idle", "fan_inside", "quick", "efficiency")
    down = {name: np.asarray(getattr(unit, name), float)[..., None] for name in names}
    if unit.r_still is not None:
        down["r_still"] = np.asarray(unit.r_still, float)[..., None]
    module = replace(unit.module, **{
        name: np.asarray(getattr(unit.module, name), float)[..., None]
        for name in ("seebeck", "resistance", "conductance")})
    return replace(unit, module=module, **down)


def band(true: np.ndarray) -> Band:
    """Median and 95 % interval of each column; NaN where too few draws have a value.

    Parameters
    ----------
    true : ndarray, shape (m, n) or (n,)
        Draws down; without them, one value each. [any]

    Returns
    -------
    Band

    References
    ----------
    .. [1] JCGM 101:2008, 7.7; in how many draws an inside must be held is this kit's own.

    Examples
    --------
    >>> found = band(np.array([[1.0, np.nan], [2.0, np.nan], [3.0, 5.0]]))
    >>> found.value.tolist()
    [2.0, nan]
    """
    true = np.atleast_2d(true)
    enough = np.isfinite(true).mean(axis=0) >= HELD
    ends = [draws.LOW, 50.0, draws.HIGH]
    found = np.full((3, true.shape[1]), np.nan)
    found[:, enough] = np.nanpercentile(true[:, enough], ends, axis=0)
    return Band(found[1], found[0], found[2])


# --- marks --------------------------------------------------------------------------------------


def _marks(
    unit: ThermoelectricUnit, leak: float, ambient: float, inside: float, today: float
) -> list[Mark]:
    volts = np.linspace(LEAST, MOST, FINE) * today
    many = replace(unit, volts=volts)
    heat = many.capacity(inside, ambient)
    useful = np.where(heat > 0, heat, np.nan) / many.power(inside, ambient)
    wanted = leak * (ambient - inside)
    steady = replace(unit, driven="steady", volts=MOST * today).hold(inside, ambient, wanted)
    at = {
        TODAY: today, JUST: float(steady.volts),
        COLDEST: _best(volts, -many.coldest(leak, ambient)),
        HEAT: _best(volts, heat), COP: _best(volts, useful),
    }
    return [_mark(name, replace(unit, volts=one), leak, ambient, inside)
            for name, one in at.items() if np.isfinite(one)]


def _best(volts: np.ndarray, worth: np.ndarray) -> float:
    """Voltage of the most worth; NaN where there is none, or it lies beyond the last."""
    known = np.isfinite(worth)
    if not known.any():
        return float("nan")
    best = int(np.nanargmax(worth))
    return float(volts[best]) if best < len(volts) - 1 else float("nan")


def _mark(
    name: str, unit: ThermoelectricUnit, leak: float, ambient: float, inside: float
) -> Mark:
    coldest = float(unit.coldest(leak, ambient))
    heat, drawn = unit.capacity(inside, ambient), unit.power(inside, ambient)
    # Volts that just hold are never switched off; a hair more, against rounding.
    way = {"driven": "steady", "volts": unit.volts * (1 + 1e-9)} if name == JUST else {
        "driven": "switched"}
    held = replace(unit, **way).hold(inside, ambient, leak * (ambient - inside)).power
    return Mark(
        name, float(unit.volts), float(unit.current(coldest, ambient)), coldest,
        float(unit.power(coldest, ambient)), float(heat), float(heat / drawn),
        float(DAY * held),
    )
