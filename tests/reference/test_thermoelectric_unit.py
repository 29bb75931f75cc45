"""The machine of a design in the kit's own table (``module_in_box.csv``), row by row."""

from __future__ import annotations

from dataclasses import replace

import pytest

from coldbench.design.thermoelectric_unit import ThermoelectricUnit
from coldbench.physics.thermoelectric import module_from_sheet
from coldbench.physics.thermoelectric_box import array_of

MODULE = module_from_sheet(6.4, 16.4, 68.0, 300.0)


def test_modules_in_a_box(rows):
    """Every row of the kit's own table, through the unit."""
    for line in rows("module_in_box"):
        series, parallel = int(line["series"]), int(line["parallel"])
        modules = array_of(MODULE, series, parallel)
        unit = ThermoelectricUnit(modules, float(line["volts"]), 0.3, float(line["r_hot"]))
        coldest = unit.coldest(0.55, 25.0)
        assert coldest == pytest.approx(float(line["inside"]), abs=0.051)
        assert unit.power(coldest, 25.0) == pytest.approx(float(line["power"]), abs=0.51)


def test_a_second_module_warms_the_box_on_a_weak_hot_side_and_cools_it_on_a_strong():
    """Directions of the same table; 7 K warmer on 0.5 K/W, 5 K colder on 0.05 K/W."""
    two = array_of(MODULE, series=1, parallel=2)

    def gained(r_hot: float) -> float:
        one = ThermoelectricUnit(MODULE, 12.0, 0.3, r_hot)
        return float(replace(one, module=two).coldest(0.55, 25.0) - one.coldest(0.55, 25.0))

    assert gained(0.5) == pytest.approx(6.9, abs=0.11)
    assert gained(0.05) == pytest.approx(-5.2, abs=0.11)


def test_two_thirds_of_the_volts_cost_a_few_kelvin_and_save_over_half_of_the_power(rows):
    """12 V to 8 V, from the same table: 2 to 7 K warmer, 57 % less power, COP about doubled."""
    for line in rows("module_in_box"):
        if (line["parallel"], line["volts"]) != ("1", "8"):
            continue
        full, gentle = (ThermoelectricUnit(MODULE, volts, 0.3, float(line["r_hot"]))
                        for volts in (12.0, 8.0))
        coldest = [float(one.coldest(0.55, 25.0)) for one in (full, gentle)]
        power = [float(one.power(cold, 25.0))
                 for one, cold in zip((full, gentle), coldest, strict=True)]
        assert 1.6 < coldest[1] - coldest[0] < 7.0
        assert 1 - power[1] / power[0] == pytest.approx(0.57, abs=0.01)
        cop = [0.55 * (25.0 - cold) / drawn for cold, drawn in zip(coldest, power, strict=True)]
        assert 1.8 < cop[1] / cop[0] < 2.2


def test_resting_modules_nearly_double_the_leak_and_lower_volts_beat_switching():
    """About 0.45 W/K through the resting module beside 0.55 W/K of walls (same table)."""
    unit = ThermoelectricUnit(MODULE, 12.0, 0.3, 0.25)
    assert unit.bridge == pytest.approx(0.45, abs=0.005)
    heat = 0.55 * (25.0 - 4.0)
    steady, switched = (replace(unit, driven=way).hold(4.0, 25.0, heat)
                        for way in ("steady", "switched"))
    assert steady.power < 0.7 * switched.power


def test_the_operating_point_of_the_handbook(published):
    """M. Kutz (ed.), Mechanical Engineers' Handbook vol. 4, p. 411; faces held at 5 and 45 °C."""
    values = published("thermoelectric")
    generic = module_from_sheet(6.0, 15.4, 68.0, 300.0)
    volts = generic.seebeck * 40.0 + 3.0 * generic.resistance
    unit = ThermoelectricUnit(generic, volts, 1e-9, 1e-9)
    assert unit.current(5.0, 45.0) == pytest.approx(3.0, abs=1e-6)
    assert unit.capacity(5.0, 45.0) == pytest.approx(values["cooling"], abs=0.02)
    assert unit.power(5.0, 45.0) == pytest.approx(values["power"], abs=0.02)
    assert unit.capacity(5.0, 45.0) / unit.power(5.0, 45.0) == pytest.approx(
        values["cop"], abs=0.001)
