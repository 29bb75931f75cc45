"""Materials: values in their limits, the slope of foam, where values are from."""

from __future__ import annotations

import numpy as np
import pytest

from coldbench.physics.materials import (
    FOAM_MEAN,
    FOAM_SLOPE,
    FOAMS,
    METALS,
    PLASTICS,
    foam_conductivity,
)

ALL = FOAMS | PLASTICS | METALS


@pytest.mark.parametrize("name", ALL)
def test_limits_hold_their_value_and_the_source_is_told(name):
    one = ALL[name]
    assert 0 < one.lowest <= one.conductivity <= one.highest
    assert one.density > 0
    assert one.specific_heat > 0
    assert "ASHRAE" in one.source or "memory" in one.source


def test_foams_insulate_plastics_do_not_and_metals_conduct():
    foams, plastics, metals = (
        [one.conductivity for one in group.values()] for group in (FOAMS, PLASTICS, METALS)
    )
    assert max(foams) < min(plastics) < max(plastics) < min(metals)


def test_foam_conducts_more_when_warmer():
    at = np.array([FOAM_MEAN, FOAM_MEAN - 10, FOAM_MEAN + 10])
    found = foam_conductivity(0.025, at) / 0.025 - 1
    assert found == pytest.approx([0, -10 * FOAM_SLOPE, 10 * FOAM_SLOPE])


def test_a_measured_foam_is_moved_from_where_it_was_measured():
    assert foam_conductivity(0.03, 14.0, known_at=14.0) == pytest.approx(0.03)
    assert foam_conductivity(0.03, 24.0, known_at=14.0, slope=0.002) == pytest.approx(0.0306)


@pytest.mark.parametrize("mean", [-31.0, 61.0])
def test_far_temperatures_are_refused(mean):
    with pytest.raises(ValueError, match="from -30 to 60 °C only"):
        foam_conductivity(0.025, [20.0, mean])
