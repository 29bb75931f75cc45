"""Exponential fits: courses come back, starts come from the data, open questions are refused."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coldbench.analysis.exponential import FitRefused, fit_decay, fit_rise, fit_two_decays


@settings(deadline=None, max_examples=50)
@given(
    end=st.floats(-20, 30), amplitude=st.sampled_from([-30.0, -2.0, 0.5, 21.0, 80.0]),
    tau=st.floats(0.5, 500), spans=st.floats(1.2, 8), first=st.floats(-1000, 1000),
)
def test_a_course_comes_back(end, amplitude, tau, spans, first):
    since = np.linspace(0, spans * tau, 60)
    fit = fit_decay(first + since, end + amplitude * np.exp(-since / tau))
    # Sums of the samples carry rounding of the larger of end and amplitude.
    close = 1e-6 * max(abs(end), abs(amplitude))
    assert fit.values["end"] == pytest.approx(end, abs=close)
    assert fit.values["amplitude"] == pytest.approx(amplitude, abs=close)
    assert fit.values["time constant"] == pytest.approx(tau, rel=1e-4)
    assert fit.window == (first, pytest.approx(first + spans * tau))
    assert fit.rmse < close


def noisy(seed, sd=0.1, tau=60.0, until=240.0):
    x = np.arange(0, until, 2.0)
    return x, 4 + 21 * np.exp(-x / tau) + np.random.default_rng(seed).normal(0, sd, len(x))


def test_standard_deviations_hold_for_independent_noise():
    """Of 200 seeded records 68 % lie within one standard deviation; 4 sd of that count is 13 %."""
    fits = [fit_decay(*noisy(seed)) for seed in range(200)]
    for name, true in (("end", 4.0), ("amplitude", 21.0), ("time constant", 60.0)):
        within = np.mean([abs(f.values[name] - true) <= f.sd[name] for f in fits])
        assert within == pytest.approx(0.683, abs=0.13)
    assert np.mean([f.rmse for f in fits]) == pytest.approx(0.1, rel=0.05)
    assert abs(np.mean([f.lag_one for f in fits])) < 0.05
    # The limit of two standard errors is passed by chance in 2.3 % of records.
    assert np.mean([f.correlated for f in fits]) < 0.08


def test_correlated_residuals_are_told():
    x, y = noisy(5, sd=0.02)
    wavy = fit_decay(x, y + 0.3 * np.sin(x / 15))
    assert wavy.correlated
    assert wavy.lag_one > 0.8
    assert "they are not independent" in wavy.text("°C", "min")
    assert "not independent" not in fit_decay(x, y).text("°C", "min")


def test_the_sentence_names_window_residuals_and_units():
    text = fit_decay(*noisy(7)).text("°C", "min")
    for part in ("end 4.010 °C [3.971, 4.048]", "amplitude 20.962 °C [",
                 "time constant 59.81 min [",
                 "95 % intervals from blocks of residuals",
                 "can be told apart (largest correlation",
                 "fitted to 120 samples from 0 to 238 min", "another window gives other values",
                 "RMS, lag-one correlation"):
        assert part in text


def test_a_known_end_needs_no_full_time_constant():
    x, y = noisy(11, tau=600.0)
    with pytest.raises(FitRefused, match="less than one time constant"):
        fit_decay(x, y)
    fit = fit_decay(x, y, end=4.0)
    assert set(fit.values) == {"amplitude", "time constant"}
    assert fit.values["time constant"] == pytest.approx(600, rel=0.02)


def test_a_course_that_slows_down_does_not_tell_its_end():
    """Two decays, seen for two time constants of the fast one: one decay fits, to a false end."""
    x = np.linspace(0, 24, 60)
    y = 23 + 48 * np.exp(-x / 74) + 25 * np.exp(-x / 12)
    with pytest.raises(FitRefused, match="the later half of the fall"):
        fit_decay(x, y)
    assert fit_decay(x, y, end=23.0).correlated


def test_correlated_residuals_widen_the_intervals():
    """The true end lies in the interval of blocks; the covariance is far too sure of it."""
    x = np.arange(0, 240, 0.5)
    noise = np.zeros(len(x))
    for i, e in enumerate(np.random.default_rng(8).normal(0, 0.05, len(x) - 1), 1):
        noise[i] = 0.9 * noise[i - 1] + e
    fit = fit_decay(x, 4 + 21 * np.exp(-x / 60) + noise)
    for name, true in (("end", 4.0), ("amplitude", 21.0), ("time constant", 60.0)):
        low, high = fit.intervals[name]
        assert low < true < high
        assert high - low > 2 * 3.92 * fit.sd[name]


def test_parameters_that_stand_in_for_each_other_are_told():
    x, y = noisy(3, sd=1e-4, until=62.0)
    assert not fit_decay(x, y).told_apart
    assert fit_decay(*noisy(3)).told_apart


def test_two_courses_come_apart():
    x = np.arange(0, 300, 1.0)
    y = 23 + 48 * np.exp(-x / 74) + 25 * np.exp(-x / 12)
    fit = fit_two_decays(x, y)
    expected = {"end": 23, "slow amplitude": 48, "slow time constant": 74, "fast amplitude": 25,
                "fast time constant": 12}
    assert fit.values == pytest.approx(expected, rel=1e-5)


def test_a_rise_from_nothing():
    x = np.linspace(1, 30, 12)
    fit = fit_rise(x, 7 * (1 - np.exp(-x / 10)))
    assert fit.values == pytest.approx({"b1": 7, "b2": 0.1}, rel=1e-6)


@pytest.mark.parametrize(("x", "y", "said"), [
    ([0, 1, 2], [3, 2, 1], "3 samples; at least 4"),
    ([0, 1, 2, 3, 4], [5, 5, 5, 5, 5], "do not move"),
    ([0, 1, 2, 3, 4, 5], [0, 1, 2, 4, 8, 16], "runs away|no such course|less than one"),
])  # fmt: skip
def test_what_cannot_be_told_is_refused(x, y, said):
    with pytest.raises(FitRefused, match=said):
        fit_decay(np.array(x, float), np.array(y, float))


def test_a_straight_line_has_no_end():
    x = np.linspace(0, 100, 50)
    with pytest.raises(FitRefused):
        fit_decay(x, 20 - 0.1 * x)


def test_times_that_go_back_are_a_mistake():
    with pytest.raises(ValueError, match="do not increase"):
        fit_decay(np.array([0.0, 2.0, 1.0, 3.0]), np.arange(4.0))
