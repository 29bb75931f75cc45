"""Capacity through simulated pull-downs against what the machine truly took in each block."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from coldbench.bench import Compressor, Thermoelectric, Thermostat
from coldbench.compare.capacity_curve import capacity_curve
from coldbench.compare.leaks import leak_of
from coldbench.logs.record import Mark

sys.path.insert(0, str(Path(__file__).parent))
import machine_bench as bench


def pull_down(folder, name, box, machine, hours, load, **more):
    """A pull-down on the bench, analysed."""
    return bench.on_bench(folder, bench.campaign(
        name, box, machine, kind=("pull-down",), hours=hours, load=load, setting="coldest",
        **more))


def leak(box, **more):
    """The box's own heat leak."""
    return leak_of([bench.leak_row(box, **more)], "cooler")


def truth_of(sim, curve):
    """What the machine took in each block, net of a fan inside. [W]"""
    truth = sim.truths["main"]
    begins = [truth.seconds(t) - curve.block / 2 for t in curve.t]
    return np.array([truth.flow_mean("machine", t, t + curve.block)
                     - truth.flow_mean("inside", t, t + curve.block) for t in begins])


@pytest.fixture(scope="module")
def chest(tmp_path_factory):
    """A compressor that freezes its load on the way."""
    return pull_down(tmp_path_factory.mktemp("c"), "c", bench.CHEST, Compressor(), 10.0, 8)


@pytest.fixture(scope="module")
def small(tmp_path_factory):
    """A thermoelectric box that only just cools its load."""
    return pull_down(tmp_path_factory.mktemp("t"), "t", bench.SMALL, Thermoelectric(), 10.0, 3)


def test_curve_follows_the_machine(chest, small):
    for (sim, result), box in ((chest, bench.CHEST), (small, bench.SMALL)):
        curve = capacity_curve(result, "main", leak(box))
        true, known = truth_of(sim, curve), np.isfinite(curve.capacity)
        error = curve.capacity[known] / true[known] - 1
        # The structure lags the air at first; later its heat and its leak are what they seem.
        assert np.abs(error).max() < 0.06
        assert np.median(np.abs(error)) < 0.025
        inside = (curve.low[known] <= true[known]) & (true[known] <= curve.high[known])
        assert inside.mean() >= 0.95
        power = [sim.truths["main"].mean_power(*(sim.truths["main"].seconds(t) + np.array(
            [-0.5, 0.5]) * curve.block)) for t in curve.t]
        assert curve.power == pytest.approx(np.array(power), rel=0.01)
        assert curve.cop[0] == pytest.approx(curve.capacity[0] / curve.power[0])


def test_a_load_near_freezing_is_left_out_and_said(chest):
    sim, result = chest
    curve = capacity_curve(result, "main", leak(bench.CHEST))
    truth = sim.truths["main"]
    freezing = np.array([truth.ice_fraction(truth.seconds(t)) for t in curve.t]) > 0
    assert freezing.sum() >= 3
    assert np.isnan(curve.capacity[freezing]).all()
    load = np.array([truth.mean("load", truth.seconds(t) - 600, truth.seconds(t) + 600)
                     for t in curve.t])
    assert np.isfinite(curve.capacity[load > 1.6]).all()
    assert np.isfinite(curve.capacity).sum() >= 10
    assert "freezing" in curve.note


def test_curve_ends_where_the_thermostat_stops_the_machine(tmp_path):
    sim, result = pull_down(tmp_path, "c4", bench.CHEST, Compressor(), 14.0, 12,
                            thermostat=Thermostat(5.0, 3.0, lag=200.0))
    curve = capacity_curve(result, "main", leak(bench.CHEST))
    history = sim.histories["main"]
    stop = history.t[:-1][(history.t[:-1] > 3600) & ~history.on][0]
    assert curve.t[-1] + curve.block / 2 <= result.results["main"].record.zero + stop + 60
    assert len(curve.t) >= 3


def test_a_mark_takes_its_block_away(small):
    _, result = small
    of_run = result.results["main"]
    plain = capacity_curve(result, "main", leak(bench.SMALL))
    record = replace(of_run.record, marks=(*of_run.record.marks, Mark(plain.t[4], "lid opened")))
    marked = capacity_curve(
        replace(result, results={"main": replace(of_run, record=record)}), "main",
        leak(bench.SMALL))
    assert np.flatnonzero(np.isnan(marked.capacity)).tolist() == [4]


def test_noise_makes_blocks_longer(tmp_path):
    _, result = pull_down(tmp_path, "noisy", bench.SMALL, Thermoelectric(), 12.0, 12, noise=0.5)
    assert capacity_curve(result, "main", leak(bench.SMALL)).block >= 1800.0


def test_without_interval_where_an_error_is_not_stated(small):
    curve = capacity_curve(small[1], "main", leak(bench.SMALL, limit=None))
    assert np.isnan(curve.low).all() and np.isfinite(curve.capacity).any()


@pytest.mark.parametrize("role", ["air", "ambient", "load"])
def test_no_curve_without_its_traces(small, role):
    of_run = small[1].results["main"]
    traces = {r: t for r, t in of_run.record.traces.items() if r != role}
    record = replace(of_run.record, traces=traces)
    cut = replace(small[1], results={"main": replace(of_run, record=record)})
    assert capacity_curve(cut, "main", leak(bench.SMALL)) is None
