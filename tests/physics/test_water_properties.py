"""Fits of water and ice: their course, their shapes, and their ends."""

from __future__ import annotations

import numpy as np
import pytest

from coldbench.physics import water_properties as fits
from coldbench.physics.freezing import WATER
from coldbench.physics.water import CP_ICE, CP_WATER

LIQUID = np.linspace(0, 60, 241)
FROZEN = np.linspace(-40, 0, 161)
OF_WATER = (fits.water_heat_capacity, fits.water_density, fits.water_conductivity)
OF_ICE = (fits.ice_heat_capacity, fits.ice_density, fits.ice_conductivity)


def test_water_is_densest_at_four_degrees():
    assert LIQUID[fits.water_density(LIQUID).argmax()] == pytest.approx(4.0, abs=0.5)


def test_courses():
    assert np.all(np.diff(fits.water_conductivity(LIQUID)) > 0)
    assert np.all(np.diff(fits.ice_heat_capacity(FROZEN)) > 0)
    assert np.all(np.diff(fits.ice_density(FROZEN)) < 0)
    assert np.all(np.diff(fits.ice_conductivity(FROZEN)) < 0)


def test_constants_are_means_of_the_fits():
    assert fits.water_heat_capacity(np.linspace(0, 30, 301)).mean() == pytest.approx(
        CP_WATER, rel=0.003
    )
    assert fits.ice_heat_capacity(np.linspace(-20, 0, 201)).mean() == pytest.approx(
        CP_ICE, rel=0.015
    )
    assert WATER.conductivity_frozen == pytest.approx(float(fits.ice_conductivity(-5.0)), abs=0.005)


@pytest.mark.parametrize("fit", OF_WATER + OF_ICE)
def test_shapes_are_kept_and_ranges_refused(fit):
    inside = LIQUID if fit in OF_WATER else FROZEN
    assert fit(inside.reshape(-1, 1)).shape == (inside.size, 1)
    assert np.ndim(fit(inside[3])) == 0
    for beyond in (inside[0] - 0.1, inside[-1] + 0.1):
        with pytest.raises(ValueError, match="only, asked for"):
            fit([inside[0], beyond])
