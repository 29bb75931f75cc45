"""What the next tenth of a kelvin a watt on the hot side buys, against the next module.

All modules share their plates. On a weak hot side a second string warms the box at twice the
power; on a strong one it cools it. Which of both a box is, its own hot side tells.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike

from coldbench import draws
from coldbench.design.drive import DAY
from coldbench.design.thermoelectric_unit import ThermoelectricUnit

STEP = 0.1  # of hot side [K/W]
LEAST, MOST = 0.02, 0.5  # hot sides shown from, and to at least [K/W]
BEYOND = 2.0  # … or to this multiple of today's
POINTS = 49

Change = Callable[[ThermoelectricUnit], ThermoelectricUnit]


@dataclass(frozen=True)
class Gain:
    """What one change buys; medians with their 95 % intervals.

    Attributes
    ----------
    what : str
    colder : tuple of float
        Coldest air lower by: value, low, high. [K]
    power : tuple of float
        More drawn at full drive: value, low, high. [W]
    saved : tuple of float
        Less energy a day for the wanted inside: value, low, high; NaN where that is not held
        before or after. [Wh/d]
    """

    what: str
    colder: tuple[float, float, float]
    power: tuple[float, float, float]
    saved: tuple[float, float, float]


@dataclass(frozen=True)
class HotSideGain:
    """Coldest air over the hot side, with more modules and without, and what a step buys.

    Attributes
    ----------
    r_hot : ndarray, shape (n,)
        [K/W]
    coldest : dict of str to ndarray, shape (n,)
        By arrangement, the present one first. [°C]
    today : tuple of float
        Hot side as fitted: value, low, high. [K/W]
    now : tuple of float
        Coldest as fitted: value, low, high. [°C]
    ambient, inside : float
        And the wanted inside of ``saved``. [°C]
    gains : tuple of Gain
        The better hot side first.
    crossing : float
        Hot side above which one string more warms the box; NaN where it does not in what is
        shown. [K/W]
    """

    r_hot: np.ndarray
    coldest: dict[str, np.ndarray]
    today: tuple[float, float, float]
    now: tuple[float, float, float]
    ambient: float
    inside: float
    gains: tuple[Gain, ...]
    crossing: float


def hot_side_gain(
    unit: ThermoelectricUnit, central: ThermoelectricUnit, leak: ArrayLike, ambient: float,
    inside: float, series: int = 1, parallel: int = 1,
) -> HotSideGain:
    """A better hot side against more modules, of a fitted machine in its box.

    Parameters
    ----------
    unit, central : ThermoelectricUnit
        Draws, and scalars from which the lines are drawn.
    leak : array_like
        Heat leak of the walls, draws. [W/K]
    ambient, inside : float
        [°C]
    series, parallel : int
        Modules in a string, and strings, as they are.

    Returns
    -------
    HotSideGain

    References
    ----------
    .. [1] The machine's own balances before and after, draw by draw; this kit's own.
    """
    walls = np.asarray(leak, float)
    arrangements = _arrangements(series, parallel)
    size = _step(central)
    changes = {f"{size:g} K/W less on the hot side":
               lambda one: replace(one, r_hot=np.maximum(one.r_hot - size, LEAST)),
               **arrangements}
    today = _interval(unit.r_hot)
    r_hot = np.linspace(LEAST, max(MOST, BEYOND * today[0]), POINTS)
    middle = float(np.median(walls))
    lines = {name: change(replace(central, r_hot=r_hot)).coldest(middle, ambient)
             for name, change in {"as it is": lambda one: one, **arrangements}.items()}
    now = unit.coldest(walls, ambient)
    gains = tuple(_gain(what, change, unit, walls, ambient, inside)
                  for what, change in changes.items())
    string = next(iter(arrangements))
    return HotSideGain(r_hot, lines, today, _interval(now), ambient, inside, gains,
                       _crossing(r_hot, lines[string] - lines["as it is"]))


def _arrangements(series: int, parallel: int) -> dict[str, Change]:
    """One string more at the same volts, and one module more in each string."""
    one = series * parallel == 1
    beside = "a second module beside it" if one else (
        "one module more beside them" if series == 1 else f"one string of {series} more")
    behind = "a second module in series" if one else "one module more in each string"
    return {
        beside: lambda unit: unit.rearranged(1, (parallel + 1) / parallel),
        behind: lambda unit: unit.rearranged((series + 1) / series, 1),
    }


def _step(central: ThermoelectricUnit) -> float:
    """A tenth, or half of a hot side that is nearly that good."""
    r_hot = float(central.r_hot)
    return STEP if r_hot > 1.5 * STEP else round(r_hot / 2, 2)


def _gain(
    what: str, change: Change, unit: ThermoelectricUnit, leak: np.ndarray, ambient: float,
    inside: float,
) -> Gain:
    after = change(unit)
    coldest = [one.coldest(leak, ambient) for one in (unit, after)]
    power = [one.power(cold, ambient) for one, cold in zip((unit, after), coldest, strict=True)]
    held = [one.hold(inside, ambient, leak * (ambient - inside)).power for one in (unit, after)]
    return Gain(what, _interval(coldest[0] - coldest[1]), _interval(power[1] - power[0]),
                _interval(DAY * (held[0] - held[1])))


def _interval(true: np.ndarray) -> tuple[float, float, float]:
    """Median and 95 % interval; nothing where a draw has none."""
    true = np.asarray(true, float)
    if not np.isfinite(true).all():
        return (float("nan"),) * 3
    return (float(np.median(true)), *draws.interval(true))


def _crossing(r_hot: np.ndarray, warmer: np.ndarray) -> float:
    """Where the difference of two lines passes nothing upwards."""
    above = np.flatnonzero((warmer[:-1] <= 0) & (warmer[1:] > 0))
    if len(above) == 0:
        return float("nan")
    i = above[0]
    share = -warmer[i] / (warmer[i + 1] - warmer[i])
    return float(r_hot[i] + share * (r_hot[i + 1] - r_hot[i]))
