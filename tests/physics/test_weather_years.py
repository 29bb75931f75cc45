"""Years of drawn weather: seasons, the mean that was asked for, and how days follow days."""

from __future__ import annotations

import numpy as np
import pytest

from coldbench.physics.solar import above_air, clear_sky, sun_height
from coldbench.physics.weather_years import HOURS, air_year, calendar, sky_years


def sky(latitude=45.0, clearness=0.45, years=40, dull=0.25, persistence=0.3, seed=1):
    return sky_years(latitude, clearness, years, np.random.default_rng(seed), dull=dull,
                     persistence=persistence)


def test_a_year_has_each_day_once_and_begins_in_summer():
    for latitude, first in ((45.0, 6), (-45.0, 0)):
        hours = calendar(latitude)
        assert np.bincount(hours.day)[1:].tolist() == [24] * 365
        assert hours.month[0] == first
        assert np.bincount(hours.month).tolist() == [
            24 * n for n in (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)]
        top = clear_sky(sun_height(latitude, hours.day, hours.hour)).reshape(365, 24).sum(axis=1)
        assert top[0] > 2 * top[180] and top[0] > 0.98 * top.max()


@pytest.mark.parametrize("clearness", [0.3, 0.45, 0.6])
def test_the_mean_is_the_one_asked_for(clearness):
    """Scatter of a mean of 40 years of days of two states, r of a day to the next 0.3."""
    made, hours = sky(clearness=clearness), calendar(45.0)
    above = above_air(hours.day, sun_height(45.0, hours.day, hours.hour))
    mean = made.sun.mean() / above.mean()
    spread = np.sqrt(made.clear_share * (1 - made.clear_share)) * 0.75 * np.sqrt(1.3 / 0.7)
    assert abs(mean - clearness) < 4 * spread / np.sqrt(40 * 365)


def test_days_follow_days_as_told():
    made = sky(persistence=0.6)
    noon = made.sun[:, 12::HOURS]
    clear = (noon > 0.9 * noon.max(axis=0)).astype(float)
    r = np.corrcoef(clear[:, :-1].ravel(), clear[:, 1:].ravel())[0, 1]
    assert r == pytest.approx(0.6, abs=4 / np.sqrt(40 * 365))
    assert clear.mean() == pytest.approx(made.clear_share, abs=0.03)


def test_more_sun_than_a_clear_sky_cannot_be_asked_for():
    made = sky(clearness=0.95)
    assert made.clear_share == 1.0 and 0.6 < made.clearness < 0.8
    assert np.ptp(made.sun, axis=0).max() == 0.0


def test_less_sun_than_dull_days_bring_makes_them_duller():
    made = sky(clearness=0.1)
    assert made.clear_share == 0.0 and made.dull < 0.25 and made.clearness == pytest.approx(0.1)


def test_the_same_draws_give_the_same_years():
    assert (sky(years=3).sun == sky(years=3).sun).all()
    assert (sky(years=3).sun != sky(years=3, seed=2).sun).any()


def test_air_by_month_and_hour():
    air, hours = air_year(45.0, 22.0, 6.0, 5.0), calendar(45.0)
    months = [air[hours.month == m].mean() for m in range(12)]
    assert months[6] == max(months) and months[0] == min(months)
    assert air.mean() == pytest.approx(14.0, abs=0.01)
    assert max(months) == pytest.approx(22.0, abs=0.3)
    day = air[:24]
    assert hours.hour[day.argmax()] == pytest.approx(15.0, abs=0.5)
    south = [air_year(-45.0, 22.0, 6.0, 5.0)[calendar(-45.0).month == m].mean() for m in (0, 6)]
    assert south[0] > south[1] + 15
