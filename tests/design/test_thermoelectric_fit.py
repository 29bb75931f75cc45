"""A machine fitted to a logged cooler: its own run, other builds, what is refused and said."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from coldbench import draws
from coldbench.analysis.campaign import analyse_campaign
from coldbench.compare.leaks import leak_of
from coldbench.compare.rows import all_rows
from coldbench.design.thermoelectric_fit import fit
from coldbench.design.thermoelectric_shown import shown
from coldbench.sheets import read_campaign

sys.path.insert(0, str(Path(__file__).parent))
import peltier_bench as bench

COUNT = 4


@pytest.fixture(scope="module")
def owners():
    """Coolers and all their histories."""
    drawn = [bench.draw_owner(number) for number in range(COUNT)]
    return list(zip(drawn, bench.simulated(drawn), strict=True))


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("peltiers")


def fitted_to(result):
    return fit(result, all_rows(result)[0], "cooler")


def otherwise(unit, name, owner):
    """The fitted machine, built otherwise as the bench builds it."""
    count = owner.machine.count
    return {
        "gentler": lambda: replace(unit, volts=0.7 * unit.volts),
        "better hot side": lambda: replace(unit, r_hot=0.6 * unit.r_hot),
        "one module more": lambda: unit.rearranged(1, (count + 1) / count),
    }.get(name, lambda: unit)()


def judged(owners, folder, **ways):
    """Truth, median, low and high of coldest, power there and power held, of each build."""
    rows = {}
    for number, (owner, histories) in enumerate(owners):
        folder_of = folder / f"{sorted(ways.items())}".replace("'", "").replace(" ", "")
        result = bench.logged(folder_of, owner, histories, kelvins=0.5 if number % 2 else 0.1,
                              **ways)
        fitted, leak = fitted_to(result), leak_of(all_rows(result)[0], "cooler")
        assert fitted.refused == ""
        for name, (box, _) in owner.builds.items():
            unit = otherwise(fitted.unit, name, owner)
            wall = bench.leak_at(box, bench.WALL) / bench.leak_at(owner.box, bench.WALL)
            cold, held = (bench.steady(histories[f"{name} {way}"]) for way in ("coldest", "held"))

            def leaks(inside, times=wall, leak=leak, hot=owner.hot):
                return times * leak.at_temperatures(inside, hot)[1]

            coldest = unit.coldest(leaks(cold["inside"]), owner.hot)
            heat = leaks(held["inside"]) * (owner.hot - held["inside"])
            found = {
                "coldest": (cold["inside"], coldest),
                "power": (cold["power"], unit.power(coldest, owner.hot)),
                "held": (held["power"], unit.hold(held["inside"], owner.hot, heat).power),
            }
            for what, (truth, true) in found.items():
                true = true[np.isfinite(true)]
                assert len(true) > 0.9 * draws.DRAWS
                rows.setdefault((what, name), []).append(
                    (truth, np.median(true), *draws.interval(true)))
    return {key: np.array(found).T for key, found in rows.items()}


@pytest.mark.parametrize(("ways", "kelvins", "watts"), [
    ({"runs": ("heater", "coldest")}, 2.0, 0.12),
    ({"runs": ("heater", "coldest"), "hot_side": False}, 3.5, 0.12),
    ({"runs": ("heater", "held")}, 2.5, 0.12),
])  # fmt: skip
def test_what_is_built_otherwise_does_what_is_predicted(owners, folder, ways, kelvins, watts):
    """Bands hold, and are narrow enough to choose by."""
    found = judged(owners, folder, **ways)
    hits = np.concatenate([(low <= true) & (true <= high) for true, _, low, high in found.values()])
    assert hits.mean() >= 0.9
    for (what, name), (true, value, low, high) in found.items():
        half = (high - low) / 2
        if what == "coldest":
            assert np.median(half) < kelvins, name
            assert np.abs(value - true).mean() < kelvins / 2, name
        else:
            assert np.median(half / true) < watts, (what, name)
            assert np.abs(value / true - 1).mean() < watts / 2, (what, name)


def test_all_draws_show_what_the_run_shows(owners, folder):
    (owner, histories) = owners[0]
    result = bench.logged(folder / "shows", owner, histories, runs=("heater", "coldest"))
    rows = all_rows(result)[0]
    (one,), unit = shown(result, rows, "cooler"), fit(result, rows, "cooler").unit
    at = one.inside.draws, one.ambient.draws
    np.testing.assert_allclose(unit.capacity(*at), one.heat.draws, rtol=1e-6)
    np.testing.assert_allclose(unit.power(*at), one.power.draws, rtol=1e-6)


def test_its_parts_are_found(owners, folder):
    for owner, histories in owners:
        result = bench.logged(folder / "parts", owner, histories, runs=("heater", "coldest"))
        unit, machine = fitted_to(result).unit, owner.machine
        for found, true in ((unit.volts, machine.volts), (unit.r_hot, machine.hot_resistance)):
            low, high = draws.interval(found)
            assert low <= true <= high
            assert (high - low) / 2 / true < 0.10
        # Air does not mix for nothing: the cold side is more than its film.
        assert np.median(unit.r_cold) > 1 / machine.cold_film


def test_a_hot_side_not_logged_leaves_more_open_and_is_said(owners, folder):
    (owner, histories) = owners[0]
    with_it, without = (
        fitted_to(bench.logged(folder / f"hot {logged}", owner, histories, hot_side=logged))
        for logged in (True, False))
    assert np.ptp(draws.interval(without.unit.r_hot)) > 3 * np.ptp(
        draws.interval(with_it.unit.r_hot))
    assert "hot side was not logged" in without.note
    assert "hot side" not in with_it.note


def test_each_other_run_is_held_against_it(owners, folder):
    for owner, histories in owners:
        fitted = fitted_to(bench.logged(folder / "checks", owner, histories))
        (check,) = fitted.checks
        assert fitted.runs == ("coldest",)
        assert check.runs == ("held",)
        assert check.agrees
        assert check.measured == pytest.approx(bench.steady(histories["held"])["power"], rel=0.03)


def test_another_room_is_a_check_of_cold_and_power(owners, folder):
    """The coldest of the warmer room, of the same build."""
    for owner, histories in owners:
        result = bench.logged(folder / "warmer", owner, histories,
                              runs=("heater", "coldest", "same coldest"))
        power, cold = fitted_to(result).checks
        assert (power.what, cold.what) == ("mean power", "coldest inside")
        assert power.agrees and cold.agrees
        assert cold.ambient == pytest.approx(owner.hot, abs=0.2)
        assert abs(cold.apart) < 0.7


def test_a_thermostat_that_lowers_the_volts_is_seen_and_predicted(owners, folder):
    """At a setting it ran without a break and drew less: its volts were lowered, not switched."""
    for owner, histories in owners:
        fitted = fitted_to(bench.logged(folder / "lowered", owner, histories,
                                        runs=("heater", "coldest", "gentler coldest")))
        (check,) = fitted.checks
        assert fitted.unit.driven == "steady"
        assert check.agrees
        assert check.predicted == pytest.approx(check.measured, rel=0.08)
        assert (check.high - check.low) / 2 / check.measured < 0.15


def test_the_middle_shows_what_the_run_shows(owners, folder):
    (owner, histories) = owners[1]
    fitted = fitted_to(bench.logged(folder / "middle", owner, histories, hot_side=False))
    cold, middle = bench.steady(histories["coldest"]), fitted.central
    assert middle.power(cold["inside"], owner.room) == pytest.approx(cold["power"], rel=0.03)
    assert middle.r_hot == pytest.approx(np.median(fitted.unit.r_hot))


def test_a_run_of_other_modules_is_refused(owners, folder):
    """Its second run is another machine's."""
    (owner, histories), (_, others) = owners[0], owners[2]
    mixed = histories | {"held": others["held"]}
    fitted = fitted_to(bench.logged(folder / "mixed", owner, mixed))
    assert fitted.unit is None
    assert "mean power" in fitted.refused
    assert len(fitted.checks) == 1


