"""Running capacity of a unit and heat leak of a box over the inside: where they meet, and duty."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coldbench import draws
from coldbench.analysis.limits import LIMITS
from coldbench.design.compressor_unit import CompressorUnit
from coldbench.design.expected import Expected
from coldbench.design.fitted import Fitted
from coldbench.physics.materials import FOAM_SLOPE

COUNT = 61  # insides
BELOW, ABOVE = 1.5, 10.0  # of the coldest's interval, and of what is held, shown too [K]
WIDEST = 10.0  # of that interval below its middle that is shown [K]


@dataclass(frozen=True)
class Sweep:
    """A unit on a new box at one ambient. Bands are shaped (3, n): middle, low, high.

    Parameters
    ----------
    inside : ndarray, shape (n,)
        [°C]
    capacity, leak : ndarray, shape (3, n)
        Running without a break; what comes in. [W]
    duty : ndarray, shape (3, n)
        NaN in the middle where it cannot take what comes in. [-]
    coldest : tuple of float
        Middle, low and high. [°C]
    held : tuple of float
        Inside to be held, and the duty there: middle, low, high; NaN where it is not held.
    ambient : float
        [°C]
    points : ndarray, shape (m, 2)
        Insides, and running capacities that the donor's runs show, each moved to this ambient
        and to unbroken running. [°C], [W]
    """

    inside: np.ndarray
    capacity: np.ndarray
    leak: np.ndarray
    duty: np.ndarray
    coldest: tuple[float, float, float]
    held: tuple[float, float, float, float]
    ambient: float
    points: np.ndarray


def sweep(
    fitted: Fitted, unit: CompressorUnit, hot: Expected, extra: float = 0.0
) -> Sweep:
    """A unit on a new box over all insides.

    Parameters
    ----------
    fitted : Fitted
        Of the donor: its points are shown.
    unit : CompressorUnit
        In the new box, its constants as draws.
    hot : Expected
        Of both, on the hottest day.
    extra : float
        Heat that comes in besides, as it went into ``hot``. [W]

    Returns
    -------
    Sweep

    References
    ----------
    .. [1] This kit's own arrangement; intervals as everywhere.
    """
    coldest = _three(hot.coldest[None])[:, 0]
    top = min(max(hot.inside, coldest[0]) + ABOVE, hot.ambient - 1.0)
    lowest = min(max(coldest[1], coldest[0] - WIDEST), hot.inside)
    inside = np.linspace(lowest - BELOW, top, COUNT)
    x = inside[:, None]
    # The wall is colder when the inside is.
    colder = np.exp(LIMITS.foam_share * FOAM_SLOPE * (x - hot.inside) / 2)
    leak = hot.heat_leak * colder * (hot.ambient - x) + extra
    duty = unit.hold(x, hot.ambient, leak).duty
    # As many draws as cannot hold run without a break.
    held = np.array([hot.inside, *_three(np.nan_to_num(hot.duty, nan=1.0)[None])[:, 0]])
    band = _three(np.nan_to_num(duty, nan=1.0))
    band[0, np.isnan(duty).mean(axis=1) > 0.5] = np.nan
    return Sweep(inside, _three(unit.capacity(x, hot.ambient)), _three(leak), band,
                 tuple(coldest), tuple(held), hot.ambient, _points(fitted, hot.ambient))


def _three(true: np.ndarray) -> np.ndarray:
    """Middle, low and high of draws, shape (n, 4000) to (3, n)."""
    return np.array([[np.median(row), *draws.interval(row)] for row in true]).T


def _points(fitted: Fitted, ambient: float) -> np.ndarray:
    unit, found = fitted.central, []
    for p in fitted.points:
        inside, room, duty = (float(k.value) for k in (p.inside, p.ambient, p.duty))
        moved = unit.capacity(inside, ambient) / unit.capacity(inside, room)
        starts = 1 + float(unit.starts_taken) * (1 - duty)
        found.append((inside, float(p.capacity.value) * float(moved) / starts))
    return np.array(found, float).reshape(-1, 2)
