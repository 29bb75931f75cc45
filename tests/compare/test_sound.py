"""Starts an hour, and mean levels over running and idle."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from coldbench.compare.sound import duty_cycle_level, starts_per_hour
from coldbench.findings import Finding


@pytest.fixture
def level(made):
    def of(at, value, **more):
        return made.finding("chest", value, probe="S1", limit=1.5, name="sound_level", unit="dB",
                            at=at, run=f"{at}", **more)
    return of


@pytest.fixture
def duty(made):
    return made.finding("chest", 0.4, probe="clock", limit=0.01, name="duty", unit="-",
                        at="coldest", run="steady", conditions={"ambient": 24.6})


def test_starts_are_the_inverse_of_the_cycle(made):
    cycle = made.finding("chest", 24.0, limit=1.0, name="cycle_time", unit="min", at="coldest")
    row, = starts_per_hour([cycle])
    assert (row.value, row.unit, row.at) == (2.5, "1/h", "coldest")
    assert row.low == pytest.approx(60 / cycle.high) and row.high == pytest.approx(60 / cycle.low)
    bound = replace(cycle, value=None, draws=None, basis="bounded", low=20.0, high=None)
    row, = starts_per_hour([bound])
    assert (row.value, row.low, row.high) == (None, None, 3.0)


def test_a_machine_without_a_break_does_not_start(duty):
    row, = starts_per_hour([replace(duty, value=1.0)])
    assert (row.value, row.low, row.high) == (0.0, 0.0, 0.0)
    assert starts_per_hour([duty]) == []


def test_mean_of_running_and_idle(level, duty):
    row, = duty_cycle_level([level("running 1 m", 42.0), level("idle 1 m", 25.0), duty])
    assert row.at == "mean over the cycle 1 m" and row.basis == "modelled"
    assert row.value == pytest.approx(10 * np.log10(0.4 * 10**4.2 + 0.6 * 10**2.5))
    # Both were read with one meter: its ± 1.5 dB does not average out.
    assert row.high - row.low == pytest.approx(2 * 0.95 * 1.5, rel=0.06)
    assert row.runs == ("running 1 m", "idle 1 m", "steady")
    assert row.conditions == {"ambient": 24.6} and "40 % of the time" in row.note


def test_an_idle_level_that_is_only_bounded_gives_bounds(level, duty):
    idle = Finding(cooler="chest", finding="sound_level", at="idle 1 m", unit="dB", high=30.0,
                   basis="bounded")
    row, = duty_cycle_level([level("running 1 m", 42.0), idle, duty])
    silent = 42 + 10 * np.log10(0.4)
    assert row.value is None and row.basis == "bounded"
    assert row.low < silent < row.high < 42.0
    without, = duty_cycle_level([level("running 1 m", 42.0), duty])
    assert without.low == pytest.approx(row.low) and without.high > row.high
    assert "idle not read" in without.note


def test_a_bound_on_running_bounds_the_mean(level, duty):
    running = Finding(cooler="chest", finding="sound_level", at="running 1 m", unit="dB",
                      high=31.0, basis="bounded")
    row, = duty_cycle_level([running, duty])
    assert (row.basis, row.value, row.low, row.high) == ("bounded", None, None, 31.0)


def test_without_a_break_the_mean_is_the_running_level(level, duty):
    row, = duty_cycle_level([level("running 1 m", 42.0), replace(duty, value=1.0)])
    assert row.value == 42.0 and row.low is not None


@pytest.mark.parametrize("at", ["idle 1 m", "running", "running 1 m L10", "rattling 1 m"])
def test_what_is_no_running_level_has_no_mean(level, duty, at):
    assert duty_cycle_level([level(at, 42.0), duty]) == []


def test_without_a_duty_there_is_no_mean(level):
    assert duty_cycle_level([level("running 1 m", 42.0)]) == []
