"""Best currents: none nearby is better, and what each of them is best at."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldbench.physics.thermoelectric import (
    figure_of_merit,
    module_from_sheet,
    operating_point,
    sheet_of,
)
from coldbench.physics.thermoelectric_best import best_cop, best_couple, best_currents

MODULE = module_from_sheet(6.0, 15.4, 68.0, 300.0)
cold = st.floats(265.0, 295.0)
difference = st.floats(2.0, 40.0)


@given(cold=cold, difference=difference)
def test_no_other_current_is_better(cold, difference):
    hot = cold + difference
    best = best_currents(MODULE, cold, hot)
    others = np.linspace(0.05, 12.0, 1000)
    points = operating_point(MODULE, others, cold, hot)
    most = operating_point(MODULE, best.most_heat, cold, hot).cooling
    assert np.all(points.cooling <= most + 1e-9)
    cop = operating_point(MODULE, best.best_cop, cold, hot).cop
    assert np.all(points.cop <= cop + 1e-9)
    assert cop == pytest.approx(float(best_cop(figure_of_merit(MODULE), cold, hot)))


@given(cold=cold, difference=difference)
def test_the_best_cop_wants_less_current_and_less_than_carnot(cold, difference):
    hot = cold + difference
    best = best_currents(MODULE, cold, hot)
    assert best.best_cop < best.most_heat
    assert best_cop(figure_of_merit(MODULE), cold, hot) < cold / difference


@given(hot=st.floats(285.0, 340.0))
def test_the_greatest_difference_is_that_of_the_sheet(hot):
    current = best_currents(MODULE, hot, hot).most_difference
    sheet = sheet_of(MODULE, hot)
    assert current == pytest.approx(float(sheet.i_max))

    def coldest(current):
        """Cold face without heat, from the operating point's own equation."""
        joule = current**2 * MODULE.resistance / 2
        return (MODULE.conductance * hot + joule) / (
            MODULE.seebeck * current + MODULE.conductance
        )

    assert hot - coldest(current) == pytest.approx(float(sheet.dt_max))
    assert np.all(coldest(np.linspace(0.1, 15.0, 500)) >= coldest(current) - 1e-9)


def test_three_currents_are_three():
    best = best_currents(MODULE, 278.15, 300.0)
    assert best.best_cop < best.most_difference < best.most_heat


def test_downhill_there_is_no_best_cop():
    assert np.isnan(best_currents(MODULE, 300.0, 300.0).best_cop)


def test_a_couple_is_best_at_its_own_ratio_of_areas():
    k, r = (1.5, 1.0), (20e-6, 30e-6)
    ratio = np.geomspace(0.05, 20, 400)
    products = (k[0] + k[1] * ratio) * (r[0] + r[1] / ratio)
    assert best_couple(k, r) <= products.min()
    assert best_couple(k, r) == pytest.approx(products.min(), rel=1e-4)
