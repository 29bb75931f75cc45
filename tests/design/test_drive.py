"""A machine over its drive: marks, bands, other rooms, and a better hot side against modules."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from coldbench import draws
from coldbench.design.drive import COLDEST, COP, DAY, HEAT, JUST, TODAY, drive_map
from coldbench.design.hot_side_gain import hot_side_gain
from coldbench.design.thermoelectric_unit import ThermoelectricUnit
from coldbench.physics.thermoelectric import module_from_sheet
from coldbench.physics.thermoelectric_best import best_currents

MODULE = module_from_sheet(6.4, 16.4, 68.0, 300.0)
CENTRAL = ThermoelectricUnit(MODULE, 9.0, 0.3, 0.25, auxiliary=3.0, idle=0.3, fan_inside=0.8)
LEAK = 0.55 * (1 + draws.uniform("made leak", 0.05))
AMBIENT, INSIDE = 25.0, 6.0


def drawn(**sizes: float) -> ThermoelectricUnit:
    """The same with draws of both sides."""
    unit = replace(CENTRAL, **sizes)
    return replace(unit, r_hot=unit.r_hot * (1 + draws.uniform("made hot", 0.1)),
                   r_cold=unit.r_cold * (1 + draws.uniform("made cold", 0.1)))


@pytest.fixture(scope="module")
def found():
    return drive_map(drawn(), CENTRAL, LEAK, AMBIENT, INSIDE, (20.0, 32.0))


def test_the_marks_are_where_they_are_named(found):
    """No other voltage of a fine row does better."""
    volts = np.linspace(1.5, 19.0, 3001)
    many, leak = replace(CENTRAL, volts=volts), float(np.median(LEAK))
    coldest, heat = many.coldest(leak, AMBIENT), many.capacity(INSIDE, AMBIENT)
    cop = np.where(heat > 0, heat, 0) / many.power(INSIDE, AMBIENT)
    assert found.mark(COLDEST).coldest == pytest.approx(np.nanmin(coldest), abs=1e-3)
    assert found.mark(HEAT).heat == pytest.approx(np.nanmax(heat), abs=1e-3)
    assert found.mark(COP).cop == pytest.approx(np.nanmax(cop), abs=1e-4)
    assert found.mark(TODAY).volts == 9.0
    assert found.mark(COP).volts < found.mark(TODAY).volts < found.mark(COLDEST).volts


def test_what_just_holds_is_the_least_voltage_that_does(found):
    just = found.mark(JUST)
    assert just.coldest == pytest.approx(INSIDE, abs=1e-6)
    assert just.heat == pytest.approx(float(np.median(LEAK)) * (AMBIENT - INSIDE), rel=1e-6)
    assert just.daily == pytest.approx(DAY * just.power, rel=1e-6)
    assert just.daily < found.mark(TODAY).daily


def test_without_fans_and_sides_the_best_currents_are_those_of_the_handbook():
    """M. Kutz (ed.), Mechanical Engineers' Handbook vol. 4, p. 411, at faces that stay put."""
    bare = ThermoelectricUnit(MODULE, 9.0, 1e-9, 1e-9)
    marks = drive_map(bare, bare, np.full(4, 0.55), AMBIENT, INSIDE)
    best = best_currents(MODULE, INSIDE + 273.15, AMBIENT + 273.15)
    at = {name: float(replace(bare, volts=marks.mark(name).volts).current(INSIDE, AMBIENT))
          for name in (HEAT, COP)}
    assert at[HEAT] == pytest.approx(float(best.most_heat), rel=0.002)
    assert at[COP] == pytest.approx(float(best.best_cop), rel=0.01)


def test_bands_are_those_of_single_voltages(found):
    i = int(np.searchsorted(found.volts, 9.0))
    unit = replace(drawn(), volts=found.volts[i])
    coldest = unit.coldest(LEAK, AMBIENT)
    assert found.coldest.value[i] == pytest.approx(np.median(coldest), rel=1e-9)
    low, high = np.percentile(coldest, [draws.LOW, draws.HIGH])
    assert (found.coldest.low[i], found.coldest.high[i]) == pytest.approx((low, high))
    held = DAY * unit.hold(INSIDE, AMBIENT, LEAK * (AMBIENT - INSIDE)).power
    assert found.daily.value[i] == pytest.approx(np.median(held), rel=1e-9)


def test_energy_has_no_band_where_the_inside_is_not_held(found):
    held = np.isfinite(found.daily.value)
    surely = found.coldest.high < INSIDE - 0.01
    assert held[surely].all()
    assert not held[found.coldest.low > INSIDE].any()


def test_a_warmer_room_is_a_warmer_box(found):
    assert (found.elsewhere[32.0] > found.coldest.value).all()
    assert (found.elsewhere[20.0] < found.coldest.value).all()


def test_a_most_cold_beyond_what_is_looked_at_is_no_mark():
    gentle = replace(CENTRAL, volts=3.0)
    marks = drive_map(gentle, gentle, LEAK, AMBIENT, 15.0)
    assert marks.mark(COLDEST) is None
    assert marks.volts[-1] == pytest.approx(3.9)


@pytest.mark.parametrize(("r_hot", "string"), [(0.05, 1), (0.5, -1)])
def test_the_next_string_is_worth_what_its_hot_side_is(r_hot, string):
    """Own table of modules in a box: a second one cools on 0.05 K/W and warms on 0.5 K/W."""
    weak = {"r_hot": r_hot, "volts": 12.0}
    gain = hot_side_gain(drawn(**weak), replace(CENTRAL, **weak), LEAK, AMBIENT, INSIDE)
    better, beside, behind = gain.gains
    assert better.colder[1] > 0
    assert np.sign(beside.colder[1]) == np.sign(beside.colder[2]) == string
    assert beside.power[1] > 0 > behind.power[2]
    assert gain.r_hot[0] < gain.crossing < gain.r_hot[-1]
    assert (r_hot < gain.crossing) == (string > 0)


def test_lines_cross_where_they_are_equal():
    gain = hot_side_gain(drawn(), CENTRAL, LEAK, AMBIENT, INSIDE)
    at, leak = replace(CENTRAL, r_hot=gain.crossing), float(np.median(LEAK))
    apart = at.coldest(leak, AMBIENT) - at.rearranged(1, 2).coldest(leak, AMBIENT)
    assert apart == pytest.approx(0, abs=0.02)


def test_a_gain_is_a_difference_of_the_same_draws():
    """What is common to both falls out: far narrower than either."""
    gain = hot_side_gain(drawn(), CENTRAL, LEAK, AMBIENT, INSIDE)
    unit = drawn()
    after = replace(unit, r_hot=unit.r_hot - 0.1)
    colder = unit.coldest(LEAK, AMBIENT) - after.coldest(LEAK, AMBIENT)
    assert gain.gains[0].colder == pytest.approx((np.median(colder), *draws.interval(colder)))
    assert np.ptp(gain.gains[0].colder[1:]) < 0.5 * np.ptp(gain.now[1:])


def test_a_hot_side_nearly_as_good_is_halved():
    good = {"r_hot": 0.12}
    gain = hot_side_gain(drawn(**good), replace(CENTRAL, **good), LEAK, AMBIENT, INSIDE, 2, 2)
    assert [one.what for one in gain.gains] == [
        "0.06 K/W less on the hot side", "one string of 2 more", "one module more in each string"]
