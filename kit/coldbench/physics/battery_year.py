"""A battery that the sun fills and a cooler empties, hour by hour, many cases at once."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike


@dataclass(frozen=True)
class BatteryYear:
    """What became of each case, in each year.

    Parameters
    ----------
    without : ndarray, shape (periods, years, cases)
        Time without power, by period of the year. [h]
    lowest : ndarray, shape (years, cases)
        Least that was in the battery, of what it holds when full; the part that may not be used
        counts. [-]
    served, spilled, stored : ndarray, shape (years, cases)
        Energy that reached the cooler; that the panel could have given to a full battery; and by
        which the content changed. The rest of what shone is lost in the battery. [Wh]
    """

    without: np.ndarray
    lowest: np.ndarray
    served: np.ndarray
    spilled: np.ndarray
    stored: np.ndarray


def battery_year(
    load: ArrayLike, sun: ArrayLike, battery: ArrayLike, panel: ArrayLike, period: ArrayLike, *,
    depth: float, efficiency: float, restart: float,
) -> BatteryYear:
    """Go through the hours, from a full battery.

    Parameters
    ----------
    load : array_like, shape (hours,)
        Power that the cooler draws while it has any. [W]
    sun : array_like, shape (years, hours)
        What a panel gives, of its peak power. [W/W]
    battery : array_like, shape (cases,)
        What the battery holds when full. [Wh]
    panel : array_like, shape (cases,)
        Peak power of the panel. [W]
    period : array_like of int, shape (hours,)
        Period of the year that an hour belongs to, from 0: its month. [-]
    depth : float
        Share of the battery that may be used; there the cooler is cut off. [-]
    efficiency : float
        Energy out over energy in; all of the loss is counted where energy comes out. [-]
    restart : float
        Content at which the cooler may start again, as a share of the usable one. [-]

    Returns
    -------
    BatteryYear

    References
    ----------
    .. [1] This kit's own definition: an energy balance with steps of one hour, the sun serving
       the cooler before the battery. In the hour of the cut-off it runs for the share of the hour
       that was left.
    """
    load, sun = np.asarray(load, float), np.atleast_2d(np.asarray(sun, float))
    battery, panel = np.broadcast_arrays(np.asarray(battery, float), np.asarray(panel, float))
    usable, costs = depth * battery, 1 / efficiency
    again = restart * usable
    shape = (sun.shape[0], battery.size)
    content, on = np.broadcast_to(usable, shape).copy(), np.ones(shape, bool)
    lowest, periods = content.copy(), np.asarray(period)
    served, spilled = np.zeros(shape), np.zeros(shape)
    ran = np.zeros((int(periods.max()) + 1, *shape))
    columns = np.ascontiguousarray(sun.T)[:, :, None]
    lit = sun.any(axis=0).tolist()
    for need, shine, day, part in zip(load.tolist(), columns, lit, periods.tolist(), strict=True):
        asked = on * need
        if day:
            net = shine * panel - asked
            content += np.minimum(net, net * costs)  # what comes out costs more
            spilled += np.maximum(content - usable, 0.0)
            np.minimum(content, usable, out=content)
        else:
            content -= asked * costs
        enough = content >= 0
        got = asked + efficiency * np.minimum(content, 0.0)
        np.maximum(content, 0.0, out=content)
        served += got
        ran[part] += got * (1 / need) if need else 1.0
        np.minimum(lowest, content, out=lowest)
        on = on & enough | (content >= again)
    hours = np.bincount(periods)[:, None, None]
    with np.errstate(invalid="ignore", divide="ignore"):
        left = np.where(battery > 0, 1 - depth + lowest / battery, 0.0)
    return BatteryYear(hours - ran, left, served, spilled, content - usable)
