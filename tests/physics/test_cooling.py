"""Lumped cooling: its law inverted, its ends, its gate."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from coldbench.physics.cooling import (
    BIOT_MOST,
    biot_number,
    lumped_time_constant,
    time_to_reach,
)

temperature = st.floats(-40.0, 100.0)


@settings(deadline=None)
@given(start=temperature, around=temperature, left=st.floats(1e-6, 1.0), tau=st.floats(1.0, 1e6))
def test_the_course_passes_the_target_at_that_time(start, around, left, tau):
    assume(abs(start - around) > 0.1)
    target = around + left * (start - around)
    time = time_to_reach(start, around, target, tau)
    course = around + (start - around) * np.exp(-time / tau)
    assert course == pytest.approx(target, abs=1e-9)


def test_targets_that_are_never_or_already_reached():
    times = time_to_reach(20.0, 5.0, np.array([25.0, 20.0, 5.0, 0.0]), 60.0)
    assert times.tolist() == [0.0, 0.0, np.inf, np.inf]


def test_warming_and_cooling_are_alike():
    down = time_to_reach(25.0, 5.0, 10.0, 60.0)
    assert time_to_reach(5.0, 25.0, 20.0, 60.0) == pytest.approx(down)


def test_half_the_difference_takes_the_logarithm_of_two():
    assert time_to_reach(20.0, 0.0, 10.0, 100.0) == pytest.approx(69.3147, abs=1e-4)


def test_the_gate_stands_at_its_limit():
    bottle = dict(film=10.0, density=1000.0, specific_heat=4186.0)
    length = BIOT_MOST * 0.6 / 10.0
    assert biot_number(10.0, length, 0.6) == pytest.approx(BIOT_MOST)
    tau = lumped_time_constant(length=0.999 * length, conductivity=0.6, **bottle)
    assert tau == pytest.approx(0.999 * length * 4186e3 / 10.0)
    with pytest.raises(ValueError, match="not lumped"):
        lumped_time_constant(length=1.001 * length, conductivity=0.6, **bottle)


def test_one_body_of_many_that_is_not_lumped_is_refused():
    with pytest.raises(ValueError, match=r"Biot number 0\.5"):
        lumped_time_constant(10.0, np.array([0.001, 0.05]), 1.0, 1000.0, 4186.0)
