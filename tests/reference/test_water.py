"""Heat of water and ice against IAPWS formulations and handbooks (``water.csv``)."""

from __future__ import annotations

import numpy as np
import pytest
from iapws import IAPWS95
from iapws._iapws import _Ice

from coldbench.analysis.limits import LIMITS
from coldbench.physics.water import CP_ICE, CP_WATER, LATENT_HEAT, heat_to_cool_water

# What the module claims of its constant properties, as a share of a heat.
CONSTANT_PROPERTIES = 0.003
COOLER_RANGE = ("cp_0", "cp_4", "cp_10", "cp_20", "cp_25", "cp_30")


def test_heat_capacity_of_water_is_the_mean_of_its_range(published):
    values = published("water")
    over_range = np.trapezoid([values[name] for name in COOLER_RANGE], [0, 4, 10, 20, 25, 30]) / 30
    assert pytest.approx(over_range, rel=CONSTANT_PROPERTIES) == CP_WATER
    assert pytest.approx(values["cp_mean_80"], abs=1.0) == CP_WATER


def test_heat_of_melting_lies_between_its_sources(published):
    values = published("water")
    assert values["latent_iapws"] < LATENT_HEAT < values["latent_handbook"]


def test_heat_capacity_of_ice_lies_in_its_range(published):
    values = published("water")
    assert values["ice_20"] < CP_ICE < values["ice_0"]
    # Its excess over the middle, from 0 to −20 °C, is small against the heat of freezing.
    excess = 20 * abs(CP_ICE - values["ice_10"])
    assert excess < CONSTANT_PROPERTIES * values["latent_iapws"]


def test_water_to_ice(published):
    values = published("water")
    heat = heat_to_cool_water(25.0, -18.0)
    assert heat == pytest.approx(values["freeze_constant"], abs=10.0)
    assert heat == pytest.approx(values["freeze_25_18"], abs=300.0)


def test_water_to_cold_water(published):
    heat = heat_to_cool_water(20.0, 4.0)
    assert heat == pytest.approx(published("water")["cool_20_4"], rel=CONSTANT_PROPERTIES)


def test_a_litre_counts_as_a_kilogram(published):
    """True to 0.5 %; a nominal filling's limit is several times as wide."""
    values = published("water")
    densities = np.array([values[f"density_{t}"] for t in (0, 4, 10, 20, 25, 30)])
    assert np.abs(densities / 1000 - 1).max() < 0.005 < LIMITS.filling


@pytest.mark.parametrize("start", [15.0, 20.0, 25.0, 35.0])
@pytest.mark.parametrize("end", [10.0, 4.0, 0.0, -5.0, -18.0])
def test_heats_between_temperatures(start, end):
    """From rooms to refrigerators and freezers, against enthalpies of IAPWS R6-95 and R10-06."""
    pressure = 0.101325  # MPa
    before = IAPWS95(T=273.15 + start, P=pressure).h
    if end < 0:
        after = _Ice(273.15 + end, pressure)["h"]
    else:
        after = IAPWS95(T=273.15 + max(end, 0.01), P=pressure).h
    heat = heat_to_cool_water(start, end)
    assert heat / 1000 == pytest.approx(before - after, rel=CONSTANT_PROPERTIES)
