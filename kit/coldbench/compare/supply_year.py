"""A year by the hour: how long each cooler is without power, and which battery and panel hold."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from coldbench.analysis.campaign import CampaignResult
from coldbench.compare.supply import energy_at_cooler
from coldbench.compare.supply_place import SUN_FULL, Place, hourly_load, needed_for_year, place_of
from coldbench.compare.supply_sizes import smallest
from coldbench.findings import Finding, find

STATED = "by days and sun hours"
GRID = 15  # batteries, and panels, that are tried
PANEL_MOST = (6, 40)  # largest panel tried, of what the mean of the year asks for: within


@dataclass(frozen=True)
class Case:
    """One battery with one panel.

    Parameters
    ----------
    what : str
        ``STATED``, or the share of hours that it is the smallest for: ``99 %``.
    battery, panel : float
        [Wh], [W]
    without : ndarray, shape (years, 12)
        Time without power. [h]
    lowest : float
        Least charge of all years, of the full battery. [-]
    low, high : float or None
        Both may be smaller or larger by this factor; None is open. [-]
    """

    what: str
    battery: float
    panel: float
    without: np.ndarray
    lowest: float
    low: float | None = None
    high: float | None = None

    @property
    def share(self) -> float:
        """Hours with power, of all. [-]"""
        return 1 - float(self.without.sum(axis=1).mean()) / 8760

    @property
    def worst(self) -> int | None:
        """Month with most hours without power, 0 for January; None where there are none."""
        months = self.without.mean(axis=0)
        return int(months.argmax()) if months.any() else None


@dataclass(frozen=True)
class SupplyYear:
    """One cooler through the years.

    Parameters
    ----------
    cooler : str
        Its id.
    energy : Finding
        Daily energy at the footing. [Wh/d]
    demand, sun, air : ndarray, shape (12,)
        Daily energy [Wh/d], hours of full sun on level ground [h/d], ambient [°C] by month.
    battery, panel : ndarray, shape (15,)
        Sizes that were tried. [Wh], [W]
    share : ndarray, shape (15, 15)
        Hours with power, of all, by battery and panel. [-]
    cases : tuple of Case
        That of the sheet's arithmetic, and the smallest ones; those that no size tried gives are
        left out.
    said : tuple of str
        What was assumed.
    """

    cooler: str
    energy: Finding
    demand: np.ndarray
    sun: np.ndarray
    air: np.ndarray
    battery: np.ndarray
    panel: np.ndarray
    share: np.ndarray
    cases: tuple[Case, ...]
    said: tuple[str, ...]

    def case(self, what: str) -> Case | None:
        """A case by its name."""
        return next((one for one in self.cases if one.what == what), None)

    @property
    def shown(self) -> Case | None:
        """The case whose months are told: that of the sheet, else the smallest for least hours."""
        return next(iter(self.cases), None)


def supply_years(result: CampaignResult, rows: Sequence[Finding]) -> list[SupplyYear]:
    """Years by the hour of every cooler whose daily energy at the footing has a value.

    Parameters
    ----------
    result : CampaignResult
        Runs, analysed.
    rows : sequence of Finding
        Of the campaign, with the footing's and those of :func:`coldbench.compare.supply.supply`.

    Returns
    -------
    list of SupplyYear
        In the order of the campaign; none where a key is missing (:func:`needed_for_year`).

    References
    ----------
    .. [1] This kit's own definition: the footing's power, moved hour by hour to the ambient by
       the power law on (ambient − inside).
    """
    if result.campaign.sheet.footing is None or needed_for_year(result.campaign):
        return []
    place = place_of(result.campaign)
    found = []
    for cooler in result.campaign.coolers:
        energy = energy_at_cooler(rows, cooler)
        if energy.value:
            stated = [next(iter(find(rows, cooler=cooler, finding=name)), None)
                      for name in ("battery_needed", "panel_needed")]
            pair = [row.value for row in stated if row is not None and row.value is not None]
            load = hourly_load(result, rows, energy, place.air)
            found.append(year_of(place, energy, load, tuple(pair) if len(pair) == 2 else None))
    return found


def year_of(
    place: Place, energy: Finding, load: np.ndarray, stated: tuple[float, float] | None = None
) -> SupplyYear:
    """One cooler at one place.

    Parameters
    ----------
    place : Place
        Sun, air, battery, panel.
    energy : Finding
        Its value [Wh/d] and interval widen what is needed.
    load : ndarray, shape (8760,)
        [W]
    stated : (float, float), optional
        Battery and panel of the sheet's arithmetic. [Wh], [W]

    Returns
    -------
    SupplyYear

    References
    ----------
    .. [1] This kit's own definition.
    """
    sun = place.monthly(place.sun) * 24 / SUN_FULL
    demand = place.monthly(load) * 24
    day, hours = float(load.mean()) * 24, float(place.sun.mean()) * 24 / SUN_FULL
    # From less than a night to beyond what the darkest month asks for.
    battery = day / (place.depth * place.efficiency) * np.geomspace(0.25, 12, GRID)
    most = float(np.clip(4 * hours / max(sun.min(), 1e-6), *PANEL_MOST))
    panel = day / (hours * place.ratio) * np.geomspace(0.6, most, GRID)
    tried = place.run(load, np.repeat(battery, GRID), np.tile(panel, GRID))
    without = (tried.without.sum(axis=0) / len(load)).mean(axis=0).reshape(GRID, GRID)
    pairs = {} if stated is None else {STATED: (*stated, None, None)}
    pairs |= {f"{100 * one.level:g} %": (one.battery, one.panel, one.low, one.high)
              for one in smallest(place, load, without, battery, panel, energy)}
    return SupplyYear(energy.cooler, energy, demand, sun, place.monthly(place.air), battery, panel,
                      1 - without, _cases(place, load, pairs), place.said)


def _cases(
    place: Place, load: np.ndarray,
    pairs: Mapping[str, tuple[float, float, float | None, float | None]],
) -> tuple[Case, ...]:
    if not pairs:
        return ()
    battery, panel = (np.array([pair[k] for pair in pairs.values()]) for k in (0, 1))
    ran = place.run(load, battery, panel)
    return tuple(
        Case(what, *pair[:2], ran.without[:, :, i].T, float(ran.lowest[:, i].min()), *pair[2:])
        for i, (what, pair) in enumerate(pairs.items()))
