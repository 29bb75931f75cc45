"""Sound levels against ISO 3744 and definitions (``sound.csv``); see there for sources."""

from __future__ import annotations

import numpy as np
import pytest

from coldbench.physics.sound import (
    BACKGROUND_NONE,
    background_correction,
    duty_level,
    energy_mean,
    level_at,
)

ON_ONE_SQUARE_METRE = 1 / np.sqrt(2 * np.pi)  # hemisphere on which level and power are one [m]


@pytest.mark.parametrize("difference", [6, 10, 15])
def test_background_correction_of_the_standard(published, difference):
    expected = published("sound")[f"k1_{difference}"]
    assert background_correction(difference) == pytest.approx(expected, abs=0.001)


@pytest.mark.parametrize("difference", [3, 6, 10])
def test_background_correction_of_the_trade(published, difference):
    expected = published("sound")[f"less_{difference}"]
    assert background_correction(difference) == pytest.approx(expected, abs=0.05)


def test_nothing_is_corrected_above_fifteen_decibels():
    assert background_correction(BACKGROUND_NONE + 0.01) == 0.0
    assert background_correction(BACKGROUND_NONE) > 0.1


def test_a_sound_is_left_when_its_like_is_taken_out(published):
    together = published("sound")["two_alike"]
    assert together - background_correction(together - 40.0) == pytest.approx(40.0, abs=0.01)


def test_energy_averages(published):
    values = published("sound")
    assert energy_mean([38, 40, 42, 39]) == pytest.approx(values["mean"], abs=0.02)
    assert energy_mean([30, 50]) - 40.0 == pytest.approx(values["arithmetic"], abs=0.02)


def test_distance_on_the_hemisphere_of_the_standard(published):
    values = published("sound")
    assert level_at(40.0, 1.0, ON_ONE_SQUARE_METRE) == pytest.approx(
        values["hemisphere"], abs=0.005)
    alone = 40.0 - background_correction(8.0)
    assert level_at(alone, 1.0, ON_ONE_SQUARE_METRE) == pytest.approx(values["power"], abs=0.02)


def test_mean_over_a_duty_cycle(published):
    assert duty_level(0.40, 42, 25) == pytest.approx(published("sound")["cycle"], abs=0.02)
