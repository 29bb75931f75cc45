"""Modules in a box: arrays by their single modules, the steady box, the bridge."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldbench.physics.thermoelectric import figure_of_merit, module_from_sheet, operating_point
from coldbench.physics.thermoelectric_box import array_of, box_air, box_as_side, bridge
from coldbench.physics.thermoelectric_drive import Sides, coldest_current, drive, drive_at_voltage

MODULE = module_from_sheet(6.4, 16.4, 68.0, 300.0)
AMBIENT = 298.15
few = st.integers(1, 4)


@given(series=few, parallel=few, current=st.floats(0.1, 8.0))
def test_an_array_is_the_sum_of_its_modules(series, parallel, current):
    single = operating_point(MODULE, current, 278.15, 308.15)
    together = operating_point(
        array_of(MODULE, series, parallel), parallel * current, 278.15, 308.15
    )
    count = series * parallel
    assert together.cooling == pytest.approx(float(count * single.cooling))
    assert together.power == pytest.approx(float(count * single.power))
    assert together.voltage == pytest.approx(float(series * single.voltage))


@given(series=few, parallel=few)
def test_an_array_has_the_merit_of_its_modules(series, parallel):
    merit = figure_of_merit(array_of(MODULE, series, parallel))
    assert merit == pytest.approx(float(figure_of_merit(MODULE)))


@given(
    leak=st.floats(0.2, 1.5), r_cold=st.floats(0.0, 0.6), r_hot=st.floats(0.05, 0.5),
    heat=st.floats(0.0, 5.0), current=st.floats(0.0, 5.0),
)
def test_a_box_is_in_balance(leak, r_cold, r_hot, heat, current):
    driven = drive(MODULE, current, box_as_side(leak, AMBIENT, r_cold, r_hot, heat))
    air = box_air(driven, r_cold)
    assert leak * (AMBIENT - air) + heat == pytest.approx(float(driven.point.cooling), abs=1e-6)


def test_a_second_module_on_a_weak_hot_side_warms_the_box():
    sides = box_as_side(0.55, AMBIENT, 0.3, 0.5)
    one = drive_at_voltage(MODULE, 12.0, sides)
    two = drive_at_voltage(array_of(MODULE, 1, 2), 12.0, sides)
    assert box_air(two, 0.3) > box_air(one, 0.3) + 5
    assert two.point.power > 1.8 * one.point.power


def test_the_coldest_air_is_at_the_current_of_most_heat():
    sides = box_as_side(0.55, AMBIENT, 0.3, 0.25)
    best = box_air(drive(MODULE, coldest_current(MODULE, sides), sides), 0.3)
    others = box_air(drive(MODULE, np.linspace(0.1, 8.0, 400), sides), 0.3)
    assert best <= np.nanmin(others) + 1e-9


@given(r_cold=st.floats(0.0, 2.0), r_hot=st.floats(0.0, 2.0), inside=st.floats(270.0, 295.0))
def test_the_bridge_is_what_a_module_without_current_lets_in(r_cold, r_hot, inside):
    unpowered = drive(MODULE, 0.0, Sides(inside, AMBIENT, r_cold, r_hot))
    through = bridge(MODULE, r_cold, r_hot)
    assert -unpowered.point.cooling == pytest.approx(float(through * (AMBIENT - inside)))
    assert 0 < through <= MODULE.conductance * (1 + 1e-12)


def test_an_array_needs_modules():
    with pytest.raises(ValueError, match="0 × 2 has no modules"):
        array_of(MODULE, 0, 2)
