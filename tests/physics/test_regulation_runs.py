"""Energies and freezing of the label's tests: straight lines, ends and least loads."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldbench.physics.regulation_runs import (
    annual_energy,
    daily_energy,
    freezing_capacity,
    interpolated,
    light_load,
)

energy = st.floats(0.05, 3.0)


@given(at_16=energy, at_32=energy)
def test_the_year_is_the_year_at_the_middle(at_16, at_32):
    middle = interpolated(24.0, (16.0, at_16), (32.0, at_32))
    assert annual_energy(at_16, at_32) == pytest.approx(365 * float(middle))


@given(one=energy, other=energy, at=st.floats(16.0, 32.0))
def test_the_line_passes_both_tests_and_does_not_mind_their_order(one, other, at):
    forth = interpolated(at, (16.0, one), (32.0, other))
    assert forth == pytest.approx(float(interpolated(at, (32.0, other), (16.0, one))))
    assert interpolated(16.0, (16.0, one), (32.0, other)) == pytest.approx(one)
    assert min(one, other) - 1e-12 <= forth <= max(one, other) + 1e-12


@pytest.mark.parametrize("at", [15.9, 32.1, np.nan])
def test_nothing_is_told_beyond_the_tests(at):
    with pytest.raises(ValueError, match="outside the two tests"):
        interpolated([20.0, at], (16.0, 0.3), (32.0, 0.7))


def test_days_and_years():
    assert daily_energy(20.0) == pytest.approx(0.48)
    assert daily_energy([10.0, 20.0], 60.0, 30.0) == pytest.approx([0.288, 0.528])
    assert annual_energy(0.5, 0.5, auxiliary=10.0) == pytest.approx(192.5)
    assert annual_energy(0.9, 0.9, only_frozen=True) == pytest.approx(365.0)


def test_loads_have_a_least():
    assert light_load([10.0, 57.0, 58.0, 200.0]) == pytest.approx([2.0, 2.0, 2.03, 7.0])


def test_capacity_is_what_half_a_day_freezes():
    assert freezing_capacity([2.0, 2.0, 3.5], [12.0, 24.0, 10.0]) == pytest.approx([2.0, 1.0, 4.2])
