"""The truth of a run that can be worked out on paper."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from coldbench.bench import Truth

HOUR = 3600.0


@pytest.fixture
def truth(paper_run):
    return Truth(paper_run, power_on=1.0e9)


def test_means_are_time_weighted(truth):
    assert truth.mean("air", 2 * HOUR, 4 * HOUR) == pytest.approx(18.0)
    assert truth.flow_mean("leak", 0.0, HOUR) == pytest.approx(7.0)
    assert truth.extreme("air", HOUR, 2 * HOUR) == pytest.approx((20.0, 22.0))
    # The lowest hour is the last; its mean lies half an hour before the end.
    assert truth.lowest_mean("air") == pytest.approx(24.0 - 2 * 9.5)


def test_crossing_is_that_of_the_ten_minute_mean(truth, paper_run):
    assert truth.crossing("air", 10.0) == pytest.approx(7 * HOUR)
    # A dip shorter than the mean does not count.
    air = paper_run.states["air"].copy()
    air[(paper_run.t > HOUR) & (paper_run.t < HOUR + 60)] -= 20
    dipped = replace(paper_run, states={**paper_run.states, "air": air})
    assert Truth(dipped).crossing("air", 10.0) == pytest.approx(7 * HOUR)


def test_no_time_where_it_starts_below_or_never_gets_there(truth):
    assert np.isnan(truth.crossing("air", 30.0))
    assert np.isnan(truth.crossing("air", -18.0))


def test_energy_of_whole_cycles(truth):
    cycle = (50 * 600 + 2 * 1200) / HOUR
    assert truth.energy(0, 5 * HOUR) == pytest.approx(10 * cycle)
    assert truth.energy(-600, 0) == 0.0
    assert truth.mean_power(0, 5 * HOUR) == pytest.approx(18.0)


def test_cycles_from_the_switch(truth):
    assert truth.duty(0, 5 * HOUR) == pytest.approx(1 / 3)
    assert truth.starts(0, HOUR) == pytest.approx([0.0, 1800.0, 3600.0])
    assert truth.cycle_time(0, 5 * HOUR) == pytest.approx(1800.0)
    assert np.isnan(truth.cycle_time(60, 1700))
    assert truth.running_power(0, 5 * HOUR) == 50.0
    assert truth.idle_power(0, 5 * HOUR) == 2.0


def test_swing_is_of_a_cycle(truth):
    # Falling 2 K/h, half an hour from start to start, the last sample left to the next cycle.
    assert truth.swing(0, 5 * HOUR) == pytest.approx(1.0 - 2.0 * 10 / HOUR)
    assert np.isnan(truth.swing(60, 1700))


def test_load_heat_with_and_without_containers(truth, paper_run):
    assert truth.load_heat(0, HOUR) == pytest.approx(110.0)
    assert truth.load_heat(0, HOUR, containers=False) == pytest.approx(100.0)
    ice = np.ones_like(paper_run.t)
    frozen = replace(paper_run, states={**paper_run.states, "ice": ice})
    assert Truth(frozen).load_heat(0, HOUR) == 0.0


def test_freezing(truth):
    assert truth.freeze_start() == 3 * HOUR
    # 4 K/h from 6 h on: half a kelvin takes an eighth of an hour.
    assert truth.plateau_end() == pytest.approx(6.125 * HOUR, abs=10.0)
    assert truth.freeze_energy() == pytest.approx(truth.energy(0, truth.plateau_end()))
    assert truth.ice_fraction() == pytest.approx(0.9)
    assert truth.ice_fraction(4.5 * HOUR) == pytest.approx(0.5)


def test_without_ice_there_is_no_freezing(paper_run):
    truth = Truth(replace(paper_run, nucleated=np.array([np.nan])))
    assert np.isnan(truth.freeze_start())
    assert np.isnan(truth.plateau_end())
    assert np.isnan(truth.freeze_energy())


def test_without_supercooling_the_core_arrives_later_than_the_first_ice(paper_run):
    load = np.interp(paper_run.t / HOUR, [0, 2, 4, 6, 10], [24, 1, 0, 0, -16])
    states = {**paper_run.states, "load": load}
    truth = Truth(replace(paper_run, states=states))
    # 0.5 K/h down to 0.05 °C.
    assert truth.freeze_start() == pytest.approx(3.9 * HOUR, abs=10.0)


def test_posix_times(truth):
    assert truth.seconds(1.0e9 + 60.0) == 60.0
