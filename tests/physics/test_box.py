"""Boxes: sizes, plane limits, more foam and less leak, and the factors' limit."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldbench.physics.box import (
    EDGE,
    Box,
    edge_factor,
    even_box,
    heat_leak,
    shape_factor,
    surface,
    volume,
)

side = st.floats(0.15, 0.8)
wall = st.floats(0.01, 0.12)


@given(w=side, d=side, h=side, t=wall)
def test_sizes(w, d, h, t):
    box = even_box(w, d, h, t)
    assert volume(box.inside()) == pytest.approx(w * d * h)
    shell = volume(box.outside()) - volume(box.inside())
    assert surface(box.inside()) * t < shell < surface(box.outside()) * t


@given(w=side, d=side, h=side, t=wall)
def test_heat_lies_between_the_plain_variants(w, d, h, t):
    box = even_box(w, d, h, t)
    factor = shape_factor(box)
    assert surface(box.inside()) / t < factor < surface(box.outside()) / t


@given(w=side, d=side, h=side)
def test_thin_walls_have_no_edges(w, d, h):
    box = even_box(w, d, h, 1e-5)
    assert shape_factor(box) == pytest.approx(surface(box.inside()) / 1e-5, rel=1e-3)


@given(w=side, d=side, h=side, t=wall, k=st.floats(0.004, 0.05))
def test_thicker_walls_and_weaker_films_leak_less(w, d, h, t, k):
    box, thicker = even_box(w, d, h, t), even_box(w, d, h, 1.1 * t)
    bare = heat_leak(box, k, np.inf, np.inf)
    assert bare == pytest.approx(k * shape_factor(box))
    assert heat_leak(thicker, k, np.inf, np.inf) < bare
    assert heat_leak(box, k, 6.0, 8.0) < heat_leak(box, k, 10.0, 8.0) < bare


@given(w=side, d=side, h=side, ts=st.tuples(*[wall] * 6))
def test_it_does_not_matter_how_the_box_stands(w, d, h, ts):
    left, right, front, back, bottom, lid = ts
    box = Box(w, d, h, left, right, front, back, bottom, lid)
    turned = Box(d, h, w, back, front, lid, bottom, right, left)
    assert shape_factor(turned) == pytest.approx(float(shape_factor(box)))
    assert volume(turned.outside()) == pytest.approx(float(volume(box.outside())))


@given(one=wall, other=wall)
def test_edges_are_least_between_equal_walls(one, other):
    assert edge_factor(one, other) == pytest.approx(float(edge_factor(other, one)))
    assert edge_factor(one, other) >= EDGE - 1e-12
    assert edge_factor(one, one) == pytest.approx(EDGE)


def test_many_boxes_at_once():
    t = np.array([0.02, 0.04, 0.06])
    boxes = even_box(0.6 - 2 * t, 0.4 - 2 * t, 0.4 - 2 * t, t)
    alone = [float(shape_factor(even_box(0.6 - 2 * x, 0.4 - 2 * x, 0.4 - 2 * x, x))) for x in t]
    assert shape_factor(boxes) == pytest.approx(alone)


def test_too_thick_walls_are_refused():
    assert shape_factor(even_box(0.021, 0.3, 0.3, 0.1)) > 0
    with pytest.raises(ValueError, match="inside length 20 mm, wall of 100 mm"):
        shape_factor(even_box(0.02, 0.3, 0.3, 0.1))
    with pytest.raises(ValueError, match="do not hold"):
        shape_factor(Box(0.3, 0.3, 0.04, 0.04, 0.04, 0.04, 0.04, 0.04, 0.25))


def test_each_box_of_many_is_held_against_its_own_wall():
    small, large = 0.05, 0.8
    shape_factor(even_box(np.array([small, large]), 0.8, 0.8, np.array([0.02, 0.30])))
    with pytest.raises(ValueError, match="inside length 50 mm, wall of 300 mm"):
        shape_factor(even_box(np.array([large, small]), 0.8, 0.8, np.array([0.02, 0.30])))
