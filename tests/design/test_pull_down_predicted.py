"""Predicted hours against a closed form, against simulated boxes, and at the edges."""

from __future__ import annotations

import sys
import time
from pathlib import Path

import numpy as np
import pytest

from coldbench.bench import Case, Compressor, Room, Truth, cans, foam_box, simulate
from coldbench.design.compressor_unit import CompressorUnit, Law
from coldbench.design.pull_down_predicted import Contents, pull_down_hours
from coldbench.physics.water import LATENT_HEAT

sys.path.insert(0, str(Path(__file__).parent))
import unit_bench as bench

STEADY = CompressorUnit(Law(np.log(30.0), 0.0, 0.0, 0.0), Law(np.log(40.0), 0.0, 0.0, 0.0), 1.0)
HOT = 25.0


def test_steady_capacity_without_load_is_an_exponential():
    # C dT/dt = −Q + k (Ta − T): T nears Ta − Q/k with the time constant C/k.
    for leak in (0.4, 0.8):
        contents = Contents(leak, structure=9000.0)
        exact = 9000.0 / leak * np.log(30.0 / (30.0 - leak * 21.0)) / 3600
        hours = pull_down_hours(STEADY, contents, HOT, HOT, 4.0, "air")
        assert float(hours) == pytest.approx(exact, rel=2e-3)


def test_load_on_a_stiff_film_is_an_exponential_of_both():
    contents = Contents(0.5, structure=5000.0, load=4.0, film=1e4)
    exact = (5000.0 + 4 * 4186.0) / 0.5 * np.log(30.0 / (30.0 - 0.5 * 21.0)) / 3600
    hours = pull_down_hours(STEADY, contents, HOT, HOT, 4.0)
    assert float(hours) == pytest.approx(exact, rel=3e-3)


def test_water_that_freezes_gives_its_latent_heat_first():
    contents = Contents(0.5, structure=5000.0, load=2.0, film=1e3)
    above, below = (float(pull_down_hours(STEADY, contents, HOT, HOT, t)) for t in (0.01, -0.01))
    latent = 2.0 * LATENT_HEAT / (30.0 - 0.5 * 25.0) / 3600
    assert below - above == pytest.approx(latent, rel=0.02)


def test_edges():
    contents = Contents(1.0, structure=9000.0, load=3.0, film=2.0)
    assert pull_down_hours(STEADY, contents, HOT, 3.0, 4.0) == 0
    assert np.isinf(pull_down_hours(STEADY, contents, HOT, HOT, -6.0))  # −5 °C is all
    cool = pull_down_hours(STEADY, contents, HOT, HOT, 4.0, load_start=15.0)
    assert 0 < cool < pull_down_hours(STEADY, contents, HOT, HOT, 4.0)
    # A load that is cold already keeps nothing waiting.
    assert pull_down_hours(STEADY, contents, HOT, HOT, 4.0, load_start=3.0) == 0


def test_more_of_anything_takes_longer():
    plain = Contents(0.6, 9000.0, 4.0, 2.0)
    hours = pull_down_hours(STEADY, plain, HOT, HOT, 4.0)
    for more in (Contents(0.8, 9000.0, 4.0, 2.0), Contents(0.6, 15000.0, 4.0, 2.0),
                 Contents(0.6, 9000.0, 6.0, 3.0), Contents(0.6, 9000.0, 4.0, 1.0),
                 Contents(0.6, 9000.0, 4.0, 2.0, extra=3.0)):
        assert pull_down_hours(STEADY, more, HOT, HOT, 4.0) > hours


@pytest.fixture(scope="module")
def unit_and_boxes():
    """One unit's running capacity in three boxes, by heaters; and their pull-downs."""
    machine, room = Compressor(), Room(mean=HOT, daily=0.0, drift=0.0)
    boxes = [(foam_box(litres, 0.045, 0.026), count) for litres, count in
             ((22.0, 12), (40.0, 24), (30.0, 36))]
    heaters = (0.0, 8.0, 16.0, 24.0, 32.0, 40.0)
    steady = [Case(box, machine, room=room, start=15.0, hours=30.0, heater=watts)
              for box, _ in boxes for watts in heaters]
    loads = [cans(count, 330.0, "PET", 24.0, HOT)[0] for _, count in boxes]
    falls = [Case(box, machine, (load,), room=room, start=HOT, hours=20.0)
             for (box, _), load in zip(boxes, loads, strict=True)]
    histories = simulate([*steady, *falls])
    at = np.array([[Truth(h).mean("air", 27 * 3600, 30 * 3600),
                    Truth(h).flow_mean("machine", 27 * 3600, 30 * 3600)]
                   for h in histories[:len(steady)]]).reshape(len(boxes), len(heaters), 2)
    return boxes, loads, at, histories[len(steady):], machine


@pytest.mark.parametrize("target", [15.0, 8.0, 4.0])
def test_simulated_boxes_take_as_long(unit_and_boxes, target):
    boxes, loads, at, histories, machine = unit_and_boxes
    for (box, _), load, points, history in zip(boxes, loads, at, histories, strict=True):
        x, watts = points.T
        bend, slope, level = np.polyfit(x, np.log(watts), 2)
        unit = CompressorUnit(Law(level, slope, bend, 0.0), STEADY.drawn, 1.0)
        structure = box.liner_heat + box.foam_heat / 3 + machine.evaporator_heat
        contents = Contents(bench.leak_at(box, 15.0), structure, load.water, load.film)
        hours = float(pull_down_hours(unit, contents, HOT, HOT, target))
        assert hours == pytest.approx(Truth(history).crossing("load", target) / 3600, rel=0.06)


def test_a_hundred_thousand_boxes_take_well_under_a_second():
    leaks = np.random.default_rng(3).uniform(0.3, 1.0, 100_000)
    begin = time.perf_counter()
    hours = pull_down_hours(STEADY, Contents(leaks, 9000.0, 6.0, 3.0), HOT, HOT, 4.0)
    assert time.perf_counter() - begin < 1.0 and hours.shape == leaks.shape
    assert (np.diff(hours[np.argsort(leaks)]) > 0).all()
