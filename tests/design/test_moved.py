"""The demo's chest: its unit moved whole into a larger box, which is then simulated."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from coldbench import draws, shipped
from coldbench.analysis.campaign import analyse_campaign
from coldbench.bench import Case, Room, Thermostat, Truth, foam_box, simulate
from coldbench.bench.demo_parts import CHEST, four_bottles
from coldbench.compare.rows import all_rows
from coldbench.design.capacity_sweep import sweep
from coldbench.design.compressor_fit import fit
from coldbench.design.expected import expected
from coldbench.design.load_film import load_film
from coldbench.design.moved import beyond, hours_to_cool, in_new_box, new_structure
from coldbench.design.pull_down_predicted import Contents
from coldbench.sheets import read_campaign

sys.path.insert(0, str(Path(__file__).parent))
import unit_bench as bench

BOX = foam_box(45.0, 0.05, 0.034, seal=0.07, mixing=3.0)
INSIDE, HOT = 4.0, 32.0


@pytest.fixture(scope="module")
def chest():
    """The demo, and its chest's unit."""
    result = analyse_campaign(read_campaign(shipped("templates") / "campaign-demo"))
    return result, fit(result, all_rows(result)[0], "chest")


@pytest.fixture(scope="module")
def built():
    """The chest's machine in the larger box: held, at its coldest, and with warm goods."""
    machine, room = CHEST[1], Room(mean=HOT, daily=0.0, drift=0.0)
    load, _ = four_bottles(HOT, 0.0)
    goods = replace(load, water=3 * load.water, film=3 * load.film,
                    container_heat=3 * load.container_heat)
    cases = (Case(BOX, machine, room=room, start=INSIDE, hours=24.0,
                  thermostat=Thermostat(INSIDE + 1, INSIDE - 1, lag=120.0)),
             Case(BOX, machine, room=room, start=15.0, hours=40.0),
             Case(BOX, machine, (goods,), room=room, start=HOT, hours=24.0))
    return goods.water, simulate(cases)


def moved(chest, inside=INSIDE, box=BOX, water=0.0):
    """What is predicted of the chest's unit in a box: what it does there, and hours to cool it."""
    result, fitted = chest
    leak = bench.leak_at(box, (inside + HOT) / 2)
    unit = in_new_box(fitted.unit, "chest")
    side = (box.litres / 1000) ** (1 / 3)
    contents = Contents(leak, new_structure([side] * 3, 0.05, "build"), water,
                        load_film(result, "chest")[0] * max(water, 1e-9))
    return (expected(unit, leak, HOT, inside),
            hours_to_cool(unit, contents, HOT, inside, None, "chest"))


def test_every_run_of_the_chest_is_met_by_the_others(chest):
    _, fitted = chest
    assert fitted.refused == "" and fitted.note == "" and fitted.metered_at == "dc"
    assert len(fitted.checks) == 3 and all(check.agrees for check in fitted.checks)


def test_larger_box_does_what_is_predicted(chest, built):
    water, (held, coldest, goods) = built
    truth = bench.steady(held)
    found, predicted_hours = moved(chest, truth["inside"], water=water)
    hours = Truth(goods).crossing("load", truth["inside"]) / bench.HOUR
    assert found.holds == 1.0
    for true, predicted in ((truth["power"], found.power), (truth["duty"], found.duty),
                            (bench.steady(coldest)["inside"], found.coldest),
                            (hours, predicted_hours)):
        low, high = draws.interval(predicted)
        assert low <= true <= high
    assert np.median(found.power) == pytest.approx(truth["power"], rel=0.08)
    assert np.median(predicted_hours) == pytest.approx(hours, rel=0.12)


def test_a_box_that_is_too_large_is_not_held(chest):
    found, hours = moved(chest, box=foam_box(150.0, 0.025, 0.034))
    assert found.holds == 0.0 and np.isinf(hours).all()
    between, hours = moved(chest, box=foam_box(120.0, 0.032, 0.034))
    assert 0.1 < between.holds < 0.9
    assert np.isinf(hours).mean() == pytest.approx(1 - between.holds, abs=0.02)


def test_what_lies_beyond_the_runs_is_said(chest):
    _, fitted = chest
    assert beyond(fitted, 4.0, 32.0) == ""
    assert "−30 °C inside lies beyond what its runs show, −21 to" in beyond(fitted, -30.0, 25.0)
    assert "40 °C is warmer than any ambient of its runs, 33 °C" in beyond(fitted, 4.0, 40.0)


def test_structure_of_a_new_box_follows_its_faces():
    small, large = (new_structure(sides, 0.04, "build") for sides in
                    ((0.2, 0.2, 0.2), (0.4, 0.4, 0.4)))
    # 0.24 m² of 2 mm plastic and 14 L of foam at 35 kg/m³, a third of it; 1.2 kJ/K of evaporator.
    by_hand = 0.24 * 3420 + (0.24 + 6 * 0.28**2) / 2 * 0.04 * 49000 / 3 + 1200
    assert np.median(small) == pytest.approx(by_hand, rel=0.03)
    assert np.median(large) > 2 * np.median(small)
    modules = new_structure((0.2, 0.2, 0.2), 0.04, "build", evaporator=False)
    assert np.median(small) - np.median(modules) == pytest.approx(600, rel=0.05)


def test_curves_meet_at_the_coldest(chest):
    _, fitted = chest
    unit = in_new_box(fitted.unit, "chest")
    hot = expected(unit, bench.leak_at(BOX, 18.0), HOT, INSIDE, 3.0)
    found = sweep(fitted, unit, hot, 3.0)
    apart = found.capacity[0] - found.leak[0]
    assert np.interp(0.0, apart, found.inside) == pytest.approx(found.coldest[0], abs=0.3)
    duty = float(np.interp(INSIDE, found.inside, found.duty[0]))
    assert duty == pytest.approx(found.held[1], abs=0.005)
    # A duty is known as far as the unit can take what comes in.
    assert np.isnan(found.duty[0][found.inside < found.coldest[0] - 0.5]).all()
    assert np.isfinite(found.duty[0][found.inside > found.coldest[0] + 0.5]).all()
    # The donor's own runs lie about the curve of its own unit.
    curve = fitted.central.capacity(found.points[:, 0], HOT)
    assert np.abs(found.points[:, 1] / curve - 1).max() < 0.12
