"""What a build is expected to do, and how it is said where holding is in doubt."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from coldbench import draws
from coldbench.design.expected import expected, findings_of

SPREAD = np.linspace(0.8, 1.2, draws.DRAWS)


@pytest.fixture
def unit(build):
    return build.machines[0].unit


def test_a_machine_strong_enough_has_values_and_a_basis(unit):
    found = expected(unit, 0.5 * SPREAD, 25.0, 4.0)
    rows = {row.finding: row for row in findings_of(found, "new", "dc")}
    assert found.holds == 1
    assert rows["daily_energy"].value == pytest.approx(24 * rows["mean_power"].value)
    assert all(row.basis == "modelled" for row in rows.values())
    assert rows["heat_leak"].low == pytest.approx(0.405, rel=0.01)  # of a rectangle


def test_where_it_holds_in_some_draws_only_there_is_a_bound(unit):
    heat = float(unit.capacity(4.0, 25.0))
    found = expected(unit, heat / 21 * SPREAD, 25.0, 4.0)
    (row,) = [r for r in findings_of(found, "new", "dc") if r.finding == "daily_energy"]
    assert 0.4 < found.holds < 0.6
    assert row.value is None
    assert row.basis == "bounded"
    assert "cannot tell" in row.note


def test_where_it_never_holds_it_is_not_reached(unit):
    found = expected(unit, 10.0, 25.0, 4.0)
    (row,) = [r for r in findings_of(found, "new", "dc") if r.finding == "mean_power"]
    assert row.basis == "not reached"
    assert row.value is None


def test_the_coldest_is_where_capacity_meets_the_walls_at_their_own_temperature(unit):
    found = expected(unit, 0.5, 25.0, 4.0)
    inside = found.coldest[0]
    foam = 0.5 * np.exp(0.8 * 0.004 * (inside - 4.0) / 2)
    assert float(unit.capacity(inside, 25.0)) == pytest.approx(foam * (25.0 - inside), rel=0.01)


def test_warm_goods_cost_energy_and_cold(unit):
    bare, with_goods = (expected(unit, 0.5, 25.0, 4.0, extra) for extra in (0.0, 5.0))
    assert with_goods.power[0] > bare.power[0]
    assert with_goods.coldest[0] > bare.coldest[0]


def test_warmer_air_at_the_plate_lets_the_unit_take_more(unit):
    """Two kelvin at the plate are at most two kelvin inside."""
    off = expected(replace(unit, place=2.0), 0.5, 25.0, 4.0)
    base = expected(unit, 0.5, 25.0, 4.0)
    assert base.coldest[0] - 2.0 < off.coldest[0] < base.coldest[0]
    assert off.power[0] < base.power[0]
