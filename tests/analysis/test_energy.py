"""Energy between two instants: from power, bounded over gaps, or from a counter through them."""

from __future__ import annotations

import numpy as np
import pytest

from coldbench import draws
from coldbench.analysis.energy import EnergyMeter
from coldbench.logs.counter import Break
from coldbench.quantities import ErrorLimit

WATTS = 40.0


def steady_power(made, hours, watts=WATTS, **more):
    return made.trace("power", hours, np.full(len(hours), watts), metered_at="dc", **more)


def counter(made, hours, step=0.01, **more):
    """Counter of 40 W, in steps of its display."""
    count = np.floor(WATTS * np.asarray(hours) / step + 1e-9) * step
    return made.trace("energy", hours, count, metered_at="dc", counter_step=step, **more)


def test_held_power(made):
    meter = EnergyMeter(steady_power(made, made.every(60, 6)), None, made.zero)
    energy = meter.between(made.zero + 3600, made.zero + np.array([2, 4]) * 3600.0)
    assert energy.low.tolist() == pytest.approx([40.0, 120.0])
    assert energy.whole
    assert (energy.source, energy.covered) == ("power", 100.0)


def test_power_over_a_gap_is_bounded_by_nothing_and_the_running_power(made):
    hours = made.without(made.every(60, 6), (2.0, 3.0))
    meter = EnergyMeter(steady_power(made, hours), None, made.zero)
    energy = meter.between(made.zero, made.zero + 6 * 3600)
    assert not energy.whole
    assert energy.low[0] == pytest.approx(5 * WATTS)
    assert energy.high[0] == pytest.approx(6 * WATTS)
    assert energy.covered == pytest.approx(100 * 5 / 6)
    before = meter.between(made.zero, made.zero + 1.5 * 3600)
    assert before.whole


def test_a_counter_that_ran_through_the_gap_gives_the_energy(made):
    hours = made.without(made.every(60, 6), (2.0, 3.0))
    meter = EnergyMeter(steady_power(made, hours), counter(made, hours), made.zero)
    energy = meter.between(made.zero, made.zero + 6 * 3600)
    assert energy.whole
    assert (energy.source, energy.covered) == ("counter", 100.0)
    assert energy.low[0] == pytest.approx(6 * WATTS, abs=0.01)


def test_inside_the_gap_even_the_counter_only_bounds(made):
    hours = made.without(made.every(60, 6), (2.0, 3.0))
    meter = EnergyMeter(None, counter(made, hours), made.zero)
    energy = meter.between(made.zero, made.zero + 2.5 * 3600)
    assert not energy.whole
    assert energy.low[0] == pytest.approx(2 * WATTS, abs=0.01)
    assert energy.high[0] == pytest.approx(3 * WATTS, abs=0.01)


def test_a_counter_that_fell_back_is_not_one_count(made):
    hours = made.without(made.every(60, 6), (2.0, 3.0))
    fallen = counter(made, hours)
    fallen.y[hours > 2.5] -= 60.0
    meter = EnergyMeter(steady_power(made, hours), fallen, made.zero)
    energy = meter.between(made.zero, made.zero + 6 * 3600)
    assert (energy.source, energy.whole) == ("power", False)


def test_energy_counts_from_the_switch_between_samples(made):
    """Switched on 25 s before a sample: what the idle sample shows does not hold after it."""
    hours = made.every(60, 2)
    watts = np.where(hours > 0.5, WATTS, 0.0)
    zero = made.zero + 1800 + 35.0
    meter = EnergyMeter(made.trace("power", hours, watts), None, zero)
    energy = meter.between(zero, made.zero + 7200)
    assert energy.low[0] == pytest.approx(WATTS * (7200 - 1835) / 3600)


def test_the_gain_of_the_meter_is_in_the_draws(made):
    power = steady_power(made, made.every(10, 10), error=0.0)
    power = type(power)(**{**vars(power), "error": ErrorLimit(0.2, 0.01)})
    meter = EnergyMeter(power, None, made.zero)
    true = meter.true_energy("x", 400.0, 10.0, "power", edges=0)
    low, high = draws.interval(true)
    # Ends of offset and gain together; the scatter of sampling steady power is nothing.
    assert (400 - 2.0) / 1.01 < low < 400 * (1 - 0.5 * 0.01)
    assert 400 * (1 + 0.5 * 0.01) < high < (400 + 2.0) / 0.99


def test_the_counter_is_known_to_half_a_step_at_both_ends(made):
    meter = EnergyMeter(None, counter(made, made.every(60, 2), step=10.0, error=0.0), made.zero)
    low, high = draws.interval(meter.true_energy("x", 80.0, 2.0, "counter", edges=0))
    # Sum of two rectangles of ±5 Wh: a triangle whose 95 % lies at 10 (1 − √0.05).
    half = 10 * (1 - np.sqrt(0.05))
    assert (80 - low, high - 80) == pytest.approx((half, half), rel=0.05)


def test_nothing_electrical_no_meter(made):
    hours = made.every(60, 2)
    assert EnergyMeter.of(made.record(made.trace("air", hours, hours))) is None


def test_switchings(made):
    hours = made.every(60, 6)
    power = made.trace("power", hours, made.square(hours, 1.0, 0.5))
    meter = EnergyMeter(power, None, made.zero)
    assert meter.switchings(made.zero + 60, made.zero + 3 * 3600 - 60) == 5


# --- counters with steps that are only bounded -------------------------------------------------


def with_reset(made, high):
    """40 W for 6 h, each 10 min; between hours 2 and 3 a reset of which 5 Wh are sure."""
    hours = made.without(made.every(600, 6), (2.0, 3.0))
    count = WATTS * np.where(hours > 2.5, hours - 1.0, hours) + np.where(hours > 2.5, 5.0, 0.0)
    broken = Break(made.zero + 7200, made.zero + 10800, 5.0, high, "reset")
    return made.trace("energy", hours, count, metered_at="dc", broken=(broken,))


def test_energy_across_a_reset_has_its_bounds_and_none_beside_it(made):
    meter = EnergyMeter(None, with_reset(made, 60.0), made.zero)
    across = meter.between(made.zero + 3600, made.zero + np.array([2.0, 4.0, 6.0]) * 3600)
    assert across.low.tolist() == pytest.approx([WATTS, 2 * WATTS + 5, 4 * WATTS + 5])
    assert across.high.tolist() == pytest.approx([WATTS, 2 * WATTS + 60, 4 * WATTS + 60])
    assert meter.between(made.zero, made.zero + 7200).whole
    assert meter.between(made.zero + 10800, made.zero + 21600).whole


def test_an_instant_inside_a_reset_is_bounded_by_all_of_it(made):
    meter = EnergyMeter(None, with_reset(made, 60.0), made.zero)
    inside = meter.between(made.zero + 3600, made.zero + 2.5 * 3600)
    assert (inside.low[0], inside.high[0]) == pytest.approx((WATTS, WATTS + 60))


def test_what_nothing_bounds_is_not_whole(made):
    """A reset with no known power: the counter may not stand in for a silent power log."""
    counter = with_reset(made, np.inf)
    assert not EnergyMeter(None, counter, made.zero).between(made.zero, made.zero + 21600).whole
    power = steady_power(made, made.without(made.every(600, 6), (2.0, 3.0)))
    energy = EnergyMeter(power, counter, made.zero).between(made.zero, made.zero + 21600)
    assert (energy.source, energy.whole) == ("power", False)
    assert energy.high[0] == pytest.approx(6 * WATTS)
