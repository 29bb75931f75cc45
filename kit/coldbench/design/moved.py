"""A compressor unit moved whole into another box: what that leaves open, and how soon it cools.

What it holds there, its duty and its energy are :func:`coldbench.design.expected.expected` of it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
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
from coldbench.design.fitted import Fitted
from coldbench.design.limits import DESIGN
from coldbench.design.pull_down_predicted import Contents, pull_down_hours
from coldbench.physics.water import SPECIFIC_HEAT
from coldbench.quantities import number


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
    return replace(unit, place=draws.uniform(f"{donor} unit moved place", DESIGN.unit_place))


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
    return hours * (1 + draws.uniform(f"{cooler} predicted pull-down", DESIGN.model_pull_down))


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


def beyond(fitted: Fitted, inside: float, ambient: float) -> str:
    """What is asked of a unit beyond what its own runs show.

    Parameters
    ----------
    fitted : Fitted
        Of the donor; not refused.
    inside, ambient : float
        [°C]

    Returns
    -------
    str
        Empty where they reach that far.

    References
    ----------
    .. [1] Limits as where an energy is moved to a footing; this kit's own.
    """
    low, high = fitted.seen
    said = []
    if not low - LIMITS.footing_inside <= inside <= high + LIMITS.footing_inside:
        said.append(f"{number(inside, 0)} °C inside lies beyond what its runs show, "
                    f"{number(low, 0)} to {number(high, 0)} °C: the interval is as wide as units "
                    "differ")
    if ambient > fitted.warmest + LIMITS.footing_beyond:
        said.append(f"{number(ambient, 0)} °C is warmer than any ambient of its runs, "
                    f"{number(fitted.warmest, 0)} °C")
    return "; ".join(said)
