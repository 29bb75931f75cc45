"""Growth of ice: its equation, its limit of little sensible heat, and warm water."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.special import erf

from coldbench.physics.freezing import plank_time
from coldbench.physics.freezing_shapes import PLANK
from coldbench.physics.ice_growth import Ice, growth_number, ice_thickness

face = st.floats(-40.0, -0.5)
ICE = Ice()


@given(face=face)
def test_on_water_at_zero_it_solves_stefans_equation(face):
    number = float(growth_number(face))
    left = np.sqrt(np.pi) * number * np.exp(number**2) * erf(number)
    assert left == pytest.approx(-face * ICE.specific_heat / ICE.latent, rel=1e-6)


@given(face=face, water=st.floats(0.1, 30.0))
def test_warm_water_slows_the_ice(face, water):
    assert 0 < growth_number(face, water) < growth_number(face)


@given(face=face, water=st.floats(0.0, 30.0), time=st.floats(1.0, 1e6))
def test_thickness_goes_with_the_root_of_time(face, water, time):
    assert ice_thickness(4 * time, face, water) == pytest.approx(
        2 * float(ice_thickness(time, face, water))
    )


def test_without_sensible_heat_it_is_planks_law_without_a_film():
    ice = Ice(specific_heat=1e-3)
    thickness = float(ice_thickness(3600.0, -10.0, ice=ice))
    plank = plank_time(thickness, 1e9, ice.conductivity, ice.density * ice.latent, 0.0, -10.0,
                       PLANK["slab"])
    assert plank == pytest.approx(3600.0, rel=1e-4)


def test_a_thin_layer_on_warm_water_by_finite_steps():
    """Heat balance at the front of the similarity course, with both gradients by differences."""
    face, water, time = -10.0, 8.0, 3600.0
    number = float(growth_number(face, water))
    ice = ICE.conductivity / (ICE.density * ICE.specific_heat)
    liquid = 0.57 / (1000 * 4186)
    front = 2 * number * np.sqrt(ice * time)

    def in_ice(x):
        return face * (1 - erf(x / (2 * np.sqrt(ice * time))) / erf(number))

    def in_water(x):
        reach = (1 - erf(x / (2 * np.sqrt(liquid * time))))
        return water * (1 - reach / (1 - erf(front / (2 * np.sqrt(liquid * time)))))

    step = front * 1e-5
    arriving = ICE.conductivity * (in_ice(front) - in_ice(front - step)) / step
    leaving = 0.57 * (in_water(front + step) - in_water(front)) / step
    growing = ICE.density * ICE.latent * front / (2 * time)
    assert arriving - leaving == pytest.approx(growing, rel=1e-3)


@pytest.mark.parametrize(("face", "water"), [(0.0, 0.0), (1.0, 5.0), (-5.0, -0.1)])
def test_no_ice_is_refused(face, water):
    with pytest.raises(ValueError, match="below 0 °C on water"):
        growth_number([-5.0, face], water)
