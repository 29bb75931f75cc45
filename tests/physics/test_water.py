"""Heat of water on its way down: parts add up, ice counts once, arrays as well as numbers."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coldbench.physics.water import (
    CP_ICE,
    CP_WATER,
    LATENT_HEAT,
    SPECIFIC_HEAT,
    heat_to_cool_container,
    heat_to_cool_water,
)

above = st.floats(0.01, 60.0)
below = st.floats(-40.0, -0.01)


@settings(deadline=None)
@given(start=above, middle=above, end=st.floats(-40.0, 60.0))
def test_heats_of_parts_add_up(start, middle, end):
    start, middle = max(start, middle, end), sorted([start, middle, end])[1]
    whole = heat_to_cool_water(start, end)
    if middle > 0:
        parts = heat_to_cool_water(start, middle) + heat_to_cool_water(middle, end)
        assert parts == pytest.approx(whole, abs=1e-6)


@settings(deadline=None)
@given(start=above, end=below)
def test_ice_counts_once_and_by_its_share(start, end):
    liquid, ice = heat_to_cool_water(start, end, 0.0), heat_to_cool_water(start, end, 1.0)
    assert liquid == pytest.approx(CP_WATER * (start - end))
    assert ice == pytest.approx(CP_WATER * start + LATENT_HEAT - CP_ICE * end)
    assert heat_to_cool_water(start, end, 0.25) == pytest.approx(0.75 * liquid + 0.25 * ice)


@settings(deadline=None)
@given(start=below, end=below)
def test_ice_that_gets_colder_does_not_freeze_again(start, end):
    assert heat_to_cool_water(start, end) == pytest.approx(CP_ICE * (start - end))


def test_an_array_gives_what_its_numbers_give():
    ends = np.array([10.0, 0.0, -18.0])
    assert heat_to_cool_water(25.0, ends).tolist() == [
        float(heat_to_cool_water(25.0, end)) for end in ends
    ]


@pytest.mark.parametrize("material", SPECIFIC_HEAT)
def test_containers_follow_their_material(material):
    heat = heat_to_cool_container(material, 25.0, 5.0)
    assert heat == pytest.approx(20 * SPECIFIC_HEAT[material])


def test_an_unknown_material_is_refused():
    with pytest.raises(KeyError):
        heat_to_cool_container("unobtainium", 25.0, 5.0)
