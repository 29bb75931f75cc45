"""A compressor unit's four functions: heat that balances, duty, where it cannot, and the speed."""

from __future__ import annotations

import time

import numpy as np
import pytest

from coldbench.design.compressor_unit import CompressorUnit, Law

UNIT = CompressorUnit(
    taken=Law(np.log(38.0), 0.035, -0.0002, -0.008), drawn=Law(np.log(48.0), 0.006, 0.0, 0.01),
    idle=1.5, starts_taken=0.2, starts_drawn=0.03,
)


def test_coldest_is_where_both_heats_meet():
    leak, ambient = np.array([0.3, 0.6, 0.9])[:, None], np.array([18.0, 25.0, 35.0])
    for extra in (0.0, 3.0):
        inside = UNIT.coldest(leak, ambient, extra)
        assert UNIT.capacity(inside, ambient) == pytest.approx(
            leak * (ambient - inside) + extra, rel=1e-5)
    assert (np.diff(inside, axis=0) > 0).all() and (np.diff(inside, axis=1) > 0).all()


def test_what_cannot_be_held_has_no_power():
    most = UNIT.capacity(4.0, 25.0)
    held = UNIT.hold(4.0, 25.0, most * np.array([0.0, 0.5, 1.0, 1.001]))
    assert held.duty[0] == 0 and held.power[0] == pytest.approx(1.5)
    assert held.duty[2] == pytest.approx(1.0)
    assert held.power[2] == pytest.approx(float(UNIT.power(4.0, 25.0)))
    assert np.isnan([held.power[3], held.duty[3]]).all() and np.isnan(held.volts).all()
    # Starts find a warmer evaporator: it runs for less than half of the time.
    d = held.duty[1]
    assert d < 0.5 and d * (1 + 0.2 * (1 - d)) == pytest.approx(0.5)


def test_capacity_never_falls_as_the_inside_warms():
    inside = np.linspace(-60, 60, 241)
    for bend in (-0.002, 0.002, 0.0):
        unit = CompressorUnit(Law(3.0, 0.03, bend, 0.0), UNIT.drawn, 1.5)
        assert (np.diff(unit.capacity(inside, 25.0)) >= 0).all()


def test_draws_and_candidates_broadcast():
    rng = np.random.default_rng(1)
    drawn = CompressorUnit(
        Law(rng.normal(3.6, 0.05, 4000), 0.035, -0.0002, -0.008), UNIT.drawn, 1.5)
    assert drawn.coldest(0.5, 25.0).shape == (4000,)
    assert drawn.hold(4.0, 30.0, 12.0).power.shape == (4000,)
    leaks = rng.uniform(0.3, 1.2, 100_000)
    begin = time.perf_counter()
    coldest, held = UNIT.coldest(leaks, 25.0), UNIT.hold(4.0, 25.0, leaks * 21)
    assert time.perf_counter() - begin < 1.0
    assert coldest.shape == held.power.shape == (100_000,)
