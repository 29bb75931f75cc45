"""A compressor unit moved whole into another box: does it hold, with what to spare, how soon."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from coldbench import draws
from coldbench.analysis.limits import LIMITS
from coldbench.analysis.structure import (
    FOAM_DENSITY,
    FOAM_HEAT,
    LINER_THICKNESS,
    PLASTIC_DENSITY,
)
from coldbench.design.compressor_unit import CompressorUnit
from coldbench.design.expected import SURE, Expected
from coldbench.design.fitted import Fitted
from coldbench.design.pull_down_predicted import Contents, pull_down_hours
from coldbench.physics.water import SPECIFIC_HEAT


@dataclass(frozen=True)
class Moved:
    """What a unit does in a new box on the hottest day, beyond what is expected of any machine.

    Parameters
    ----------
    hot : Expected
        Coldest inside, power and duty.
    spare : ndarray, shape (4000,)
        Heat that it could take besides, at the inside to be held. [W]
    hours : ndarray, shape (4000,)
        To cool box and goods to the inside; infinite where it never does. [h]
    note : str
        What was assumed, and where its runs do not reach.
    """

    hot: Expected
    spare: np.ndarray
    hours: np.ndarray
    note: str

    @property
    def holds(self) -> str:
        """``holds``, ``cannot hold`` or ``cannot tell``."""
        if SURE > self.hot.holds > 1 - SURE:
            return "cannot tell"
        return "holds" if self.hot.holds >= SURE else "cannot hold"


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
    fitted: Fitted, hot: Expected, contents: Contents, *, load_start: float | None = None,
) -> Moved:
    """What a donor's unit does in a new box on the hottest day.

    Parameters
    ----------
    fitted : Fitted
        Of the donor; not refused.
    hot : Expected
        Of the unit in the new box, see :func:`in_new_box`.
    contents : Contents
        Of the new box; its ``extra`` is what comes in besides the walls' heat.
    load_start : float or None
        Of the goods; None: the ambient. [°C]

    Returns
    -------
    Moved

    References
    ----------
    .. [1] This kit's own definitions: running capacity against heat leak, never a mean over
       cycles.
    """
    unit = in_new_box(fitted.unit, fitted.cooler)
    heat = hot.heat_leak * (hot.ambient - hot.inside) + contents.extra
    hours = hours_to_cool(unit, contents, hot.ambient, hot.inside, load_start, fitted.cooler)
    return Moved(hot, unit.capacity(hot.inside, hot.ambient) - heat, hours, _said(fitted, hot))


def hours_to_cool(
    unit: Any, contents: Contents, ambient: float, inside: float, load_start: float | None,
    cooler: str,
) -> np.ndarray:
    """Draws of the time in which a machine cools a box and what is put into it.

    Parameters
    ----------
    unit : CompressorUnit or ThermoelectricUnit
        Its constants are draws.
    contents : Contents
        Draws.
    ambient, inside : float
        The box begins at the one; goods, else the air, are to come to the other. [°C]
    load_start : float or None
        Of the goods; None: the ambient. [°C]
    cooler : str
        Id of the machine's cooler, which names what the method is off by.

    Returns
    -------
    ndarray, shape (4000,)
        [h]

    References
    ----------
    .. [1] :func:`coldbench.design.pull_down_predicted.pull_down_hours`; its limit is from trial.
    """
    at = "load" if np.any(np.asarray(contents.load) > 0) else "air"
    hours = pull_down_hours(unit, contents, ambient, ambient, inside, at, load_start)
    return hours * (1 + draws.uniform(f"{cooler} predicted pull-down", LIMITS.model_pull_down))


def new_structure(
    inside: Sequence[float], wall: float, build: str, evaporator: bool = True
) -> np.ndarray:
    """Heat of liner, inner foam and cold side of a box yet to be built, as its air sees it.

    Parameters
    ----------
    inside : sequence of float
        Width, depth and height. [m]
    wall : float
        Its thickness. [m]
    build : str
        What its hidden constant is called.
    evaporator : bool
        A compressor's evaporator; else the cold side of modules.

    Returns
    -------
    ndarray, shape (4000,)
        [J/K]

    References
    ----------
    .. [1] As :func:`coldbench.analysis.structure.modelled_structure`: 2 mm of plastic and a third
       of the foam, within the limit of a liner that is not stated.
    """
    w, d, h = inside
    area = 2 * (w * d + w * h + d * h)
    liner = area * LINER_THICKNESS * PLASTIC_DENSITY * SPECIFIC_HEAT["polypropylene"]
    outer = 2 * ((w + 2 * wall) * (d + 2 * wall) + (w + d + 4 * wall) * (h + 2 * wall))
    foam = (area + outer) / 2 * wall * FOAM_DENSITY * FOAM_HEAT / 3
    held, open_by = (LIMITS.evaporator, LIMITS.evaporator_limit) if evaporator else (
        LIMITS.cold_plate, LIMITS.cold_plate_limit)
    off = draws.uniform(f"{build} structure heat", LIMITS.structure_assumed)
    return (liner + foam) * (1 + off) + 1000 * (held + draws.uniform(f"{build} cold side", open_by))


def _said(fitted: Fitted, hot: Expected) -> str:
    """What was assumed, and what is asked beyond what the donor's runs show."""
    low, high = fitted.seen
    said = [fitted.note] if fitted.note else []
    if not low - LIMITS.footing_inside <= hot.inside <= high + LIMITS.footing_inside:
        said.append(f"{hot.inside:g} °C inside lies beyond what its runs show, {low:.0f} to "
                    f"{high:.0f} °C: the interval is as wide as units differ")
    if hot.ambient > fitted.warmest + LIMITS.footing_beyond:
        said.append(f"{hot.ambient:g} °C is warmer than any ambient of its runs, "
                    f"{fitted.warmest:.0f} °C")
    return "; ".join(said)
