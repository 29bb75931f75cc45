"""Battery, sun and cooler by the hour: closed forms, kept energy, more is never worse."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coldbench.physics.battery_year import battery_year

DAYS = 30
HOURS = 24 * DAYS


def run(battery, panel, *, load=20.0, sun=None, depth=0.8, efficiency=1.0, restart=0.2):
    sun = np.zeros((1, HOURS)) if sun is None else np.atleast_2d(sun)
    load = np.broadcast_to(np.asarray(load, float), (sun.shape[1],))
    period = np.arange(sun.shape[1]) * 2 // sun.shape[1]
    return battery_year(load, sun, np.atleast_1d(battery), np.atleast_1d(panel), period,
                        depth=depth, efficiency=efficiency, restart=restart)


def weather(seed=3, years=2):
    """Days of a half sine, each by a factor of its own."""
    hour = np.arange(HOURS) % 24
    shape = np.maximum(np.sin((hour - 6) * np.pi / 12), 0)
    days = np.random.default_rng(seed).uniform(0.1, 1.0, (years, DAYS))
    return np.repeat(days, 24, axis=1) * shape


@pytest.mark.parametrize(("battery", "depth", "efficiency", "hours"), [
    (640.0, 0.8, 1.0, 640 * 0.8 / 20),
    (333.0, 0.5, 1.0, 333 * 0.5 / 20),
    # 12.8 V, 50 Ah, 80 % depth, 95 % efficiency, 20 W on average: 24.3 h by definition.
    (12.8 * 50, 0.8, 0.95, 24.32),
])
def test_without_sun_a_battery_lasts_its_usable_energy_over_the_power(
        battery, depth, efficiency, hours):
    made = run(battery, 0.0, depth=depth, efficiency=efficiency)
    assert HOURS - made.without.sum() == pytest.approx(hours)
    assert made.lowest.item() == pytest.approx(1 - depth)


def test_with_sun_all_the_time_it_is_never_empty():
    made = run([500.0, 50.0], [40.0, 20.0], sun=np.ones(HOURS))
    assert not made.without.any()
    assert made.lowest.ravel().tolist() == [1.0, 1.0]
    assert made.spilled.ravel().tolist() == pytest.approx([20.0 * HOURS, 0.0])


def test_a_panel_without_battery_serves_while_it_shines():
    sun = (np.arange(HOURS) % 24 < 12).astype(float)
    made = run(0.0, 20.0, sun=sun)
    assert made.without.sum() == pytest.approx(HOURS / 2)
    assert run(0.0, 10.0, sun=sun).without.sum() == pytest.approx(3 * HOURS / 4)


def test_half_of_the_days_need_is_met_by_half_a_panel():
    """Without losses and with a large battery what is served is what shines, and its charge."""
    sun = (np.arange(HOURS) % 24 < 12).astype(float)
    made = run(2000.0, 20.0, sun=sun, restart=0.01)
    assert made.served.item() == pytest.approx(20.0 * HOURS / 2 + 2000 * 0.8, abs=20 * 12)
    assert made.spilled.item() == 0.0


def test_it_starts_again_only_when_charged_enough():
    """100 Wh usable, 20 W: empty in 5 h; from then on 10 W of sun.

    It is cut off in the middle of the next hour, 4 h of charging bring 40 Wh, on which it runs
    for 4 h; the same again, and half of the last hour.
    """
    sun = np.zeros(24)
    sun[5:] = 1.0
    made = run(125.0, 10.0, sun=sun, restart=0.4)
    assert made.without.sum() == pytest.approx(0.5 + 4 + 0.5 + 4 + 0.5)
    assert made.served.item() == pytest.approx(20 * (24 - 9.5))


@settings(max_examples=25, deadline=None)
@given(st.floats(0, 2000), st.floats(0, 200), st.floats(0.3, 1),
       st.one_of(st.just(1.0), st.floats(0.6, 1)), st.floats(0.02, 0.9))
def test_energy_is_kept(battery, panel, depth, efficiency, restart):
    sun = weather()
    made = run(battery, panel, sun=sun, load=10 + 5 * np.sin(np.arange(HOURS) / 50), depth=depth,
               efficiency=efficiency, restart=restart)
    shone = panel * sun.sum(axis=1)
    lost = shone - (made.served + made.spilled + made.stored)[:, 0]
    # A battery without losses loses nothing; another its share of what came out of it.
    assert lost == pytest.approx(0, abs=1e-6) or efficiency < 1
    assert lost.min() > -1e-6
    assert (lost <= (1 / efficiency - 1) * made.served[:, 0] + 1e-6).all()
    assert made.without.min() > -1e-9 and made.without.sum(axis=0).max() < HOURS + 1e-6
    assert battery == 0 or made.lowest.min() > 1 - depth - 1e-9


@settings(max_examples=25, deadline=None)
@given(st.floats(50, 1000), st.floats(5, 100), st.floats(1.1, 2))
def test_more_battery_and_panel_together_never_serve_less(battery, panel, more):
    """The same factor on both is the same as a smaller load; nobody is colder for it."""
    made = run([battery, battery * more], [panel, panel * more], sun=weather(), efficiency=0.9)
    assert made.without[..., 1].sum() <= made.without[..., 0].sum() + 1e-6
    smaller = run(battery, panel, sun=weather(), load=20.0 / more, efficiency=0.9)
    assert smaller.without.sum() == pytest.approx(made.without[..., 1].sum())


@settings(max_examples=25, deadline=None)
@given(st.floats(50, 1000), st.floats(5, 100), st.floats(1.05, 3))
def test_more_panel_never_serves_less(battery, panel, more):
    made = run([battery] * 2, [panel, panel * more], sun=weather(), efficiency=0.9)
    assert made.without[..., 1].sum() <= made.without[..., 0].sum() + 1e-6


@settings(max_examples=25, deadline=None)
@given(st.floats(50, 1000), st.floats(5, 100), st.floats(1.05, 3))
def test_more_battery_never_serves_less_where_it_starts_at_once(battery, panel, more):
    made = run([battery, battery * more], [panel] * 2, sun=weather(), efficiency=0.9,
               restart=1e-9)
    assert made.without[..., 1].sum() <= made.without[..., 0].sum() + 1e-6


def test_all_of_the_loss_is_counted_where_energy_comes_out():
    """Sun for 12 h at twice the load, dark for 12 h: each dark watt costs 1 / 0.8 of the charge."""
    sun = (np.arange(HOURS) % 24 < 12).astype(float)
    made = run(1000.0, 60.0, sun=sun, efficiency=0.8)
    assert not made.without.any()
    assert made.stored.item() == pytest.approx(-12 * 20 / 0.8)
    assert made.spilled.item() == pytest.approx(12 * 40 * DAYS - (DAYS - 1) * 12 * 20 / 0.8)


def test_periods_add_up_and_cases_stand_alone():
    sun = weather()
    both = run([300.0, 900.0], [60.0, 30.0], sun=sun, efficiency=0.9)
    alone = run(900.0, 30.0, sun=sun, efficiency=0.9)
    assert both.without[..., 1] == pytest.approx(alone.without[..., 0])
    assert both.without.shape == (2, 2, 2)
    assert both.without.sum(axis=0) * 20 + both.served == pytest.approx(np.full((2, 2), 20 * HOURS))
