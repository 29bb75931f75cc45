"""Worth of later money and payback: laws that hold whatever the numbers."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coldbench.physics.money import (
    annuity_factor,
    payback_years,
    present_value_factor,
    replacement_factor,
)

rates = st.floats(0.0, 0.5)
years = st.integers(0, 60)


@settings(deadline=None)
@given(rate=rates, years=years)
def test_a_row_of_sums_is_worth_the_sum_of_its_sums(rate, years):
    each = present_value_factor(rate, np.arange(1, years + 1)).sum()
    assert annuity_factor(rate, years) == pytest.approx(each, rel=1e-9, abs=1e-12)


@settings(deadline=None)
@given(rate=st.floats(1e-4, 0.5), years=years)
def test_the_loan_that_the_sums_repay_is_their_worth(rate, years):
    """A debt as large as their worth grows by interest, shrinks by the sums, ends at nothing."""
    debt = float(annuity_factor(rate, years))
    for _ in range(years):
        debt = debt * (1 + rate) - 1.0
    assert debt == pytest.approx(0.0, abs=1e-9 * (1 + rate) ** years * (1 + years))


@settings(deadline=None)
@given(rate=st.floats(0.0, 1e-9), years=years)
def test_a_rate_near_nothing_counts_each_year_in_full(rate, years):
    assert annuity_factor(rate, years) == pytest.approx(years, rel=1e-6)


def test_factors_fall_with_the_rate():
    many = np.linspace(0.0, 0.3, 31)
    assert (np.diff(annuity_factor(many, 8)) < 0).all()
    assert (np.diff(present_value_factor(many, 8)) < 0).all()


@settings(deadline=None)
@given(rate=rates, years=st.integers(1, 60))
def test_what_lasts_a_year_is_bought_anew_each_year_but_the_last(rate, years):
    assert replacement_factor(rate, years, 1) == pytest.approx(
        float(annuity_factor(rate, years - 1)), abs=1e-9)
    assert replacement_factor(rate, years, years) == 0.0


@settings(deadline=None)
@given(more=st.floats(0.01, 1e4), saved=st.floats(0.01, 1e4))
def test_at_the_payback_both_have_cost_the_same(more, saved):
    time = float(payback_years(more, saved))
    assert more == pytest.approx(saved * time)


def test_nothing_saved_never_pays_and_nothing_more_paid_has_paid_at_once():
    assert payback_years([1.0, 1.0], [0.0, -1.0]).tolist() == [np.inf, np.inf]
    assert payback_years([0.0, -5.0], [3.0, -3.0]).tolist() == [0.0, 0.0]
