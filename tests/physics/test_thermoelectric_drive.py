"""A module between resistances: its equations, its best currents, and its runaway."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from coldbench.physics.thermoelectric import module_from_sheet, operating_point
from coldbench.physics.thermoelectric_best import best_currents
from coldbench.physics.thermoelectric_drive import (
    Sides,
    best_cop_current,
    coldest_current,
    drive,
    drive_at_voltage,
    runaway_current,
)

MODULE = module_from_sheet(6.4, 16.4, 68.0, 300.0)
AMBIENT = 298.15
inside = st.floats(265.0, 305.0)
r_cold = st.floats(0.0, 3.0)
r_hot = st.floats(0.02, 1.0)
FEW = settings(max_examples=30)  # each looks through hundreds of currents


@given(inside=inside, r_cold=r_cold, r_hot=r_hot, share=st.floats(0.0, 0.9))
def test_heats_pass_their_resistances(inside, r_cold, r_hot, share):
    sides = Sides(inside, AMBIENT, r_cold, r_hot)
    driven = drive(MODULE, share * min(runaway_current(MODULE, sides), 8.0), sides)
    assume(not np.isnan(driven.t_cold))
    point = driven.point
    assert inside - driven.t_cold == pytest.approx(float(r_cold * point.cooling), abs=1e-6)
    assert driven.t_hot - AMBIENT == pytest.approx(float(r_hot * point.rejected), abs=1e-6)
    assert point.rejected == pytest.approx(float(point.cooling + point.power), abs=1e-6)


@given(inside=inside, current=st.floats(0.0, 8.0))
def test_without_resistances_faces_are_their_sides(inside, current):
    driven = drive(MODULE, current, Sides(inside, AMBIENT, 0.0, 0.0))
    assert (driven.t_cold, driven.t_hot) == (inside, AMBIENT)
    alone = operating_point(MODULE, current, inside, AMBIENT)
    assert driven.point.cooling == pytest.approx(float(alone.cooling))


@given(inside=inside, r_cold=r_cold, r_hot=r_hot, volts=st.floats(2.0, 15.0))
def test_a_voltage_is_met(inside, r_cold, r_hot, volts):
    driven = drive_at_voltage(MODULE, volts, Sides(inside, AMBIENT, r_cold, r_hot))
    assert driven.point.voltage == pytest.approx(volts, rel=1e-6)
    assert driven.current > 0


def test_more_voltage_is_more_current():
    driven = drive_at_voltage(MODULE, np.linspace(1.0, 14.0, 27), Sides(278.15, AMBIENT, 0.3, 0.3))
    assert np.all(np.diff(driven.current) > 0)
    assert np.all(np.diff(driven.t_hot) > 0)


def test_less_than_the_modules_own_voltage_is_no_solution():
    sides = Sides(278.15, AMBIENT, 0.3, 0.3)
    own = drive(MODULE, 0.0, sides).point.voltage
    assert own > 0
    assert np.isnan(drive_at_voltage(MODULE, 0.9 * own, sides).current)
    assert drive_at_voltage(MODULE, own, sides).current == pytest.approx(0.0, abs=1e-9)


@FEW
@given(inside=inside, r_cold=r_cold, r_hot=r_hot)
def test_no_other_current_takes_more_heat(inside, r_cold, r_hot):
    sides = Sides(inside, AMBIENT, r_cold, r_hot)
    best = drive(MODULE, coldest_current(MODULE, sides), sides).point.cooling
    others = drive(MODULE, np.linspace(0.0, 12.0, 601), sides).point.cooling
    assert np.nanmax(others) <= best + 1e-9


@FEW
@given(inside=st.floats(265.0, 290.0), r_cold=st.floats(0.0, 0.4), r_hot=st.floats(0.02, 0.3))
def test_no_other_current_has_a_better_cop(inside, r_cold, r_hot):
    sides = Sides(inside, AMBIENT, r_cold, r_hot)
    current = best_cop_current(MODULE, sides)
    assert 0 < current < coldest_current(MODULE, sides)
    best = drive(MODULE, current, sides).point.cop
    others = drive(MODULE, np.linspace(0.01, 8.0, 800), sides).point.cop
    assert np.nanmax(others) <= best + 1e-9


def test_best_currents_between_bare_faces_are_the_closed_ones():
    sides, closed = Sides(278.15, AMBIENT, 0.0, 0.0), best_currents(MODULE, 278.15, AMBIENT)
    assert coldest_current(MODULE, sides) == pytest.approx(float(closed.most_heat), rel=1e-6)
    assert best_cop_current(MODULE, sides) == pytest.approx(float(closed.best_cop), rel=1e-6)
    # No heat at all: the cold side is shut off.
    shut = Sides(AMBIENT, AMBIENT, 1e6, 0.0)
    found = coldest_current(MODULE, shut)
    assert found == pytest.approx(float(closed.most_difference), rel=1e-3)


def test_the_weaker_the_hot_side_the_less_current():
    r_hot = np.array([0.05, 0.25, 0.5, 1.0])
    currents = coldest_current(MODULE, Sides(278.15, AMBIENT, 0.3, r_hot))
    assert np.all(np.diff(currents) < 0)


def test_no_best_cop_where_nothing_is_pumped_or_no_power_is_needed():
    assert np.isnan(best_cop_current(MODULE, Sides(200.0, AMBIENT, 0.3, 0.3)))
    assert np.isnan(best_cop_current(MODULE, Sides(AMBIENT + 5, AMBIENT, 0.3, 0.3)))


@given(r_cold=r_cold, r_hot=r_hot)
def test_the_hot_side_runs_away_from_there_on(r_cold, r_hot):
    sides = Sides(278.15, AMBIENT, r_cold, r_hot)
    limit = float(runaway_current(MODULE, sides))
    before = drive(MODULE, np.array([0.2, 0.5]) * limit, sides)
    assert not np.isnan(before.t_hot[0])
    assert np.isnan(drive(MODULE, 1.001 * limit, sides).t_hot)


def test_without_a_resistance_nothing_runs_away():
    assert np.isinf(runaway_current(MODULE, Sides(278.15, AMBIENT, 0.3, 0.0)))
    assert np.isinf(runaway_current(MODULE, Sides(278.15, AMBIENT, 0.0, 0.0)))


def test_degrees_celsius_are_refused():
    with pytest.raises(ValueError, match="in kelvin"):
        drive(MODULE, 3.0, Sides(5.0, 25.0, 0.3, 0.3))
