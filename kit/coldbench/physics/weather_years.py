"""Years of hours for a supply from the sun: clear and dull days in a row, warm and cold air.

A year begins at the height of its summer, where a battery is full, and each stands for itself.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coldbench.physics.solar import above_air, clear_sky, sun_height

DAYS, HOURS = 365, 24
WARMEST = 202  # day of the year on which northern air is warmest, a month after the sun; d
LATEST = 15.0  # hour of the day at which air is warmest; h
MONTH_ENDS = np.cumsum([31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])


@dataclass(frozen=True)
class Calendar:
    """Hours of a year in the order in which it is gone through.

    Parameters
    ----------
    day : ndarray of int, shape (8760,)
        Day of the calendar year, 1 on 1 January. [d]
    hour : ndarray, shape (8760,)
        Middle of the hour, solar time. [h]
    month : ndarray of int, shape (8760,)
        0 for January. [-]
    """

    day: np.ndarray
    hour: np.ndarray
    month: np.ndarray


def calendar(latitude: float) -> Calendar:
    """The hours of a year from the height of summer to the next.

    Parameters
    ----------
    latitude : float
        North is positive. [°]

    Returns
    -------
    Calendar

    References
    ----------
    .. [1] This kit's own definition: from 1 July in the north, from 1 January in the south.

    Examples
    --------
    >>> int(calendar(45.0).month[0]), int(calendar(-45.0).month[0])
    (6, 0)
    """
    first = MONTH_ENDS[5] if latitude >= 0 else 0
    day = (first + np.arange(DAYS)) % DAYS + 1
    return Calendar(
        np.repeat(day, HOURS), np.tile(np.arange(HOURS) + 0.5, DAYS),
        np.repeat(np.searchsorted(MONTH_ENDS, day), HOURS))


@dataclass(frozen=True)
class Sky:
    """Sun on level ground, and by what it was made.

    Parameters
    ----------
    sun : ndarray, shape (years, 8760)
        [W/m²]
    clear_share : float
        Share of days that are clear. [-]
    dull : float
        What arrives on the others, of that under a clear sky. [-]
    clearness : float
        Mean of all, of the sun above the air, that the days were drawn for. [-]
    """

    sun: np.ndarray
    clear_share: float
    dull: float
    clearness: float


def sky_years(
    latitude: float, clearness: float, years: int, rng: np.random.Generator, *,
    dull: float, persistence: float,
) -> Sky:
    """Clear and dull days in a row, so that a given share of the sun above the air arrives.

    Parameters
    ----------
    latitude : float
        North is positive. [°]
    clearness : float
        Share of the sun above the air that arrives, mean of the year. [-]
    years : int
        How many, each by itself.
    rng : Generator
        Source of the draws.
    dull : float
        What arrives on a dull day, of that under a clear sky. [-]
    persistence : float
        Correlation of a day with the next. [-]

    Returns
    -------
    Sky
        Where all days clear are not enough, or all days dull too much, ``clear_share`` is 1 or 0
        and, below it, ``dull`` is what gives the mean.

    References
    ----------
    .. [1] This kit's own definition, a chain of two states: tomorrow is like today with the
       probability of the persistence, else drawn anew. Real days lie between the two.
    .. [2] Under a closed cover of cloud a quarter of the clear sky's sun arrives: F. Kasten,
       G. Czeplak, Solar Energy 24 (1980) 177; a day's clearness goes with the next day's with a
       correlation of about 0.3: V. Graham, K. Hollands, T. Huget, Solar Energy 40 (1988) 83.
       Both from memory.
    """
    hours = calendar(latitude)
    day = hours.day + hours.hour / HOURS
    height = sun_height(latitude, day, hours.hour)
    clear = clear_sky(height)
    highest = clear.sum() / above_air(day, height).sum()
    reached = min(clearness, highest) / highest
    dull = min(dull, reached)
    share = (reached - dull) / (1 - dull) if dull < 1 else 1.0
    days = _chain(share, persistence, (years, DAYS), rng)
    index = np.repeat(np.where(days, 1.0, dull), HOURS, axis=1)
    return Sky(index * clear, share, dull, reached * highest)


def _chain(
    share: float, persistence: float, shape: tuple[int, int], rng: np.random.Generator
) -> np.ndarray:
    """Whether each day is clear; the state lasts until a new one is drawn."""
    anew = rng.random(shape) >= persistence
    anew[:, 0] = True
    drawn = rng.random(shape) < share
    last = np.maximum.accumulate(np.where(anew, np.arange(shape[1]), 0), axis=1)
    return np.take_along_axis(drawn, last, axis=1)


def air_year(latitude: float, summer: float, winter: float, swing: float) -> np.ndarray:
    """Ambient through the hours of a year: warm and cold months, warm and cold hours.

    Parameters
    ----------
    latitude : float
        North is positive; south of the equator the warmest day is half a year later. [°]
    summer, winter : float
        Mean of a day at the height of summer and of winter. [°C]
    swing : float
        Half of the difference between the warmest and the coldest hour of a day. [K]

    Returns
    -------
    ndarray, shape (8760,)
        [°C]

    References
    ----------
    .. [1] This kit's own definition: a cosine over the year and one over the day.

    Examples
    --------
    >>> air = air_year(45.0, 20.0, 2.0, 5.0)
    >>> round(float(air.max()), 1), round(float(air.min()), 1)
    (25.0, -3.0)
    """
    hours = calendar(latitude)
    warmest = WARMEST if latitude >= 0 else WARMEST - DAYS / 2
    yearly = np.cos(2 * np.pi * (hours.day - warmest) / DAYS)
    daily = np.cos(2 * np.pi * (hours.hour - LATEST) / HOURS)
    return (summer + winter) / 2 + (summer - winter) / 2 * yearly + swing * daily
