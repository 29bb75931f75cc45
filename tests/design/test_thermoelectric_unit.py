"""A thermoelectric machine as a design sees it, against the searching physics and own tables."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from coldbench.design.thermoelectric_switched import mean_spells
from coldbench.design.thermoelectric_unit import ThermoelectricUnit
from coldbench.design.thermoelectric_volts import at_heat, at_volts
from coldbench.physics.thermoelectric import Module, module_from_sheet
from coldbench.physics.thermoelectric_box import array_of, bridge
from coldbench.physics.thermoelectric_drive import (
    Sides,
    coldest_current,
    drive,
    drive_at_voltage,
)

MODULE = module_from_sheet(6.4, 16.4, 68.0, 300.0)
UNIT = ThermoelectricUnit(MODULE, 9.0, 0.3, 0.25, auxiliary=5.0, idle=0.5, fan_inside=0.8)


@pytest.fixture(scope="module")
def drawn() -> tuple[Module, np.ndarray, Sides]:
    """Two thousand modules, volts and sides, runaways among them."""
    rng = np.random.default_rng(20310614)
    module = module_from_sheet(
        rng.uniform(3, 8, 2000), rng.uniform(8, 17, 2000), rng.uniform(60, 70, 2000), 300.0)
    sides = Sides(rng.uniform(253, 293, 2000), rng.uniform(278, 316, 2000),
                  rng.uniform(0.02, 1.5, 2000), rng.uniform(0.03, 1.2, 2000))
    return module, rng.uniform(2, 16, 2000), sides


def test_given_volts_agree_with_the_search(drawn):
    module, volts, sides = drawn
    found, searched = at_volts(module, volts, sides), drive_at_voltage(module, volts, sides)
    for one, other in (
        (found.current, searched.current), (found.t_cold, searched.t_cold),
        (found.t_hot, searched.t_hot), (found.cooling, searched.point.cooling),
        (found.power, searched.point.power), (found.volts, searched.point.voltage),
    ):
        np.testing.assert_allclose(one, other, rtol=1e-9, atol=1e-9)


def test_volts_below_what_the_modules_make_by_themselves_are_not_a_number():
    sides = Sides(278.0, 308.0, 0.3, 0.3)
    own = float(drive(MODULE, 0.0, sides).point.voltage)
    assert np.isnan(at_volts(MODULE, 0.999 * own, sides).cooling)
    assert at_volts(MODULE, 1.001 * own, sides).current == pytest.approx(0.0, abs=0.01)


def test_a_given_heat_is_taken_at_its_volts(drawn):
    module, _, sides = drawn
    most = drive(module, coldest_current(module, sides), sides).point.cooling
    wanted = np.where(most > 0, 0.7 * most, np.nan)
    found = at_heat(module, wanted, sides)
    again = at_volts(module, found.volts, sides)
    np.testing.assert_allclose(again.cooling, wanted, rtol=1e-8)
    np.testing.assert_allclose(again.power, found.power, rtol=1e-8)


def test_no_current_takes_more_than_the_most(drawn):
    module, _, sides = drawn
    most = drive(module, coldest_current(module, sides), sides).point.cooling
    able = most > 0
    assert np.isnan(at_heat(module, most + 0.001, sides).volts[able]).all()
    assert np.isfinite(at_heat(module, 0.9999 * most, sides).volts[able]).all()


def test_the_coldest_is_where_capacity_meets_the_walls():
    coldest = UNIT.coldest(0.55, 25.0, extra=1.5)
    assert UNIT.capacity(coldest, 25.0) == pytest.approx(0.55 * (25.0 - coldest) + 1.5, rel=1e-9)


def test_a_fan_inside_costs_its_own_heat_and_nothing_else():
    still = replace(UNIT, fan_inside=0.0)
    assert still.capacity(4.0, 25.0) - UNIT.capacity(4.0, 25.0) == pytest.approx(0.8)
    assert still.power(4.0, 25.0) == UNIT.power(4.0, 25.0)


@pytest.mark.parametrize("driven", ["steady", "switched"])
@pytest.mark.parametrize("quick", [0.0, 0.5, 1.0])
def test_holding_the_most_takes_all_of_the_power(driven, quick):
    unit = replace(UNIT, driven=driven, quick=quick)
    most = unit.capacity(4.0, 25.0)
    held = unit.hold(4.0, 25.0, most * (1 - 1e-9))
    assert held.power == pytest.approx(float(unit.power(4.0, 25.0)), rel=1e-6)
    assert held.duty == pytest.approx(1.0)
    assert held.volts == pytest.approx(9.0)


@pytest.mark.parametrize("driven", ["steady", "switched"])
def test_more_than_the_most_is_not_held(driven):
    unit = replace(UNIT, driven=driven)
    held = unit.hold(4.0, 25.0, unit.capacity(4.0, 25.0) * 1.001)
    assert np.isnan([held.power, held.duty, held.volts]).all()


@pytest.mark.parametrize("driven", ["steady", "switched"])
def test_an_inside_warmer_than_the_room_needs_no_modules(driven):
    held = replace(UNIT, driven=driven).hold(30.0, 25.0, -3.0)
    assert held.duty == 0
    assert held.power == 0.5


def test_lower_volts_hold_for_less_than_switching():
    steady = replace(UNIT, driven="steady").hold(6.0, 25.0, 8.0)
    slow, fast = (replace(UNIT, quick=q).hold(6.0, 25.0, 8.0) for q in (0.0, 1.0))
    assert steady.power < fast.power < slow.power


def test_a_settled_cycle_by_hand():
    """Half of the time 20 W, half of the time 5 W back: 7.5 W in the mean."""
    inner = 0.3 + 1 / float(MODULE.conductance)
    unit = replace(UNIT, r_still=1 / 0.25 - inner, quick=0.0, fan_inside=0.0)
    full, back = float(unit.capacity(5.0, 25.0)), 0.25 * 20.0
    held = unit.hold(5.0, 25.0, (full - back) / 2)
    assert held.duty == pytest.approx(0.5)
    assert held.power == pytest.approx((float(unit.power(5.0, 25.0)) + 0.5) / 2)


def test_mean_sinks_balance_both_sides():
    """Cold and hot side, worked from the power and the duty that were found."""
    sides = Sides(278.15, 298.15, 0.3, 0.25)
    spells = mean_spells(MODULE, 9.0, sides, 0.9, 8.0)
    current = spells.power / 9.0
    apart = (9.0 - current * MODULE.resistance) / MODULE.seebeck
    cold = 278.15 - 0.3 * 8.0
    shed = (cold + apart - 298.15) * (spells.duty / 0.25 + (1 - spells.duty) / 0.9)
    assert shed == pytest.approx(8.0 + spells.duty * spells.power, rel=1e-6)
    pumped = MODULE.seebeck * current * cold - current**2 * MODULE.resistance / 2
    assert spells.duty * pumped - MODULE.conductance * apart == pytest.approx(8.0, rel=1e-6)


def test_a_hot_side_that_stands_still_lets_less_back_in_but_keeps_its_own_heat():
    """Light sinks gain by it; heavy ones still hold the heat of the last spell."""
    assert UNIT.bridge == bridge(MODULE, 0.3, 0.25)
    still = replace(UNIT, r_still=1.6)
    assert still.bridge < UNIT.bridge

    def duty(unit: ThermoelectricUnit, quick: float) -> float:
        return float(replace(unit, quick=quick).hold(5.0, 25.0, 6.0).duty)

    assert duty(still, 0.0) < duty(UNIT, 0.0)
    assert duty(still, 1.0) > duty(UNIT, 1.0)


def test_resting_it_sheds_no_more_than_running():
    assert replace(UNIT, r_still=0.1).bridge == UNIT.bridge


def test_modules_rearranged_are_the_array_of_as_many():
    twice = replace(UNIT, module=array_of(MODULE, 2, 1)).rearranged(1.0, 2.0)
    assert twice.module == array_of(MODULE, 2, 2)
    assert twice.r_hot == UNIT.r_hot


def test_draws_and_candidates_broadcast():
    """Many volts, many modules and one room at once, each as by itself."""
    volts, hot = np.linspace(4, 12, 5)[:, None], np.linspace(0.1, 0.4, 3)
    together = replace(UNIT, volts=volts, r_hot=hot)
    held = together.hold(6.0, 25.0, 6.0)
    assert held.power.shape == (5, 3)
    alone = replace(UNIT, volts=volts[2, 0], r_hot=hot[1])
    assert held.power[2, 1] == pytest.approx(float(alone.hold(6.0, 25.0, 6.0).power), rel=1e-12)
    assert together.coldest(0.5, 25.0)[2, 1] == pytest.approx(float(alone.coldest(0.5, 25.0)))


def test_what_sets_the_volts_loses_of_the_modules_power_alone():
    lossy = replace(UNIT, efficiency=0.8)
    modules = UNIT.power(4.0, 25.0) - 5.0
    assert lossy.power(4.0, 25.0) == pytest.approx(modules / 0.8 + 5.0)
    assert lossy.capacity(4.0, 25.0) == UNIT.capacity(4.0, 25.0)
