"""Slabs, cans and bricks by their measures: the same laws, whatever way they are measured."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldbench.physics.freezing import WATER, Substance, pham_time, plank_time
from coldbench.physics.freezing_bodies import freezing_times
from coldbench.physics.freezing_shapes import PLANK, brick_dimension, plank_brick

length = st.floats(0.02, 0.4)
film = st.floats(3.0, 60.0)
CASE = (WATER, 20.0, -5.0, -20.0)


@given(thickness=length, film=film)
def test_a_slab_by_hand(thickness, film):
    found = freezing_times("slab", (thickness,), film, *CASE)
    assert found.pham == pytest.approx(
        float(pham_time(thickness / 2, film, *CASE, 1.0, mean_freezing=0.0))
    )
    assert found.plank == pytest.approx(float(plank_time(
        thickness / 2, film, WATER.conductivity_frozen, WATER.latent, 0.0, -20.0, PLANK["slab"]
    )))


@given(sides=st.tuples(length, length, length), film=film)
def test_a_brick_does_not_mind_how_it_lies(sides, film):
    times = [freezing_times("brick", turned, film, *CASE)
             for turned in itertools.permutations(sides)]
    for other in times[1:]:
        assert other.plank == pytest.approx(float(times[0].plank))
        assert other.pham == pytest.approx(float(times[0].pham))
    short, middle, long = sorted(sides)
    biot = film * short / 2 / WATER.conductivity_frozen
    assert times[0].dimension == pytest.approx(
        float(brick_dimension(middle / short, long / short, biot))
    )
    assert times[0].plank == pytest.approx(float(plank_time(
        short / 2, film, WATER.conductivity_frozen, WATER.latent, 0.0, -20.0,
        plank_brick(middle / short, long / short),
    )))


@given(diameter=length, height=length, film=film)
def test_a_can_freezes_between_its_box_and_the_box_inside_it(diameter, height, film):
    """A brick around the can takes longer, one inside it less: by either method."""
    can = freezing_times("can", (diameter, height), film, *CASE)
    inner = diameter / np.sqrt(2)
    outside = freezing_times("brick", (diameter, diameter, height), film, *CASE)
    inside = freezing_times("brick", (inner, inner, height), film, *CASE)
    assert inside.plank < can.plank < outside.plank * (1 + 1e-9)
    assert inside.pham < can.pham < outside.pham * (1 + 1e-9)


@given(body=st.sampled_from(["slab", "can", "brick"]), one=length, two=length, three=length)
def test_both_methods_agree_where_only_the_film_counts(body, one, two, three):
    """No lag inside, start and end at the freezing point: both are heat over film and surface."""
    substance = Substance(4e6, 2e6, 3e8, 1e9)
    lengths = (one, two, three)[: {"slab": 1, "can": 2, "brick": 3}[body]]
    found = freezing_times(body, lengths, 10.0, substance, 0.0, 0.0, -20.0)
    assert found.pham == pytest.approx(float(found.plank), rel=1e-5)


@given(body=st.sampled_from(["slab", "can", "brick"]), film=film)
def test_plank_without_sensible_heat_is_shorter(body, film):
    lengths = (0.07, 0.12, 0.09)[: {"slab": 1, "can": 2, "brick": 3}[body]]
    found = freezing_times(body, lengths, film, *CASE)
    assert found.plank < found.pham


def test_moist_food_freezes_below_zero():
    food = freezing_times("slab", (0.05,), 20.0, *CASE, freezing_point=-1.0, mean_freezing=None)
    water = freezing_times("slab", (0.05,), 20.0, *CASE)
    assert food.plank > water.plank
    assert food.pham > water.pham


def test_arrays_of_bodies():
    heights = np.array([0.05, 0.115, 0.2])
    many = freezing_times("can", (0.066, heights), 10.0, *CASE)
    alone = [float(freezing_times("can", (0.066, h), 10.0, *CASE).pham) for h in heights]
    assert many.pham == pytest.approx(alone)


def test_wrong_lengths_are_refused():
    with pytest.raises(ValueError, match="a can has 2 lengths, found 1"):
        freezing_times("can", (0.066,), 10.0, *CASE)
