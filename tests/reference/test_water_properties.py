"""Fits of water and ice against IAPWS formulations and handbooks (``water.csv``)."""

from __future__ import annotations

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from iapws._iapws import _Ice

from coldbench.physics import water_properties as fits

PRESSURE = 101325.0
AT = (0, 4, 10, 20, 25, 30, 40)  # °C; 0 stands for the triple point's 0.01
LIQUID = np.linspace(0.01, 60, 121)
FROZEN = np.linspace(-40, 0, 41)


@pytest.mark.parametrize("t", AT)
def test_published_points_of_water(t, published):
    values, at = published("water"), max(t, 0.01)
    assert fits.water_heat_capacity(at) == pytest.approx(values[f"cp_{t}"], rel=2e-4)
    assert fits.water_density(at) == pytest.approx(values[f"density_{t}"], abs=0.01)
    assert fits.water_conductivity(at) == pytest.approx(values[f"conductivity_{t}"], rel=1e-3)


@pytest.mark.parametrize(("fit", "name", "relative"), [
    (fits.water_heat_capacity, "C", 1e-4),
    (fits.water_density, "D", 1e-5),
    (fits.water_conductivity, "L", 1e-3),
])  # fmt: skip
def test_water_over_the_whole_range(fit, name, relative):
    """As near as each function says of itself; between the points of the fit as well."""
    source = PropsSI(name, "T", LIQUID + 273.15, "P", PRESSURE, "Water")
    assert fit(LIQUID) == pytest.approx(source, rel=relative)


def test_published_points_of_ice(published):
    values = published("water")
    at = np.array([0.0, -10.0, -20.0])
    heats = [values[f"ice_{t}"] for t in (0, 10, 20)]
    assert fits.ice_heat_capacity(at) == pytest.approx(heats, rel=0.002)
    assert fits.ice_density(0.0) == pytest.approx(values["ice_density_0"], abs=0.1)
    conductivities = [values[f"ice_conductivity_{t}"] for t in (0, 10, 20)]
    assert fits.ice_conductivity(at) == pytest.approx(conductivities, rel=1e-9)
    assert fits.ice_conductivity(0.0) == pytest.approx(values["ice_conductivity_fao"], rel=0.04)


def test_ice_over_the_whole_range():
    source = [_Ice(t + 273.15, PRESSURE / 1e6) for t in FROZEN]
    heats = [1000 * one["cp"] for one in source]
    assert fits.ice_heat_capacity(FROZEN) == pytest.approx(heats, rel=1e-3)
    assert fits.ice_density(FROZEN) == pytest.approx([one["rho"] for one in source], abs=0.01)
