"""Copper cables against IEC 60228, wire gauges and computed drops (``copper.csv``)."""

from __future__ import annotations

import numpy as np
import pytest

from coldbench.physics.electric import (
    AREAS,
    RESISTANCES,
    conductor_resistance,
    copper_resistance,
    volts_at_load,
    warmth_factor,
)


@pytest.mark.parametrize("kind", [2, 5])
@pytest.mark.parametrize("area", [1.5, 2.5, 4.0, 6.0])
def test_conductors_of_the_standard(published, kind, area):
    expected = published("copper")[f"class{kind}_{area:g}"]
    assert 1000 * conductor_resistance(area, kind) == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize("kind", [2, 5])
def test_no_conductor_is_better_than_copper_that_fills_it(kind):
    assert len(RESISTANCES[kind]) == len(AREAS)
    over = conductor_resistance(AREAS, kind) / copper_resistance(AREAS)
    assert (over > 1).all() and (over < 1.2).all()


def test_a_gauge_between_the_areas_of_the_standard(published):
    """12 AWG is 3.31 mm²: a flexible conductor of that area may have some percent more."""
    area = np.pi / 4 * (0.127 * 92 ** ((36 - 12) / 39)) ** 2
    values = published("copper")
    assert 1000 * copper_resistance(area) == pytest.approx(values["awg_12"], rel=0.001)
    assert 1000 * copper_resistance(area, 75.0) == pytest.approx(values["awg_12_warm"], rel=0.002)
    assert 1.1 < conductor_resistance(area) / copper_resistance(area) < 1.2


def test_warm_copper(published):
    assert warmth_factor(75.0) == pytest.approx(published("copper")["factor_75"], rel=0.005)


def test_drop_at_the_current_that_the_load_then_draws(published):
    left = 12.0 * (1 - published("copper")["drop"] / 100)
    there_and_back = 2 * 5.0 * conductor_resistance(2.5)
    assert volts_at_load(12.0, 5.0 * left, there_and_back) == pytest.approx(left, abs=0.001)


@pytest.mark.parametrize("area", [0.75, 1.5, 2.5, 4.0, 6.0])
def test_drops_of_the_trade(published, area):
    """17.5 Ω mm²/km lies 1.5 % above pure copper, and below the standard's limit."""
    expected = published("copper")[f"trade_{area:g}"]
    lost = 8.0 * 2 * 6.0 * copper_resistance(area)
    assert lost == pytest.approx(expected, rel=0.03)
    assert expected <= 8.0 * 2 * 6.0 * conductor_resistance(area)


def test_too_much_power_for_a_cable():
    assert volts_at_load(12.0, 359.9, 0.1) == pytest.approx(6.0, abs=0.2)
    assert np.isnan(volts_at_load(12.0, 360.1, 0.1))
