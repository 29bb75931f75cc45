"""Exponential courses of the mug: the window changes the answer, and the fit says so.

Expected answers: independent fits of the same data (SciPy's ``curve_fit``), except that the
oxygen demand's come from the documentation of R's data set, from memory.
"""

from __future__ import annotations

import numpy as np
import pytest

from coldbench.analysis.exponential import FitRefused, fit_decay, fit_rise, fit_two_decays

# Half a unit of the last figure given.
TEMPERATURE, TIME, RMSE = 0.005, 0.05, 0.005


def test_one_exponential_of_all_readings(mug):
    fit = fit_decay(*mug)
    assert fit.values["end"] == pytest.approx(27.00, abs=TEMPERATURE)
    assert fit.values["amplitude"] == pytest.approx(62.14, abs=TEMPERATURE)
    assert fit.values["time constant"] == pytest.approx(47.7, abs=TIME)
    assert fit.sd["end"] == pytest.approx(0.21, abs=TEMPERATURE)
    assert fit.sd["time constant"] == pytest.approx(0.7, abs=TIME)
    assert fit.rmse == pytest.approx(1.48, abs=RMSE)
    assert fit.window == (0.0, 221.0)


def test_the_same_from_an_hour_on(mug):
    minutes, water = mug
    late = minutes >= 60
    fit = fit_decay(minutes[late], water[late])
    assert fit.values["end"] == pytest.approx(23.25, abs=TEMPERATURE)
    assert fit.values["time constant"] == pytest.approx(77.3, abs=TIME)
    assert fit.rmse == pytest.approx(0.10, abs=RMSE)


def test_standard_deviations_are_too_small_and_it_says_so(mug):
    """The end moves by 18 of its own standard deviations once the first hour is left out."""
    minutes, water = mug
    late = minutes >= 60
    all_of_it, from_an_hour = fit_decay(minutes, water), fit_decay(minutes[late], water[late])
    moved = all_of_it.values["end"] - from_an_hour.values["end"]
    assert moved > 10 * all_of_it.sd["end"]
    for fit, window in ((all_of_it, "from 0 to 221 min"), (from_an_hour, "from 60 to 221 min")):
        assert fit.lag_one > 0.7
        text = fit.text("°C", "min")
        assert window in text
        assert "another window gives other values" in text
        assert "they are not independent" in text


def test_two_exponentials(mug):
    fit = fit_two_decays(*mug)
    assert fit.values["slow time constant"] == pytest.approx(74.0, abs=TIME)
    # Given as 12.3; from every start tried it is 12.247: one unit of the last figure.
    assert fit.values["fast time constant"] == pytest.approx(12.3, abs=2 * TIME)
    assert fit.values["end"] == pytest.approx(23.59, abs=TEMPERATURE)
    assert fit.rmse == pytest.approx(0.17, abs=RMSE)


def test_forty_minutes_do_not_tell_the_end(mug):
    """From an hour on the time constant is 77 min; with the end stated, 40 min tell it."""
    minutes, water = mug
    some = (minutes >= 60) & (minutes <= 100)
    with pytest.raises(FitRefused, match="less than one time constant"):
        fit_decay(minutes[some], water[some])
    fit = fit_decay(minutes[some], water[some], end=23.25)
    assert set(fit.values) == {"amplitude", "time constant"}
    assert fit.values["time constant"] == pytest.approx(77.3, rel=0.05)


@pytest.mark.parametrize("until", [20, 30, 45, 60, 90, 120])
def test_the_first_part_of_the_fall_does_not_tell_the_end(mug, until):
    """Fits of 30 min give 18 min and 50 °C, of 60 min 41 °C; the water ended at about 23 °C."""
    minutes, water = mug
    early = minutes <= until
    with pytest.raises(FitRefused, match="the later half of the fall"):
        fit_decay(minutes[early], water[early])


def test_oxygen_demand(oxygen_demand):
    """A = 19.1426 (2.4959) and the logarithm of the rate −0.6328 (0.3824)."""
    fit = fit_rise(*oxygen_demand)
    assert fit.values["b1"] == pytest.approx(19.1426, abs=5e-5)
    assert fit.sd["b1"] == pytest.approx(2.4959, abs=5e-5)
    assert np.log(fit.values["b2"]) == pytest.approx(-0.6328, abs=5e-5)
    assert fit.sd["b2"] / fit.values["b2"] == pytest.approx(0.3824, abs=5e-5)
