"""Freezing times and ice growth against textbooks and a second method (``freezing.csv``)."""

from __future__ import annotations

import numpy as np
import pytest

from coldbench.physics.freezing import (
    Substance,
    freezing_heat,
    pham_mean_freezing,
    pham_time,
    plank_time,
)
from coldbench.physics.freezing_shapes import PLANK, brick_dimension, plank_brick
from coldbench.physics.ice_growth import Ice, ice_thickness

GEL = Substance(heat_unfrozen=3.71e6, heat_frozen=1.90e6, latent=2.09e8, conductivity_frozen=1.65)
GEL_POINT, GEL_UNFROZEN = -0.6, 0.55  # °C, W/(m K); data of the gel from memory
DAY = 86400.0


def test_meat_by_plank(published):
    values = published("freezing")
    time = plank_time(
        0.0635 / 2, 17.0, 1.038, 1057 * 0.75 * 335e3, 270.4 - 273.15, 244.3 - 273.15, PLANK["slab"]
    )
    assert time == pytest.approx(values["meat_time"], rel=0.002)
    assert time / 3600 == pytest.approx(values["meat_hours"], rel=0.002)


def test_heats_of_meat_and_ice(published):
    """The heat of meat within 1 %, which also holds the book's own slip (3.23e5)."""
    values = published("freezing")
    heat = freezing_heat(10.0, -2.0, -18.0, 3220.0, 2.56e5, 1670.0)
    assert heat == pytest.approx(values["meat_heat"], rel=0.01)
    load = 90e3 * freezing_heat(2.0, -1.0, -12.0, 3200.0, 225e3, 1630.0) / DAY
    assert load / 1000 == pytest.approx(values["meat_load"], abs=0.5)
    load = 20e3 * freezing_heat(15.0, 0.0, 0.0, 4187.0, 334e3, 2050.0) / DAY
    assert load / 1000 == pytest.approx(values["ice_load"], abs=0.5)


def closed_form(b: float, c: float) -> float:
    """Plank's body factor of a brick as handbooks give it (from memory)."""
    root = np.sqrt((b - c) * (b - 1) + (c - 1) ** 2)
    m, n = (1 + b + c + root) / 3, (1 + b + c - root) / 3
    first = (m - 1) * (b - m) * (c - m) * np.log(m / (m - 1))
    second = (n - 1) * (b - n) * (c - n) * np.log(n / (n - 1))
    return (first - second) / (8 * root) + (2 * b + 2 * c - 1) / 72


def test_factors_of_a_brick(published):
    values = published("freezing")
    brick = plank_brick(2.4, 4.0)
    assert brick.film == pytest.approx(values["brick_film"], abs=1e-9)
    assert brick.body == pytest.approx(values["brick_body"], abs=1e-6)
    assert brick.body == pytest.approx(0.085, abs=0.001)  # read from a chart


@pytest.mark.parametrize(("b", "c"), [(1.2, 1.5), (1.5, 3.0), (2.0, 10.0), (4.0, 4.5)])
def test_the_integral_is_the_closed_form(b, c):
    assert plank_brick(b, c).body == pytest.approx(closed_form(b, c), abs=1e-7)


def test_a_cube_by_hand():
    cube = plank_brick(1.0, 1.0)
    assert (cube.film, cube.body) == (pytest.approx(1 / 6), pytest.approx(1 / 24))


def test_gel_by_pham(published):
    values = published("freezing")
    mean = pham_mean_freezing(-10.0, -30.0)
    assert mean == pytest.approx(values["mean_freezing"], abs=0.005)
    slab = pham_time(0.025, 20.0, GEL, 20.0, -10.0, -30.0, 1.0)
    assert slab == pytest.approx(values["gel_slab"], rel=0.001)
    can = pham_time(0.033, 10.0, GEL, 20.0, -10.0, -25.0, 2.0)
    assert can == pytest.approx(values["gel_can"], rel=0.001)


def test_a_brick_in_a_slight_film(published):
    value = published("freezing")["brick_slight"]
    assert brick_dimension(2.0, 3.0, 1e-6) == pytest.approx(value, abs=0.0005)
    # A cube counts three ways; other weights in the literature hold for nothing but a cube.
    assert brick_dimension(1.0, 1.0, 1e-9) == pytest.approx(3.0, abs=0.001)


def test_ice_in_an_hour(published):
    ice = Ice(conductivity=2.3, density=918.2, specific_heat=2023.0, latent=333.42e3)
    grown = 1000 * ice_thickness(3600.0, -10.0, ice=ice)
    assert grown == pytest.approx(published("freezing")["ice_hour"], rel=0.002)


def frozen_slab(cells: int = 20) -> float:
    """Time in which the middle of the gel's slab reaches −10 °C, by finite volumes."""
    size, film, start, end, around = 0.025, 20.0, 20.0, -10.0, -30.0
    t = np.concatenate([np.linspace(-40, GEL_POINT, 4000), [40.0]])
    ice = np.maximum(1 - GEL_POINT / np.minimum(t, GEL_POINT), 0)
    latent = GEL.latent / (1 - GEL_POINT / end)  # so that the gel's latent heat is out at the end
    sensible = np.where(t > GEL_POINT, GEL.heat_unfrozen, GEL.heat_frozen) * (t - GEL_POINT)
    heat = sensible - latent * ice
    conductivity = GEL_UNFROZEN + (GEL.conductivity_frozen - GEL_UNFROZEN) * ice
    dx = size / cells
    dt = 0.4 * dx**2 * GEL.heat_frozen / GEL.conductivity_frozen
    h, time = np.full(cells, np.interp(start, t, heat)), 0.0
    flow = np.zeros(cells + 1)
    while (now := np.interp(h, heat, t))[0] > end:
        k = np.interp(now, t, conductivity)
        flow[1:-1] = np.diff(now) / (dx / 2 / k[1:] + dx / 2 / k[:-1])
        flow[-1] = (around - now[-1]) / (1 / film + dx / 2 / k[-1])
        h, time = h + dt / dx * np.diff(flow), time + dt
    return time


def test_pham_against_a_second_method(published):
    numeric = frozen_slab()
    assert numeric == pytest.approx(published("freezing")["gel_numeric"], rel=0.01)
    slab = float(pham_time(0.025, 20.0, GEL, 20.0, -10.0, -30.0, 1.0))
    assert 1.0 < slab / numeric < 1.10  # longer, as in all five cases tried
