"""Uncertainty budgets."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from coldbench import draws
from coldbench.compare.budget import LEAST, REST, budgets
from coldbench.findings import Finding, measured

# The square of a correlation r of 4 000 draws has a standard deviation of 2 r (1 − r²) / √4000,
# at most 0.012 (r = 0.58).
CLOSE = 4 * 0.0122


def of(true: np.ndarray) -> Finding:
    return Finding(cooler="a", finding="mass", unit="kg", **measured(true, float(true.mean())))


def told(true: np.ndarray, names: dict[str, str]) -> dict[str, float]:
    ((_, shares),) = budgets([of(true)], names)
    assert sum(one.share for one in shares) == pytest.approx(1, abs=CLOSE)
    return {one.name: one.share for one in shares}


def test_shares_are_squares_of_sensitivity_times_uncertainty() -> None:
    with draws.noted() as names:
        true = 3 * draws.uniform("left", 1.0) + 4 * draws.uniform("right", 1.0)
        draws.uniform("beside", 10.0)
    shares = told(true, names)
    assert shares["right"] == pytest.approx(16 / 25, abs=CLOSE)
    assert shares["left"] == pytest.approx(9 / 25, abs=CLOSE)
    assert "beside" not in shares


def test_the_end_gauge_of_the_guide() -> None:
    """GUM H.1, table H.1: components in nm of the length of an end gauge."""
    components = {"standard": 25.0, "comparator": 9.7, "difference of expansion": 2.9,
                  "difference of temperature": 16.6}
    with draws.noted() as names:
        true = sum(draws.normal(name, sd) for name, sd in components.items())
    whole = sum(sd**2 for sd in components.values())
    assert np.sqrt(whole) == pytest.approx(32, abs=0.5)  # the combined uncertainty it prints
    shares = told(true, names)
    for name, sd in components.items():
        if sd**2 / whole > LEAST + CLOSE:
            assert shares[name] == pytest.approx(sd**2 / whole, abs=CLOSE)
    order = [name for name in shares if name != REST]
    assert order == ["standard", "difference of temperature", "comparator"]


def test_what_two_only_make_together_stays_in_the_rest() -> None:
    with draws.noted() as names:
        true = draws.uniform("one", 1.0) * draws.uniform("two", 1.0)
    assert told(true, names)[REST] > 0.95


def test_findings_without_a_spread_have_no_budget() -> None:
    still = of(np.full(draws.DRAWS, 2.0))
    assert budgets([still, replace(still, draws=None)], {"a": "uniform"}) == []


def test_names_are_noted_only_inside() -> None:
    with draws.noted() as names:
        draws.normal("inside", 1.0)
    draws.normal("outside", 1.0)
    assert names == {"inside": "normal"}
