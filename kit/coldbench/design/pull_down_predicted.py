"""Hours in which a machine brings a box and what stands in it from one temperature to another."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np
from numpy.typing import ArrayLike

from coldbench.physics.water import CP_WATER, LATENT_HEAT

HOUR = 3600.0
STEPS = 24  # of the air on its way down
LEAST = 1e-3  # net heat below which nothing gets colder [W]


@dataclass(frozen=True)
class Contents:
    """What has to be cooled; everything broadcasts.

    Parameters
    ----------
    leak : array_like
        Heat leak of the walls. [W/K]
    structure : array_like
        Heat of liner, inner foam and evaporator, which follow the air. [J/K]
    load : array_like
        Water. [kg]
    film : array_like
        From the load to the air. [W/K]
    extra : array_like
        Heat that comes in besides: a fan, openings. [W]
    """

    leak: ArrayLike
    structure: ArrayLike
    load: ArrayLike = 0.0
    film: ArrayLike = 1.0
    extra: ArrayLike = 0.0

    @property
    def heat(self) -> np.ndarray:
        """Heat of the load. [J/K]"""
        return CP_WATER * np.asarray(self.load, float)


def pull_down_hours(
    unit: Any, contents: Contents, ambient: ArrayLike, start: ArrayLike, target: ArrayLike,
    at: Literal["load", "air"] = "load", load_start: ArrayLike | None = None,
) -> np.ndarray:
    """Time from switching on to the target.

    Parameters
    ----------
    unit : CompressorUnit or ThermoelectricUnit
        Its ``capacity(inside, ambient)`` [W] is asked for.
    contents : Contents
    ambient, start, target : array_like
        ``start`` is the box's. [°C]
    at : {"load", "air"}
        What is to reach the target. Without a load there is only the air.
    load_start : array_like, optional
        Of the load; without it, that of the box. [°C]

    Returns
    -------
    ndarray
        Infinite where it never gets there. [h]

    Notes
    -----
    ``∫ dH / (capacity − leak)``, H being the heat that structure and load have given up by the
    time the air has come down to a temperature. The load lags the air so far that its film passes
    on its share of what the machine takes net: ``load = air + (capacity − leak) /
    (film (1 + C_structure / C_load))``. Water that freezes on the way gives up its latent heat at
    0 °C, by the same film.

    References
    ----------
    .. [1] First law for the inside of a closed box with two heat capacities; quasi-steady lag.
       This kit's own definition.
    """
    target, start = np.asarray(target, float), np.asarray(start, float)
    load_start = start if load_start is None else np.asarray(load_start, float)
    loaded = (np.asarray(contents.load) > 0) & (at == "load")
    # The load reaches the target while the air is colder than it by at most the lag there.
    _, lag, net = _there(unit, contents, target, ambient)
    low = np.where(loaded, target - lag, target)
    way = _way(unit, contents, ambient, (start, load_start), low, at)
    shapes = (np.shape(one) for one in (low, start, load_start))
    hours, before = np.zeros(np.broadcast_shapes(*shapes)), None
    reached = np.zeros(hours.shape, bool)
    for load, air, heat, flow in way:
        place = np.where(loaded, load, air)
        if before is not None:
            was, load_was, gone, was_flow = before
            step = (heat - gone) / (HOUR * np.maximum((flow + was_flow) / 2, LEAST))
            there = place <= target + 1e-9
            with np.errstate(invalid="ignore", divide="ignore"):
                share = np.clip((was - target) / (was - place), 0.0, 1.0)
            hours = hours + np.where(reached, 0.0, np.where(there, share, 1.0) * step)
            freezes = ~reached & (load <= 0) & (load_was > 0) & (target < 0)
            ice = np.asarray(contents.load) * LATENT_HEAT / (HOUR * np.maximum(flow, LEAST))
            hours = hours + np.where(freezes, ice, 0.0)
            reached = reached | there
        before = place, load, heat, flow
    never = (net <= 0) | ~reached
    already = np.where(loaded, load_start, start) <= target
    return np.where(already, 0.0, np.where(never, np.inf, hours))


def _there(
    unit: Any, contents: Contents, air: np.ndarray, ambient: ArrayLike
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Temperature of the load, its lag, and net heat taken, with the air at a temperature."""
    net = unit.capacity(air, ambient) - contents.leak * (ambient - air) - contents.extra
    heat = np.maximum(contents.heat, 1e-9)
    lag = np.maximum(net, 0.0) * heat / (contents.film * (heat + contents.structure))
    return air + lag, lag, net


def _way(
    unit: Any, contents: Contents, ambient: ArrayLike, starts: tuple[np.ndarray, np.ndarray],
    low: np.ndarray, at: str,
) -> Iterator[tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]]:
    """Load and air [°C], heat given up [J], what takes it [W], step by step down."""
    start, of_load = starts
    for share in np.linspace(0.0, 1.0, STEPS + 1):
        air = start + (low - start) * share
        load, _, net = _there(unit, contents, air, ambient)
        held = load >= of_load  # structure and air only, so far
        load = np.minimum(load, of_load)
        heat = contents.structure * (start - air) + contents.heat * (of_load - load)
        if at == "air":
            # Until the load follows, it warms the air that is already colder.
            net = np.where(held & (np.asarray(contents.load) > 0),
                           net - contents.film * (of_load - air), net)
        yield load, air, heat, net
