"""The simulated bench against hand calculations, limiting cases and its own books."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import root

from coldbench.bench import (
    Case,
    Compressor,
    Load,
    Room,
    Thermoelectric,
    Thermostat,
    foam_box,
    simulate,
    stepping,
    with_spread,
)
from coldbench.bench.machines import KELVIN
from coldbench.physics.water import CP_ICE, CP_WATER, LATENT_HEAT

CALM = Room(mean=25.0, daily=0.0, drift=0.0)
BOX = foam_box(22.0, 0.035, 0.026)
STIRRED_BOX = replace(BOX, mixing=1.0e4)  # both air places are one
CANS = Load(water=1.3, container_heat=50.0, film=0.9, start=25.0, nucleation=-3.0)
ICE = Load(water=2.0, film=3.0, start=-2.0, frozen=True)

CASES = {
    "continuous": Case(BOX, Compressor(), (CANS,), hours=20, start=25.0),
    "cycling": Case(BOX, Compressor(), (CANS,), Thermostat(6, 2), hours=20, start=25.0),
    "modules": Case(BOX, Thermoelectric(), (CANS,), hours=12, start=25.0),
    "modules cycling": Case(BOX, Thermoelectric(), (CANS,), Thermostat(15, 13), hours=12),
    "passive": Case(BOX, None, (CANS, ICE), hours=30, start=25.0),
    "busy": Case(
        BOX, Compressor(), (CANS, Load(water=0.5, put_in=7200.0)), hours=12,
        openings=((3600.0, 60.0), (7200.0, 15.0)), heater=3.0, power_off=8 * 3600.0,
    ),
}  # fmt: skip


@pytest.fixture(scope="module")
def histories():
    return dict(zip(CASES, simulate(list(CASES.values())), strict=True))


@pytest.mark.parametrize("name", CASES)
def test_heat_is_kept(histories, name):
    h = histories[name]
    flows = {key: values.astype(float).sum() * h.step for key, values in h.flows.items()}
    gained = h.stored[-1] - h.stored[0]
    balance = flows["leak"] + flows["inside"] - flows["machine"]
    turned_over = float(np.abs(h.flows["leak"]).sum()) * h.step
    assert gained == pytest.approx(balance, abs=0.0005 * turned_over)


def test_hot_side_rejects_what_it_takes_and_what_is_paid():
    unit = Thermoelectric()
    (h,) = simulate([Case(BOX, unit, room=CALM, hours=20, start=25.0)])
    power = h.flows["power"][-1] - unit.fan_inside - unit.fan_outside - unit.idle
    rejected = (h.state("hot_side")[-1] - 25.0) / unit.hot_resistance
    assert rejected == pytest.approx(h.flows["machine"][-1] + power, rel=0.001)


def test_energy_is_the_sum_of_power(histories):
    h = histories["cycling"]
    assert h.energy[-1] == pytest.approx(h.flows["power"].mean() * (h.t[-1] - h.t[0]), rel=1e-5)


def test_steady_leak_is_that_of_the_series_resistance(monkeypatch):
    monkeypatch.setattr(stepping, "FOAM_PER_KELVIN", 0.0)
    (h,) = simulate([Case(STIRRED_BOX, room=CALM, heater=2.0, hours=24, start=25.0)])
    wall = 1 / BOX.film_inside + BOX.foam_resistance + 1 / BOX.film_outside
    by_hand = 2.0 / (1 / wall + BOX.seal)
    assert h.state("air")[-1] - 25.0 == pytest.approx(by_hand, rel=0.001)


def test_foam_conducts_more_when_warm():
    (h,) = simulate([Case(STIRRED_BOX, room=CALM, heater=20.0, hours=24, start=40.0)])
    air = h.state("air")[-1]
    through = 20.0 - BOX.seal * (air - 25.0)
    liner, skin = air - through / BOX.film_inside, 25.0 + through / BOX.film_outside
    foam = BOX.foam_resistance / (1 + 0.004 * (0.5 * (liner + skin) - 10.0))
    assert liner - skin == pytest.approx(through * foam, rel=0.002)


def test_lone_bottle_cools_exponentially():
    held = replace(BOX, seal=1.0e5)  # the warm air is the room's
    bottle = Load(water=2.0, film=0.3, start=60.0, warm_share=1.0)
    (h,) = simulate([Case(held, None, (bottle,), room=CALM, hours=10, lead=0.0, start=25.0)])
    expected = 25.0 + 35.0 * np.exp(-0.3 * h.t / (2.0 * CP_WATER))
    # The core lags the shell by film / (50 W/K per kg) = 0.3 % of the difference.
    assert np.abs(h.state("load") - expected).max() < 0.005 * 35.0


def test_freezing_heat_is_sensible_and_latent(histories):
    h = histories["continuous"]
    shell, core = h.state("load_shell")[-1], h.state("load")[-1]
    assert h.state("ice")[-1] == 1.0
    mean = 0.6 * shell + 0.4 * core
    expected = CANS.water * (CP_WATER * 25.0 + LATENT_HEAT - CP_ICE * mean)
    assert h.taken[0, -1] == pytest.approx(expected, rel=1e-4)
    assert h.taken_container[0, -1] == pytest.approx(50.0 * (25.0 - shell), rel=1e-4)


def test_supercooled_water_jumps_to_the_plateau(histories):
    h = histories["continuous"]
    begin = np.searchsorted(h.t, h.nucleated[0])
    assert h.state("load_shell")[begin - 1] < -2.9
    assert h.state("load")[begin] == 0.0
    flat = h.state("load")[begin : begin + 360]
    assert np.ptp(flat) == 0.0
    assert h.state("ice")[begin] == pytest.approx(3.0 * CP_WATER / LATENT_HEAT, rel=0.1)


def test_ice_melts_and_is_gone(histories):
    h = histories["passive"]
    assert h.state("ice_2")[0] == 1.0
    assert h.state("ice_2")[-1] == 0.0
    warmed = h.state("load_2")[-1]
    heat = ICE.water * (CP_ICE * 2.0 + LATENT_HEAT + CP_WATER * warmed)
    assert -h.taken[1, -1] == pytest.approx(heat, rel=0.01)


def test_operating_point_is_that_of_an_independent_solution(monkeypatch):
    monkeypatch.setattr(stepping, "FOAM_PER_KELVIN", 0.0)
    unit = Thermoelectric(count=2, series=2, volts=14.0, hot_resistance=0.3)
    (h,) = simulate([Case(STIRRED_BOX, unit, room=CALM, hours=24, start=15.0)])

    t_hot = unit.t_hot + KELVIN
    alpha = unit.v_max / t_hot
    ohms = unit.v_max * (t_hot - unit.dt_max) / (unit.i_max * t_hot)
    conducts = unit.v_max * unit.i_max * (t_hot - unit.dt_max) / (2 * t_hot * unit.dt_max)

    def unbalanced(x):
        air, cold, hot, amps = x
        pumped = 2 * (alpha * amps * (cold + KELVIN) - amps**2 * ohms / 2 - conducts * (hot - cold))
        return [
            7.0 - alpha * (hot - cold) - amps * ohms,
            unit.cold_film * (air - cold) - pumped,
            BOX.heat_leak * (25.0 - air) + unit.fan_inside - pumped,
            (hot - 25.0) / unit.hot_resistance - pumped - 14.0 * amps,
        ]

    solved = root(unbalanced, [10.0, 5.0, 35.0, 2.0])
    assert solved.success
    seen = [h.state(place)[-1] for place in ("air", "cold_side", "hot_side")]
    assert seen == pytest.approx(solved.x[:3], abs=0.02)
    always = unit.fan_inside + unit.fan_outside + unit.idle
    assert h.flows["power"][-1] - always == pytest.approx(14.0 * solved.x[3], rel=0.001)


def test_all_at_once_is_one_by_one():
    cases = [replace(case, hours=1.0 + i) for i, case in enumerate(CASES.values())]
    for case, together in zip(cases, simulate(cases), strict=True):
        (alone,) = simulate([case])
        assert np.array_equal(alone.t, together.t)
        for place, values in alone.states.items():
            assert np.array_equal(values, together.states[place]), place
        for flow, values in alone.flows.items():
            assert np.array_equal(values, together.flows[flow]), flow
        assert np.array_equal(alone.taken, together.taken)
        assert np.array_equal(alone.nucleated, together.nucleated, equal_nan=True)


def test_half_the_step_changes_little():
    case = replace(CASES["cycling"], hours=6)
    coarse, fine = simulate([case])[0], simulate([case], dt=5.0)[0]
    assert coarse.energy[-1] == pytest.approx(fine.energy[-1], rel=0.02)
    assert coarse.state("load")[-1] == pytest.approx(fine.state("load")[-1], abs=0.1)


def test_thermostat_keeps_to_its_limits_and_rests():
    control = Thermostat(6.0, 2.0, lag=0.0, rest=300.0)
    (h,) = simulate([Case(BOX, Compressor(), thermostat=control, hours=12)])
    late = h.t[:-1] > 5 * 3600
    air = h.state("air")[:-1][late]
    assert 1.0 < air.min() < 2.1
    assert 5.9 < air.max() < 7.0
    edges = np.flatnonzero(np.diff(h.on.astype(int)))
    stops, starts = edges[~h.on[edges + 1]], edges[h.on[edges + 1]]
    rests = starts[1:] - stops[: starts.size - 1]
    assert rests.min() * h.step >= 300.0


def test_a_start_costs_its_peak_and_idling_its_idle(histories):
    h = histories["cycling"]
    unit = Compressor()
    first = np.flatnonzero(np.diff(h.on.astype(int)) == 1)[3] + 1
    assert h.flows["power"][first] - h.flows["power"][first + 1] == pytest.approx(
        3 * unit.peak / h.step, abs=1.5
    )
    idle = ~h.on & (h.t[:-1] > 0)
    assert np.unique(h.flows["power"][idle]) == pytest.approx([unit.idle])


def test_nothing_runs_before_power_on_or_after_power_off(histories):
    h = histories["busy"]
    dead = (h.t[:-1] < 0) | (h.t[:-1] >= 8 * 3600)
    assert not h.on[dead].any()
    assert not h.flows["power"][dead].any()
    assert h.on[~dead].all()


def test_an_open_lid_lets_heat_in(histories):
    leak, t = histories["busy"].flows["leak"], histories["busy"].t
    opened = np.searchsorted(t, 3600.0)
    assert leak[opened : opened + 6].min() > leak[opened - 1] + 20.0
    assert leak[opened + 6] < leak[opened - 1] + 5.0


def test_standing_modules_let_heat_back_in():
    off = dict(hours=1, power_off=0.0, start=5.0, room=CALM)
    bridged, plain = simulate([Case(BOX, Thermoelectric(), **off), Case(BOX, None, **off)])
    assert bridged.state("air")[-1] > plain.state("air")[-1] + 1.0


def test_warmer_room_costs_more_than_in_proportion():
    """Capacity falls and power rises with the room, so that energy outruns the leak."""
    control = Thermostat(5.0, 3.0)
    rooms = [replace(CALM, mean=mean) for mean in (20.0, 32.0)]
    cold, warm = simulate([
        Case(BOX, Compressor(), thermostat=control, room=room, hours=16, start=4.0)
        for room in rooms
    ])  # fmt: skip
    assert (warm.energy[-1] - cold.energy[-1]) / cold.energy[-1] > (32.0 - 20.0) / (20.0 - 4.0)


def test_spread_is_small_seeded_and_new_each_run():
    case = CASES["cycling"]
    drawn = [with_spread(case, np.random.default_rng(i)) for i in range(200)]
    leaks = np.array([one.box.heat_leak for one in drawn]) / case.box.heat_leak
    assert 0.01 < leaks.std() < 0.03
    assert abs(leaks.mean() - 1) < 0.01
    assert drawn[7] == with_spread(case, np.random.default_rng(7))
    assert drawn[7] != drawn[8]
