"""Plane walls: layers add, films only help, the mean coefficient lies between two."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldbench.physics.walls import (
    FILMS,
    SURFACE_RESISTANCE,
    layers_resistance,
    mean_coefficient,
    plane_leak,
)

resistance = st.floats(0.01, 10.0)
film = st.floats(1.0, 100.0)


@given(one=resistance, other=resistance)
def test_layers_add(one, other):
    both = layers_resistance([0.1 * one, 0.2 * other], [0.1, 0.2])
    assert both == pytest.approx(one + other)


def test_layers_of_many_walls_at_once():
    thickness = np.array([[0.002, 0.04], [0.002, 0.06]])
    assert layers_resistance(thickness, [0.2, 0.025]) == pytest.approx([1.61, 2.41])


@given(resistance=resistance, inside=film, outside=film)
def test_films_only_insulate(resistance, inside, outside):
    bare = plane_leak(1.0, resistance, np.inf, np.inf)
    assert bare == pytest.approx(1 / resistance)
    assert plane_leak(1.0, resistance, inside, outside) < bare


@given(inner=st.floats(0.1, 2.0), more=st.floats(0.0, 3.0))
def test_the_mean_coefficient_lies_between_those_of_the_surfaces(inner, more):
    outer = inner + more
    assert 1 / outer * 0.999999 <= mean_coefficient(1.0, inner, outer) <= 1 / inner * 1.000001


def test_films_of_two_handbooks_are_of_one_kind():
    """Resistances of buildings against conductances: still air and wind within a quarter."""
    pairs = {"inside, still": "horizontal", "inside, heat up": "up", "inside, heat down": "down",
             "wind": "outside"}
    for one, other in pairs.items():
        assert 1 / FILMS[one] == pytest.approx(SURFACE_RESISTANCE[other], rel=0.27)
