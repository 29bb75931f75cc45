"""Where a supply stands: its sun and air by the hour, and what a cooler draws there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from coldbench import draws
from coldbench.analysis.campaign import CampaignResult
from coldbench.analysis.limits import LIMITS
from coldbench.compare.states import states
from coldbench.findings import Finding
from coldbench.physics.battery_year import BatteryYear, battery_year
from coldbench.physics.weather_years import air_year, calendar, sky_years
from coldbench.sheets import Campaign
from coldbench.sheets.campaign import MoneySheet

KEYS = ("latitude", "clearness", "depth_of_discharge", "battery_efficiency", "performance_ratio")
SUN_FULL = 1000.0  # W/m²


@dataclass(frozen=True)
class Place:
    """Where the supply stands: its sun, its air, and how its battery and panel are used.

    Parameters
    ----------
    sun : ndarray, shape (years, 8760)
        [W/m²]
    air : ndarray, shape (8760,)
        Ambient. [°C]
    month : ndarray of int, shape (8760,)
        0 for January. [-]
    depth, efficiency, ratio, restart : float
        Depth of discharge, battery efficiency, performance ratio, content to start again. [-]
    said : tuple of str
        What was assumed.
    worth : float
        Battery that takes as much, in money or room, as a watt of panel. [Wh/W]
    """

    sun: np.ndarray
    air: np.ndarray
    month: np.ndarray
    depth: float
    efficiency: float
    ratio: float
    restart: float
    said: tuple[str, ...]
    worth: float = LIMITS.panel_worth

    def monthly(self, hourly: np.ndarray) -> np.ndarray:
        """Mean of each month, of something by the hour. [as hourly]"""
        mean = hourly.mean(axis=0) if hourly.ndim == 2 else hourly
        return np.bincount(self.month, mean) / np.bincount(self.month)

    def run(self, load: np.ndarray, battery: np.ndarray, panel: np.ndarray) -> BatteryYear:
        """All years of some batteries [Wh] with panels [W]."""
        return battery_year(
            load, self.sun / SUN_FULL * self.ratio, battery, panel, self.month, depth=self.depth,
            efficiency=self.efficiency, restart=self.restart)


def needed_for_year(campaign: Campaign) -> list[str]:
    """Keys of ``[supply]`` that the years by the hour lack."""
    sheet = campaign.sheet.supply
    return [key for key in KEYS if sheet is None or getattr(sheet, key) is None]


def place_of(campaign: Campaign) -> Place:
    """Sun and air of the campaign's ``[supply]``, in which no key is missing, and its footing.

    Parameters
    ----------
    campaign : Campaign
        Sheets.

    Returns
    -------
    Place

    References
    ----------
    .. [1] :mod:`coldbench.physics.weather_years`.
    """
    sheet, footing = campaign.sheet.supply, campaign.sheet.footing
    latitude = sheet.latitude.value
    sky = sky_years(latitude, sheet.clearness.value, LIMITS.sky_years, draws.generator("sky"),
                    dull=LIMITS.sky_dull, persistence=LIMITS.sky_persists)
    said = [f"{LIMITS.sky_years} years of drawn weather at latitude {latitude:g}°, panel level, "
            f"{100 * sky.clear_share:.0f} % of days clear"]
    if sky.clearness < sheet.clearness.value - 1e-9:
        said.append(f"a clearness above {100 * sky.clearness:.0f} % cannot be: all days clear")
    ends = [sheet.ambient_summer, sheet.ambient_winter]
    if None in ends:
        summer = winter = footing.ambient.value
        said.append(f"ambient {footing.ambient.value:g} °C all year (the footing's), since "
                    "ambient_summer and ambient_winter are not both stated")
    else:
        summer, winter = (end.value for end in ends)
        said.append(f"ambient {summer:g} °C in summer, {winter:g} °C in winter")
    said[-1] += f", {LIMITS.day_swing:g} K above and below it by day and night"
    worth = _worth(campaign.sheet.money)
    said.append(f"in the smallest pair a watt of panel counts as {worth:.1f} Wh of battery")
    return Place(
        sky.sun, air_year(latitude, summer, winter, LIMITS.day_swing), calendar(latitude).month,
        sheet.depth_of_discharge.value, sheet.battery_efficiency.value,
        sheet.performance_ratio.value, LIMITS.battery_restart, tuple(said), worth)


def _worth(money: MoneySheet | None) -> float:
    """Battery for the price of a watt of panel, else the default. [Wh/W]"""
    if money is None or money.battery_price is None or money.panel_price is None:
        return LIMITS.panel_worth
    panel, battery = money.panel_price.value, money.battery_price.value
    return panel / battery if panel > 0 and battery > 0 else LIMITS.panel_worth


def hourly_load(
    result: CampaignResult, rows: Sequence[Finding], energy: Finding, air: np.ndarray
) -> np.ndarray:
    """Mean power of each hour, from the footing's by the power law, at most the running power.

    Parameters
    ----------
    result : CampaignResult
        Runs, analysed.
    rows : sequence of Finding
        Of the campaign.
    energy : Finding
        Daily energy at the footing, with its value. [Wh/d]
    air : ndarray, shape (hours,)
        Ambient. [°C]

    Returns
    -------
    ndarray, shape (hours,)
        [W]

    References
    ----------
    .. [1] This kit's own definition.
    """
    footing = result.campaign.sheet.footing
    inside, ambient = footing.inside.value, footing.ambient.value
    power = energy.value / 24
    known = [one for one in states(result, rows, energy.cooler) if one.at == energy.at]
    near = min(known, key=lambda one: abs(one.ambient.value - ambient)
               + abs(one.inside.value - inside))
    idle = min(float(near.idle.value), power)
    most = max([power, *(float(one.running.value) for one in known)])
    return moved_load(power, idle, most, near.law, (ambient - inside), air - inside)


def moved_load(
    power: float, idle: float, most: float, law: float, difference: float, differences: np.ndarray
) -> np.ndarray:
    """Power at other differences between ambient and inside.

    Parameters
    ----------
    power, idle, most : float
        Mean at ``difference``, what of it does not follow the cold, and while running. [W]
    law : float
        Exponent. [-]
    difference, differences : float, ndarray
        Ambient − inside. [K]

    Returns
    -------
    ndarray
        [W]

    References
    ----------
    .. [1] This kit's own definition, as for ``daily_energy_footing``.

    Examples
    --------
    >>> moved_load(10.0, 1.0, 40.0, 1.5, 20.0, np.array([20.0, 0.0, 80.0])).tolist()
    [10.0, 1.0, 40.0]
    """
    ratio = np.maximum(differences, 0.0) / difference
    return np.minimum(idle + (power - idle) * ratio**law, most)