def test_modules_that_cannot_be_those_of_the_sheet_are_refused(owners, folder):
    (owner, histories) = owners[0]
    weak = replace(owner, machine=replace(owner.machine, i_max=2.0, dt_max=45.0))
    fitted = fitted_to(bench.logged(folder / "weak", owner, histories, of=weak))
    assert fitted.unit is None
    assert fitted.central is None
    assert "not to be believed" in fitted.refused


@pytest.mark.parametrize(("ways", "word"), [
    ({"modules": None}, "data sheet"),
    ({"runs": ("coldest", "held")}, "heat leak"),
    ({"runs": ("heater",)}, "steady run"),
    ({"metered_at": "wall"}, "before any adapter"),
])  # fmt: skip
def test_without_it_nothing_is_predicted(owners, folder, ways, word):
    (owner, histories) = owners[0]
    fitted = fitted_to(bench.logged(folder / word, owner, histories, **ways))
    assert fitted.unit is None
    assert word in fitted.refused


def test_volts_far_from_the_supply_are_not_believed(owners, folder):
    (owner, histories) = owners[0]
    near, far = (fitted_to(bench.logged(folder / f"supply {volts}", owner, histories, supply=volts))
                 for volts in (f"{owner.machine.volts:.1f} V", f"{2 * owner.machine.volts:.1f} V"))
    assert near.refused == ""
    assert "volts near its supply" in far.refused


@pytest.fixture(scope="module")
def demo(clone):
    result = analyse_campaign(read_campaign(clone / "templates" / "campaign-demo"))
    return result, all_rows(result)[0]


def test_the_self_built_box_of_the_demo(demo):
    """12.4 V, 0.17 K/W while running and 0.45 K/W while resting made it (invented data)."""
    fitted = fit(*demo, "self-built")
    assert fitted.runs == ("self-built-coldest",)
    assert [check.agrees for check in fitted.checks] == [True]
    for found, made in ((fitted.unit.volts, 12.4), (fitted.unit.r_hot, 0.17),
                        (fitted.unit.r_still, 0.45)):
        low, high = draws.interval(found)
        assert low <= made <= high
    assert fitted.unit.driven == "switched"
    assert "assumed" not in fitted.note


def test_the_small_box_of_the_demo(demo):
    """11.2 V and 0.66 K/W made it; neither its hot side nor its fans are known."""
    fitted = fit(*demo, "small-te")
    assert fitted.runs == ("small-te-coldest", "small-te-coldest-again")
    for found, made in ((fitted.unit.volts, 11.2), (fitted.unit.r_hot, 0.66)):
        low, high = draws.interval(found)
        assert low <= made <= high
    for words in ("hot side was not logged", "fans and pump", "switched on and off, assumed"):
        assert words in fitted.note
