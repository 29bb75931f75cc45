"""When a level was first reached: on lines, in gaps, not at all, or within the probe's error."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coldbench import draws
from coldbench.analysis.crossing import Curve, find_crossing, first_below, smooth

START, RATE = 25.0, 6.0  # °C, K/h


def falling(made, hours, **more):
    """A temperature that falls along a straight line: 4 °C after 3.5 h."""
    return made.trace("air", hours, START - RATE * hours, **more)


# --- smoothing ---------------------------------------------------------------------------------


@pytest.mark.parametrize("step", [1, 10, 60, 300])
def test_smoothing_leaves_a_straight_line_alone(made, step):
    trace = falling(made, made.every(step, 5))
    curve = smooth(trace, trace.t[0], trace.t[-1])
    assert curve.samples == max(1, 600 // step)
    off = np.abs(curve.y - (START - RATE * (curve.t - made.zero) / 3600))
    whole = (curve.t >= trace.t[0] + 300) & (curve.t <= trace.t[-1] - 300)
    assert off[whole].max() < 1e-6
    # At the ends 5 % of the ten minutes may be missing on one side: 15 s in the mean.
    assert off.max() <= RATE * 15 / 3600 + 1e-6


def test_smoothing_is_a_mean_of_ten_minutes(made):
    hours = made.every(60, 2)
    y = np.random.default_rng(3).normal(10, 1, len(hours))
    curve = smooth(made.trace("air", hours, y), made.zero, made.zero + 7200)
    weights = np.r_[0.5, np.ones(9), 0.5] / 10
    middle = np.isin(np.rint(curve.t - made.zero), np.rint(3600 * hours[5:-5]))
    assert curve.y[middle] == pytest.approx(np.convolve(y, weights, mode="valid"))


def test_readings_further_apart_than_five_minutes_stand_as_they_are(made):
    trace = falling(made, made.every(301, 5))
    curve = smooth(trace, made.zero + 3600, made.zero + 7200)
    inside = (trace.t >= made.zero + 3600) & (trace.t <= made.zero + 7200)
    assert np.array_equal(curve.t, trace.t[inside])
    assert np.array_equal(curve.y, trace.y[inside])
    assert curve.samples == 1


def test_no_mean_reaches_into_a_gap(made):
    trace = falling(made, made.without(made.every(60, 5), (2.0, 3.0)))
    curve = smooth(trace, made.zero, made.zero + 5 * 3600)
    hours = (curve.t - made.zero) / 3600
    assert not ((hours > 2 - 4.5 / 60) & (hours < 3 + 4.5 / 60)).any()


# --- first instant -----------------------------------------------------------------------------


@settings(deadline=None)
@given(
    y=st.lists(st.floats(-20, 30), min_size=2, max_size=30),
    levels=st.lists(st.floats(-25, 35), min_size=1, max_size=8),
)
def test_the_first_crossing_against_a_plain_search(y, levels):
    t = 60.0 * np.arange(len(y))
    early, late = first_below(Curve(t, np.array(y), 150.0, 1), np.array(levels))
    assert np.array_equal(early, late)
    for level, found in zip(levels, early, strict=True):
        below = [i for i, value in enumerate(y) if value <= level]
        if not below:
            assert found == np.inf
        elif below[0] == 0:
            assert found == -np.inf
        else:
            i = below[0]
            assert t[i - 1] <= found <= t[i]
            assert np.interp(found, t, y) == pytest.approx(level, abs=1e-6)


def test_a_crossing_in_a_gap_has_the_gap_for_bounds(made):
    trace = falling(made, made.without(made.every(60, 5), (3.0, 4.0)))
    curve = smooth(trace, made.zero, made.zero + 5 * 3600)
    crossing = find_crossing(trace, curve, 4.0, "x")
    assert (crossing.state, np.isnan(crossing.t)) == ("gap", True)
    early, late = (np.array(crossing.bounds) - made.zero) / 3600
    # Smoothing needs its ten minutes: the curve ends up to five minutes before the silence.
    assert 3.0 - 5 / 60 <= early <= 3.0
    assert 4.0 <= late <= 4.0 + 5 / 60
    assert early <= 3.5 <= late


def test_the_second_visit_does_not_count():
    curve = Curve(np.arange(5.0), np.array([9.0, 3.0, 8.0, 2.0, 1.0]), 2.5, 1)
    early, _ = first_below(curve, np.array([4.0, 2.5]))
    assert early == pytest.approx([5 / 6, 2 + 5.5 / 6])


# --- states and intervals ----------------------------------------------------------------------


def crossing_of(made, target, error=0.5, **more):
    trace = falling(made, made.every(60, 5), error=error, **more)  # down to −5 °C
    return find_crossing(trace, smooth(trace, trace.t[0], trace.t[-1]), target, "x")


@pytest.mark.parametrize(("target", "state"), [
    (4.0, "reached"), (-20.0, "not reached"), (30.0, "started below"), (-4.9, "unsure"),
])  # fmt: skip
def test_states(made, target, state):
    assert crossing_of(made, target).state == state


def test_a_reached_target_carries_the_offset_through_the_slope(made):
    """0.5 K at 6 K/h is 5 min; a rectangular limit's 95 % lies at 0.95 of it."""
    crossing = crossing_of(made, 4.0)
    assert (crossing.t - made.zero) / 3600 == pytest.approx(3.5)
    low, high = draws.interval((crossing.early + crossing.late) / 2)
    half = 0.95 * 0.5 / RATE * 3600
    assert high - crossing.t == pytest.approx(half, rel=0.05)
    assert crossing.t - low == pytest.approx(half, rel=0.05)


def test_no_stated_error_no_draws(made):
    crossing = crossing_of(made, 4.0, error=None)
    assert crossing.state == "reached"
    assert crossing.early is None
    assert crossing.late is None


def test_a_target_that_may_not_have_been_reached_is_open_above(made):
    """0.3 K above the coldest mean, with an error of 0.5 K."""
    crossing = crossing_of(made, -4.2)
    assert crossing.state == "reached"
    low, high = draws.interval(crossing.late)
    assert np.isfinite(low)
    assert high == np.inf


def test_one_probe_has_one_error_wherever_it_is_used(made):
    """Two runs with the same probe: their crossings move together, draw by draw."""
    one = crossing_of(made, 4.0)
    trace = falling(made, made.every(60, 5), error=0.5)
    other = find_crossing(trace, smooth(trace, trace.t[0], trace.t[-1]), 2.0, "y")
    moved = np.corrcoef(one.early, other.early)[0, 1]
    assert moved > 0.99
