"""Which heat leak a cooler's balances use, moved to their temperatures; do its ways agree."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np

from coldbench import draws
from coldbench.analysis.limits import LIMITS
from coldbench.findings import Finding
from coldbench.physics.materials import FOAM_SLOPE, FOAM_SLOPE_LIMIT

MODELLED = "walls modelled"


@dataclass(frozen=True)
class Leak:
    """The heat leak that stands for a cooler.

    Parameters
    ----------
    finding : Finding
        The row it was taken from.
    value : float
        At its own wall temperature. [W/K]
    draws : ndarray, shape (4000,), or None
        None where an instrument states no error. [W/K]
    wall : float or None
        Mean wall temperature it holds at; None where it is not known. [°C]
    note : str
        What the reader must know: ways that disagree.
    """

    finding: Finding
    value: float
    draws: np.ndarray | None
    wall: float | None
    note: str = ""

    def at_wall(self, wall: float) -> tuple[float, np.ndarray | None]:
        """The heat leak with the wall at another mean temperature.

        Parameters
        ----------
        wall : float
            [°C]

        Returns
        -------
        value : float
            [W/K]
        draws : ndarray, shape (4000,), or None
            The slope's own doubt is in them. [W/K]

        References
        ----------
        .. [1] :func:`coldbench.physics.materials.foam_conductivity` for the share of the heat leak
           that foam makes: films and seal do not follow it. As an exponential, so that there and
           back is where it began.
        """
        if self.wall is None:
            return self.value, self.draws
        apart = (wall - self.wall) * LIMITS.foam_share
        value = self.value * np.exp(FOAM_SLOPE * apart)
        if self.draws is None:
            return value, None
        return value, self.draws * np.exp(_slope(self.finding.cooler) * apart)

    def at_temperatures(self, inside: float, ambient: float) -> tuple[float, np.ndarray | None]:
        """The heat leak between an inside and an ambient: the wall lies half way. [W/K]"""
        return self.at_wall((inside + ambient) / 2)


@dataclass(frozen=True)
class Agreement:
    """Two ways to the heat leak of one cooler.

    Parameters
    ----------
    first, second : Finding
        Both rows; ``first`` has the narrower interval.
    apart : float
        Second over first less one, at the wall temperature of the first. [-]
    low, high : float or None
        Its 95 % interval, the assumed run-to-run spread in it; None where an error is not
        stated. [-]
    """

    first: Finding
    second: Finding
    apart: float
    low: float | None = None
    high: float | None = None

    @property
    def agree(self) -> bool | None:
        """Whether the difference may be nothing; None where that cannot be told."""
        if self.low is None or self.high is None:
            return None
        return self.low <= 0 <= self.high


def leak_of(rows: Iterable[Finding], cooler: str, which: str = "walls") -> Leak | None:
    """The heat leak that a cooler's balances use.

    Parameters
    ----------
    rows : iterable of Finding
        Of the campaign.
    cooler : str
        Its id.
    which : {"walls", "off"}
        Walls alone, or the whole box with its machine off. Where a machine does not bridge, both
        are one and the same.

    Returns
    -------
    Leak or None
        The way with the narrowest interval, measured before modelled. Where another measured way
        disagrees with it, the draws take from both, so that what follows from them spans both.

    References
    ----------
    .. [1] This kit's own definition.
    """
    found = [f for f in rows if f.finding == "heat_leak" and f.cooler == cooler
             and f.value is not None and f.at.startswith(f"{which} ")]
    ordered = sorted(found, key=_preference)
    if not ordered:
        return None
    best = ordered[0]
    leak = Leak(best, float(best.value), best.draws, _wall(best))
    against = [a.second for a in _against(best, ordered[1:])
               if a.agree is False and not set(best.runs) & set(a.second.runs)]
    if not against or best.basis == "modelled":
        return leak
    other = against[0]
    moved = Leak(other, float(other.value), other.draws, _wall(other)).at_wall(leak.wall)[1]
    # Which of two ways that disagree is right is not known: half of the draws each.
    coin = draws.uniform(f"{cooler} {which} which way", 1.0) < 0
    note = f"{_way(best)} and {_way(other)} disagree: the interval spans both"
    return replace(leak, draws=np.where(coin, best.draws, moved), note=note)


def agreements(rows: Iterable[Finding]) -> list[Agreement]:
    """All pairs of measured ways to one heat leak of one cooler.

    Parameters
    ----------
    rows : iterable of Finding
        Of the campaign.

    Returns
    -------
    list of Agreement
        In the order of the rows; ways that share a run say nothing of each other.

    References
    ----------
    .. [1] This kit's own definition; draws are subtracted row by row, after JCGM 101:2008.
    """
    groups: dict[tuple[str, str], list[Finding]] = {}
    for f in rows:
        if f.finding == "heat_leak" and f.value is not None and f.basis == "measured":
            groups.setdefault((f.cooler, f.at.split(" ", 1)[0]), []).append(f)
    found = []
    for group in groups.values():
        for one, two in combinations(sorted(group, key=_preference), 2):
            if not set(one.runs) & set(two.runs):
                found += _against(one, [two])
    return found


def _against(best: Finding, others: Iterable[Finding]) -> list[Agreement]:
    wall = _wall(best)
    found = []
    for other in others:
        if other.basis != "measured":
            continue
        leak = Leak(other, float(other.value), other.draws, _wall(other))
        value, true = (leak.value, leak.draws) if wall is None else leak.at_wall(wall)
        apart = value / best.value - 1
        if true is None or best.draws is None:
            found.append(Agreement(best, other, apart))
        else:
            ratio = true / best.draws * (1 + _run_to_run(other) - _run_to_run(best))
            found.append(Agreement(best, other, apart, *draws.interval(ratio - 1)))
    return found


def _preference(finding: Finding) -> tuple[bool, bool, float]:
    """Measured before modelled, with an interval before without, the narrowest first."""
    stated = finding.low is not None and finding.high is not None and finding.draws is not None
    width = (finding.high - finding.low) / abs(finding.value) if stated else 0.0
    return (finding.basis != "measured", not stated, width)


def _run_to_run(finding: Finding) -> np.ndarray:
    """A box shut anew leaks a little otherwise: the assumed spread of one run. [-]"""
    name = f"{finding.cooler} {' '.join(finding.runs)} heat leak run to run"
    return draws.normal(name, LIMITS.spread_energy)


def _wall(finding: Finding) -> float | None:
    wall = finding.conditions.get("wall")
    return float(wall) if wall is not None else None


def _way(finding: Finding) -> str:
    """``heater`` of ``walls heater``."""
    return finding.at.split(" ", 1)[1]


def _slope(cooler: str) -> np.ndarray:
    return FOAM_SLOPE + draws.uniform(f"{cooler} foam slope", FOAM_SLOPE_LIMIT)
