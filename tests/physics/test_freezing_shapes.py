"""Shapes in freezing: their limits, their order, and volume over surface."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from coldbench.physics.freezing_shapes import (
    PLANK,
    brick_dimension,
    can_dimension,
    plank_brick,
    plank_can,
)

ratio = st.floats(1.0, 50.0)
biot = st.floats(0.01, 50.0)


def test_a_wide_brick_is_a_slab_and_a_long_can_a_cylinder():
    slab, rod, can = plank_brick(1e7, 1e7), plank_brick(1.0, 1e7), plank_can(1e7)
    assert (slab.film, slab.body) == pytest.approx((1 / 2, 1 / 8), abs=1e-5)
    assert (rod.film, rod.body) == pytest.approx((1 / 4, 1 / 16), abs=1e-5)
    assert (can.film, can.body) == pytest.approx(
        (PLANK["cylinder"].film, PLANK["cylinder"].body), abs=1e-5
    )


def test_a_flat_can_is_a_slab_of_its_height():
    flat = plank_can(1e-4)
    assert flat.film / 1e-4 == pytest.approx(PLANK["slab"].film, rel=1e-3)
    assert flat.body / 1e-8 == pytest.approx(PLANK["slab"].body, rel=1e-3)


@pytest.mark.parametrize("height", [0.3, 1.0, 1.8, 5.0])
def test_cans_by_another_integration(height):
    """Unfrozen volume over unfrozen surface, both written out, while fronts move in."""

    def ratio(x):
        radius, long = 0.5 - x, height - 2 * x
        return np.pi * radius**2 * long / (2 * np.pi * radius**2 + 2 * np.pi * radius * long)

    body, _ = quad(ratio, 0, min(0.5, height / 2) - 1e-12)
    assert plank_can(height).body == pytest.approx(body, rel=1e-6)
    assert plank_can(height).film == pytest.approx(ratio(0.0), rel=1e-12)


@given(b=ratio, c=ratio)
def test_bricks_do_not_mind_the_order_of_their_sides(b, c):
    one, other = plank_brick(b, c), plank_brick(c, b)
    assert (one.film, one.body) == (pytest.approx(other.film), pytest.approx(other.body))
    assert 1 / 6 - 1e-12 <= one.film <= 1 / 2
    assert 1 / 24 - 1e-12 <= one.body <= 1 / 8


@given(b=ratio, c=ratio)
def test_a_slight_film_sees_surface_over_volume(b, c):
    """Half the shortest side times surface over volume; Plank's film factor is half its inverse."""
    surface_over_volume = 1 + 1 / b + 1 / c
    assert brick_dimension(b, c, 1e-9) == pytest.approx(surface_over_volume, rel=1e-6)
    assert plank_brick(b, c).film == pytest.approx(1 / (2 * surface_over_volume))


@given(b=ratio, c=ratio, biot=biot)
def test_dimensions_of_bricks_lie_between_slab_and_cube(b, c, biot):
    found = brick_dimension(b, c, biot)
    assert 1 <= found <= 3 + 1e-9
    assert brick_dimension(1.1 * b, c, biot) < found


@given(b=ratio, biot=biot)
def test_cans_go_from_sphere_like_to_cylinder_and_slab(b, biot):
    assert 2 < can_dimension(b, biot) <= 3 + 1e-9
    assert 1 < can_dimension(1 / b, biot) <= 3 + 1e-9


@given(height=st.floats(0.02, 50.0))
def test_a_can_in_a_slight_film(height):
    size = min(0.5, height / 2)
    surface_over_volume = (np.pi / 2 + np.pi * height) / (np.pi / 4 * height)
    assert can_dimension(height, 1e-9) == pytest.approx(size * surface_over_volume, rel=1e-6)


def test_arrays_of_shapes():
    heights = np.array([0.2, 1.0, 1.8])
    assert plank_can(heights).body == pytest.approx([float(plank_can(h).body) for h in heights])
    bricks = plank_brick(heights + 1, 3.0)
    assert bricks.body == pytest.approx([float(plank_brick(h + 1, 3.0).body) for h in heights])


def test_wrong_ratios_are_refused():
    for shape in (plank_brick, lambda b, c: brick_dimension(b, c, 1.0)):
        with pytest.raises(ValueError, match="at least 1"):
            shape(0.9, 2.0)
    for can in (plank_can, lambda b: can_dimension(b, 1.0)):
        with pytest.raises(ValueError, match="above 0"):
            can(0.0)
