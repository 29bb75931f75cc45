"""Newton's law of cooling on whole boxes (``newton.csv``) and one term of the series."""

from __future__ import annotations

import numpy as np
import pytest

from coldbench.physics.cooling import time_to_reach
from coldbench.physics.transient import one_term


def test_heat_leak_from_a_warm_up(published):
    time_constants = time_to_reach(5.0, 25.0, 10.0, 1.0)
    leak = 40e3 * time_constants / (4 * 3600)
    assert leak == pytest.approx(published("newton")["warm_up"], abs=0.0003)


def test_pull_down_with_constant_capacity(published):
    end = 25.0 - 25.0 / 0.8
    time = time_to_reach(25.0, end, 5.0, 40e3 / 0.8)
    assert time == pytest.approx(published("newton")["pull_down"], rel=0.0005)


def test_rise_time_of_a_freezer(published):
    time = time_to_reach(-18.0, 25.0, -9.0, 50e3)
    assert time == pytest.approx(published("newton")["rise"], rel=0.001)


@pytest.mark.parametrize("shape", ["slab", "cylinder", "sphere"])
def test_the_table_of_one_term(shape, rows):
    """All four decimals of the table, and one more for its rounding."""
    lines = rows("one_term")
    term = one_term(shape, np.array([float(line["biot"]) for line in lines]))
    roots = [float(line[f"{shape}_root"]) for line in lines]
    centres = [float(line[f"{shape}_centre"]) for line in lines]
    assert term.root == pytest.approx(roots, abs=1e-4)
    assert term.centre == pytest.approx(centres, abs=1e-4)
