"""Freezing times: one law in the limit of the other, and what makes them longer."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from coldbench.physics.freezing import (
    WATER,
    Substance,
    film_through_wall,
    freezing_heat,
    pham_time,
    plank_time,
)
from coldbench.physics.freezing_shapes import PLANK
from coldbench.physics.water import CP_ICE, CP_WATER, LATENT_HEAT, heat_to_cool_water

size = st.floats(0.005, 0.1)
film = st.floats(3.0, 60.0)
air = st.floats(-40.0, -5.0)
DIMENSION = {"slab": 1.0, "cylinder": 2.0, "sphere": 3.0}


@given(size=size, film=film, air=air, shape=st.sampled_from(sorted(PLANK)))
def test_plank_is_the_limit_of_pham(size, film, air, shape):
    """Start and end at the freezing point: only latent heat is left."""
    plank = plank_time(
        size, film, WATER.conductivity_frozen, WATER.latent, 0.0, air, PLANK[shape]
    )
    pham = pham_time(size, film, WATER, 0.0, 0.0, air, DIMENSION[shape], mean_freezing=0.0)
    assert pham == pytest.approx(float(plank), rel=1e-12)


@given(size=size, film=film, air=air, start=st.floats(0.5, 35.0), end=st.floats(-25.0, -0.5))
def test_a_warm_start_and_a_cold_end_take_longer(size, film, air, start, end):
    assume(end > air + 0.5)
    bare = pham_time(size, film, WATER, 0.0, 0.0, air, 1.0, mean_freezing=0.0)
    warm = pham_time(size, film, WATER, start, 0.0, air, 1.0, mean_freezing=0.0)
    both = pham_time(size, film, WATER, start, end, air, 1.0, mean_freezing=0.0)
    assert bare < warm < both


@given(size=size, film=film, air=air)
def test_larger_bodies_and_weaker_films_take_longer(size, film, air):
    def time(size, film):
        return pham_time(size, film, WATER, 20.0, 0.0, air, 2.0, mean_freezing=0.0)

    assert time(1.1 * size, film) > time(size, film)
    assert time(size, 0.9 * film) > time(size, film)


def test_heat_is_conserved_in_a_slight_film():
    """Without lag the time is each heat over film, surface and its mean difference."""
    substance = Substance(4e6, 2e6, 3e8, 1e9)
    time = pham_time(0.02, 10.0, substance, 20.0, -10.0, -30.0, 1.0, mean_freezing=0.0)
    precooling, freezing = 0.02 * 4e6 * 20, 0.02 * (3e8 + 2e6 * 10)
    assert time == pytest.approx(precooling / (10 * 40) + freezing / (10 * 30), rel=1e-9)


@given(film=film, thickness=st.floats(0.0, 0.01), conductivity=st.floats(0.1, 200.0))
def test_a_container_can_only_slow(film, thickness, conductivity):
    through = film_through_wall(film, thickness, conductivity)
    assert 1 / through == pytest.approx(1 / film + thickness / conductivity)
    assert through <= film * (1 + 1e-12)


def test_a_thin_can_of_metal_is_not_felt():
    assert film_through_wall(15.0, 0.0001, 200.0) == pytest.approx(15.0, rel=1e-4)


@given(start=st.floats(0.0, 40.0), end=st.floats(-30.0, -0.01))
def test_water_is_one_of_the_substances(start, end):
    heat = freezing_heat(start, 0.0, end, CP_WATER, LATENT_HEAT, CP_ICE)
    assert heat == pytest.approx(float(heat_to_cool_water(start, end)))
    assert 1000 * heat == pytest.approx(
        WATER.heat_unfrozen * start + WATER.latent - WATER.heat_frozen * end
    )


def test_arrays_give_what_their_numbers_give():
    air = np.array([-10.0, -20.0, -30.0])
    many = pham_time(0.02, 15.0, WATER, 20.0, -5.0, air, 1.0, mean_freezing=0.0)
    alone = [float(pham_time(0.02, 15.0, WATER, 20.0, -5.0, a, 1.0, mean_freezing=0.0))
             for a in air]
    assert many == pytest.approx(alone)


def test_what_never_freezes_is_refused():
    with pytest.raises(ValueError, match="never frozen"):
        plank_time(0.02, 15.0, 2.2, 3e8, 0.0, 0.0, PLANK["slab"])
    with pytest.raises(ValueError, match="never frozen"):
        pham_time(0.02, 15.0, WATER, 20.0, -10.0, -10.0, 1.0, mean_freezing=0.0)
    with pytest.raises(ValueError, match="from above the mean freezing"):
        pham_time(0.02, 15.0, WATER, -1.0, -10.0, -20.0, 1.0, mean_freezing=0.0)
