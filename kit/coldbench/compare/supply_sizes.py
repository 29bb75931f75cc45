"""The smallest battery and panel that give power for a share of all hours."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from coldbench import draws
from coldbench.compare.supply_place import Place
from coldbench.findings import Finding

LEVELS = (0.95, 0.99, 0.999)
FINE = 121  # sizes between those tried, among which the smallest pair is looked for
FACTORS = np.geomspace(0.6, 1.6, 21)  # by which the smallest pair is made smaller and larger
RESAMPLED = 400


@dataclass(frozen=True)
class Smallest:
    """Battery [Wh] and panel [W] for a level; both may have to be ``low`` to ``high`` times that.

    An end that is None is open.
    """

    level: float
    battery: float
    panel: float
    low: float | None
    high: float | None


def smallest(
    place: Place, load: np.ndarray, without: np.ndarray, battery: np.ndarray, panel: np.ndarray,
    energy: Finding,
) -> list[Smallest]:
    """Pair that takes least for each level, a watt of panel counting as some of battery.

    Parameters
    ----------
    place : Place
        Sun, air, how the battery is used.
    load : ndarray, shape (hours,)
        [W]
    without : ndarray, shape (n, n)
        Share of hours without power, by battery and panel. [-]
    battery, panel : ndarray, shape (n,)
        Sizes that were tried, rising by a factor. [Wh], [W]
    energy : Finding
        Its draws are those of the load.

    Returns
    -------
    list of Smallest
        Levels that no size tried gives are left out.

    References
    ----------
    .. [1] This kit's own definition.
    """
    return _exact(place, load, _on_grid(without, battery, panel, place.worth), energy)


def _on_grid(
    without: np.ndarray, battery: np.ndarray, panel: np.ndarray, worth: float
) -> dict[float, tuple[float, float]]:
    last = len(battery) - 1
    fine, whole = np.linspace(0, last, FINE), np.arange(last + 1)
    sizes = [np.exp(np.interp(fine, whole, np.log(axis))) for axis in (battery, panel)]
    takes = sizes[0][:, None] + worth * sizes[1]
    # Its root is nearer to a straight line towards the sizes that are always enough.
    root = between(np.sqrt(without), fine[:, None], fine[None, :])
    found = {}
    for level in LEVELS:
        holds = root <= np.sqrt(1 - level)
        if holds.any():
            i, j = np.unravel_index(np.where(holds, takes, np.inf).argmin(), takes.shape)
            found[level] = (float(sizes[0][i]), float(sizes[1][j]))
    return found


def _exact(
    place: Place, load: np.ndarray, pairs: Mapping[float, tuple[float, float]], energy: Finding
) -> list[Smallest]:
    """Pairs made as small as they may be, and the factors of their interval.

    Between the points of the grid the share is guessed, so that each pair is run again, smaller
    and larger. Twice the load asks for twice the battery and twice the panel, whatever the
    weather: so the energy's interval is that of both.
    """
    if not pairs:
        return []
    battery, panel = (np.outer([pair[k] for pair in pairs.values()], FACTORS) for k in (0, 1))
    ran = place.run(load, battery.ravel(), panel.ravel())
    without = (ran.without.sum(axis=0) / len(load)).reshape(-1, *battery.shape)
    years = draws.generator("sky resampled").integers(0, len(without), (RESAMPLED, len(without)))
    found = []
    for n, (level, pair) in enumerate(pairs.items()):
        least = float(_factor(without[:, n].mean(axis=0)[None], 1 - level)[0])
        needs = _factor(without[years, n].mean(axis=1), 1 - level)
        if energy.draws is not None:
            needs = needs * energy.draws[:: len(energy.draws) // RESAMPLED] / energy.value
        low, high = draws.interval(needs / least)
        found.append(Smallest(level, pair[0] * least, pair[1] * least,
                              low, high if np.isfinite(high) else None))
    return found


def _factor(without: np.ndarray, most: float) -> np.ndarray:
    """Least factor at which no more than so much is without power; infinite where none is."""
    holds = without <= most
    at = holds.argmax(axis=1)
    before, row = np.maximum(at - 1, 0), np.arange(len(without))
    step = without[row, before] - without[row, at]
    over = np.where(step > 0, (without[row, before] - most) / np.where(step > 0, step, 1.0), 1.0)
    factor = FACTORS[before] + over * (FACTORS[at] - FACTORS[before])
    return np.where(holds.any(axis=1), factor, np.inf)


def between(grid: np.ndarray, i: np.ndarray, j: np.ndarray) -> np.ndarray:
    """A grid between its points, straight both ways; beyond its edges what stands there.

    Parameters
    ----------
    grid : ndarray, shape (n, n)
        [any]
    i, j : ndarray
        Places, counted in points from 0. [-]

    Returns
    -------
    ndarray
        [as grid]

    References
    ----------
    .. [1] Bilinear interpolation.

    Examples
    --------
    >>> float(between(np.array([[0.0, 1.0], [2.0, 3.0]]), np.array(0.5), np.array(0.5)))
    1.5
    """
    n = len(grid) - 1
    i, j = np.clip(i, 0, n), np.clip(j, 0, n)
    a, b = np.minimum(i.astype(int), n - 1), np.minimum(j.astype(int), n - 1)
    u, v = i - a, j - b
    return ((1 - u) * ((1 - v) * grid[a, b] + v * grid[a, b + 1])
            + u * ((1 - v) * grid[a + 1, b] + v * grid[a + 1, b + 1]))
