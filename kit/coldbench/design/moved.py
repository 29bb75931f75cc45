"""A compressor unit moved whole into another box: what it holds there, and for what."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np

from coldbench import draws
from coldbench.analysis.limits import LIMITS
from coldbench.design.compressor_unit import CompressorUnit
from coldbench.design.fitted import Fitted
from coldbench.design.pull_down_predicted import Contents, pull_down_hours

DAY = 24.0
SURE = 0.975  # share of the draws from which a thing is said [-]


class Expected(NamedTuple):
    """A predicted number and its 95 % interval; an end that is infinite is open.

    Attributes
    ----------
    value, low, high : float
        [any]
    draws : ndarray, shape (4000,)
        [as value]
    """

    value: float
    low: float
    high: float
    draws: np.ndarray


@dataclass(frozen=True)
class Moved:
    """What a unit does in a new box.

    Parameters
    ----------
    inside, ambient : float
        What is to be held on the hottest day. [°C]
    holds : str
        ``holds``, ``cannot hold`` or ``cannot tell``.
    coldest : Expected
        Inside on the hottest day with the unit running without a break. [°C]
    spare : Expected
        Heat it could take besides, at the inside to be held. [W]
    duty : Expected
        On the hottest day; one where it does not hold. [-]
    energy : Expected
        A day like the hottest. [Wh/d]
    energy_footing : Expected
        At the footing. [Wh/d]
    hours : Expected
        To cool box and load to the inside. [h]
    note : str
        Where the unit's runs do not reach.
    """

    inside: float
    ambient: float
    holds: str
    coldest: Expected
    spare: Expected
    duty: Expected
    energy: Expected
    energy_footing: Expected
    hours: Expected
    note: str


def in_new_box(unit: CompressorUnit, donor: str) -> CompressorUnit:
    """The unit in another box: how the air comes to its plate there is not known.

    Parameters
    ----------
    unit : CompressorUnit
        Its constants are draws.
    donor : str
        Id of its cooler.

    Returns
    -------
    CompressorUnit

    References
    ----------
    .. [1] The limit is this kit's own, from trial on simulated boxes of other sizes.
    """
    return replace(unit, place=draws.uniform(f"{donor} unit moved place", LIMITS.unit_place))


def move(
    fitted: Fitted, leak: Callable[[float, float], np.ndarray], structure: np.ndarray, *,
    inside: float, ambient: float, footing: tuple[float, float], load: float = 0.0,
    start: float | None = None, extra: float = 0.0,
) -> Moved:
    """What a donor's unit does in a new box.

    Parameters
    ----------
    fitted : Fitted
        Of the donor; not refused.
    leak : callable
        Draws of the new box's heat leak at an inside and an ambient [°C], shape (4000,). [W/K]
    structure : ndarray, shape (4000,)
        Heat of its liner and inner foam, with the unit's evaporator. [J/K]
    inside, ambient : float
        To be held on the hottest day. [°C]
    footing : tuple of float
        Ambient and inside at which coolers are compared. [°C]
    load : float
        Goods put in at a time, as water. [kg]
    start : float or None
        Their temperature and the box's; None: the ambient. [°C]
    extra : float
        Heat of openings and the like, on the mean. [W]

    Returns
    -------
    Moved

    References
    ----------
    .. [1] This kit's own definitions: running capacity against heat leak, never a mean over
       cycles.
    """
    unit = in_new_box(fitted.unit, fitted.cooler)
    ua = leak(inside, ambient)
    heat = ua * (ambient - inside) + extra
    spare = unit.capacity(inside, ambient) - heat
    held = unit.hold(inside, ambient, heat)
    contents = Contents(ua, structure, load, _film(load), extra)
    hours = pull_down_hours(unit, contents, ambient, ambient if start is None else start, inside,
                            "load" if load else "air")
    method = 1 + draws.uniform(f"{fitted.cooler} unit moved pull-down", LIMITS.model_pull_down)
    return Moved(
        inside, ambient, _word(spare), _expected(unit.coldest(ua, ambient, extra)),
        _expected(spare), _expected(np.where(np.isnan(held.duty), 1.0, held.duty)),
        _expected(_energy(unit, inside, ambient, heat)),
        _expected(_energy(unit, footing[1], footing[0],
                          leak(footing[1], footing[0]) * (footing[0] - footing[1]) + extra)),
        _expected(hours * method), _beyond(fitted, inside, ambient))


def _film(load: float) -> np.ndarray:
    films = LIMITS.load_film + draws.uniform("unit moved load film", LIMITS.load_film_limit)
    return films * max(load, 1e-9)


def _energy(
    unit: CompressorUnit, inside: float, ambient: float, heat: np.ndarray
) -> np.ndarray:
    """A day's; a unit that does not hold runs without a break. [Wh/d]"""
    power = unit.hold(inside, ambient, heat).power
    return DAY * np.where(np.isnan(power), unit.power(inside, ambient), power)


def _word(spare: np.ndarray) -> str:
    share = float((spare >= 0).mean())
    if SURE > share > 1 - SURE:
        return "cannot tell"
    return "holds" if share >= SURE else "cannot hold"


def _expected(true: np.ndarray) -> Expected:
    true = np.broadcast_to(true, draws.DRAWS)
    return Expected(float(np.median(true)), *draws.interval(true), true)


def _beyond(fitted: Fitted, inside: float, ambient: float) -> str:
    """What is asked beyond what the donor's runs show."""
    low, high = fitted.seen
    said = [fitted.note] if fitted.note else []
    if not low - LIMITS.footing_inside <= inside <= high + LIMITS.footing_inside:
        said.append(f"{inside:g} °C inside lies beyond what its runs show, {low:.0f} to "
                    f"{high:.0f} °C: the interval is as wide as units differ")
    warmest = max((check.ambient for check in fitted.checks), default=ambient)
    if ambient > warmest + LIMITS.footing_beyond:
        said.append(f"{ambient:g} °C is warmer than any ambient of its steady runs, "
                    f"{warmest:.0f} °C")
    return "; ".join(said)
