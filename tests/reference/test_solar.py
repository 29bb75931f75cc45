"""Sun and clear sky against published values (``solar.csv``)."""

from __future__ import annotations

import numpy as np
import pytest

from coldbench.physics.solar import above_air, clear_sky, declination, sun_height


@pytest.mark.parametrize("up", [5, 10, 30, 50, 90])
def test_clear_sky(published, up):
    expected = published("solar")[f"clear_{up}"]
    assert clear_sky(np.sin(np.radians(up))) == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize("up", [-20.0, -0.05, -0.001, 0.0])
def test_no_sky_by_night(up):
    assert clear_sky(np.sin(np.radians(up))) == 0.0


def test_position_of_the_sun(published):
    """12:30 by the clock, 7 h behind Greenwich, is 19:30 there: day 290.81."""
    values = published("solar")
    assert np.degrees(declination(290.81)) == pytest.approx(values["spa_declination"], abs=0.13)
    hour = 12 + values["spa_hour_angle"] / 15
    height = np.degrees(np.arcsin(sun_height(values["spa_latitude"], 290.81, hour)))
    assert height == pytest.approx(values["spa_height"], abs=0.13)


def test_a_day_above_the_air(published):
    hours = (np.arange(1440) + 0.5) / 60
    mean = above_air(246.5, sun_height(-20.0, 246.5, hours)).mean()
    assert mean * 86_400 / 1e6 == pytest.approx(published("solar")["fao_day"], rel=0.02)
