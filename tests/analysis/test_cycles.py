"""Square waves in, their cycles out: sampled at instants, as means of intervals, over gaps."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coldbench.analysis.cycles import find_cycles, running_share, two_levels
from coldbench.logs.cumulative import Cumulative

PERIOD, SHARE = 1 / 3, 0.4  # h; 20 min, 8 of them running


def means_of(made, step: float, label: str, until=6.0, period=PERIOD, offset=0.0):
    """Exact means of a square wave over intervals of ``step`` seconds; starts at ``offset`` s."""
    fine = (np.arange(0, until * 3600) + 0.5 - offset) / 3600
    power = made.square(fine, period, SHARE)
    means = power[: len(power) // int(step) * int(step)].reshape(-1, int(step)).mean(axis=1)
    ends = np.arange(1, len(means) + 1) * step / 3600
    hours = ends if label == "end" else ends - step / 3600
    return made.trace("power", hours, means, power="mean", label=label)


# --- two levels --------------------------------------------------------------------------------


@settings(deadline=None)
@given(
    low=st.floats(-10, 10), gap=st.floats(5, 100), n=st.integers(2, 50), m=st.integers(2, 50),
    seed=st.integers(0, 2**16),
)
def test_the_threshold_parts_two_levels_with_noise(low, gap, n, m, seed):
    noise = np.random.default_rng(seed).uniform(-0.1, 0.1, n + m) * gap
    y = np.r_[np.full(n, low), np.full(m, low + gap)] + noise
    threshold = two_levels(np.random.default_rng(seed).permutation(y))
    assert y[:n].max() < threshold < y[n:].min()


def test_the_threshold_follows_scale_and_shift():
    y = np.array([1.0, 1.2, 1.1, 48.0, 50.0])
    assert two_levels(3 * y + 7) == pytest.approx(3 * two_levels(y) + 7)


# --- samples at instants -----------------------------------------------------------------------


@pytest.mark.parametrize("step", [1, 10, 30, 60])
def test_cycles_of_a_sampled_square_wave(made, step):
    hours = made.every(step, 6)
    power = made.trace("power", hours, made.square(hours, PERIOD, SHARE))
    cycling = find_cycles(power, power.t[0], power.t[-1])
    assert cycling.source == "power"
    assert (cycling.idle, cycling.running) == (1.0, 50.0)
    # The run begins running: its first start is not seen, the next come each 20 min.
    expected = made.zero + 1200.0 * np.arange(1, 19)
    assert cycling.starts == pytest.approx(expected, abs=1e-3)
    on = replace(power, t=cycling.t, y=running_share(power, cycling))
    spell = Cumulative(on).integral(cycling.starts[:-1], cycling.starts[1:])
    assert spell == pytest.approx(np.full(17, SHARE * 1200), abs=1e-3)


def test_a_start_between_samples_is_found_at_the_next_one(made):
    hours = made.every(60, 6)
    power = made.trace("power", hours, made.square(hours - 25 / 3600, PERIOD, SHARE))
    cycling = find_cycles(power, power.t[0], power.t[-1])
    assert (cycling.starts - made.zero) % 1200 == pytest.approx(60.0)


def test_time_before_zero_and_after_the_end_does_not_count(made):
    hours = made.every(10, 6)
    power = made.trace("power", hours, made.square(hours, PERIOD, SHARE))
    cycling = find_cycles(power, made.zero + 3600, made.zero + 2 * 3600)
    # 1 h is itself a start: what went before it is not looked at, so it is not seen to begin.
    assert cycling.starts == pytest.approx(made.zero + np.array([4800.0, 6000.0, 7200.0]))


# --- means of intervals ------------------------------------------------------------------------


@pytest.mark.parametrize("label", ["start", "end"])
@pytest.mark.parametrize("step", [10, 60, 120])
@pytest.mark.parametrize("offset", [0, 7, 55])
def test_cycles_of_interval_means_open_with_the_interval_of_the_start(made, label, step, offset):
    power = means_of(made, step, label, offset=offset)
    cycling = find_cycles(power, made.zero, power.t[-1])
    # The first may open with an interval that began before the log.
    since = cycling.starts[1:] - made.zero - offset
    assert len(since) >= 16
    late = 1200 * np.rint(since / 1200) - since
    # At most 5 % of an interval may run before it counts as the one that opens the cycle.
    assert (late > -0.05 * step - 1e-6).all()
    assert (late < step).all()


@pytest.mark.parametrize("label", ["start", "end"])
@pytest.mark.parametrize("offset", [0, 7, 55])
def test_energy_and_running_time_of_whole_cycles_from_means_are_exact(made, label, offset):
    """10 cycles of 20 min at 60 s: both ends lie as far before a start, so nothing is lost."""
    power = means_of(made, 60, label, offset=offset)
    cycling = find_cycles(power, made.zero, power.t[-1])
    begin, end = cycling.starts[2], cycling.starts[12]
    assert end - begin == pytest.approx(12000.0)
    energy = Cumulative(power).integral(begin, end)
    assert energy == pytest.approx(12000 * (SHARE * 50 + (1 - SHARE) * 1))
    on = replace(power, t=cycling.t, y=running_share(power, cycling))
    assert Cumulative(on).integral(begin, end) == pytest.approx(12000 * SHARE)


# --- what is no cycle --------------------------------------------------------------------------


def test_a_machine_without_a_break_has_no_cycles(made):
    hours = made.every(60, 6)
    watts = 48 + np.random.default_rng(1).normal(0, 0.5, len(hours))
    power = made.trace("power", hours, watts)
    assert find_cycles(power, power.t[0], power.t[-1]) is None


@pytest.mark.parametrize(("idle", "running"), [(48.0, 50.0), (1.0, 3.9), (90.0, 110.0)])
def test_levels_that_lie_close_are_one(made, idle, running):
    """At least 3 W and 20 % of the upper one."""
    hours = made.every(60, 6)
    power = made.trace("power", hours, made.square(hours, PERIOD, SHARE, running, idle))
    assert find_cycles(power, power.t[0], power.t[-1]) is None
    wider = made.trace("power", hours, made.square(hours, PERIOD, SHARE, 1.3 * running + 3, idle))
    assert find_cycles(wider, wider.t[0], wider.t[-1]) is not None


def test_one_spell_is_no_cycle(made):
    hours = made.every(60, 6)
    power = made.trace("power", hours, np.where(hours < 3, 50.0, 1.0))
    assert find_cycles(power, power.t[0], power.t[-1]) is None


def test_start_peaks_are_no_level(made):
    """Read each 30 s, a peak of 600 W at every start holds for one sample."""
    hours = made.every(30, 6)
    watts = made.square(hours, PERIOD, SHARE)
    watts[np.flatnonzero(np.diff(watts) > 0) + 1] = 600.0
    power = made.trace("power", hours, watts)
    cycling = find_cycles(power, power.t[0], power.t[-1])
    assert two_levels(watts) > 50
    assert (cycling.idle, cycling.running) == (1.0, 50.0)
    assert np.diff(cycling.starts) == pytest.approx(np.full(17, 1200.0))


def test_a_gap_leaves_one_long_cycle_that_a_window_drops(made):
    hours = made.without(made.every(10, 6), (2.0, 2.5))
    power = made.trace("power", hours, made.square(hours, PERIOD, SHARE))
    cycling = find_cycles(power, power.t[0], power.t[-1])
    assert np.diff(cycling.starts).max() > 1200
    assert np.median(np.diff(cycling.starts)) == pytest.approx(1200)


# --- from the air ------------------------------------------------------------------------------


def test_cycles_from_the_air_temperature(made):
    hours = made.every(60, 6)
    phase = (hours % PERIOD) / PERIOD
    air = 4 + np.where(phase < SHARE, 1 - 2 * phase / SHARE, -1 + 2 * (phase - SHARE) / (1 - SHARE))
    cycling = find_cycles(made.trace("air", hours, air), made.zero, made.zero + 6 * 3600)
    assert cycling.source == "air"
    assert np.diff(cycling.starts).mean() == pytest.approx(1200, abs=5)


def test_air_that_hardly_moves_has_no_cycles(made):
    hours = made.every(60, 6)
    air = made.trace("air", hours, 4 + 0.1 * np.sign(np.sin(2 * np.pi * hours / PERIOD)))
    assert find_cycles(air, air.t[0], air.t[-1]) is None
