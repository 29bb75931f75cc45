"""Thermoelectric modules against a textbook's couple and a handbook's equations.

Sources in the headers of ``thermoelectric.csv`` and ``module_in_box.csv``.
"""

from __future__ import annotations

import pytest

from coldbench.physics.thermoelectric import (
    Module,
    figure_of_merit,
    module_from_sheet,
    operating_point,
    sheet_of,
)
from coldbench.physics.thermoelectric_best import best_cop, best_couple, best_currents
from coldbench.physics.thermoelectric_box import array_of, box_air, box_as_side, bridge
from coldbench.physics.thermoelectric_drive import drive_at_voltage

COLD, HOT = 258.15, 313.15
GENERIC = module_from_sheet(6.0, 15.4, 68.0, 300.0)


def test_the_couple_of_the_textbook(published):
    values = published("thermoelectric")
    product = float(best_couple((1.5, 1.0), (20e-6, 30e-6)))
    assert product == pytest.approx(values["couple_product"], rel=0.001)
    merit = 0.0006**2 / product
    assert merit == pytest.approx(values["couple_merit"], rel=0.001)
    assert best_cop(merit, COLD, HOT) == pytest.approx(values["couple_cop"], abs=0.0002)


def test_its_resistance_and_currents(published):
    """Heat at the best COP falls as one over the resistance: one couple tells the wanted one."""
    values = published("thermoelectric")

    def couple(resistance: float) -> Module:
        return Module(0.0006, resistance, values["couple_product"] / resistance)

    trial = couple(0.05)
    at_best = operating_point(trial, best_currents(trial, COLD, HOT).best_cop, COLD, HOT)
    resistance = 0.05 * float(at_best.cooling) / 0.1
    assert resistance == pytest.approx(values["couple_resistance"], rel=0.002)
    best = best_currents(couple(resistance), COLD, HOT)
    assert best.best_cop == pytest.approx(values["couple_current"], rel=0.002)
    assert best.most_heat == pytest.approx(values["couple_most"], rel=0.003)
    point = operating_point(couple(resistance), best.best_cop, COLD, HOT)
    assert point.cooling == pytest.approx(0.1, rel=1e-6)
    assert point.cop == pytest.approx(values["couple_cop"], abs=0.0002)


def test_a_data_sheet(published):
    values = published("thermoelectric")
    for name in ("seebeck", "resistance", "conductance"):
        assert getattr(GENERIC, name) == pytest.approx(values[name], rel=0.001)
    merit = figure_of_merit(GENERIC)
    assert 0.5 * merit * (300 - 68) ** 2 == pytest.approx(values["difference"], abs=0.01)
    assert sheet_of(GENERIC, 300.0).dt_max == pytest.approx(values["difference"], abs=0.01)
    most = operating_point(GENERIC, 6.0, 300.0, 300.0).cooling
    assert most == pytest.approx(values["most_heat"], abs=0.1)
    assert sheet_of(GENERIC, 300.0).q_max == pytest.approx(values["most_heat"], abs=0.1)


def test_an_operating_point(published):
    values = published("thermoelectric")
    point = operating_point(GENERIC, 3.0, 278.15, 318.15)
    assert point.cooling == pytest.approx(values["cooling"], abs=0.02)
    assert point.power == pytest.approx(values["power"], abs=0.02)
    assert point.cop == pytest.approx(values["cop"], abs=0.001)


def test_modules_in_a_box(rows):
    """Own table, to the last printed digit: resistances, arrays and voltage all at once."""
    module = module_from_sheet(6.4, 16.4, 68.0, 300.0)
    for line in rows("module_in_box"):
        together = array_of(module, int(line["series"]), int(line["parallel"]))
        sides = box_as_side(0.55, 298.15, 0.3, float(line["r_hot"]))
        driven = drive_at_voltage(together, float(line["volts"]), sides)
        assert box_air(driven, 0.3) - 273.15 == pytest.approx(float(line["inside"]), abs=0.051)
        assert driven.point.power == pytest.approx(float(line["power"]), abs=0.51)


def test_a_module_without_current_bridges_the_wall():
    """About 0.6 W/K of module lets 0.45 W/K back in (own figures of the same table)."""
    module = module_from_sheet(6.4, 16.4, 68.0, 300.0)
    assert module.conductance == pytest.approx(0.6, abs=0.05)
    assert bridge(module, 0.3, 0.25) == pytest.approx(0.45, abs=0.005)
