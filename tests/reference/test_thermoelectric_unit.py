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
