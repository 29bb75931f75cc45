"""One term of the series: against the whole series, at its limits, behind its gate."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from coldbench.physics.transient import FOURIER_LEAST, centre_left, fourier_to_reach, one_term

SHAPES = {"slab": 1, "cylinder": 2, "sphere": 3}
shape = st.sampled_from(sorted(SHAPES))
biot = st.floats(0.01, 100.0)


def whole_series(biot: float, fourier: float, terms: int = 40) -> float:
    """Centre of a slab by many terms; each root lies between two zeros of the tangent."""
    total = 0.0
    for n in range(terms):
        low, high = n * np.pi + 1e-9, (n + 0.5) * np.pi - 1e-9
        z = brentq(lambda z: z * np.sin(z) - biot * np.cos(z), low, high)
        total += 4 * np.sin(z) / (2 * z + np.sin(2 * z)) * np.exp(-(z**2) * fourier)
    return total


@given(biot=biot, fourier=st.floats(FOURIER_LEAST, 5.0))
def test_one_term_stands_for_all(biot, fourier):
    """What the gate promises: within 2 %."""
    found = centre_left("slab", biot, fourier)
    assert found == pytest.approx(whole_series(biot, fourier), rel=0.02)


@given(shape=shape, biot=biot)
def test_roots_solve_their_equations(shape, biot):
    from scipy.special import j0, j1

    z = float(one_term(shape, biot).root)
    left = {"slab": z * np.tan(z), "cylinder": z * j1(z) / j0(z), "sphere": 1 - z / np.tan(z)}
    assert left[shape] == pytest.approx(biot, rel=1e-6)


@pytest.mark.parametrize("shape", SHAPES)
def test_without_lag_a_body_is_lumped(shape):
    """Slight films: the root squared is the Biot number times surface over volume."""
    term = one_term(shape, 1e-4)
    assert term.root**2 == pytest.approx(SHAPES[shape] * 1e-4, rel=1e-3)
    assert term.centre == pytest.approx(1.0, abs=1e-4)
    assert term.mean == pytest.approx(1.0, abs=1e-4)


@given(shape=shape, biot=biot)
def test_the_mean_is_nearer_to_the_surroundings(shape, biot):
    term = one_term(shape, biot)
    assert 0 < term.mean < term.centre


@given(shape=shape, biot=biot)
def test_the_mean_falls_as_heat_leaves_the_surface(shape, biot):
    """Heat balance: what the mean loses is what the film takes from the surface."""
    from scipy.special import j0

    term = one_term(shape, biot)
    z = float(term.root)
    at_surface = {"slab": np.cos(z), "cylinder": j0(z), "sphere": np.sin(z) / z}[shape]
    taken = SHAPES[shape] * biot * term.centre * at_surface
    assert z**2 * term.mean == pytest.approx(float(taken), rel=1e-6)


@given(shape=shape, biot=biot, fourier=st.floats(1.01 * FOURIER_LEAST, 5.0))
def test_the_time_to_reach_is_the_inverse(shape, biot, fourier):
    left = centre_left(shape, biot, fourier)
    assert fourier_to_reach(shape, biot, left) == pytest.approx(fourier, rel=1e-6)


def test_too_early_is_refused():
    assert centre_left("slab", 1.0, FOURIER_LEAST) < 1
    with pytest.raises(ValueError, match="Fourier number 0.19 is below 0.2"):
        centre_left("slab", 1.0, [0.5, 0.19])
    with pytest.raises(ValueError, match="too early"):
        fourier_to_reach("sphere", 50.0, 0.999)


def test_arrays_of_biot_numbers():
    many = one_term("cylinder", np.array([[0.1, 1.0], [4.0, 10.0]]))
    assert many.root.shape == (2, 2)
    assert many.root[1, 0] == one_term("cylinder", 4.0).root
